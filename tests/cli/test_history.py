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


def test_tidy_says_what_it_changed_and_check_writes_nothing(desk, wiregen):
    text = BASE.replace("  F1: {title: Lamps", "  F3: {title: Lamps").replace("F1:", "F3:")
    (desk / "my.yaml").write_text(text, "utf-8")
    done = wiregen("tidy", "--check", "my.yaml")
    assert (done.code, done.out) == (1, "my.yaml: not tidy\n")
    assert (desk / "my.yaml").read_text("utf-8") == text
    assert wiregen("tidy", "my.yaml").out == "my.yaml: tidied\n"
    assert wiregen("tidy", "my.yaml").out == ""
    assert wiregen("tidy", "--check", "my.yaml").code == 0
    assert wiregen("diff", "my.yaml", "my.yaml").code == 0


def test_tidy_writes_nothing_when_one_file_cannot_be_read(desk, wiregen):
    (desk / "my.yaml").write_text("format: 1\nfuses:\n  F2: {}\n  F1: {}\n", "utf-8")
    (desk / "bad.yaml").write_text("format: 1\nplgs: {}\n", "utf-8")
    done = wiregen("tidy", "my.yaml", "bad.yaml")
    assert done.code == 2
    assert "F2: {}\n  F1" in (desk / "my.yaml").read_text("utf-8")


PINOUT = """format: 1
drawing: {title: Wiper, number: '7', revision: A, date: 2026-01-02, by: Workshop}
plugs:
  X1:
    title: Wiper motor plug
    face: [[1, 2]]
    pins:
      1: {carries: feed, colour: RD, source: handbook}   # read twice
      2: {carries: earth, colour: BN, source: handbook}
"""


def test_release_writes_the_row_and_the_title_block(desk, wiregen):
    (desk / "my.yaml").write_text(PINOUT, "utf-8")
    words = ("--revision", "B", "--what", "earth: read again", "--date", "2026-02-03")
    done = wiregen("release", "my.yaml", *words)
    assert (done.code, done.out) == (0, "my.yaml: revision B, 2026-02-03; 0 findings accepted\n")
    new = (desk / "my.yaml").read_text("utf-8")
    assert "revision: B, date: 2026-02-03, by: Workshop" in new
    assert "# read twice" in new
    assert "what: 'earth: read again'" in new.replace('"', "'")
    again = wiregen("release", "my.yaml", *words)
    assert again.code == 2
    assert "has a revision 'B' already" in again.err


@pytest.mark.parametrize(
    ("text", "code"), [(PINOUT.replace(", source: handbook", ""), 1), ("plgs: {}\n", 2)]
)
def test_release_of_a_design_with_open_findings_writes_nothing(desk, wiregen, text, code):
    (desk / "my.yaml").write_text(text, "utf-8")
    done = wiregen("release", "my.yaml", "--revision", "B", "--what", "x")
    assert done.code == code
    assert (desk / "my.yaml").read_text("utf-8") == text


@pytest.mark.parametrize("day", ["2026-02-30", "03.02.2026", "2026-2-3"])
def test_release_wants_a_day_that_exists(desk, wiregen, day):
    (desk / "my.yaml").write_text(PINOUT, "utf-8")
    done = wiregen("release", "my.yaml", "--revision", "B", "--what", "x", "--date", day)
    assert done.code == 2
    assert f"'{day}' is not a day" in done.err


def test_release_makes_the_title_block_where_there_is_none(desk, wiregen):
    pins = "{1: {carries: feed, source: handbook}}"
    text = f"format: 1\nplugs:\n  X1: {{title: Wiper, face: [[1]], pins: {pins}}}\n"
    (desk / "my.yaml").write_text(text, "utf-8")
    words = ("--revision", "A", "--what", "first", "--date", "2026-01-02", "--by", "Workshop")
    assert wiregen("release", "my.yaml", *words).code == 0
    row = "{revision: A, date: 2026-01-02, what: first, by: Workshop}"
    block = f"  revision: A\n  date: 2026-01-02\n  by: Workshop\n  revisions: [{row}]\n"
    assert (desk / "my.yaml").read_text("utf-8") == f"{text}drawing:\n{block}"
