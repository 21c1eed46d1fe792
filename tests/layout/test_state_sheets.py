"""Sheets drawn for one operating state, read back from the display list."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from wiregen.layout.lint import lint
from wiregen.layout.schematic.state_marks import state_legend
from wiregen.publish import Document
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Sheet, Text, walk
from wiregen.sheet.metrics import text_width_mm
from wiregen.sheet.state_shapes import GLOW
from wiregen.sheet.zones import FILING_MARGIN, MARGIN, Area

DESIGNS = Path(__file__).resolve().parents[2] / "designs"

LIGHTS = """\
format: 1
system: {volts: 12, ambient: 30}
earths: {EP1: {kind: chassis}}
fuses: {F1: {rating: 10, style: blade}}
splices: {J1: {}}
devices:
  G1: {kind: battery, volts: 12.6, resistance: 10 mohm, terminals: [plus, minus]}
  S1: {kind: switch, terminals: [1, 2], positions: {"off": [], "on": [[1, 2]]}}
  S2: {kind: switch, terminals: [1, 2], positions: {"off": [], "on": [[1, 2]]}}
  P1: {kind: lamp, title: Work light, watts: 55, volts: 12, terminals: [1, 2]}
wires:
  W1: {from: "G1:plus", to: "F1:in", size: 2.5, length: 300}
  W2: {from: "F1:out", to: "J1", size: 1.5, length: 1500}
  W3: {from: "P1:1", to: "S1:2", size: 1.5, length: 2500}
  W4: {from: "P1:2", to: EP1, size: 1.5, length: 500}
  W5: {from: "G1:minus", to: EP1, size: 16, length: 500}
  W6: {from: "J1", to: "S1:1", size: 1.5, length: 200}
  W7: {from: "J1", to: "S2:1", size: 1.5, length: 200}
  W8: {from: "S2:2", fate: insulated, why: not used}
states:
  dark: {S1: "off"}
  lit: {S1: "on"}
  broken: {S1: "on", W3: open}
"""


@pytest.fixture
def lights(tmp_path: Path) -> Document:
    path = tmp_path / "lights.yaml"
    path.write_text(LIGHTS, encoding="utf-8")
    return Document(path)


def sheets(document: Document, state: str, **options: bool) -> list[Sheet]:
    return [drawing.sheet for drawing in document.draw(state=state, **options)]


def groups(drawn: list[Sheet], cls: str) -> list[tuple[dict[str, str], Group]]:
    return [
        (dict(item.data), item)
        for sheet in drawn
        for item in walk(sheet.items)
        if isinstance(item, Group) and item.cls == cls
    ]


def marks(drawn: list[Sheet]) -> dict[str, tuple[str, float, str]]:
    """Return wire -> what its marks say: role, amps, the number printed at one of its pieces."""
    found: dict[str, tuple[str, float, str]] = {}
    for data, group in groups(drawn, "state-mark"):
        if "wire" in data:
            number = "".join(i.plain for i in group.items if isinstance(i, Text))
            number = number or found.get(data["wire"], ("", 0.0, ""))[2]
            found[data["wire"]] = (data["role"], float(data["amps"]), number)
    return found


def kinds(drawn: list[Sheet], device: str) -> list[str]:
    found = [group for data, group in groups(drawn, "device") if data["device"] == device]
    return [
        dict(item.data)["kind"]
        for item in walk(tuple(found))
        if isinstance(item, Group) and item.cls == "symbol"
    ]


def words(items: tuple[Item, ...]) -> list[Text]:
    return [item for item in walk(items) if isinstance(item, Text)]


def test_every_wire_says_what_it_is(lights: Document) -> None:
    dark, lit = marks(sheets(lights, "dark")), marks(sheets(lights, "lit"))
    assert {wire: mark[0] for wire, mark in dark.items()} == {
        "W1": "live", "W2": "live", "W3": "off", "W4": "earth",
        "W5": "earth", "W6": "live", "W7": "live", "W8": "floating",
    }  # fmt: skip
    assert lit["W3"][0] == "live"
    assert lit["W7"] == ("live", 0.0, "")


def test_a_broken_wire_is_marked_as_broken(lights: Document) -> None:
    assert marks(sheets(lights, "broken"))["W3"][0] == "open"


def test_currents_stand_on_the_wires_with_their_sense(lights: Document) -> None:
    # 55 W at 12 V take 4.58 A, a little less behind 0.1 ohm and a little more at 12.6 V
    lit = marks(sheets(lights, "lit"))
    for wire in ("W1", "W2", "W4"):
        assert lit[wire][1] == pytest.approx(4.58, abs=0.2)
        assert lit[wire][2] == f"{lit[wire][1]:.3g} A"
    # W3 is written from the lamp to the switch, against its current; W5 from the battery's minus
    assert lit["W3"][1] == pytest.approx(-4.58, abs=0.2)
    assert lit["W3"][2] == lit["W1"][2]
    assert lit["W5"][1] < 0


@pytest.mark.parametrize("wire", ["W1", "W3", "W4", "W5"])
def test_the_arrow_points_the_way_the_current_runs(lights: Document, wire: str) -> None:
    drawn = sheets(lights, "lit")
    ((data, mark),) = [(d, g) for d, g in groups(drawn, "state-mark") if d.get("wire") == wire]
    (_, run), = [(d, g) for d, g in groups(drawn, "wire existing") + groups(drawn, "wire")
                 if d.get("wire") == wire]  # fmt: skip
    back, tip = mark.items[-2].points[0], mark.items[-2].points[1]
    route = next(item.points for item in run.items if getattr(item, "cls", "") == "run")
    ahead = _along(route, tip) - _along(
        route,
        ((back[0] + mark.items[-2].points[2][0]) / 2, (back[1] + mark.items[-2].points[2][1]) / 2),
    )
    assert (ahead > 0) == (float(data["amps"]) > 0)


def _along(route: tuple[tuple[float, float], ...], point: tuple[float, float]) -> float:
    """Return how far along a route a point on it lies."""
    walked = 0.0
    for (ax, ay), (bx, by) in pairwise(route):
        length = abs(bx - ax) + abs(by - ay)
        inside = min(ax, bx) - 0.05 <= point[0] <= max(ax, bx) + 0.05
        inside = inside and min(ay, by) - 0.05 <= point[1] <= max(ay, by) + 0.05
        if inside:
            return walked + abs(point[0] - ax) + abs(point[1] - ay)
        walked += length
    raise AssertionError(f"{point} is not on the wire")


def test_switches_lie_as_they_are_and_lamps_burn(lights: Document) -> None:
    assert kinds(sheets(lights, "lit"), "S1") == ["closed-contact"]
    assert kinds(sheets(lights, "dark"), "S1") == ["switch"]
    assert kinds(sheets(lights, "lit"), "S2") == ["switch"]
    bright = {}
    for state in ("dark", "lit"):
        pens = [
            item.pen.fill
            for _, group in groups(sheets(lights, state), "device")
            for item in walk(group.items)
            if not isinstance(item, Group | Text)
        ]
        bright[state] = GLOW in pens
    assert bright == {"dark": False, "lit": True}


def test_volts_stand_beside_the_load(lights: Document) -> None:
    volts = {data["pin"]: words(group.items)[0].plain
             for data, group in groups(sheets(lights, "lit"), "volts")}  # fmt: skip
    # 12.6 V less what battery, fuse, switch and 4.5 m of 1.5 mm2 take from 4.6 A
    assert float(volts["P1:1"].removesuffix(" V")) == pytest.approx(12.2, abs=0.15)


def test_wires_lie_where_they_lie_on_the_plain_sheet(lights: Document) -> None:
    def runs(drawn: list[Sheet]) -> dict[str, list[float]]:
        found = {
            data["wire"]: next(i.points for i in group.items if getattr(i, "cls", "") == "run")
            for cls in ("wire", "wire existing")
            for data, group in groups(drawn, cls)
        }
        (left, top), *_ = found["W1"]
        return {
            wire: [at for x, y in run for at in (x - left, y - top)] for wire, run in found.items()
        }

    plain = [d.sheet for d in lights.draw() if d.name.startswith("sheet")]
    lit, at_rest = runs(sheets(lights, "lit")), runs(plain)
    assert lit.keys() == at_rest.keys()
    for wire, run in lit.items():
        assert run == pytest.approx(at_rest[wire], abs=0.01)


@pytest.mark.parametrize("name", ["tractor.yaml"])
@pytest.mark.parametrize("mono", [False, True])
def test_every_current_of_the_demo_design_has_its_number_and_covers_nothing(
    name: str, mono: bool
) -> None:
    document = Document(DESIGNS / name)
    for state in document.design.states:
        drawn = sheets(document, state, mono=mono)
        for sheet in drawn:
            assert lint(sheet).flaws == ()
            for text in words(sheet.items):
                wide = sum(text_width_mm(part, text.size, bold) for part, bold, _ in text.parts)
                if text.cls == "amps":
                    assert FILING_MARGIN < text.x < text.x + wide < sheet.width - MARGIN
        for wire, (_, amps_a, number) in marks(drawn).items():
            assert bool(number) == (amps_a != 0), wire


def test_the_sheet_says_which_state_and_what_the_marks_mean(lights: Document) -> None:
    texts = [text.plain for text in words(sheets(lights, "lit")[0].items)]
    assert "lit · 12 V · 30 °C" in texts
    assert any(text.startswith("state 'lit': S1 on") for text in texts)
    for meaning in ("live, current this way", "live, no current", "earth, current this way",
                    "floating"):  # fmt: skip
        assert meaning in texts
    assert any("computed estimates" in text for text in texts)


def test_findings_of_the_state_are_at_the_place_and_no_others() -> None:
    document = Document(DESIGNS / "tractor.yaml")
    codes = {
        state: {data["code"] for data, _ in groups(sheets(document, state), "finding")}
        for state in ("run on", "night")
    }
    assert codes["run on"] == {"STA103"}
    assert "STA103" not in codes["night"]


def test_without_an_operating_point_there_are_words_and_no_numbers(tmp_path: Path) -> None:
    path = tmp_path / "chatter.yaml"
    path.write_text(CHATTER, encoding="utf-8")
    drawn = sheets(Document(path), "on")
    texts = [text.plain for text in words(drawn[0].items)]
    assert any("no stable state: nothing is computed" in text for text in texts)
    assert groups(drawn, "state-mark") == []
    assert groups(drawn, "volts") == []


CHATTER = """\
format: 1
system: {volts: 12}
earths: {EP1: {kind: chassis}}
devices:
  G1: {kind: battery, volts: 12.6, resistance: 10 mohm, terminals: [plus, minus]}
  K1:
    kind: relay
    coil: {from: 86, to: 85, ohms: 85}
    pulls_in: 8 V
    drops_out: 3 V
    rest: [[30, 87a]]
    pulled: []
wires:
  W1: {from: "G1:plus", to: "K1:30", resistance: 0.01}
  W2: {from: "K1:87a", to: "K1:86", resistance: 0.01}
  W3: {from: "K1:85", to: EP1, resistance: 0.01}
  W4: {from: "G1:minus", to: EP1, resistance: 0.01}
states:
  "on": {}
"""


def test_the_legend_of_the_marks_keeps_clear_of_words_that_reach_over_the_drawing(
    lights: Document,
) -> None:
    state, area = lights.state_view("lit"), Area(26.0, 28.0, 378.0, 200.0)
    left, right = reach(state_legend(state, area, ()))
    assert right == pytest.approx(area.right)
    said = Text(left + 5.0, area.y + 0.5, (("→ M1:30, sheet 5 C5", True, style.INK),), 2.5)
    drawn = Group((said,), "reference", data=(("wire", "W1"),))
    _, end = reach(state_legend(state, area, (drawn,)))
    assert said.x - 5.0 < end <= said.x


def reach(items: tuple[Item, ...]) -> tuple[float, float]:
    """Return the left and the right end of some texts."""
    found = words(items)
    ends = [t.x + sum(text_width_mm(w, t.size, bold) for w, bold, _ in t.parts) for t in found]
    return min(t.x for t in found), max(ends)
