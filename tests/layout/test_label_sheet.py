"""Labels for wire ends: where they lie on the paper, and that all of their words can be read."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiregen.layout.label_grid import GridError, read_grid
from wiregen.layout.label_sheet import WireLabel, cut_short, stock_sheets
from wiregen.sheet.items import Group, Path, Rect, Text, walk
from wiregen.sheet.metrics import printable, text_width_mm

LEAST_MM = 1.8
LABELS = [WireLabel(f"W{n}", "0.75 mm² BU/WH", f"X1:{n} > F2:out") for n in range(1, 46)]


def groups(sheet):
    return [item for item in sheet.items if isinstance(item, Group) and item.cls == "label"]


def wide(text: Text) -> float:
    return sum(text_width_mm(words, text.size, bold) for words, bold, _ in text.parts)


def test_labels_lie_where_the_words_say():
    grid = read_grid("48x25 columns=4 rows=11 left=7.5 top=11 gap=2x0.5")
    places = list(grid.places)
    assert len(places) == 44
    assert places[:2] == [(7.5, 11.0), (7.5, 36.5)]  # 11 + 25 + 0.5
    assert places[11] == (57.5, 11.0)  # 7.5 + 48 + 2
    assert places[-1] == (157.5, 266.0)  # 7.5 + 3 * 50; 11 + 10 * 25.5


def test_what_is_not_said_is_as_many_as_fit_in_the_middle():
    """A4: (210 - 2 x 5) / 48 = 4.2, (297 - 2 x 5) / 25 = 11.5."""
    grid = read_grid("48x25")
    assert (grid.columns, grid.rows) == (4, 11)
    assert (grid.left_mm, grid.top_mm) == (9.0, 11.0)  # (210 - 192) / 2, (297 - 275) / 2


def test_a_roll_of_single_labels_is_paper_of_the_same_size():
    grid = read_grid("40x12 paper=40x12")
    assert (grid.count, list(grid.places)) == (1, [(0.0, 0.0)])
    sheets = stock_sheets(LABELS, grid)
    assert len(sheets) == 46
    assert {(sheet.width, sheet.height) for sheet in sheets} == {(40.0, 12.0)}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("", "no size of a label"),
        ("48", "no size of a label"),
        ("48,5x25", "write 48.5, not 48,5"),
        ("14x25", "too small"),
        ("48x4", "too small"),
        ("9999x9999", "no size of a label in mm"),
        ("48x25 colums=4", "did you mean 'columns'?"),
        ("48x25 columns=", "'columns=' is none of"),
        ("48x25 columns=4.5", "a whole number from 1 to 200"),
        ("48x25 rows=0", "a whole number from 1 to 200"),
        ("48x25 columns=5", "5 labels of 48 mm take 240 mm, the paper has 210 mm"),
        ("48x25 columns=4 left=30", "take 222 mm, the paper has 210 mm"),
        ("48x25 columns=4 gap=8", "with gaps of 8 mm take 216 mm"),
        ("48x25 top=-3", "'-3' is not a number of mm"),
        ("48x25 gap=x", "no size of gap"),
        ("48x25 paper=a4", "no size of paper"),
    ],
)
def test_words_that_describe_no_sheet_of_labels(words, said):
    with pytest.raises(GridError, match=re.escape(said)):
        read_grid(words)


@pytest.mark.parametrize("words", ["48x25", "30x8", "60x10", "40x12 paper=40x12", "25x30 gap=3"])
def test_every_label_is_readable_all_round(words):
    grid = read_grid(words)
    sheets = stock_sheets(LABELS, grid)
    labels = [group for sheet in sheets for group in groups(sheet)]
    assert [dict(group.data)["wire"] for group in labels] == [label.wire for label in LABELS]
    assert cut_short(LABELS, grid) == ()
    for group, label in zip(labels, LABELS, strict=True):
        said = " ".join(item.plain for item in group.items)
        times = said.count(f"{label.wire} ")
        assert times >= (2 if grid.height_mm >= 10 else 1)
        for word in (*label.facts.split(), *label.ends.split()):
            assert said.split().count(word) == times
        assert all(item.size >= LEAST_MM for item in group.items)


def test_the_first_sheet_has_rulers_and_the_edges_of_the_labels():
    grid = read_grid("48x25 columns=4 rows=11")
    trial, *_ = stock_sheets(LABELS, grid)
    rulers = [item for item in trial.items if isinstance(item, Path) and item.cls == "ruler"]
    (start, end), (top, bottom) = (path.points for path in rulers)
    assert (end[0] - start[0], end[1] - start[1]) == (100.0, 0.0)
    assert (bottom[0] - top[0], bottom[1] - top[1]) == (0.0, 100.0)
    edges = [item for item in trial.items if isinstance(item, Rect) and item.cls == "place"]
    assert [(edge.x, edge.y) for edge in edges] == list(grid.places)


def test_no_labels_need_no_sheet():
    assert stock_sheets([], read_grid("48x25")) == ()


words = st.text(st.characters(blacklist_categories=("Cs",), blacklist_characters="\0"), max_size=40)


@given(
    st.lists(st.builds(WireLabel, words, words, words), min_size=1, max_size=4),
    st.integers(15, 80),
    st.integers(5, 40),
)
def test_no_word_is_lost_unsaid_or_leaves_its_label(labels, width, height):
    grid = read_grid(f"{width}x{height} columns=2 rows=3")
    _, *sheets = stock_sheets(labels, grid)
    short = cut_short(labels, grid)
    made = [group for sheet in sheets for group in groups(sheet)]
    assert len(made) == len(labels)
    places = list(grid.places) * len(sheets)
    for group, label, (x, y) in zip(made, labels, places, strict=False):
        for item in walk(group.items):
            assert item.size >= LEAST_MM
            assert x <= item.x
            assert item.x + wide(item) <= x + width + 1e-6
            assert y + 0.7 * item.size - 0.2 <= item.y <= y + height
        said = "".join(item.plain for item in group.items).replace(" ", "")
        if label.wire not in short:
            for part in (label.wire, label.facts, label.ends):
                assert printable(part).replace(" ", "") in said
