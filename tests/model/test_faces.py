"""Faces: one layout per plug, its mirror, and where it is taken from."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiregen.model import Contact, Design, Face, Origin, Pin, Plug, Ring
from wiregen.model.faces import (
    NOT_RECORDED,
    FaceLayout,
    face_layout,
    face_layouts,
    mirrored,
    mirrored_words,
)
from wiregen.source import Span

HERE = Origin(Span("design.yaml"))


def rows(*lines: str, **more: object) -> Face:
    """Rows written as words, `~` is a gap."""
    names = tuple(tuple(None if n == "~" else n for n in line.split()) for line in lines)
    return Face(HERE, rows=names, **more)  # type: ignore[arg-type]


def plug(plug_id: str, face: Face | None = None, pins: str = "", **more: object) -> Plug:
    named = {name: Pin(name, HERE) for name in pins.split()}
    return Plug(plug_id, HERE, face=face, pins=named, **more)  # type: ignore[arg-type]


def design(*plugs: Plug, contacts: Mapping[str, Contact] | None = None) -> Design:
    return Design(
        "design.yaml",
        "design",
        HERE,
        plugs={p.id: p for p in plugs},
        contacts=contacts or {},
    )


def layout(*plugs: Plug, of: str = "X1") -> FaceLayout:
    return face_layout(design(*plugs), of)


def reading(face: FaceLayout) -> str:
    """The names as a person reads them: line by line, left to right."""
    lines: dict[float, list[tuple[float, str]]] = {}
    for cavity in face.cavities.values():
        lines.setdefault(round(cavity.y, 6), []).append((cavity.x, cavity.name))
    return " / ".join(" ".join(name for _, name in sorted(lines[y])) for y in sorted(lines))


def places(face: FaceLayout) -> dict[str, tuple[float, float]]:
    return {name: (round(c.x, 6), round(c.y, 6)) for name, c in face.cavities.items()}


def test_both_halves_and_both_sides_of_a_two_by_three_plug() -> None:
    """Source: myvehicle.help, page on connectors: sockets upper left to lower right, pins from
    upper right, both seen from the mating side."""
    sockets = plug("X1", rows("1 2 3", "4 5 6"), contacts="sockets", mates="X2")
    pins = plug("X2", contacts="pins")
    found = face_layouts(design(sockets, pins))
    assert reading(found["X1"]) == "1 2 3 / 4 5 6"
    assert reading(found["X2"]) == "3 2 1 / 6 5 4"
    assert reading(mirrored(found["X1"])) == "3 2 1 / 6 5 4"
    assert reading(mirrored(found["X2"])) == "1 2 3 / 4 5 6"


def test_radio_block_is_odd_over_even_on_the_wire_side_of_the_sockets() -> None:
    """Source: ISO 10487 as printed at pinoutguide.com (each block 2 rows of 4)."""
    found = layout(plug("X1", standard="iso-10487-a", contacts="sockets"))
    assert reading(mirrored(found)) == "A1 A3 A5 A7 / A2 A4 A6 A8"


def test_diagnostic_socket_counts_from_the_left_on_its_mating_side() -> None:
    """Source: SAE J1962, wide edge up: 1 to 8 left to right on top, 9 to 16 below."""
    top, below = "1 2 3 4 5 6 7 8", "9 10 11 12 13 14 15 16"
    socket = plug("X1", standard="iso-15031-3", contacts="sockets")
    tool = plug("X2", standard="iso-15031-3", contacts="pins")
    found = face_layouts(design(socket, tool))
    assert reading(found["X1"]) == f"{top} / {below}"
    assert reading(mirrored(found["X2"])) == f"{top} / {below}"


def test_seven_way_blade_trailer_plug_is_the_mirror_of_the_vehicle_socket() -> None:
    """Source: etrailer.com question-363: on the vehicle socket, notch up, earth stands at 7
    o'clock and the left turn lamp at 9 o'clock; the trailer plug's mating side is its mirror."""
    vehicle = layout(plug("X1", standard="sae-j2863", side="towing"))
    trailer = layout(plug("X1", standard="sae-j2863", side="trailer"))
    assert places(trailer) == places(mirrored(vehicle))
    assert places(trailer) != places(vehicle)
    leftmost = min(vehicle.cavities.values(), key=lambda c: c.x)
    assert trailer.cavities[leftmost.name].x == max(c.x for c in trailer.cavities.values())


def test_a_face_seen_from_the_wire_side_is_mirrored_into_the_mating_side() -> None:
    given_from_wires = rows("1 2 3", "4 5 6", seen_from="wire side", key="left", latch="top right")
    found = layout(plug("X1", given_from_wires))
    assert reading(found) == "3 2 1 / 6 5 4"
    assert (found.key, found.latch) == ("right", "top left")
    assert reading(mirrored(found)) == "1 2 3 / 4 5 6"
    assert found.first == "1"


def test_gaps_stay_open_and_rows_begin_at_the_left() -> None:
    found = layout(plug("X1", rows("1 ~ 2", "3", pitch_mm=4.0)))
    assert places(found) == {"1": (-4.0, -2.0), "2": (4.0, -2.0), "3": (-4.0, 2.0)}
    assert found.to_scale


def test_every_second_row_is_shifted() -> None:
    found = layout(plug("X1", rows("1 2", "3 4", "5 6", stagger=0.5, pitch_mm=4.0)))
    across = {name: x for name, (x, _) in places(found).items()}
    assert across["3"] - across["1"] == 2.0
    assert across["5"] == across["1"]


@pytest.mark.parametrize(
    ("start", "turn", "corners"),
    [
        ("top", "clockwise", "A top, B right, C bottom, D left"),
        ("top", "anticlockwise", "A top, B left, C bottom, D right"),
        ("right", "clockwise", "A right, B bottom, C left, D top"),
        ("left", "anticlockwise", "A left, B bottom, C right, D top"),
        ("90", "clockwise", "A right, B bottom, C left, D top"),
    ],
)
def test_ring_begins_and_turns_as_stated(start: str, turn: str, corners: str) -> None:
    found = layout(plug("X1", Face(HERE, rings=(Ring(tuple("ABCD"), 10.0, start, turn),))))
    where = {(0, -10): "top", (10, 0): "right", (0, 10): "bottom", (-10, 0): "left"}
    assert ", ".join(f"{name} {where[place]}" for name, place in places(found).items()) == corners


def test_rings_have_their_radius_and_a_centre() -> None:
    rings = (Ring(tuple("ABCDEF"), 9.0), Ring(("1", "2", "3", "4"), 5.0), Ring(("Z",), 0.0))
    found = layout(plug("X1", Face(HERE, rings=rings)))
    radii = {name: round(math.hypot(c.x, c.y), 6) for name, c in found.cavities.items()}
    assert radii == dict.fromkeys("ABCDEF", 9.0) | dict.fromkeys("1234", 5.0) | {"Z": 0.0}


def test_rings_without_radius_do_not_fall_on_each_other() -> None:
    rings = (Ring(tuple("ABCDEFGH")), Ring(("1", "2", "3", "4")), Ring(("Z",)))
    found = layout(plug("X1", Face(HERE, rings=rings)))
    spots = list(places(found).values())
    gaps = [math.dist(a, b) for n, a in enumerate(spots) for b in spots[n + 1 :]]
    assert not found.to_scale
    assert min(gaps) > 0.99


def test_contact_sizes_are_kept_in_proportion() -> None:
    blades = {
        "small": Contact("small", HERE, blade_mm=2.8),
        "big": Contact("big", HERE, blade_mm=6.3),
    }
    sizes = {"default": "small", "2": "big", "3": "4.5"}
    to_scale = plug("X1", rows("1 2 3", pitch_mm=10.0, cavity=sizes))
    free = plug("X2", rows("1 2 3", cavity=sizes))
    found = face_layouts(design(to_scale, free, contacts=blades))
    assert [c.diameter for c in found["X1"].cavities.values()] == [2.8, 6.3, 4.5]
    one, two, three = (c.diameter for c in found["X2"].cavities.values())
    assert two / one == pytest.approx(6.3 / 2.8)
    assert three / one == pytest.approx(4.5 / 2.8)


def test_like_is_never_mirrored() -> None:
    found = layout(
        plug("X1", Face(HERE, like="X7", key="bottom")), plug("X7", rows("1 2 3", "4 5 6"))
    )
    assert reading(found) == "1 2 3 / 4 5 6"
    assert (found.key, found.origin) == ("bottom", "as X7")


def test_like_a_face_of_the_catalogue() -> None:
    found = layout(plug("X1", Face(HERE, like="iso-15031-3"), contacts="sockets"))
    assert reading(found).startswith("1 2 3 4 5 6 7 8 /")
    assert "iso-15031-3" in found.origin


def test_the_mates_own_face_comes_before_the_standard() -> None:
    found = layout(
        plug("X1", standard="iso-15031-3", mates="X2"), plug("X2", rows("a b", key="left"))
    )
    assert reading(found) == "b a"
    assert (found.key, found.origin) == ("right", "face of X2, mirrored")


def test_places_from_memory_say_so() -> None:
    assert layout(plug("X1", standard="iso-11446")).positions_status == "from memory"
    assert layout(plug("X1", standard="iso-15031-3")).positions_status == "confirmed"
    assert layout(plug("X1", rows("1 2"))).positions_status == "stated"


def test_nothing_recorded_is_a_plain_strip_that_says_so() -> None:
    found = layout(plug("X1", pins="10 2 1"))
    assert (found.origin, found.positions_status) == (NOT_RECORDED, "not recorded")
    assert reading(found) == "1 2 10"
    assert not found.to_scale


def test_strip_of_a_half_without_pins_takes_the_names_of_its_mate() -> None:
    found = layout(plug("X1", mates="X2"), plug("X2", pins="1 2"))
    assert reading(found) == "1 2"


def test_no_pins_at_all() -> None:
    assert layout(plug("X1")).names == ()


def test_pins_that_the_face_does_not_have_are_kept_aside() -> None:
    found = layout(plug("X1", rows("1 2"), pins="1 2 10 9"))
    assert found.outside == ("9", "10")
    assert reading(found) == "1 2"
    assert found.names == ("1", "2", "9", "10")


def test_a_name_that_comes_twice_keeps_its_first_place() -> None:
    assert places(layout(plug("X1", rows("1 2 1")))) == {"1": (-0.5, 0.0), "2": (0.5, 0.0)}


@pytest.mark.parametrize(
    "plugs",
    [
        (plug("X1", Face(HERE, like="X1"), pins="1"),),
        (plug("X1", Face(HERE, like="X2"), pins="1"), plug("X2", Face(HERE, like="X1"))),
        (plug("X1", mates="X2", pins="1"), plug("X2", mates="X1", pins="1")),
        (plug("X1", mates="X1", pins="1"),),
        (plug("X1", mates="X2", pins="1"), plug("X2", Face(HERE, like="X1"))),
        (plug("X1", Face(HERE, like="no such face"), pins="1"),),
        (plug("X1", standard="no such standard", pins="1"),),
    ],
)
def test_loops_and_dead_ends_are_not_recorded(plugs: tuple[Plug, ...]) -> None:
    assert layout(*plugs).origin == NOT_RECORDED


def test_a_long_chain_of_likes_is_followed() -> None:
    chain = [plug(f"X{n}", Face(HERE, like=f"X{n + 1}")) for n in range(1, 3000)]
    found = layout(*chain, plug("X3000", rows("1 2")))
    assert reading(found) == "1 2"


@pytest.mark.parametrize(
    ("words", "seen"),
    [
        ("left", "right"),
        ("Top left", "Top right"),
        ("top", "top"),
        ("at 1 o'clock", "at 11 o'clock"),
        ("at 12 o'clock", "at 12 o'clock"),
        ("leftover", "leftover"),
        ("", ""),
    ],
)
def test_places_in_words_are_mirrored(words: str, seen: str) -> None:
    assert mirrored_words(words) == seen
    assert mirrored_words(seen) == words


NAMES = st.lists(st.text("ABC123", min_size=1, max_size=3), min_size=1, max_size=12, unique=True)
SPOT = st.tuples(st.integers(-40, 40), st.integers(-40, 40))


@st.composite
def any_face(draw: st.DrawFn) -> Face:
    """Rows, staggered rows, rings or free positions, from either side."""
    names = draw(NAMES)
    side = draw(st.sampled_from(["mating side", "wire side"]))
    key = draw(st.sampled_from(["", "top", "left", "bottom right", "at 10 o'clock"]))
    kind = draw(st.sampled_from(["rows", "rings", "places"]))
    if kind == "rows":
        width = draw(st.integers(1, len(names)))
        lines = tuple(tuple(names[i : i + width]) for i in range(0, len(names), width))
        stagger = draw(st.sampled_from([0.0, 0.5, -0.25]))
        pitch = draw(st.sampled_from([None, 3.2]))
        return Face(HERE, rows=lines, stagger=stagger, pitch_mm=pitch, seen_from=side, key=key)
    if kind == "rings":
        start = draw(st.sampled_from(["top", "left", "33"]))
        rings = (Ring(tuple(names), 10.0, start), Ring(("mid",), 0.0))
        return Face(HERE, rings=rings, seen_from=side, key=key)
    spots = {name: draw(SPOT) for name in names}
    return Face(HERE, places=spots, seen_from=side, key=key)


@given(any_face())
def test_the_wire_side_is_the_mirror_of_the_mating_side(face: Face) -> None:
    found = layout(plug("X1", face))
    seen = mirrored(found)
    assert seen.order == found.order
    for name, cavity in found.cavities.items():
        other = seen.cavities[name]
        assert (other.x, other.y, other.diameter) == (-cavity.x, cavity.y, cavity.diameter)
    assert mirrored(seen) == found


@given(any_face())
def test_mated_halves_are_mirrors_and_likes_are_not(face: Face) -> None:
    found = face_layouts(
        design(plug("X1", face), plug("X2", mates="X1"), plug("X3", Face(HERE, like="X1")))
    )
    assert places(found["X2"]) == places(mirrored(found["X1"]))
    assert places(found["X3"]) == places(found["X1"])
    assert found["X2"].key == mirrored_words(found["X1"].key)


@given(any_face(), st.randoms())
def test_the_order_of_positions_in_the_file_changes_nothing(face: Face, random: object) -> None:
    names = list(face.places)
    random.shuffle(names)  # type: ignore[attr-defined]
    other = Face(
        HERE,
        rows=face.rows,
        stagger=face.stagger,
        pitch_mm=face.pitch_mm,
        rings=face.rings,
        places={name: face.places[name] for name in names},
        seen_from=face.seen_from,
        key=face.key,
    )
    one, two = layout(plug("X1", face)), layout(plug("X1", other))
    assert (one, one.order) == (two, two.order)
