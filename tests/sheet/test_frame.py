"""Frame, zones, title block and foot: nothing leaves its cell or the frame."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wiregen.sheet.foot import REVISIONS_WIDTH
from wiregen.sheet.frame import (
    A1,
    A2,
    A3,
    A4,
    A4_PORTRAIT,
    CAUTIONS,
    FootFinding,
    Frame,
    Paper,
    Revision,
    TitleBlock,
    framed,
    zone_at,
)
from wiregen.sheet.items import Group, Item, Path, Text, walk
from wiregen.sheet.metrics import text_width_mm
from wiregen.sheet.zones import Area, frame_area

PAPERS = [A4_PORTRAIT, A4, A3, A2, A1]
LONG = ("Adapter loom for the \U0001f69c <script>&\"' orchard tractor with $x$ and #1 *bold* " * 4)[
    :200
]
REVISIONS = tuple(Revision(c, "2026-11-20", f"{LONG} {c}") for c in "ABCDEFG")


def text_box(text: Text) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of a text, mm; capitals and tails by rule of thumb."""
    wide = sum(text_width_mm(words, text.size, bold) for words, bold, _ in text.parts)
    shift = {"start": 0.0, "middle": wide / 2, "end": wide}[text.anchor]
    left = text.x - shift
    return left, text.y - 0.73 * text.size, left + wide, text.y + 0.2 * text.size


def full(paper: Paper, *, mono: bool = False, findings: int = 9) -> Frame:
    block = TitleBlock(LONG, LONG, LONG, LONG, LONG, LONG, 12, 345, LONG, REVISIONS)
    listed = tuple(FootFinding(n + 1, "CAV102", LONG) for n in range(findings))
    colours = ("BU/WH", "LT GN/PK", "GNYE", "tan", "", "BK", "RD", "OG/VT/GY", "YE", "TQ")
    return framed(
        paper,
        block,
        heading=LONG,
        subheading=LONG,
        colours=colours,
        fates=("new", "existing", "removed"),
        findings=listed,
        mono=mono,
    )


def texts(items: tuple[Item, ...], cls: str = "") -> list[Text]:
    return [i for i in walk(items) if isinstance(i, Text) and (not cls or i.cls == cls)]


def group(frame: Frame, cls: str) -> Group:
    return next(i for i in frame.items if isinstance(i, Group) and i.cls == cls)


# ISO 5457:1999, table of the number of fields: A1 16 x 12, A2 12 x 8, A3 8 x 6, A4 6 x 4
# (long side x short side); fields are 50 mm long from the centring marks.
@pytest.mark.parametrize(
    ("paper", "last"), [(A1, "M16"), (A2, "H12"), (A3, "F8"), (A4, "D6"), (A4_PORTRAIT, "F4")]
)
def test_number_of_zones(paper: Paper, last: str) -> None:
    area = frame_area(paper)
    assert zone_at(area.x + 1, area.y + 1, paper) == "A1"
    assert zone_at(area.right - 1, area.bottom - 1, paper) == last


def test_letters_i_and_o_are_left_out() -> None:
    rows = {zone_at(100, y, A1)[0] for y in range(10, 584, 5)}
    assert sorted(rows) == list("ABCDEFGHJKLM")


@pytest.mark.parametrize("paper", PAPERS)
def test_zones_meet_at_the_centre_and_are_50_mm_long(paper: Paper) -> None:
    middle_x, middle_y = paper.width / 2, paper.height / 2
    assert zone_at(middle_x - 0.1, middle_y, paper) != zone_at(middle_x + 0.1, middle_y, paper)
    assert zone_at(middle_x + 0.1, 20, paper) == zone_at(middle_x + 49.9, 20, paper)
    assert zone_at(middle_x + 49.9, 20, paper) != zone_at(middle_x + 50.1, 20, paper)


@pytest.mark.parametrize("paper", PAPERS)
def test_filing_margin_is_20_mm_and_the_others_10(paper: Paper) -> None:
    area = frame_area(paper)
    assert (area.x, area.y) == (20, 10)
    assert (paper.width - area.right, paper.height - area.bottom) == (10, 10)


@pytest.mark.parametrize("paper", PAPERS)
def test_everything_lies_within_the_frame(paper: Paper) -> None:
    area = frame_area(paper)
    for text in texts(full(paper).items):
        left, top, right, bottom = text_box(text)
        room = (
            (0, 0, paper.width, paper.height)
            if text.cls == "zone"
            else (area.x, area.y, area.right, area.bottom)
        )
        assert room[0] <= left, text.plain
        assert right <= room[2] + 1e-6, text.plain
        assert room[1] <= top, text.plain
        assert bottom <= room[3], text.plain


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("findings", [0, 1, 9, 40])
def test_no_text_of_the_frame_covers_another(paper: Paper, findings: int) -> None:
    boxes = [(text_box(text), text.plain) for text in texts(full(paper, findings=findings).items)]
    for (one, words), (other, more) in combinations(boxes, 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart, f"{words!r} covers {more!r}"


@pytest.mark.parametrize("paper", PAPERS)
def test_the_area_left_is_free_of_the_frames_own_items(paper: Paper) -> None:
    frame = full(paper)
    area = frame.area
    assert area.width > 150
    assert area.height > 40
    for text in texts(frame.items):
        left, top, right, bottom = text_box(text)
        assert bottom <= area.y or top >= area.bottom or right <= area.x or left >= area.right, (
            text.plain
        )


@pytest.mark.parametrize("paper", PAPERS)
def test_a_revision_table_alone_keeps_its_room(paper: Paper) -> None:
    block = TitleBlock("Loom", revisions=REVISIONS)
    listed = (FootFinding(1, "CAV102", "two wires in one cavity"),)
    frame = framed(paper, block, findings=listed, cautions=())
    table, row = group(frame, "revisions"), group(frame, "finding-row")
    first = min(text_box(text)[1] for text in texts((table,)))
    assert frame.area.bottom < first
    assert max(text_box(text)[3] for text in texts((row,))) < first


def test_title_block_texts_stay_in_their_cells() -> None:
    for paper in PAPERS:
        block = next(
            i for i in full(paper).items if isinstance(i, Group) and i.cls == "title-block"
        )
        walls = [i for i in block.items if isinstance(i, Path) and i.points[0][0] == i.points[1][0]]
        for text in texts(block.items):
            left, top, right, bottom = text_box(text)
            for wall in walls:
                (x, start), (_, end) = wall.points
                beside = right <= x or left >= x
                assert beside or bottom <= start or top >= end, text.plain


def test_title_block_says_what_iso_7200_asks_for() -> None:
    block = TitleBlock("Loom", "OT-017", "C", "2026-11-20", "Workshop", "key off", 4, 11)
    words = [t.plain for t in texts(framed(A3, block).items) if t.cls in ("field", "value")]
    assert words == [
        "Title",
        "Loom",
        "Drawing",
        "OT-017",
        "Revision",
        "C",
        "Date",
        "2026-11-20",
        "Drawn by",
        "Workshop",
        "Drawn state",
        "key off",
        "Units",
        "mm · mm² · V · A",
        "Sheet",
        "4 of 11",
    ]


def test_an_empty_field_is_a_dash() -> None:
    values = [t.plain for t in texts(framed(A4, TitleBlock("Loom")).items, "value")]
    assert values == ["Loom", "—", "—", "—", "—", "—", "mm · mm² · V · A", "1 of 1"]


def test_a_long_title_keeps_its_first_words_at_a_readable_size() -> None:
    lines = [t for t in texts(full(A4).items, "value") if t.plain.startswith("Adapter loom")]
    assert lines
    assert all(line.size >= 1.9 for line in lines)


def test_findings_stand_in_the_foot_with_ring_code_and_sentence() -> None:
    listed = (FootFinding(1, "STA210", "the charge lamp feeds the panel"),)
    frame = framed(A3, TitleBlock("Loom"), findings=listed)
    row = group(frame, "finding-row")
    assert [t.plain for t in texts((row,))] == ["1", "STA210", "the charge lamp feeds the panel"]
    assert frame.area.bottom < min(t.y for t in texts((row,)))


@pytest.mark.parametrize("count", [1, 5, 40, 400])
def test_findings_that_find_no_room_are_counted(count: int) -> None:
    frame = full(A4, findings=count)
    rows = [i for i in frame.items if isinstance(i, Group) and i.cls == "finding-row"]
    more = [
        t.plain for t in texts(frame.items) if t.plain.startswith("and ") and "sheet" in t.plain
    ]
    assert frame.listed == len(rows)
    assert 1 <= len(rows) <= count
    left = f"and {count - len(rows)} more on this sheet: wiregen check"
    assert more == ([left] if count > len(rows) else [])


def test_all_cautions_are_printed_on_each_sheet() -> None:
    for paper in PAPERS:
        words = " ".join(t.plain for t in texts(full(paper).items))
        assert " ".join(CAUTIONS) in words


def test_revision_table_is_newest_first_and_counts_the_older_ones() -> None:
    frame = full(A3)
    table = group(frame, "revisions")
    words = [t.plain for t in texts((table,))]
    assert words[:4] == ["Revision", "Date", "Change", "G"]
    assert words[-1] == "and 3 earlier"
    left = min(t.x for t in texts((table,)))
    assert max(text_box(t)[2] for t in texts((table,))) <= left + REVISIONS_WIDTH


def test_colour_legend_names_each_part_once_in_order() -> None:
    frame = framed(A3, TitleBlock("Loom"), colours=("BU/WH", "WH/BU", "GNYE", "LT BU", ""))
    words = [t.plain for t in texts(frame.items)]
    start = words.index("Colours")
    assert words[start + 1 : start + 7] == [
        "BU blue",
        "GNYE green-and-yellow",
        "LT BU light blue",
        "WH white",
        "no colour given",
        "base/tracer",
    ]


def test_mono_page_has_no_hue() -> None:
    sheet = full(A3, mono=True).sheet("s", "Sheet", ())
    for item in walk(sheet.items):
        if isinstance(item, Text):
            paints = [colour for _, _, colour in item.parts]
        elif isinstance(item, Group):
            continue
        else:
            paints = [item.pen.stroke, item.pen.fill]
        for paint in filter(None, paints):
            assert paint == "#14181d" or paint[1:3] == paint[3:5] == paint[5:7]


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=200), st.text(max_size=200), st.sampled_from(PAPERS))
def test_any_title_fits_its_cell(title: str, heading: str, paper: Paper) -> None:
    frame = framed(paper, TitleBlock(title, title, title), heading=heading, fates=("new",))
    area: Area = frame_area(paper)
    for text in texts(frame.items):
        if text.cls != "zone":
            left, _, right, _ = text_box(text)
            assert area.x <= left
            assert right <= area.right + 1e-6
    assert frame.area.height > 30
