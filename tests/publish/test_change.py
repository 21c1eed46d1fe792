"""What a change touches: sheets, tests and measured values; and the files it is drawn into."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from pathlib import Path

import pytest

from tests.history.samples import BASE, document
from wiregen.publish import Document
from wiregen.publish.change import Change, State
from wiregen.publish.drawn_change import change_files
from wiregen.publish.proving import prove
from wiregen.publish.proving.results import Result, made_of
from wiregen.read import load_text

TRACTOR = Path(__file__).resolve().parents[2] / "designs" / "tractor.yaml"


def change(old: str, new: str, results: tuple[Result, ...] = ()) -> Change:
    return Change(State(document(old), "before", results), State(document(new), "after"))


def edited(before: str, after: str) -> Change:
    assert before in BASE
    return change(BASE, BASE.replace(before, after))


def tractor(before: str, after: str) -> Change:
    text = TRACTOR.read_text("utf-8")
    assert before in text
    old, new = (
        Document(TRACTOR, load_text(t, str(TRACTOR))) for t in (text, text.replace(before, after))
    )
    return Change(State(old, "before"), State(new, "after"))


def wires_on(svg):
    """Return the wires of the groups of a sheet."""
    return set(re.findall(r'class="wire[^"]*"[^>]* data-wire="([^"]*)"', svg))


def test_one_wire_of_the_tractor_touches_one_sheet_and_the_faces_on_its_way():
    found = tractor(
        "to: X4:B,   colour: BU/WH, size: 0.75", "to: X4:B,   colour: BU/WH, size: 1.0 "
    )
    sheets = [(sheet.fate, sheet.name, sheet.title) for sheet in found.review.sheets or ()]
    drawn = [d.name for d in Document(TRACTOR).draw() if "W31" in wires_on(d.svg)]
    assert [(fate, name) for fate, name, _ in sheets[:1]] == [("changed", *drawn)]
    assert [name for _, name, _ in sheets[1:]] == ["face-X1", "face-X2", "face-X3", "face-X4"]
    assert {(one.fate, one.name) for one in found.review.tests or ()} == {
        ("changed", "W31"),
        ("changed", "ISO-W31"),
    }


def test_a_fact_that_no_sheet_shows_touches_none():
    assert edited("length: 1200", "length: 1300").review.sheets == ()


def test_no_change_touches_nothing():
    same = change(BASE, BASE).review
    assert (same.sheets, same.tests, same.void) == (None, None, ())


def test_tests_of_new_and_lost_wires():
    line = next(x for x in BASE.splitlines(keepends=True) if "W7:" in x)
    gone = edited(line, "").review.tests or ()
    assert ("gone", "W7") in {(one.fate, one.name) for one in gone}
    new = change(BASE.replace(line, ""), BASE).review.tests or ()
    assert ("new", "W7", "F2:out - X1:2") in {(one.fate, one.name, one.title) for one in new}


def test_renaming_touches_no_test():
    assert edited("X1", "X7").review.tests == ()
    assert change(BASE, re.sub(r"\bW(\d)\b", r"W1\1", BASE)).review.tests == ()


def measured(*names: str) -> tuple[Result, ...]:
    old = document(BASE)
    checks = {check.id: check for check in prove(old.design, old.network).checks}
    return tuple(
        Result(
            name,
            "0.2 ohm",
            date="2026-12-01",
            made_of=made_of(old.design, old.network, checks[name]),
        )
        for name in names
    )


def test_a_value_measured_on_a_wire_that_changed_is_void():
    results = measured("W3", "W4")
    found = change(BASE, BASE.replace("length: 1200", "length: 1300"), results).review.void
    assert [(one.test, one.reading, one.date, one.why) for one in found] == [
        ("W4", "0.2 ohm", "2026-12-01", "its wires changed")
    ]
    same = BASE.replace("title: Left lamp", "title: Lamp at the left")
    assert change(BASE, same, results).review.void == ()


def test_a_value_of_a_test_that_is_gone_is_void_and_one_that_was_void_before_is_not_named():
    line = next(x for x in BASE.splitlines(keepends=True) if "W7:" in x)
    (found,) = change(BASE, BASE.replace(line, ""), measured("W7")).review.void
    assert found.why == "there is no such test any more"
    stale = (Result("W7", "0.2 ohm", date="2026-12-01", made_of="W7 as it never was"),)
    assert change(BASE, BASE.replace(line, ""), stale).review.void == ()


EVIL = "'</svg><script>alert(1)</script> {{OLD}} &amp; \\\\1'"


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    new = BASE.replace("colour: GY, size", "colour: GY/WH, size")
    new = new.replace("title: Panel plug", f"title: {EVIL}")
    return change_files(change(BASE, new), "loom")


def test_one_svg_a_sheet_one_pdf_and_one_page(files):
    assert list(files) == [
        "loom-diff-sheet-01.svg",
        "loom-diff-face-X1.svg",
        "loom-diff.pdf",
        "loom-diff.html",
    ]
    for name, content in files.items():
        if name.endswith(".svg"):
            assert ET.fromstring(content).tag.endswith("svg")
    assert files["loom-diff.pdf"].startswith(b"%PDF-")
    assert len(re.findall(rb"/Type /Page\b", files["loom-diff.pdf"])) == 2


def test_each_drawing_is_on_the_paper_of_its_sheet_with_the_strip_below(files):
    whole = {drawing.name: drawing.sheet for drawing in document(BASE).draw()}
    for name in ("sheet-01", "face-X1"):
        root = ET.fromstring(files[f"loom-diff-{name}.svg"])
        width, height = whole[name].width, whole[name].height
        assert root.attrib["viewBox"] == f"0 0 {width:g} {height:g}"
        texts = [e for e in root.iter() if e.tag.endswith("text") and "y" in e.attrib]
        assert all(0 < float(e.attrib["y"]) < height for e in texts)
        assert all(0 < float(e.attrib["x"]) < width for e in texts)
        said = [e for e in texts if "".join(e.itertext()) in ("before", "after")]
        assert len(said) == 2
        lowest = max(float(e.attrib["y"]) for e in texts if e not in said)
        assert min(float(e.attrib["y"]) for e in said) >= lowest


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))


def test_the_page_needs_nothing_from_outside_and_runs_no_text_of_the_design(files):
    text = files["loom-diff.html"].decode("utf-8")
    page = _Page()
    page.feed(text)
    assert sum(tag == "script" for tag, _ in page.tags) == 1
    assert "alert(1)" in text  # as words
    assert "{{OLD}}" in text
    for _, attributes in page.tags:
        assert not {"src", "srcset", "action", "onload", "onclick"} & set(attributes)
        assert (attributes.get("href") or "#").startswith("#")
    ids = [a["id"] for _, a in page.tags if "id" in a]
    assert len(ids) == len(set(ids))
    policy = next(a["content"] for _, a in page.tags if "http-equiv" in a)
    assert policy is not None
    assert policy.startswith("default-src 'none'")


def test_every_slider_can_be_reached_and_named(files):
    page = _Page()
    page.feed(files["loom-diff.html"].decode("utf-8"))
    sliders = [a for tag, a in page.tags if tag == "input" and a.get("type") == "range"]
    assert len(sliders) == 2
    assert all(slider.get("aria-label") for slider in sliders)
    assert (
        "meta",
        {"name": "viewport", "content": "width=device-width, initial-scale=1"},
    ) in page.tags


def test_nothing_to_draw_makes_no_file():
    assert change_files(edited("length: 1200", "length: 1300"), "loom") == {}
