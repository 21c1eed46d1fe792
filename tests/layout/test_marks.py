"""Sheets that name each other, contents, standings of pins, variants, wishes, many findings."""

from __future__ import annotations

import itertools
import re
from pathlib import Path

import pytest

from tests.layout.schematic_kit import drawn, groups, parsed, pins, place, read, schematic, words
from wiregen.check.variants import in_variant
from wiregen.connect import Network
from wiregen.layout.contents_index import IndexEntry, IndexGroup, index_columns
from wiregen.layout.drawing_set import Options
from wiregen.layout.lint import lint
from wiregen.model import Design
from wiregen.problems import Problem
from wiregen.publish import Document
from wiregen.read import load
from wiregen.sheet import style
from wiregen.sheet.frame import PAPERS, Area, zone_at
from wiregen.sheet.items import Group, Sheet, Text, walk

ROOT = Path(__file__).resolve().parents[2]
DESIGNS = sorted(path for path in (ROOT / "designs").glob("*.yaml") if "." not in path.stem)


def texts(sheet: Sheet, cls: str) -> list[Text]:
    return [i for i in walk(sheet.items) if isinstance(i, Text) and i.cls == cls]


def full_set(path: Path) -> tuple[Sheet, ...]:
    return tuple(Document(path).plan(Options(contents=True), fresh=True).sheets())


def drawn_ends(sheet: Sheet) -> set[tuple[str, str]]:
    """Every (pin, zone) of a schematic sheet."""
    paper = next(p for p in PAPERS if (p.width, p.height) == (sheet.width, sheet.height))
    return {
        (node, zone_at(x, y, paper))
        for node, spots in pins(parsed(sheet)).items()
        for x, y in spots
    }


def under_screens(design: Design, network: Network, halves: set[str]) -> set[str]:
    """The ends of the wires under the screens joined to a pin, which has no wire of its own."""
    joined = [g for g in design.groups.values() if g.screen and g.screen.text in halves]
    return {end for g in joined for wire in g.screened for end in network.ends_of.get(wire, ())}


# ---- face sheets and schematic, both ways --------------------------------------------------------


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_every_wired_pin_names_the_sheet_and_zone_it_is_drawn_in(path: Path) -> None:
    design = load(path).design
    sheets = full_set(path)
    network = Document(path).network
    ends = {n: drawn_ends(s) for n, s in enumerate(sheets, 1) if s.name.startswith("sheet-")}
    for sheet in sheets:
        for row in (g for g in walk(sheet.items) if isinstance(g, Group) and g.cls == "pin-row"):
            node = dict(row.data)["pin"]
            plug, _, cavity = node.partition(":")
            halves = {node, f"{network.mate(plug)}:{cavity}"}
            halves |= under_screens(design, network, halves)
            named = [dict(t.data) for t in walk(row.items) if isinstance(t, Text) and t.data]
            for data in named:
                there = ends[int(data["sheet"])]
                assert any((half, data["zone"]) in there for half in halves), node
            pin = design.plugs[plug].pins.get(cavity)
            used = pin.state == "used" if pin else bool(network.wires_at(node))
            wired = [w for half in halves for w in network.wires_at(half)]
            if wired and ends and used:
                assert named, f"{node} has {wired} and names no sheet"


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_the_sheet_number_over_a_plug_is_that_of_its_face(path: Path) -> None:
    sheets = full_set(path)
    first: dict[str, int] = {}
    for number, sheet in enumerate(sheets, 1):
        if sheet.name.startswith("face-"):
            first.setdefault(sheet.name.removeprefix("face-"), number)
    for sheet in sheets:
        if not sheet.name.startswith("sheet-"):
            continue
        for plug in groups(parsed(sheet), "plug"):
            for said in words(plug):
                found = re.search(r"sheet (\d+)$", said)
                if found:
                    assert int(found[1]) == first[plug.get("data-plug", "")]


def many_pins(count: int, rows: int) -> Design:
    wide = count // rows
    face = [list(range(1 + r * wide, 1 + (r + 1) * wide)) for r in range(rows)]
    colours = [f"{a}/{b}" for a, b in itertools.product(("BU", "BN", "GN", "RD"), ("WH", "BK"))]
    held = ", ".join(
        f"{n}: {{carries: feed {n}, colour: {colours[n % 8]}, measured: 2026-01-01}}"
        for n in range(1, count + 1)
    )
    lines = [
        f"  W{n}: {{from: X1:{n}, to: X2:{n}, colour: {colours[n % 8]}, size: 0.75}}"
        for n in range(1, count + 1)
    ]
    text = f"""
format: 1
plugs:
  X1: {{title: Body plug, contacts: pins, face: {{rows: {face}, key: top}}, pins: {{{held}}}}}
  X2: {{title: Far plug, contacts: sockets, face: {{rows: {face}}}}}
wires:
"""
    return read(text + "\n".join(lines) + "\n")


@pytest.mark.parametrize(("count", "rows"), [(12, 2), (16, 2), (24, 2), (24, 3)])
def test_a_plug_of_up_to_24_pins_has_one_face_sheet(count: int, rows: int) -> None:
    faces = [s for s in drawn(many_pins(count, rows)) if s.name.startswith("face-")]
    assert [s.name for s in faces] == ["face-X1", "face-X2"]
    for sheet in faces:
        assert (sheet.width, sheet.height) == (297, 210)
        sizes = [t.size for t in walk(sheet.items) if isinstance(t, Text)]
        assert min(sizes) >= 1.8
        assert lint(sheet).flaws == ()


def test_the_13_pin_socket_has_one_face_sheet() -> None:
    names = [s.name for s in full_set(ROOT / "designs" / "trailer-adapter.yaml")]
    assert names.count("face-X1") == 1
    assert "face-X1-2" not in names


# ---- contents ------------------------------------------------------------------------------------


def test_contents_list_every_sheet_by_its_number() -> None:
    sheets = full_set(ROOT / "designs" / "tractor.yaml")
    assert [s.name for s in sheets[:3]] == ["overview", "contents", "sheet-03"]
    rows = [
        [t.plain for t in walk(g.items) if isinstance(t, Text)]
        for g in walk(sheets[1].items)
        if isinstance(g, Group) and dict(g.data).get("table") == "contents"
    ]
    assert [(row[0], row[1]) for row in rows] == [
        (str(n), s.title) for n, s in enumerate(sheets, 1)
    ]


def numbers_in(said: str) -> set[int]:
    found: set[int] = set()
    for first, last in re.findall(r"(\d+)(?:–(\d+))?", said):
        found.update(range(int(first), int(last or first) + 1))
    return found


def test_the_index_leads_to_every_sheet_that_shows_the_object() -> None:
    sheets = full_set(ROOT / "designs" / "tractor.yaml")
    shown: dict[str, set[int]] = {}
    for number, sheet in enumerate(sheets, 1):
        if sheet.name.startswith("face-"):
            shown.setdefault(sheet.name.removeprefix("face-"), set()).add(number)
        if not sheet.name.startswith("sheet-"):
            continue
        for kind in ("plug", "device", "fuse", "box", "splice", "earth"):
            for group in groups(parsed(sheet), kind):
                shown.setdefault(group.get(f"data-{kind}", ""), set()).add(number)
    said = {
        dict(t.data)["object"]: numbers_in(t.plain) for t in texts(sheets[1], "found") if t.data
    }
    assert said == shown


def test_few_sheets_have_no_contents() -> None:
    assert [s.name for s in full_set(ROOT / "designs" / "wiper-pinout.yaml")] == ["face-X1"]


def test_a_long_index_goes_on_without_loss() -> None:
    entries = tuple(IndexEntry(f"X{n}", "plug", (n, n + 2), n) for n in range(1, 500))
    left: tuple[IndexGroup, ...] = (IndexGroup("Plugs", entries),)
    found: list[str] = []
    while left:
        items, left = index_columns(left, Area(0, 0, 380, 200))
        assert all(0 <= t.y <= 200 for t in items if isinstance(t, Text))
        found += [dict(t.data)["object"] for t in items if isinstance(t, Text) and t.data]
    assert found == [entry.id for entry in entries]


# ---- standings of pins ---------------------------------------------------------------------------

PINS = """
format: 1
plugs:
  X1:
    contacts: pins
    face: [[1, 2, 3, 4]]
    pins:
      1: {carries: a, colour: BU, measured: 2026-01-02}
      2: {carries: b, colour: RD, source: book p. 1}
      3: {carries: c, colour: GN, says: [{source: book, colour: GN}, {source: label, colour: BK}]}
      4: {carries: d, colour: BN}
wires:
  W1: {from: X1:1, to: J1, colour: BU, size: 1}
  W2: {from: X1:2, to: J1, colour: BU, size: 1}
  W3: {from: X1:3, to: J1, colour: BU, size: 1}
  W4: {from: X1:4, to: J1, colour: BU, size: 1}
splices: {J1: {}}
"""


@pytest.mark.parametrize("mono", [False, True])
def test_pins_differ_by_pattern_as_they_are_known(mono: bool) -> None:
    (sheet,) = schematic(read(PINS), Options(mono=mono))
    found = {}
    for pin in groups(parsed(sheet), "pin"):
        for mark in groups(pin, "standing"):
            fills = [circle.get("fill") for circle in mark if circle.tag.endswith("circle")]
            strokes = [path for path in mark if path.tag.endswith("path")]
            open_ring = fills == ["#ffffff"]
            found[pin.get("data-pin")] = (mark.get("data-known"), open_ring, len(strokes))
    assert found == {
        "X1:1": ("measured", False, 0),
        "X1:2": ("not measured", True, 0),
        "X1:3": ("sources disagree", True, 2),
        "X1:4": ("not measured", True, 0),
    }
    assert "from a source or unknown: not measured" in words(parsed(sheet))


def test_the_legend_explains_only_what_occurs() -> None:
    text = PINS.replace("source: book p. 1", "measured: 2026-01-02").replace("carries: d, ", "")
    text = re.sub(r"says: \[.*\]", "measured: 2026-01-02", text)
    text = text.replace("4: {colour: BN}", "4: {colour: BN, measured: 2026-01-02}")
    (sheet,) = schematic(read(text))
    said = words(parsed(sheet))
    assert "measured" in said
    assert not any("not measured" in one or "disagree" in one for one in said)


def test_a_design_without_pins_has_no_legend_of_them() -> None:
    (sheet,) = schematic(
        read("format: 1\nsplices: {J1: {}, J2: {}}\nwires: {W1: {from: J1, to: J2}}\n")
    )
    assert "Pins" not in words(parsed(sheet))


# ---- variants ------------------------------------------------------------------------------------


def test_what_only_a_variant_has_is_marked_and_explained() -> None:
    design = load(ROOT / "designs" / "vocabulary.yaml").design
    for sheet in schematic(design):
        root = parsed(sheet)
        for wire in groups(root, "wire"):
            only = design.wires[wire.get("data-wire", "")].only
            labels = [said for said in words(wire) if said.startswith(wire.get("data-wire", ""))]
            assert labels
            for label in labels:
                assert label.endswith(f"◇{', '.join(only)}") if only else "◇" not in label
        said = words(root)
        marked = {name for one in said for name in re.findall(r"◇(\w+)", one)}
        explained = {name for name in design.variants for one in said if one.startswith(f"{name}:")}
        assert explained == marked


def test_one_variant_is_drawn_without_the_others() -> None:
    document = Document(ROOT / "designs" / "vocabulary.yaml").of_variant("late")
    sheets = [d.sheet for d in document.draw()]
    wires = {
        wire.get("data-wire")
        for sheet in sheets
        if sheet.name.startswith("sheet-")
        for wire in groups(parsed(sheet), "wire")
    }
    assert wires == set(in_variant(load(document.design.path).design, "late").wires)
    assert not any("◇" in said for sheet in sheets for said in words(parsed(sheet)))
    assert all("variant late" in " ".join(words(parsed(sheet))) for sheet in sheets)
    assert all(p.variant in ("", "late") for p in document.findings)


# ---- wishes --------------------------------------------------------------------------------------

CHAIN = """
format: 1
plugs:
  X1: {{contacts: pins, face: [[1, 2]], drawn: {wish}}}
  X2: {{contacts: pins, face: [[1, 2]]}}
devices: {{P1: {{kind: lamp, terminals: [1, 2]}}, G1: {{kind: battery}}}}
wires:
  W1: {{from: "G1:plus", to: X1:1, colour: RD, size: 1}}
  W2: {{from: X1:2, to: X2:1, colour: RD, size: 1}}
  W3: {{from: X2:2, to: P1:1, colour: RD, size: 1}}
"""


def body_x(sheet: Sheet, plug: str) -> float:
    (group,) = (g for g in groups(parsed(sheet), "plug") if g.get("data-plug") == plug)
    rect = next(r for r in group if r.tag.endswith("rect"))
    return float(rect.get("x", ""))


def test_a_plug_stands_at_the_side_it_is_wished_to() -> None:
    (left,) = schematic(read(CHAIN.format(wish="{side: left}")))
    (right,) = schematic(read(CHAIN.format(wish="{side: right}")))
    assert body_x(left, "X1") <= body_x(left, "X2")
    assert body_x(right, "X1") > body_x(right, "X2")


@pytest.mark.parametrize("side", ["left", "right"])
def test_wires_leave_a_plug_by_the_wished_edge(side: str) -> None:
    (sheet,) = schematic(read(CHAIN.format(wish=f"{{wires: {side}}}")))
    (group,) = (g for g in groups(parsed(sheet), "plug") if g.get("data-plug") == "X1")
    rect = next(r for r in group if r.tag.endswith("rect"))
    x, wide = float(rect.get("x", "")), float(rect.get("width", ""))
    edge = x if side == "left" else x + wide
    assert all(place(pin)[0] == pytest.approx(edge, abs=0.02) for pin in groups(group, "pin"))


@pytest.mark.parametrize(
    "wish", ["{column: 1}", "{column: 99}", "{side: right, column: 2, wires: left}"]
)
def test_any_wish_is_drawn_clean(wish: str) -> None:
    (sheet,) = schematic(read(CHAIN.format(wish=wish)))
    assert lint(sheet).flaws == ()


# ---- findings ------------------------------------------------------------------------------------


@pytest.mark.parametrize("count", [3, 11, 40, 200])
def test_every_finding_is_listed_or_counted_and_every_ring_is_explained(count: int) -> None:
    design = many_pins(12, 2)
    findings = [
        Problem(
            "COL102",
            "warning",
            f"finding {n} about this pin",
            design.origin.span,
            subjects=(f"X1:{n % 12 + 1}",),
        )
        for n in range(count)
    ]
    sheet = next(s for s in drawn(design, findings=findings) if s.name.startswith("sheet-"))
    root = parsed(sheet)
    listed = {g.get("data-number") for g in groups(root, "finding-row")}
    rings = [g.get("data-number") for g in groups(root, "finding")]
    rest = [said for said in words(root) if said.endswith("more on this sheet: wiregen check")]
    assert set(rings) == listed
    more = f"and {count - len(listed)} more on this sheet: wiregen check"
    assert rest == ([more] if count > len(listed) else [])
    assert len(listed) >= min(count, 6)


# ---- black and white -----------------------------------------------------------------------------


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_a_page_without_colours_has_only_greys_and_every_code_as_text(path: Path) -> None:
    document = Document(path)
    for sheet in document.plan(Options(mono=True), fresh=True).sheets():
        root = parsed(sheet)
        for item in root.iter():
            for name in ("fill", "stroke"):
                paint = item.get(name, "")
                if re.fullmatch(r"#[0-9a-f]{6}", paint) and paint != "#14181d":
                    assert paint[1:3] == paint[3:5] == paint[5:7], paint
        for wire in groups(root, "wire"):
            code = wire.get("data-colour", "") or "no colour"
            assert any(code in said for said in words(wire)), wire.get("data-wire")


def test_colours_and_looms_differ_by_pattern_where_a_page_has_no_colours() -> None:
    known = set(style.MONO_DASHES.values())
    assert len(known) == len(style.MONO_DASHES)
    assert style.mono_dash("WH") is None
    (sheet,) = schematic(read(PINS), Options(mono=True))
    for wire in groups(parsed(sheet), "wire"):
        (ink,) = [path for path in wire if path.get("class") == "pattern"]
        assert ink.get("stroke-dasharray"), "blue is not plain ink"
