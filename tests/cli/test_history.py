"""The commands of a reviewed change."""

import json
import subprocess

import pytest

from tests.history.samples import BASE


@pytest.fixture
def desk(tmp_path):
    (tmp_path / "old.yaml").write_text(BASE, "utf-8")
    (tmp_path / "new.yaml").write_text(BASE.replace("GY, size: 1.0", "GY, size: 1.5"), "utf-8")
    return tmp_path


def test_exit_code_says_whether_there_are_changes(desk, wiregen):
    assert wiregen("diff", "old.yaml", "old.yaml").code == 0
    done = wiregen("diff", "old.yaml", "new.yaml")
    assert (done.code, done.err) == (1, "")
    assert "W4  re-sized: 1 -> 1.5" in done.out


def test_formats_and_a_file(desk, wiregen):
    done = wiregen("diff", "old.yaml", "new.yaml", "--format", "json")
    assert json.loads(done.out)["changes"] == [
        {
            "kind": "changed",
            "section": "wires",
            "id": "W4",
            "key": "size",
            "before": "1",
            "after": "1.5",
        }
    ]
    done = wiregen("diff", "old.yaml", "new.yaml", "--format", "markdown", "-o", "change.md")
    assert (done.code, done.out) == (1, "")
    assert (desk / "change.md").read_text("utf-8").startswith("**old.yaml → new.yaml**: 1 change\n")


def test_a_side_that_is_no_design_is_exit_code_2(desk, wiregen):
    (desk / "bad.yaml").write_text("format: 1\nplgs: {}\n", "utf-8")
    done = wiregen("diff", "old.yaml", "bad.yaml")
    assert (done.code, done.out) == (2, "")
    assert "bad.yaml:2:1" in done.err
    done = wiregen("diff", "nothing", "nowhere.yaml")
    assert (done.code, done.out) == (2, "")
    assert "there is no file 'nothing'" in done.err


def test_a_revision_against_the_working_tree(desk, wiregen):
    who = ["-c", "user.name=Workshop", "-c", "user.email=workshop@example.org"]
    for words in (["init", "-q"], ["add", "-A"], [*who, "commit", "-q", "-m", "first"]):
        subprocess.run(["git", *words], cwd=desk, check=True, capture_output=True)
    (desk / "old.yaml").write_text(BASE.replace("rating: 15", "rating: 20"), "utf-8")
    done = wiregen("diff", "HEAD", "old.yaml")
    assert done.code == 1
    assert done.out.startswith("HEAD -> old.yaml: 1 change\n\nfuses\n  F2  rating: 15 A -> 20 A\n")


def test_one_changed_wire_of_the_tractor_is_one_screen(tmp_path, wiregen, designs):
    text = (designs / "tractor.yaml").read_text("utf-8")
    wire = "to: X4:B,   colour: BU/WH, size: 0.75"
    assert wire in text
    (tmp_path / "new.yaml").write_text(text.replace(wire, wire.replace("0.75", "1.0 ")), "utf-8")
    done = wiregen("diff", designs / "tractor.yaml", "new.yaml")
    assert done.code == 1
    assert len(done.out.splitlines()) <= 24
