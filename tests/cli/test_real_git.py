"""Designs in real repositories: both sides are found whatever happened, or it is said why not."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from tests.history.samples import BASE
from wiregen.history.sides import find_sides, read_place
from wiregen.publish import Document
from wiregen.read.companions import measured_path

NAME = "Traktor Zündung.yaml"
FUSE = BASE.replace("rating: 15", "rating: 20")
LAMP = BASE.replace("watts: 21", "watts: 5")
SAID = "  F2  rating: 15 A -> 20 A\n"


def git(folder: Path, *words: str, code: int = 0) -> str:
    who = ("-c", "user.name=Workshop", "-c", "user.email=workshop@example.org")
    free = ("-c", "protocol.file.allow=always", "-c", "init.defaultBranch=main")
    env = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"}
    done = subprocess.run(
        ["git", *who, *free, *words], cwd=folder, env=env, capture_output=True, check=False
    )
    assert done.returncode == code, done.stderr
    return done.stdout.decode("utf-8").strip()


def commit(folder: Path, words: str) -> str:
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", words)
    return git(folder, "rev-parse", "HEAD")


@pytest.fixture
def shop(tmp_path) -> Path:
    """A repository with one design in a folder with a space, committed once."""
    git(tmp_path, "init", "-q")
    (tmp_path / "alte Kabel").mkdir()
    (tmp_path / "alte Kabel" / NAME).write_text(BASE, "utf-8")
    commit(tmp_path, "first")
    return tmp_path


HERE = f"alte Kabel/{NAME}"


def test_the_working_tree_and_a_commit_on_top(shop, wiregen):
    assert wiregen("diff", "HEAD", HERE).code == 0
    (shop / HERE).write_text(FUSE, "utf-8")
    done = wiregen("diff", "HEAD", HERE)
    assert (done.code, done.err) == (1, "")
    assert done.out.startswith(f"HEAD -> {HERE}: 1 change\n\nfuses\n{SAID}")
    commit(shop, "larger fuse")
    assert wiregen("diff", "HEAD", HERE).code == 0
    for old, new in (
        ("HEAD~1", HERE),
        (f"HEAD~1:{HERE}", HERE),
        (f"HEAD~1:{HERE}", f"HEAD:{HERE}"),
        ("HEAD~1", f"HEAD:{HERE}"),
    ):
        done = wiregen("diff", old, new)
        assert (done.code, done.err) == (1, "")
        assert done.out.startswith(f"{old} -> {new}: 1 change\n\nfuses\n{SAID}")


def test_branches_and_their_merge(shop, wiregen):
    git(shop, "checkout", "-q", "-b", "lamp")
    (shop / HERE).write_text(LAMP, "utf-8")
    commit(shop, "smaller lamp")
    git(shop, "checkout", "-q", "-")
    (shop / HERE).write_text(FUSE, "utf-8")
    commit(shop, "larger fuse")
    assert SAID not in wiregen("diff", "lamp~1", f"lamp:{HERE}").out
    git(shop, "merge", "-q", "-m", "both", "lamp")
    from_ours = wiregen("diff", "HEAD^1", HERE)
    from_theirs = wiregen("diff", "HEAD^2", HERE)
    assert ("watts: 21 W -> 5 W" in from_ours.out, SAID in from_ours.out) == (True, False)
    assert ("watts: 21 W -> 5 W" in from_theirs.out, SAID in from_theirs.out) == (False, True)


def test_in_the_middle_of_a_merge_the_marks_are_named(shop, wiregen):
    git(shop, "checkout", "-q", "-b", "other")
    (shop / HERE).write_text(BASE.replace("rating: 15", "rating: 7.5"), "utf-8")
    commit(shop, "smaller fuse")
    git(shop, "checkout", "-q", "-")
    (shop / HERE).write_text(FUSE, "utf-8")
    commit(shop, "larger fuse")
    git(shop, "merge", "other", code=1)
    for words in (("diff", "HEAD", HERE), ("check", HERE), ("tidy", HERE), ("draw", HERE)):
        done = wiregen(*words)
        assert done.code == 2
        assert "two versions of a merge stand here; keep what holds" in done.out + done.err
    assert "Traceback" not in done.err
    assert "<<<<<<< HEAD" in (shop / HERE).read_text("utf-8")


def test_a_renamed_and_changed_file_is_found_under_its_old_name(shop, wiregen):
    git(shop, "mv", HERE, "neuer Name.yaml")
    (shop / "neuer Name.yaml").write_text(FUSE, "utf-8")
    done = wiregen("diff", "HEAD", "neuer Name.yaml")
    assert (done.code, done.err) == (1, "")
    assert done.out.startswith(f"HEAD:{HERE} -> neuer Name.yaml: 1 change\n\nfuses\n{SAID}")
    commit(shop, "renamed")
    assert SAID in wiregen("diff", "HEAD~1", "neuer Name.yaml").out
    assert SAID in wiregen("diff", "HEAD~1", "HEAD:neuer Name.yaml").out
    done = wiregen("diff", "HEAD~1:neuer Name.yaml", "neuer Name.yaml")
    assert done.code == 2
    assert f"it was called '{HERE}' there" in done.err


def test_a_new_and_a_deleted_file_are_compared_with_nothing(shop, wiregen):
    (shop / "neu.yaml").write_text(BASE, "utf-8")
    done = wiregen("diff", "HEAD", "neu.yaml")
    assert (done.code, done.err) == (
        1,
        "wiregen: 'neu.yaml' is not in revision HEAD: compared with nothing\n",
    )
    assert done.out.startswith("nothing -> neu.yaml: ")
    assert "\n  F2  new: Horn, " in done.out
    (shop / HERE).unlink()
    done = wiregen("diff", "HEAD", HERE, "--draw", "-o", "gone")
    assert done.code == 1
    assert done.out.startswith(f"HEAD:{HERE} -> nothing: ")
    assert f"'{HERE}' is not in the working tree: compared with nothing\n" in done.err
    assert "\n  F2  removed: Horn, " in done.out
    assert any(file.suffix == ".html" for file in (shop / "gone").iterdir())
    (shop / "alte Kabel").rmdir()
    assert "\n  F2  removed: Horn, " in wiregen("diff", "HEAD", HERE).out


@pytest.mark.parametrize("junk", [b"\x00\xff\x89PNG\r\n", b"\xff\xfe\x00", b"", b"- 1\n", b"\x80"])
def test_junk_at_the_path_is_refused_with_its_revision(shop, wiregen, junk):
    (shop / HERE).write_bytes(junk)
    commit(shop, "junk")
    (shop / HERE).write_text(BASE, "utf-8")
    done = wiregen("diff", "HEAD", HERE)
    assert (done.code, done.out) == (2, "")
    assert f"HEAD:{HERE}" in done.err
    assert "Traceback" not in done.err


def test_a_detached_head_and_a_tag(shop, wiregen):
    first = git(shop, "rev-parse", "HEAD")
    git(shop, "tag", "-a", "-m", "as built", "B")
    (shop / HERE).write_text(FUSE, "utf-8")
    second = commit(shop, "larger fuse")
    git(shop, "checkout", "-q", "--detach", first)
    for new in (second, second[:9], "main"):
        assert SAID in wiregen("diff", "HEAD", f"{new}:{HERE}").out
    git(shop, "checkout", "-q", "--detach", second)
    for old in (first, "B", "@~1"):
        assert SAID in wiregen("diff", old, HERE).out


def test_a_shallow_clone(shop, tmp_path_factory, wiregen, monkeypatch):
    (shop / HERE).write_text(FUSE, "utf-8")
    commit(shop, "larger fuse")
    clone = tmp_path_factory.mktemp("clones") / "flach"
    git(shop, "clone", "-q", "--depth", "1", shop.as_uri(), str(clone))
    monkeypatch.chdir(clone)
    assert wiregen("diff", "HEAD", HERE).code == 0
    done = wiregen("diff", "HEAD~1", HERE)
    assert (done.code, done.out) == (2, "")
    assert done.err == (
        "wiregen: git knows no revision 'HEAD~1'; this is a shallow clone, fetch more of it: "
        "git fetch --unshallow\n"
    )


def test_a_second_working_tree_and_a_hook_in_it(shop, tmp_path_factory, wiregen, monkeypatch):
    second = tmp_path_factory.mktemp("trees") / "zweiter Baum"
    git(shop, "worktree", "add", "-q", "-b", "second", str(second))
    monkeypatch.chdir(second)
    (second / HERE).write_text(FUSE, "utf-8")
    assert SAID in wiregen("diff", "HEAD", HERE).out
    monkeypatch.setenv("GIT_DIR", git(second, "rev-parse", "--absolute-git-dir"))
    assert SAID in wiregen("diff", "HEAD", HERE).out
    monkeypatch.setenv("GIT_WORK_TREE", ".")
    assert SAID in wiregen("diff", "HEAD", HERE).out


def test_a_submodule_has_its_own_revisions(shop, tmp_path_factory, wiregen, monkeypatch):
    outer = tmp_path_factory.mktemp("outer")
    git(outer, "init", "-q")
    git(outer, "submodule", "add", "-q", shop.as_uri(), "parts")
    commit(outer, "with parts")
    monkeypatch.chdir(outer)
    (outer / "parts" / HERE).write_text(FUSE, "utf-8")
    assert SAID in wiregen("diff", "HEAD", f"parts/{HERE}").out


def test_included_files_are_those_of_their_revision(shop, wiregen):
    parts = shop / "alte Kabel" / "Teile" / "Lampen.yaml"
    parts.parent.mkdir()
    parts.write_text("format: 1\ndevices: {P9: {kind: lamp, title: Old, watts: 5}}\n", "utf-8")
    (shop / HERE).write_text(
        BASE.replace("system:", "include: Teile/Lampen.yaml\nsystem:"), "utf-8"
    )
    commit(shop, "parts")
    parts.write_text(parts.read_text("utf-8").replace("watts: 5", "watts: 10"), "utf-8")
    commit(shop, "larger lamp")
    git(shop, "rm", "-q", "-r", "alte Kabel/Teile")
    said = "  P9  watts: 5 W -> 10 W\n"
    assert said in wiregen("diff", f"HEAD~1:{HERE}", f"HEAD:{HERE}").out
    assert said in wiregen("diff", "HEAD~1", f"HEAD:{HERE}").out
    assert wiregen("diff", "HEAD", HERE).code == 2  # the part is gone


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nonsense", HERE), "git knows no revision 'nonsense'"),
        (("--nonsense", HERE), "No such option"),
        (("HEAD", "gone.yaml"), "'gone.yaml' is neither in revision HEAD nor in the working tree"),
        (("HEAD:gone.yaml", HERE), "'gone.yaml' is not in revision HEAD"),
        (("HEAD:alte Kabel", HERE), "'alte Kabel' is not in revision HEAD"),
        (("HEAD:../outside.yaml", HERE), "is not in revision HEAD"),
        (("HED", "gone.yaml"), "there is no file 'HED'; to compare with a revision write REVISION"),
        ((f"HEAD:{HERE}", "gone.yaml"), "gone.yaml"),
        (("HEAD", f"HED:{HERE}"), "git knows no revision 'HED'"),
    ],
)
def test_what_cannot_be_had_is_said_in_a_line(shop, wiregen, words, said):
    done = wiregen("diff", *words)
    assert (done.code, done.out) == (2, "")
    assert said in " ".join(done.err.split())
    assert "Traceback" not in done.err
    assert git(shop, "status", "--porcelain") == ""


def test_no_repository_an_empty_one_and_no_git(tmp_path, wiregen, monkeypatch):
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    (tmp_path / NAME).write_text(BASE, "utf-8")
    done = wiregen("diff", "HEAD", NAME)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("wiregen: git: not a git repository")
    git(tmp_path, "init", "-q")
    done = wiregen("diff", "HEAD", NAME)
    assert (done.code, done.err) == (2, "wiregen: git knows no revision 'HEAD'\n")
    monkeypatch.setenv("PATH", str(tmp_path))
    for words in (("diff", "HEAD", NAME), ("git", "install", "--yes", "*.yaml")):
        done = wiregen(*words)
        assert (done.code, done.err) == (2, "wiregen: git cannot be run; is it installed?\n")
    assert wiregen("diff", NAME, NAME).code == 0


def test_readings_and_layout_of_a_revision_count_for_it(shop, wiregen, tmp_path_factory):
    measured = shop / HERE.replace(".yaml", ".measured.yaml")
    wiregen("tables", HERE, "-o", "t")
    sheet = next((shop / "t").glob("*-test.csv"))
    rows = sheet.read_text("utf-8-sig").splitlines()
    at = next(n for n, row in enumerate(rows) if row.startswith("W3,"))
    head = next(row for row in rows if "reading" in row.casefold()).split(",")
    cells = rows[at].split(",")
    cells[[name.casefold() for name in head].index("reading")] = "0.1"
    sheet.write_text("\n".join([*rows[:at], ",".join(cells), *rows[at + 1 :]]) + "\n", "utf-8")
    assert wiregen("record", HERE, sheet, "--date", "2026-11-20", "--by", "Workshop").code in (0, 1)
    assert "W3" in measured.read_text("utf-8")
    wiregen("draw", HERE)
    commit(shop, "measured")
    assert wiregen("diff", "HEAD", HERE).code == 0
    design = read_place(find_sides("HEAD", HERE)[0], tmp_path_factory.mktemp("scratch")).design
    assert measured_path(Path(design.path)).read_bytes() == measured.read_bytes()
    assert Document(design.path).kept is not None
    assert Document(design.path).kept == Document(HERE).kept
    (shop / HERE).write_text(BASE.replace("length: 1200", "length: 1210"), "utf-8")
    done = wiregen("diff", "HEAD", HERE)
    assert "void" not in done.out
    (shop / HERE).write_text(BASE.replace("to: X1:1, colour: RD", "to: X1:3, colour: RD"), "utf-8")
    assert "measured values that are void: measure again\n  W3" in wiregen("diff", "HEAD", HERE).out
