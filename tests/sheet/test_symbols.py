"""Symbols: their terminals lie on drawn strokes, they turn rightly, no two look alike."""

import math
import subprocess
import sys
from itertools import combinations

import pytest

from wiregen.sheet import style
from wiregen.sheet.items import Arc, Circle, Item, Path, Point, Rect, Text, walk
from wiregen.sheet.moves import bounds
from wiregen.sheet.symbols import KINDS, placed, symbol

DEVICE_KINDS = [
    *("battery", "alternator", "switch", "isolator", "flasher", "lamp", "led", "motor"),
    *("solenoid", "coil", "heater", "horn", "resistor", "capacitor", "diode", "converter"),
    *("sensor", "sender", "gauge", "unit", "bus bar", "terminator", "socket", "load"),
    *("relay coil", "relay make", "relay change-over"),
]
TURNS = [(turn, mirror) for turn in (0, 90, 180, 270) for mirror in (False, True)]


def ends(items: tuple[Item, ...]) -> list[Point]:
    return [p for i in items if isinstance(i, Path) for p in (i.points[0], i.points[-1])]


def touches(point: Point, items: tuple[Item, ...]) -> bool:
    if any(math.dist(point, end) < 1e-6 for end in ends(items)):
        return True
    return any(isinstance(i, Circle) and math.dist(point, i.centre) < 1e-6 for i in items)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("turn", "mirror"), TURNS)
def test_terminals_lie_on_the_ends_of_strokes(kind: str, turn: int, mirror: bool) -> None:
    drawn = placed(symbol(kind), 40, 60, turn=turn, mirror=mirror)  # type: ignore[arg-type]
    assert drawn.anchors
    for name, point in drawn.anchors.items():
        assert touches(point, drawn.group.items), f"{kind}: nothing drawn at {name}"


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("turn", "mirror"), TURNS)
def test_box_holds_the_turned_symbol(kind: str, turn: int, mirror: bool) -> None:
    drawn = placed(symbol(kind), 40, 60, turn=turn, mirror=mirror)  # type: ignore[arg-type]
    left, top, right, bottom = bounds(drawn.group.items, tuple(drawn.anchors.values()))
    assert (left, top) == pytest.approx((40, 60))
    assert (right - left, bottom - top) == pytest.approx((drawn.width, drawn.height))


@pytest.mark.parametrize("kind", KINDS)
def test_terminals_keep_a_grid_of_a_quarter_centimetre(kind: str) -> None:
    points = [point for _, point in symbol(kind).anchors]
    x0, y0 = points[0]
    for x, y in points:
        assert (x - x0) / 2.5 == pytest.approx(round((x - x0) / 2.5))
        assert (y - y0) / 2.5 == pytest.approx(round((y - y0) / 2.5))


@pytest.mark.parametrize("kind", KINDS)
def test_strokes_have_the_symbol_weight(kind: str) -> None:
    widths = {
        i.pen.width for i in walk(symbol(kind).items) if not isinstance(i, Text) and i.pen.stroke
    }  # type: ignore[union-attr]
    assert widths <= {style.LINE_SYMBOL, 0.25, style.LINE_HEAVY}
    assert kind in ("bus bar", "splice") or style.LINE_SYMBOL in widths


def test_no_two_symbols_look_alike_in_ink() -> None:
    def strokes(kind: str) -> frozenset[str]:
        return frozenset(repr(item) for item in symbol(kind).items)

    for one, other in combinations(KINDS, 2):
        assert strokes(one) != strokes(other), f"{one} and {other} are drawn alike"


def test_every_kind_of_device_has_a_symbol() -> None:
    assert [kind for kind in DEVICE_KINDS if kind not in KINDS] == []


def test_unknown_kind_names_the_nearest() -> None:
    with pytest.raises(ValueError, match="no symbol 'lmap'; did you mean 'lamp'"):
        symbol("lmap")


def test_an_anchor_can_be_put_on_a_point() -> None:
    fuse = placed(symbol("fuse"), 100, 50, turn=90, at="2")
    assert fuse.anchors == {"1": (100, 35), "2": (100, 50)}


def test_mirror_swaps_left_and_right() -> None:
    plain = placed(symbol("diode"), 0, 0).anchors
    flipped = placed(symbol("diode"), 0, 0, mirror=True).anchors
    assert plain["anode"] == flipped["cathode"]
    assert plain["cathode"] == flipped["anode"]


def test_a_quarter_turn_carries_an_arc_with_it() -> None:
    bow = next(i for i in symbol("sensor return").items if isinstance(i, Arc))
    turned = placed(symbol("sensor return"), 0, 0, turn=90).group.items
    arc = next(i for i in turned if isinstance(i, Arc))
    assert (arc.start, arc.end) == (bow.start + 90, bow.end + 90)


def test_letters_stay_upright_and_in_their_ring() -> None:
    for turn, mirror in TURNS:
        drawn = placed(symbol("motor"), 0, 0, turn=turn, mirror=mirror).group.items
        ring = next(i for i in drawn if isinstance(i, Circle))
        letter = next(i for i in drawn if isinstance(i, Text))
        assert not letter.upright
        assert letter.x == pytest.approx(ring.centre[0])
        assert letter.y - letter.size * 0.365 == pytest.approx(ring.centre[1])


def test_resistor_is_a_box_twice_as_long_as_high() -> None:
    # IEC 60617 S00555 draws a plain rectangle; its sides here are 8 mm and 4 mm.
    outline = [i for i in symbol("resistor").items if isinstance(i, Path) and len(i.points) > 2]
    left, top, right, bottom = bounds(tuple(outline))
    assert (right - left, bottom - top) == pytest.approx((8, 4))
    assert not any(isinstance(i, Rect | Circle) for i in symbol("resistor").items)


def test_lamp_is_a_cross_in_a_circle() -> None:
    ring = [i for i in symbol("lamp").items if isinstance(i, Circle)]
    assert len(ring) == 1
    crossing = [
        i for i in symbol("lamp").items if isinstance(i, Path) and i.points[0][1] != i.points[-1][1]
    ]
    assert len(crossing) == 2
    for stroke in crossing:
        for end in (stroke.points[0], stroke.points[-1]):
            assert math.dist(end, ring[0].centre) == pytest.approx(ring[0].radius)


def test_diode_points_from_anode_to_cathode() -> None:
    drawn = placed(symbol("diode"), 0, 0)
    triangle = next(i for i in drawn.group.items if isinstance(i, Path) and i.closed)
    tip = max(triangle.points, key=lambda p: p[0])
    assert [p[0] for p in triangle.points].count(tip[0]) == 1
    assert drawn.anchors["anode"][0] < tip[0] < drawn.anchors["cathode"][0]
    back = min(x for x, _ in triangle.points)
    leads = [i.points for i in drawn.group.items if isinstance(i, Path) and len(i.points) == 2]
    assert ((0.0, tip[1]), (pytest.approx(back), tip[1])) in leads
    assert ((pytest.approx(tip[0]), tip[1]), (15.0, tip[1])) in leads


def test_light_of_a_diode_goes_up_and_an_earth_hangs_down() -> None:
    led = placed(symbol("led"), 0, 0)
    heads = [i for i in led.group.items if isinstance(i, Path) and i.pen.fill == style.INK]
    assert len(heads) == 2
    assert all(y < led.anchors["anode"][1] for head in heads for _, y in head.points)
    for kind in ("earth", "isolated earth", "sensor return"):
        hung = placed(symbol(kind), 0, 0, at="1")
        assert bounds(hung.group.items)[1] == pytest.approx(0)
        assert bounds(hung.group.items)[3] > 5


@pytest.mark.parametrize("kind", ["fusible link", "coil", "alternator", "sensor return"])
def test_mirror_carries_the_ends_of_an_arc_with_it(kind: str) -> None:
    def arc_ends(mirror: bool) -> list[Point]:
        drawn = placed(symbol(kind), 0, 0, mirror=mirror)
        points = []
        for arc in drawn.group.items:
            for degrees in (arc.start, arc.end) if isinstance(arc, Arc) else ():
                angle = math.radians(degrees)
                x, y = arc.centre
                x += arc.radius * math.cos(angle)
                points.append((drawn.width - x if mirror else x, y + arc.radius * math.sin(angle)))
        return points

    assert arc_ends(False)
    for plain, flipped in zip(arc_ends(False), arc_ends(True), strict=True):
        assert plain == pytest.approx(flipped)


def test_schemdraw_is_loaded_only_for_a_symbol_that_needs_it() -> None:
    code = (
        "import sys, wiregen.sheet.frame, wiregen.sheet.symbols as s, wiregen.draw.svg;"
        "s.symbol('motor'); assert 'schemdraw' not in sys.modules, 'too early';"
        "s.symbol('lamp'); assert 'schemdraw' in sys.modules, 'not used'"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
