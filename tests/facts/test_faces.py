"""Standard faces and contact allocations against published pages."""

from __future__ import annotations

import math

import pytest

from wiregen.facts.colours import parse_colour
from wiregen.facts.faces import FaceError, apart, face, list_faces, list_pinouts, pinout
from wiregen.facts.sizes import read_size

THIRTEEN_PIN = "ISO 11446 contact allocation, erich-jaeger.com standards page"
CLOCK = "etrailer.com question-363: places on the clock, socket seen with the notch up"
RELAY_SHEET = "manualshelf.com power relay sheet, p. 3, bottom view"


@pytest.mark.parametrize(
    ("pin", "function", "din", "colour", "size"),
    [
        ("1", "left indicator", "L", "YE", "1.5"),
        ("2", "rear fog lamp", "54g", "BU", "1.5"),
        ("3", "return of 1 to 8", "31", "WH", "2.5"),
        ("4", "right indicator", "R", "GN", "1.5"),
        ("5", "right tail, marker and plate lamps", "58R", "BN", "1.5"),
        ("6", "stop lamps", "54", "RD", "1.5"),
        ("7", "left tail, marker and plate lamps", "58L", "BK", "1.5"),
        ("8", "reversing lamp", "", "PK", "1.5"),
        ("9", "permanent supply", "30", "OG", "2.5"),
        ("10", "ignition-switched supply", "15", "GY", "2.5"),
        ("11", "return of 10", "31", "WH/BK", "2.5"),
        ("12", "reserved (trailer coding)", "", "", ""),
        ("13", "return of 9", "31", "WH/RD", "2.5"),
    ],
)
def test_thirteen_pin_allocation(pin: str, function: str, din: str, colour: str, size: str) -> None:
    found = pinout("iso-11446")[pin]
    assert (found.function, found.din72552, found.colour, found.size) == (
        function,
        din,
        colour,
        size,
    ), THIRTEEN_PIN
    assert found.status == "confirmed"


@pytest.mark.parametrize(
    ("standard", "pin", "function", "source"),
    [
        ("iso-1724", "2", "rear fog lamp", "caravan owners' club 12N page"),
        ("iso-1724", "3", "common return", "caravan owners' club 12N page"),
        ("iso-3732", "4", "permanent supply", "plastimat.de, ISO 3732"),
        ("iso-7638", "6", "CAN high", "trailer brake maker's socket page, ISO 7638"),
        ("iso-10487-a", "A4", "permanent supply", "pinoutguide.com, ISO 10487"),
        ("iso-10487-a", "A7", "ignition-switched supply", "pinoutguide.com, ISO 10487"),
        ("iso-10487-b", "B5", "left front +", "pinoutguide.com, ISO 10487"),
        ("iso-15031-3", "4", "chassis earth", "SAE J1962 allocation, several trade pages"),
        ("iso-15031-3", "14", "CAN low", "SAE J1962 allocation, several trade pages"),
        ("iso-15031-3", "16", "permanent supply", "SAE J1962 allocation, several trade pages"),
        ("sae-j1939-13", "B", "permanent supply", "carscannertool.store, J1939-13 table"),
        ("sae-j1939-13", "J", "second CAN low", "carscannertool.store, J1939-13 table"),
        ("iso-12098", "13", "return of 14 and 15", "yumpu.com 46815983, 24 V plugs"),
        ("iso-11783-2-ibbc", "5", "termination disable", "scribd.com 427720461"),
    ],
)
def test_functions_of_other_standards(standard: str, pin: str, function: str, source: str) -> None:
    assert pinout(standard)[pin].function == function, source


def test_pins_kept_apart_on_the_trailer() -> None:
    groups = apart("iso-11446")
    assert [(group.pins, group.side) for group in groups] == [
        (("3", "11", "13"), "trailer"),
        (("5", "7"), "trailer"),
    ], THIRTEEN_PIN
    assert apart("iso-15031-3") == ()


def test_nine_way_diagnostic_socket_has_no_i() -> None:
    # carscannertool.store J1939-13 table: A to H, then J.
    assert list(face("sae-j1939-13").cavities) == list("ABCDEFGHJ")


def test_diagnostic_socket_rows() -> None:
    # SAE J1962 / ISO 15031-3, several trade pages: wide edge up, 1 to 8 above, 9 to 16 below.
    found = face("iso-15031-3")
    assert (found.outline, found.key, found.contacts) == ("d-shape", "top", "sockets")
    places = found.cavities
    by_row = sorted(places, key=lambda name: (places[name].y, places[name].x))
    assert by_row == [str(n) for n in range(1, 17)]


def test_radio_block_rows() -> None:
    # ISO 10487, several trade pages: odd over even seen from the wire side of the loom's block,
    # which is how the mating side of the radio's half looks.
    for block in "ab":
        found = face(f"iso-10487-{block}")
        assert (found.half, found.contacts) == ("radio", "pins")
        places = found.cavities
        by_row = sorted(places, key=lambda name: (places[name].y, places[name].x))
        assert [name[1:] for name in by_row] == list("13572468")


@pytest.mark.parametrize(
    ("hour", "function"),
    [
        (1, "permanent supply"),
        (3, "right indicator and stop lamp"),
        (5, "electric brakes"),
        (7, "earth"),
        (9, "left indicator and stop lamp"),
        (11, "tail lamps"),
    ],
)
def test_seven_way_blade_clock(hour: int, function: str) -> None:
    found = face("sae-j2863")
    pins = pinout("sae-j2863")
    name = next(pin.name for pin in pins.values() if pin.function == function)
    cavity = found.cavities[name]
    degrees = math.degrees(math.atan2(cavity.x, -cavity.y)) % 360
    assert degrees == pytest.approx(30 * hour, abs=0.5), CLOCK
    assert (found.cavities["7"].x, found.cavities["7"].y) == (0, 0), CLOCK
    assert found.key == "top"


@pytest.mark.parametrize("layout", ["a4", "a5"])
def test_mini_relay_distances(layout: str) -> None:
    blades = face(f"iso-7588-1-{layout}").cavities
    assert blades["85"].x - blades["86"].x == pytest.approx(16.9, abs=0.3), RELAY_SHEET
    assert blades["85"].y == blades["86"].y
    assert blades["85"].y - blades["87"].y == pytest.approx(8.0, abs=0.25), RELAY_SHEET
    assert blades["30"].y - blades["87"].y == pytest.approx(17.9, abs=0.25), RELAY_SHEET
    across = {name for name, blade in blades.items() if blade.blade_angle_deg == 0}
    assert "87" in across
    assert not across & {"30", "85", "86"}, RELAY_SHEET
    assert {blade.diameter for blade in blades.values()} == {6.3}


def test_relay_layouts_exchange_30_and_86() -> None:
    # sandovalmaynardk2ja.web.app and dailypromotion.biz relay pages: A and B exchange 30 and 86.
    for blades in ("4", "5"):
        first, second = (face(f"iso-7588-1-{layout}{blades}").cavities for layout in "ab")
        assert (first["30"], first["86"]) == (second["86"], second["30"])
        assert first["85"] == second["85"]
        assert first["87"] == second["87"]
        assert ("87a" in first) is (blades == "5")


def test_remembered_rings_say_so_and_tell_what_to_do() -> None:
    # No dimensioned drawing of these was read, so that none may claim to be confirmed.
    for face_id in ("iso-1724", "iso-3732", "iso-11446", "iso-7638", "sae-j1939-13"):
        found = face(face_id)
        assert found.positions_status == "from memory"
        assert found.unit == "proportion"
        assert "moulded in the plug" in found.note


@pytest.mark.parametrize("face_id", list_faces())
def test_face_is_whole(face_id: str) -> None:
    found = face(face_id)
    assert set(found.cavities) == set(pinout(face_id))
    assert found.half
    assert found.source
    assert {found.status, found.positions_status} <= {"confirmed", "from memory"}
    for name, cavity in found.cavities.items():
        reach = cavity.diameter / 2
        if found.outline == "round":
            assert math.hypot(cavity.x, cavity.y) + reach <= found.width / 2, name
        assert abs(cavity.x) + reach <= found.width / 2, name
        assert abs(cavity.y) + reach <= found.height / 2, name
    places = [(cavity.x, cavity.y) for cavity in found.cavities.values()]
    assert len(set(places)) == len(places)


@pytest.mark.parametrize("standard", list_pinouts())
def test_every_allocated_colour_and_size_can_be_read(standard: str) -> None:
    for pin in pinout(standard).values():
        assert pin.function
        if pin.colour:
            assert parse_colour(pin.colour).iec == pin.colour
        if pin.size:
            assert read_size(pin.size).area_mm2 >= 1.5
        assert pin.status in ("confirmed", "from memory")


def test_unknown_standard_names_the_nearest() -> None:
    with pytest.raises(FaceError, match=r"no face 'iso-11464' in the catalogue.*mean 'iso-11446'"):
        face("iso-11464")
    with pytest.raises(FaceError, match="no contact allocation 'iso-9'"):
        pinout("iso-9")
