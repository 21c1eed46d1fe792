"""SVG against the contract: parseable, escaped, absolute, fixed order, short numbers."""

import re
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiregen.draw.svg import to_svg
from wiregen.sheet.frame import A3, TitleBlock, framed
from wiregen.sheet.items import Arc, Circle, Group, Item, Path, Pen, Rect, Sheet, Text
from wiregen.sheet.symbols import KINDS, placed, symbol
from wiregen.sheet.wire import LabelSpot, wire_group

NS = "{http://www.w3.org/2000/svg}"
NASTY = [
    "<script>&\"'",
    "$x$ #1 *bold* @ref <l>",
    "tractor \U0001f69c",
    "]]>",
    "a\x00b\ud800c\ufffe",
    "line\nbreak\ttab",
    "{{x}}",
    "&amp;",
    "%s",
    "\u202eabc",
]
INK = Pen("#14181d", 0.35)


def sheet(*items: Item, title: str = "Test") -> Sheet:
    return Sheet("test", title, 420, 297, items)


def drawn(*items: Item) -> ET.Element:
    return ET.fromstring(to_svg(sheet(*items)))


def whole_page() -> Sheet:
    wires = tuple(
        wire_group(
            f"W{n}",
            start=f"X1:{n}",
            end="X2:1",
            colour="BU/WH",
            size="0.75",
            runs=(((40, 40 + 4 * n), (90.123456, 40 + 4 * n), (90.123456, 43 + 4 * n)),),
            labels=(LabelSpot(42, 39 + 4 * n),),
        )
        for n in range(5)
    )
    symbols = tuple(placed(symbol(kind), 50 + 7.03 * n, 120).group for n, kind in enumerate(KINDS))
    frame = framed(A3, TitleBlock("Loom & <more>"), heading="Head", colours=("BU/WH",))
    return frame.sheet("sheet-01", "Sheet 1", (*wires, *symbols))


def test_root_is_in_millimetres() -> None:
    root = drawn()
    assert root.attrib["width"] == "420mm"
    assert root.attrib["height"] == "297mm"
    assert root.attrib["viewBox"] == "0 0 420 297"
    assert root.attrib["font-family"].startswith("Wiregen Sans, ")


def test_one_element_a_line_and_a_line_break_at_the_end() -> None:
    text = to_svg(whole_page())
    assert text.endswith("</svg>\n")
    for line in text.splitlines()[1:]:
        assert re.fullmatch(r"<[^<>]*/>|</?g[^<>]*>|<(title|text)\b.*</\1>|</svg>", line), line


def test_numbers_have_two_decimals_at_most() -> None:
    for element in ET.fromstring(to_svg(whole_page())).iter():
        for key, value in element.attrib.items():
            if not key.startswith("data-") and key not in ("id", "class", "font-family"):
                assert not re.search(r"\.\d{3}", value), (key, value)
                assert not re.search(r"-0(?![.\d])", value), (key, value)


def test_level_and_upright_strokes_are_h_and_v() -> None:
    (path,) = drawn(Path(((1, 2), (5, 2), (5, 9.126), (1, 9.126)), INK)).findall(f"{NS}path")
    assert path.attrib["d"] == "M1 2 H5 V9.13 H1"


def test_a_slanting_or_closed_stroke() -> None:
    (path,) = drawn(Path(((0, 0), (2, 3), (4, 0)), INK, closed=True)).findall(f"{NS}path")
    assert path.attrib["d"] == "M0 0 L2 3 L4 0 Z"


def test_points_that_round_to_the_same_place_draw_no_stroke() -> None:
    (path,) = drawn(Path(((0, 0), (0.001, 0.002), (4, 0)), INK)).findall(f"{NS}path")
    assert path.attrib["d"] == "M0 0 H4"


def test_zero_has_no_sign() -> None:
    (path,) = drawn(Path(((-0.001, 0), (4, -0.004)), INK)).findall(f"{NS}path")
    assert path.attrib["d"] == "M0 0 H4"


def test_wire_group_against_the_contract() -> None:
    wire = wire_group(
        "W12",
        start="X1:3",
        end="X2:7",
        colour="BU/WH",
        size="0.75",
        runs=(((10, 10), (50, 10), (50, 30)),),
        labels=(LabelSpot(12, 9),),
    )
    (group,) = drawn(wire).findall(f"{NS}g")
    assert list(group.attrib.items()) == [
        ("class", "wire"),
        ("id", "wire-W12"),
        ("data-wire", "W12"),
        ("data-from", "X1:3"),
        ("data-to", "X2:7"),
        ("data-colour", "BU/WH"),
        ("data-size", "0.75"),
    ]
    assert group.find(f"{NS}title").text == "W12 0.75 BU/WH, X1:3 to X2:7"  # type: ignore[union-attr]
    runs = [p.attrib["d"] for p in group.findall(f"{NS}path") if p.attrib["class"] == "run"]
    assert runs == ["M10 10 H50 V30"]
    (label,) = [t for t in group.findall(f"{NS}text") if t.attrib["class"] == "wire-label"]
    assert (label.attrib["x"], label.attrib["y"]) == ("12", "9")
    assert "".join(label.itertext()) == "W12 0.75 BU/WH"


def test_no_transform_above_a_wire_or_a_label() -> None:
    root = ET.fromstring(to_svg(whole_page()))
    assert not [g for g in root.iter(f"{NS}g") if "transform" in g.attrib]


def test_no_script_no_reference_to_the_outside() -> None:
    page = to_svg(whole_page())
    root = ET.fromstring(page)
    assert {e.tag.removeprefix(NS) for e in root.iter()} <= {
        "svg",
        "g",
        "path",
        "rect",
        "circle",
        "text",
        "tspan",
        "title",
    }
    for element in root.iter():
        assert not [k for k in element.attrib if k.startswith("on") or k.endswith("href")]
    assert "url(" not in page


@pytest.mark.parametrize("words", NASTY)
def test_user_text_is_escaped_everywhere(words: str) -> None:
    group = Group(
        (Text(1, 1, ((words, True, "#000000"), (words, False, "#000000")), 2),),
        cls="plug",
        id=f"plug-{words}",
        data=(("plug", words),),
        title=words,
    )
    root = drawn(group, Text(1, 1, ((words, False, "#000000"),), 2))
    assert {e.tag.removeprefix(NS) for e in root.iter()} <= {
        "svg",
        "g",
        "text",
        "tspan",
        "title",
        "rect",
    }
    (found,) = root.findall(f"{NS}g")
    assert re.fullmatch(r"[A-Za-z0-9_.-]+", found.attrib["id"])
    kept = re.sub("[\x00\ud800\ufffe]", "\ufffd", words)
    assert found.attrib["data-plug"] == kept
    assert found.find(f"{NS}title").text == kept  # type: ignore[union-attr]


def test_a_character_outside_the_font_is_kept_in_text_and_data() -> None:
    group = Group(
        (Text(1, 1, (("plug \U0001f50c", False, "#000000"),), 2),),
        cls="plug",
        data=(("plug", "\U0001f50c"),),
    )
    (found,) = drawn(group).findall(f"{NS}g")
    assert found.attrib["data-plug"] == "\U0001f50c"
    assert found.find(f"{NS}text").text == "plug \U0001f50c"  # type: ignore[union-attr]


@given(st.text(), st.text())
def test_any_text_makes_parseable_xml(words: str, name: str) -> None:
    group = Group(
        (Text(1, 1, ((words, False, "#000000"),), 2),),
        cls="plug",
        id=name,
        data=(("plug", words),),
        title=words,
    )
    root = ET.fromstring(to_svg(sheet(group, title=words)).encode())
    assert len(list(root.iter(f"{NS}text"))) == 1


def test_a_part_circle_runs_with_the_clock_from_three_o_clock() -> None:
    (path,) = drawn(Arc((10, 10), 5, 0, 90, INK)).findall(f"{NS}path")
    assert path.attrib["d"] == "M15 10 A5 5 0 0 1 10 15"
    (path,) = drawn(Arc((10, 10), 5, 0, 270, INK)).findall(f"{NS}path")
    assert path.attrib["d"] == "M15 10 A5 5 0 1 1 10 5"


def test_pens() -> None:
    items = (
        Rect(1, 2, 3, 4, Pen("#14181d", 0.5, "#f3f5f7", (1, 0.5), "round"), 1.5),
        Circle((1, 2), 3, Pen(fill="#14181d")),
    )
    rect, circle = list(drawn(*items))[-2:]
    assert rect.attrib == {
        "x": "1",
        "y": "2",
        "width": "3",
        "height": "4",
        "rx": "1.5",
        "fill": "#f3f5f7",
        "stroke": "#14181d",
        "stroke-width": "0.5",
        "stroke-dasharray": "1 0.5",
        "stroke-linecap": "round",
    }
    assert circle.attrib == {"cx": "1", "cy": "2", "r": "3", "fill": "#14181d"}


def test_upright_text_is_turned_about_its_own_point() -> None:
    (text,) = drawn(Text(7, 8, (("W1", True, "#14181d"),), 2.3, "middle", upright=True)).findall(
        f"{NS}text"
    )
    assert text.attrib["transform"] == "rotate(-90 7 8)"
    assert text.attrib["text-anchor"] == "middle"
    assert text.attrib["font-weight"] == "bold"


def test_same_sheet_same_text() -> None:
    assert to_svg(whole_page()) == to_svg(whole_page())
