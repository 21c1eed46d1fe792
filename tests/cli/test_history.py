"""The commands of a reviewed change."""

import io
import json
import subprocess
from pathlib import Path

import pypdf
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


def test_a_drawn_difference_names_its_files_and_leaves_none_of_an_earlier_one(desk, wiregen):
    done = wiregen("diff", "old.yaml", "new.yaml", "--draw")
    assert done.code == 1
    assert "W4  re-sized: 1 -> 1.5" in done.out
    folder = desk / "out" / "new"
    files = [str(path.relative_to(desk)) for path in folder.iterdir()]
    assert sorted(done.err.splitlines()) == sorted(files)
    assert {"new-diff.html", "new-diff.pdf", "new-diff-sheet-01.svg"} <= {
        path.name for path in folder.iterdir()
    }
    (folder / "new-diff-face-X9.svg").write_text("of an earlier run", "utf-8")
    (folder / "new-face-X9.svg").write_text("of the design", "utf-8")
    wiregen("diff", "old.yaml", "new.yaml", "--draw")
    assert not (folder / "new-diff-face-X9.svg").exists()
    assert (folder / "new-face-X9.svg").exists()


def test_a_drawn_difference_is_written_whole_or_not_at_all(desk, wiregen, everything):
    (desk / "pics" / "new-diff.html").mkdir(parents=True)
    before = everything()
    done = wiregen("diff", "old.yaml", "new.yaml", "--draw", "-o", "pics")
    assert done.code == 2
    assert "there is a folder of that name" in done.err
    assert everything() == before


def test_a_drawn_difference_takes_no_text_of_a_design_as_markup_or_path(desk, wiregen):
    evil = "'</svg><script>x</script>'"
    text = BASE.replace("title: Left lamp", f"title: {evil}").replace("X1", "X.1")
    (desk / "b & <i>.yaml").write_text(text, "utf-8")
    done = wiregen("diff", "old.yaml", "b & <i>.yaml", "--draw", "-o", "pics")
    assert done.code == 1
    html = (desk / "pics" / "b & <i>-diff.html").read_text("utf-8")
    assert html.count("<script>") == 1
    assert "&lt;script&gt;x" in html
    assert "b &amp; &lt;i&gt;.yaml" in html
    assert {path.parent for path in (desk / "pics").rglob("*")} == {desk / "pics"}


def test_nothing_drawn_where_nothing_changed(desk, wiregen, everything):
    before = everything()
    assert wiregen("diff", "old.yaml", "old.yaml", "--draw").code == 0
    assert [name for name in everything() if name not in before] == []


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


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("to: X4:B,   colour: BU/WH, size: 0.75", "to: X4:B,   colour: BU/WH, size: 1.0 "),
        ("to: X4:B,   colour: BU/WH", "to: X4:B,   colour: GN/YE"),
        ("to: X4:B,   colour: BU/WH", "to: X4:M,   colour: BU/WH"),
    ],
    ids=["re-sized", "recoloured", "moved"],
)
def test_one_changed_wire_of_the_tractor_is_one_screen(tmp_path, wiregen, designs, before, after):
    text = (designs / "tractor.yaml").read_text("utf-8")
    assert text.count(before) == 1
    (tmp_path / "new.yaml").write_text(text.replace(before, after), "utf-8")
    done = wiregen("diff", designs / "tractor.yaml", "new.yaml")
    assert done.code == 1
    assert sum(max(1, -(-len(line) // 100)) for line in done.out.splitlines()) <= 40


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
    assert (done.code, done.err) == (0, "")
    *files, last = done.out.splitlines()
    assert last == "my.yaml: revision B, 2026-02-03; 0 findings accepted"
    assert {"out/my/my-pack.pdf", "out/my/my-wires.csv"} <= set(files)
    assert all((desk / name).is_file() for name in files)
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
    if code == 1:
        assert done.err.startswith("wiregen: my.yaml keeps revision 'A': 1 finding open;")
        assert "'accepted'" in done.err


RELEASE = ("release", "my.yaml", "--revision", "B", "--what", "read again", "--date", "2026-02-03")


def words_of(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_the_pack_of_a_release_shows_the_new_revision(desk, wiregen):
    (desk / "my.yaml").write_text(PINOUT, "utf-8")
    assert wiregen(*RELEASE, "-o", "rev B").code == 0
    assert not (desk / "out").exists()
    words = words_of((desk / "rev B" / "my-pack.pdf").read_bytes())
    assert "read again" in words
    assert "2026-02-03" in words
    assert wiregen("pack", "my.yaml", "-o", "again").code == 0
    both = [(desk / folder / "my-pack.pdf").read_bytes() for folder in ("rev B", "again")]
    assert both[0] == both[1]


def test_a_release_of_variants_packs_each(desk, wiregen):
    text = PINOUT.replace("plugs:", "variants: {short: Short, long: Long}\nplugs:")
    (desk / "my.yaml").write_text(text, "utf-8")
    done = wiregen(*RELEASE)
    assert done.code == 0
    assert {p.name for p in (desk / "out" / "my").glob("*.pdf")} == {
        "my-short-pack.pdf",
        "my-long-pack.pdf",
    }


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_a_release_keeps_line_ends_and_byte_order_mark(desk, wiregen, mark):
    (desk / "my.yaml").write_bytes(mark + PINOUT.replace("\n", "\r\n").encode())
    assert wiregen(*RELEASE).code == 0
    data = (desk / "my.yaml").read_bytes()
    assert data.startswith(mark + b"format: 1\r\n")
    assert data.count(b"\n") == data.count(b"\r\n")
    assert b"revision: B" in data


def spoil_the_folder(desk: Path, monkeypatch) -> None:
    """Let a file stand where the folder of the pack should be."""
    (desk / "out").write_text("in the way", "utf-8")


def spoil_the_tables(desk: Path, monkeypatch) -> None:
    """Let a folder stand where a table should be."""
    (desk / "out" / "my" / "my-wires.csv").mkdir(parents=True)


def spoil_the_pdf(desk: Path, monkeypatch) -> None:
    """Let the results beside the design be unreadable."""
    (desk / "my.measured.yaml").write_text("results: {", "utf-8")


def spoil_the_design(desk: Path, monkeypatch) -> None:
    """Let the design be written by somebody else while the pack is made."""
    from wiregen.cli import releasing

    def slow(document: object) -> dict[str, bytes]:
        (desk / "my.yaml").write_text(PINOUT + "# other\n", "utf-8")
        return {"my-pack.pdf": b"%PDF"}

    monkeypatch.setattr(releasing, "_packs", slow)


def spoil_the_writing(desk: Path, monkeypatch) -> None:
    """Let the disk be full when the design is to be written, beside an earlier pack."""
    (desk / "out" / "my").mkdir(parents=True)
    (desk / "out" / "my" / "my-pack.pdf").write_bytes(b"of revision A")
    from wiregen.cli import releasing
    from wiregen.edit import EditError

    def full(path: object, change: object) -> None:
        raise EditError("cannot write my.yaml: no space left on device")

    monkeypatch.setattr(releasing, "change_file", full)


@pytest.mark.parametrize(
    "spoil",
    [spoil_the_folder, spoil_the_tables, spoil_the_pdf, spoil_the_design, spoil_the_writing],
)
def test_a_release_is_written_whole_or_not_at_all(desk, wiregen, everything, monkeypatch, spoil):
    (desk / "my.yaml").write_text(PINOUT, "utf-8")
    spoil(desk, monkeypatch)
    before = everything()
    done = wiregen(*RELEASE)
    assert done.code == 2
    assert done.out == ""
    assert done.err.startswith("wiregen: ") or "my.measured.yaml" in done.err
    assert "Traceback" not in done.err
    assert everything() == before
    assert "revision: B" not in (desk / "my.yaml").read_text("utf-8")
    if spoil is spoil_the_writing:
        assert (desk / "out" / "my" / "my-pack.pdf").read_bytes() == b"of revision A"


@pytest.mark.parametrize("day", ["2026-02-30", "03.02.2026", "2026-2-3"])
def test_release_wants_a_day_that_exists(desk, wiregen, day):
    (desk / "my.yaml").write_text(PINOUT, "utf-8")
    done = wiregen("release", "my.yaml", "--revision", "B", "--what", "x", "--date", day)
    assert done.code == 2
    assert f"'{day}' is not a day" in done.err


def test_release_fills_in_the_title_block_and_wants_one_that_says_what_it_is(desk, wiregen):
    pins = "{1: {carries: feed, source: handbook}}"
    text = f"format: 1\nplugs:\n  X1: {{title: Wiper, face: [[1]], pins: {pins}}}\n"
    (desk / "my.yaml").write_text(text, "utf-8")
    words = ("--revision", "A", "--what", "first", "--date", "2026-01-02", "--by", "Workshop")
    done = wiregen("release", "my.yaml", *words)
    assert done.code == 1
    assert "DOC102: the title block has no title, no number" in done.out
    assert (desk / "my.yaml").read_text("utf-8") == text
    text += "drawing:\n  title: Wiper\n  number: W-1\n"
    (desk / "my.yaml").write_text(text, "utf-8")
    assert wiregen("release", "my.yaml", *words).code == 0
    row = "{revision: A, date: 2026-01-02, what: first, by: Workshop}"
    block = f"  revision: A\n  date: 2026-01-02\n  by: Workshop\n  revisions: [{row}]\n"
    assert (desk / "my.yaml").read_text("utf-8") == f"{text}{block}"
