"""Face sheets: both sides, the other half, the pin table; read from the SVG and measured."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.layout.face_kit import (
    HERE,
    SVG,
    all_words,
    beyond_outline,
    codes_on_openings,
    covered_texts,
    design,
    draw,
    finding,
    outside,
    parsed,
    pin,
    plug,
    rows,
    table_rows,
    text_box,
    texts,
    touching,
    views,
    wire,
)
from tests.layout.vehicles import vehicle
from wiregen.check import Report
from wiregen.connect import connect
from wiregen.draw.svg import to_svg
from wiregen.facts.colours import parse_colour
from wiregen.layout.cavity_facts import DrawnAt, plug_facts
from wiregen.layout.faces import face_pages
from wiregen.model import Contact, Device, Earth, Face, Fuse, Loom, Ring, Say
from wiregen.publish import Document
from wiregen.sheet.items import Circle, Group, Path, Text, walk

TRACTOR = design(
    plug(
        "X1",
        rows("1 2 3 4", "5 6 7 8", key="top left", latch="top"),
        pin("1", "glow relay coil", "OG", "1.0", measured="2026-11-02"),
        pin("2", "coolant sender", "BU/WH", "0.75", source="engine manual p. 41"),
        pin("3", state="empty"),
        pin("4", "engine earth", "BN+BN/WH", "2.5+1.0", role="earth"),
        pin(
            "5",
            "hour meter pulse",
            "GY/PK",
            "0.5",
            says=(
                Say("seller's list", colour=parse_colour("GY")),
                Say("manual p. 42", colour=parse_colour("GY/PK")),
            ),
        ),
        pin("6", "second sender", "TQ", use="spare"),
        pin("7", state="blocked"),
        title="Engine plug, engine side",
        loom="engine",
        contacts="pins",
        sealed=True,
        where="left frame rail",
        housing="round-edge 8",
    ),
    plug("X2", title="Adapter side", loom="adapter", mates="X1", contacts="sockets", contact="b"),
    plug("X3", rows("A B"), pin("A", "charge lamp"), title="Panel plug", of="A1", contacts="pins"),
    wire("W1", "X2:1", "X3:A", "OG", "1.0", loom="adapter"),
    wire("W2", "X2:4", "EP1", "BN", "2.5", loom="adapter"),
    wire("W3", "X2:4", "X3:B", "BN/WH", "1.0", loom="adapter"),
    wire("W4", "X2:6", "", "TQ", fate="insulated", loom="adapter"),
    wire("W5", "F1:out", "X2:2", "RD", loom="adapter"),
    looms={
        "engine": Loom("engine", HERE, "Engine loom"),
        "adapter": Loom("adapter", HERE, "Adapter loom", "new"),
    },
    contacts={"b": Contact("b", HERE, blade_mm=2.8)},
    devices={"A1": Device("A1", HERE, "unit", "Instrument panel")},
    fuses={"F1": Fuse("F1", HERE, "Panel feed", 10.0)},
    earths={"EP1": Earth("EP1", HERE, "engine block stud", "engine")},
)

BLADES = {"s": Contact("s", HERE, blade_mm=2.8), "b": Contact("b", HERE, blade_mm=6.3)}
PLACES = {"1": (0.0, 0.0), "2": (9.0, 0.0), "A": (4.5, 8.0), "B": (20.0, 3.0)}
RINGS = (Ring(tuple("ABCDEFGH"), 10.0, "top", "anticlockwise"), Ring(("J",), 0.0))
FACES = {
    "rows": rows("1 2 3 4", "5 6 7 8", key="top"),
    "uneven rows with gaps": rows("1 ~ 2", "3", "4 5 6 7", seen_from="wire side"),
    "staggered": rows("1 2 3", "4 5 6", "7 8 9", stagger=0.5, pitch_mm=3.2),
    "rings": Face(HERE, rings=RINGS, key="at 10 o'clock"),
    "positions": Face(
        HERE, places=PLACES, seen_from="wire side", cavity={"default": "s", "2": "b"}
    ),
    "like": Face(HERE, like="X9"),
    "standard": Face(HERE, like="iso-11446"),
    "relay": Face(HERE, like="iso-7588-1-a5"),
    "121-way": rows(*(" ".join(str(n + 30 * r) for n in range(1, 31)) for r in range(4)), "121"),
}


def one_plug(face: Face | None, **more: object):
    colours = ("RD", "BU/WH", "LT GN/DK BU/WH", "GNYE", "BN+BK")
    names = [n for row in (face.rows if face else ()) for n in row if n]
    pins = [pin(n, f"signal {n}", colours[i % 5], "0.75") for i, n in enumerate(names)]
    other = plug("X9", rows("1 2 3", "~ 4 5"))
    return design(plug("X1", face, *pins, **more), other, contacts=BLADES)


@pytest.mark.parametrize("kind", FACES)
def test_wire_side_is_the_exact_mirror_and_shows_every_cavity(kind: str) -> None:
    sides = {view.side: view for view in views(draw(one_plug(FACES[kind]), ["X1"]))}
    wire_side, mating = sides["wire"].cavities, sides["mating"].cavities
    assert set(sides) == {"wire", "mating"}
    assert set(wire_side) == set(mating) != set()
    top = min(y for _, y, _ in wire_side.values()) - min(y for _, y, _ in mating.values())
    for name, (x, y, state) in wire_side.items():
        other = mating[name]
        assert x == pytest.approx(-other[0], abs=0.021), name
        assert y - top == pytest.approx(other[1], abs=0.021), name
        assert state == other[2]


@pytest.mark.parametrize("kind", FACES)
def test_nothing_covers_anything_and_all_is_within_the_frame(kind: str) -> None:
    for sheet in draw(one_plug(FACES[kind]), ["X1"]):
        assert covered_texts(sheet) == []
        assert outside(sheet) == []
        assert touching(sheet) == []
        assert codes_on_openings(sheet) == []
        assert beyond_outline(sheet) == []
        assert min(text.size for text in texts(sheet.items)) >= 1.8


def test_first_cavity_is_top_left_on_the_side_it_was_given_from() -> None:
    for side, given_from in (("mating", "mating side"), ("wire", "wire side")):
        face = rows("1 2 3", "4 5 6", seen_from=given_from)
        seen = {v.side: v.cavities for v in views(draw(one_plug(face), ["X1"]))}[side]
        reading = sorted(seen, key=lambda name: (seen[name][1], seen[name][0]))
        assert reading == [f"X1:{n}" for n in range(1, 7)]


def corner_marks(sheet) -> dict[str, tuple[str, float]]:
    """Face id -> the cavity with the corner mark, and to which side its arm reaches."""
    found = {}
    for face in sheet.items:
        if isinstance(face, Group) and face.cls.startswith("face"):
            for cavity in face.items:
                for item in cavity.items if isinstance(cavity, Group) else ():
                    if isinstance(item, Path) and item.cls == "first":
                        lean = item.points[2][0] - item.points[1][0]
                        found[face.id] = (dict(cavity.data)["pin"], 1.0 if lean > 0 else -1.0)
    return found


def test_one_corner_mark_a_picture_at_the_first_cavity() -> None:
    (sheet,) = draw(TRACTOR, ["X2"])
    assert corner_marks(sheet) == {
        "face-X2-wire": ("X2:1", 1.0),
        "face-X2-mating": ("X2:1", -1.0),
        "face-X1-mating": ("X1:1", 1.0),
    }


def key_offset(sheet, face_id: str) -> float:
    """How far the key stands to the right of the middle of a picture, mm."""
    face = next(i for i in sheet.items if isinstance(i, Group) and i.id == face_id)
    outline = next(i for i in face.items if getattr(i, "cls", "") == "outline")
    key = next(i for i in face.items if getattr(i, "cls", "") == "key")
    xs = [x for x, _ in key.points]
    return (min(xs) + max(xs)) / 2 - (outline.x + outline.width / 2)


def test_the_key_is_mirrored_and_the_latch_stays_at_the_top() -> None:
    (sheet,) = draw(TRACTOR, ["X1"])
    wire_side, mating = (key_offset(sheet, f"face-X1-{side}") for side in ("wire", "mating"))
    assert mating < -1
    assert wire_side == pytest.approx(-mating)
    words = all_words([sheet])
    assert "X1 pins · key at the top right · latch at the top" in words
    assert "X1 pins · key at the top left · latch at the top" in words


def test_both_halves_of_a_pair_stand_on_one_sheet() -> None:
    for plug_id, other in (("X1", "X2"), ("X2", "X1")):
        sheets = draw(TRACTOR, [plug_id])
        assert [sheet.name for sheet in sheets] == [f"face-{plug_id}"]
        pictures = views(sheets)
        assert [(v.plug, v.side, v.mate) for v in pictures] == [
            (plug_id, "wire", False),
            (plug_id, "mating", False),
            (other, "mating", True),
        ]
        own, mate = pictures[0].cavities, pictures[2].cavities
        for name, (x, _, _) in own.items():
            assert mate[name.replace(plug_id, other)][0] == pytest.approx(x, abs=0.03)


def test_a_half_without_recorded_mate_says_so_and_how_the_loom_half_looks() -> None:
    words = all_words(draw(TRACTOR, ["X3"]))
    assert "mating half not recorded" in words
    assert "built into A1 Instrument panel" in words
    assert "The wire side of the loom half looks like the mating side drawn here." in words


def test_the_line_in_words() -> None:
    words = all_words(draw(TRACTOR, ["X1"]))
    assert (
        "8-way, sealed, pins · Engine loom (existing) · left frame rail · pushes into X2 "
        "Adapter side · housing round-edge 8"
    ) in words


def states(sheets) -> dict[str, str]:
    return {n: state for n, (_, _, state) in views(sheets)[0].cavities.items()}


def test_states_of_the_cavities() -> None:
    assert states(draw(TRACTOR, ["X1"])) == {
        "X1:1": "used",
        "X1:2": "used",
        "X1:3": "empty",
        "X1:4": "used",
        "X1:5": "used",
        "X1:6": "used",
        "X1:7": "blocked",
        "X1:8": "empty",
    }


def test_unused_cavities_look_different_in_black_and_white() -> None:
    face = rows("1 2 3 4")
    made = design(
        plug(
            "X1",
            face,
            pin("1", state="empty"),
            pin("2", state="blocked"),
            pin("3", state="reserved"),
        )
    )
    (sheet,) = draw(made, mono=True)
    picture = next(i for i in sheet.items if isinstance(i, Group) and i.id == "face-X1-wire")
    looks = []
    for cavity in picture.items:
        if isinstance(cavity, Group) and cavity.cls == "cavity":
            shapes = [i for i in cavity.items if isinstance(i, Circle | Path) and not i.cls]
            looks.append(tuple((type(shape).__name__, shape.pen.dash) for shape in shapes))
    assert len(set(looks)) == 4
    words = all_words([sheet])
    assert all(word in words for word in ("empty", "blocked", "reserved", "nothing recorded"))


def test_colour_codes_stand_below_every_wired_cavity() -> None:
    (sheet,) = draw(TRACTOR, ["X1"])
    picture = next(i for i in sheet.items if isinstance(i, Group) and i.id == "face-X1-mating")
    codes = {
        dict(cavity.data)["pin"]: [t.plain for t in texts(cavity.items) if t.cls == "code"]
        for cavity in picture.items
        if isinstance(cavity, Group) and cavity.cls == "cavity"
    }
    assert codes == {
        "X1:1": ["OG"],
        "X1:2": ["BU/WH"],
        "X1:3": ["empty"],
        "X1:4": ["BN", "BN/WH"],
        "X1:5": ["GY/PK"],
        "X1:6": ["TQ"],
        "X1:7": ["blocked"],
        "X1:8": ["?"],
    }


def test_pin_table_of_the_adapter_half() -> None:
    """Carries from the mate, colour and size from the wires, fuse, ends and contact."""
    table = table_rows(draw(TRACTOR, ["X2"]))
    new = "new wire"
    assert table == {
        "X2:1": [
            "1",
            "Glow relay coil",
            "W1",
            "OG",
            "1 mm²",
            "X3:A Panel plug",
            "—",
            "socket 2.8",
            new,
        ],
        "X2:2": [
            "2",
            "Coolant sender",
            "W5",
            "RD",
            "—",
            "F1:out Panel feed",
            "F1 10 A",
            "socket 2.8",
            new,
        ],
        "X2:3": ["3", "empty"],
        "X2:4": [
            *("4", "Engine earth", "W2", "W3", "BN", "BN/WH", "2.5 mm²", "1 mm²"),
            *("EP1 engine block stud", "X3:B Panel plug", "—", "socket 2.8", new),
        ],
        "X2:5": ["5", "X1 carries hour meter pulse"],
        "X2:6": ["6", "Second sender", "W4", "TQ", "—", "end insulated", "—", "socket 2.8", new],
        "X2:7": ["7", "blocked"],
        "X2:8": ["8", "nothing recorded"],
    }


def test_long_texts_are_wrapped_within_their_columns() -> None:
    words = "crankshaft position sensor signal, screened pair, through the bulkhead"
    loom = plug(
        "X1",
        rows("1 2"),
        pin("1", words, source=f"{words} {words}"),
        pin("2", "earth", "LT GN/DK BU/WH", "0.75"),
        contacts="sockets",
        contact="a contact with a long name of its own",
    )
    far = plug("X2", rows("1"), title=words, loom="L")
    made = design(
        loom,
        far,
        wire("W1", "X1:1", "X2:1", "LT GN/DK BU/WH", "10 mm2 / 8 AWG"),
        wire("W2", "F1:out", "X1:1", "LT GN/DK BU/RD", "10 mm2 / 8 AWG"),
        fuses={"F1": Fuse("F1", HERE, words, 7.5)},
    )
    (sheet,) = draw(made, ["X1"])
    assert covered_texts(sheet) == []
    assert outside(sheet) == []
    printed = " ".join(table_rows([sheet])["X1:1"])
    assert all(word in printed for word in words.split())
    assert "LT GN/DK BU/WH" in printed


def test_known_from() -> None:
    table = table_rows(draw(TRACTOR, ["X1"]))
    assert [table[f"X1:{n}"][-1] for n in (1, 2, 4, 5, 6)] == [
        "measured 2026-11-02",
        "engine manual p. 41, not measured",
        "unknown",
        "two sources disagree: measure",
        "unknown",
    ]
    assert table["X1:3"] == ["3", "empty, needs a cavity plug"]
    assert "Second sender, spare" in table["X1:6"]


def test_the_original_marking_stands_beside_the_code() -> None:
    colour = parse_colour("L/W", "japanese")
    made = design(plug("X1", rows("1"), replace(pin("1", "sender"), colours=(colour,))))
    assert "BU/WH (L/W)" in table_rows(draw(made))["X1:1"]


def test_findings_are_marked_and_listed() -> None:
    found = (
        finding("CAV310", "X1:2 is crowded", "X1:2"),
        finding("DOC1", "many", *[f"X1:{n}" for n in (1, 3, 4, 5)]),
    )
    (sheet,) = draw(TRACTOR, ["X1"], *found, finding("NET1", "elsewhere", "X3:A"))
    marks = [
        (g.get("data-number"), g.get("data-code"))
        for g in parsed(sheet).iter(f"{SVG}g")
        if g.get("class") == "finding"
    ]
    words = all_words([sheet])
    assert marks.count(("1", "CAV310")) >= 2
    assert "X1:2 is crowded" in words
    assert "elsewhere" not in words
    assert covered_texts(sheet) == []


def test_places_that_are_not_certain_are_said() -> None:
    memory = all_words(draw(design(plug("X1", standard="iso-11446"))))
    nowhere = all_words(draw(design(plug("X1", None, pin("1", "feed")))))
    stated = all_words(draw(one_plug(FACES["rows"]), ["X1"]))
    assert "Places from memory" in memory
    assert "Arrangement not recorded" in nowhere
    assert "drawn to proportion, not to scale" in stated
    assert "memory" not in stated
    assert "not recorded: plain" not in stated


def test_cavities_without_a_place_are_drawn_aside_on_both_sides() -> None:
    made = design(plug("X1", rows("1 2"), pin("1", "feed"), pin("9", "lost", "RD")))
    sheets = draw(made)
    assert all("X1:9" in view.cavities for view in views(sheets))
    assert "Not on the face: 9." in all_words(sheets)
    twice = design(plug("X1", Face(HERE, places={"1": (0, 0), "2": (0, 0), "3": (9, 0)})))
    sheets = draw(twice)
    assert all(set(view.cavities) == {"X1:1", "X1:2", "X1:3"} for view in views(sheets))
    assert "Given the place of another cavity: 2." in all_words(sheets)


def test_places_too_close_to_draw_become_plain_rows_that_say_so() -> None:
    near = {"1": (0, 0), "2": (0.001, 0), "3": (900, 700)}
    sheets = draw(design(plug("X1", Face(HERE, places=near))))
    assert "Places too close together to be drawn" in all_words(sheets)
    assert all(len(view.cavities) == 3 for view in views(sheets))
    assert all(covered_texts(sheet) == [] for sheet in sheets)


def test_no_pins_at_all() -> None:
    (sheet,) = draw(design(plug("X1", title="Empty plug")))
    assert [view.cavities for view in views([sheet])] == [{}, {}]
    assert "no cavities recorded" in all_words([sheet])


def test_a_single_cavity() -> None:
    (sheet,) = draw(design(plug("X1", rows("1"), pin("1", "oil pressure switch", "GN"))))
    assert [len(view.cavities) for view in views([sheet])] == [1, 1]
    assert outside(sheet) == []


def test_five_hundred_cavities_can_be_read() -> None:
    lines = [" ".join(str(n + 25 * r) for n in range(1, 26)) for r in range(20)]
    names = " ".join(lines).split()
    colours = ("RD", "BU/WH", "LT GN/DK BU", "GNYE")
    pins = [pin(n, f"signal {n}", colours[int(n) % 4], "0.5") for n in names]
    sheets = draw(design(plug("X1", rows(*lines), *pins)))
    sides = {view.side: view.cavities for view in views(sheets)}
    assert {len(cavities) for cavities in sides.values()} == {500}
    assert set(sides) == {"wire", "mating"}
    assert list(table_rows(sheets)) == [f"X1:{n}" for n in range(1, 501)]
    for sheet in sheets:
        assert covered_texts(sheet) == []
        assert outside(sheet) == []
        assert min(text.size for text in texts(sheet.items)) >= 1.8
        assert touching(sheet) == []


HOSTILE = "<script>alert('&amp;')</script> & \"quoted\" 😀 \u202e \x07 ]]> --> "


def rows_on(sheets) -> list[int]:
    """Return how many rows of the pin table stand on each sheet."""
    return [sum(isinstance(i, Group) and i.cls == "pin-row" for i in walk(s.items)) for s in sheets]


def test_a_plug_with_24_ways_and_findings_stands_on_one_sheet(tmp_path) -> None:
    path = tmp_path / "v.yaml"
    path.write_text(vehicle(90, 8), encoding="utf-8")
    sheets = [s for s in Document(path).plan().sheets() if s.name.startswith("face-")]
    plugs = [name.removeprefix("face-") for name in (s.name for s in sheets)]
    assert plugs == list(Document(path).design.plugs)
    assert all(
        small.size >= 1.8 for s in sheets for small in walk(s.items) if isinstance(small, Text)
    )


@pytest.mark.parametrize("ways", [48, 60, 90, 121, 160])
def test_the_rows_of_a_long_table_are_shared_out(ways: int) -> None:
    names = [str(n) for n in range(1, ways + 1)]
    face = rows(*(" ".join(names[begin : begin + 20]) for begin in range(0, ways, 20)))
    found = rows_on(draw(one_plug(face), ["X1"]))
    assert sum(found) == ways
    assert min(found) > 0  # pictures never stand alone
    assert found[-1] >= max(found) / 3


def test_hostile_names_stay_text() -> None:
    face = Face(HERE, rows=(("<i>", "&", "😀"), ("x" * 200, '"', "a b")))
    made = design(
        plug(
            "X1",
            face,
            pin("<i>", HOSTILE * 5, "BU/WH", source=HOSTILE * 9),
            pin("&", "x" * 400, "RD"),
            pin("x" * 200, HOSTILE, "BN"),
            title=HOSTILE * 8,
            loom=HOSTILE,
            where=HOSTILE * 20,
            housing=HOSTILE,
        )
    )
    for sheet in draw(made, None, finding("CAV1", HOSTILE * 9, "X1:<i>")):
        root = parsed(sheet)
        assert {e.tag.removeprefix(SVG) for e in root.iter()} <= {
            *("svg", "title", "rect", "path", "circle", "g", "text", "tspan")
        }
        assert "<script" not in to_svg(sheet)
        assert outside(sheet) == []
        assert covered_texts(sheet) == []
    assert "X1:<i>" in views(draw(made))[0].cavities


def test_pages_are_numbered_by_whoever_binds_them() -> None:
    pages = face_pages(TRACTOR, connect(TRACTOR), Report())
    assert [page.plug for page in pages] == ["X1", "X2", "X3"]
    sheet = pages[1].sheet(7, 12)
    assert "7 of 12" in all_words([sheet])
    assert (sheet.width, sheet.height) == (297, 210)


def test_mono_pages_have_no_colour() -> None:
    for sheet in draw(TRACTOR, mono=True):
        paints = {
            value
            for element in parsed(sheet).iter()
            for key in ("fill", "stroke")
            if (value := element.get(key, "none")).startswith("#")
        }
        hues = [p for p in paints if len({p[1:3], p[3:5], p[5:7]}) > 1]
        spread = [max(c) - min(c) for c in (bytes.fromhex(p[1:]) for p in hues)]
        assert all(width <= 24 for width in spread), sorted(hues)


def test_same_bytes_for_any_order_of_the_file() -> None:
    turned = replace(
        TRACTOR,
        plugs=dict(reversed(TRACTOR.plugs.items())),
        wires=dict(TRACTOR.wires),
    )
    assert [to_svg(s) for s in draw(turned)] == [to_svg(s) for s in draw(TRACTOR)]


NAMES = st.lists(st.text("ABC12", min_size=1, max_size=3), min_size=1, max_size=14, unique=True)
SPOTS = st.tuples(st.integers(-25, 25), st.integers(-12, 12))
COLOURS = st.sampled_from(["RD", "BU/WH", "LT GN/DK BU/WH", "GNYE", "BN+BK/WH", ""])


@st.composite
def plugs(draw_: st.DrawFn):
    """A plug of any kind with pins in any state."""
    names = draw_(NAMES)
    side = draw_(st.sampled_from(["mating side", "wire side"]))
    key = draw_(st.sampled_from(["", "top", "left", "bottom right", "at 10 o'clock"]))
    kind = draw_(st.sampled_from(["rows", "rings", "positions", "none"]))
    width = draw_(st.integers(1, 6))
    face = None
    if kind == "rows":
        lines = tuple(tuple(names[i : i + width]) for i in range(0, len(names), width))
        stagger = draw_(st.sampled_from([0.0, 0.5, 1.25]))
        face = Face(HERE, rows=lines, stagger=stagger, seen_from=side, key=key)
    elif kind == "rings":
        ring = (Ring(tuple(names), draw_(st.sampled_from([None, 12.0]))), Ring(("Z",), 0.0))
        face = Face(HERE, rings=ring, seen_from=side, latch=key)
    elif kind == "positions":
        face = Face(HERE, places={n: draw_(SPOTS) for n in names}, seen_from=side, key=key)
    pins = []
    for name in names:
        state = draw_(st.sampled_from(["used", "used", "empty", "blocked", "reserved"]))
        colour = draw_(COLOURS) if state == "used" else ""
        pins.append(pin(name, "signal", colour, state=state))
    return plug("X1", face, *pins, loom="L")


def doubled_places(made) -> list[str]:
    """The cavities that were given the place of another one."""
    places = made.face.places if made.face else {}
    return [f"X1:{n}" for n in places if list(places.values()).count(places[n]) > 1]


@settings(max_examples=60, deadline=None)
@given(plugs())
def test_any_face_is_drawn_on_both_sides_without_covering_anything(made) -> None:
    sheets = draw(design(made))
    pictures = {view.side: view.cavities for view in views(sheets)}
    expected = {f"X1:{name}" for name in made.pins}
    expected |= {"X1:Z"} if made.face and made.face.rings else set()
    for side in ("wire", "mating"):
        assert set(pictures[side]) == expected
    for name, (x, _, _) in pictures["wire"].items():
        assert x == pytest.approx(-pictures["mating"][name][0], abs=0.021)
    assert set(table_rows(sheets)) == expected
    for sheet in sheets:
        assert covered_texts(sheet) == []
        assert outside(sheet) == []
        assert touching(sheet) == []
        assert codes_on_openings(sheet) == []
        assert beyond_outline(sheet, doubled_places(made)) == []


def test_safety_class_note_and_variant_are_printed() -> None:
    made = design(
        plug(
            "X1",
            rows("1 2"),
            pin("1", "squib", only=("late", "automatic"), note="twisted with 2"),
            safety="restraint",
            note="yellow shell",
        ),
        plug("X2", rows("1"), safety="brake"),
    )
    sheets = draw(made)
    words = all_words(sheets)
    assert "Restraint (airbag) wiring: it is never probed or cut here." in words
    assert "Brake circuit: local vehicle rules apply." in words
    assert "yellow shell" in words
    assert "Squib, only late, automatic, twisted with 2" in table_rows(sheets)["X1:1"]


def test_built_in_half_shows_the_wires_of_the_loom_half() -> None:
    unit = plug("X1", rows("1 2"), pin("1", "supply"), pin("2", "earth"), of="A1", mates="X2")
    loom = plug("X2", None, pin("1", "supply", "RD", "1.5"), loom="cab")
    table = table_rows(draw(design(unit, loom, wire("W1", "X1:2", "EP1", "BN", "2.5")), ["X1"]))
    assert {"RD", "1.5 mm²"} <= set(table["X1:1"])
    assert {"BN", "W1", "2.5 mm²"} <= set(table["X1:2"])


def test_a_pin_without_a_wire_names_each_place_of_the_other_half_once() -> None:
    made = design(
        plug("X1", rows("1"), pin("1", "earth"), mates="X2"),
        plug("X2", rows("1")),
        *(wire(name, "X2:1", "EP1") for name in ("W1", "W2", "W3")),
    )
    here, there = DrawnAt(0, "C2"), DrawnAt(1, "B4")
    drawn = {("X2:1", "W1"): here, ("X2:1", "W2"): there, ("X2:1", "W3"): here}
    facts = [plug_facts(made, connect(made), half, ["1"], drawn)["1"] for half in ("X1", "X2")]
    assert [f.drawn for f in facts] == [(here, there), (here, there, here)]


def test_the_ring_of_a_finding_covers_no_cavity_name() -> None:
    names = [f"A{n}" for n in range(1, 9)] + [f"B{n}" for n in range(1, 8)]
    made = design(plug("X1", rows(*names), *(pin(name) for name in names)))
    findings = [finding(f"CAV{100 + n}", "", "X1") for n in range(9)]
    findings.append(finding("CAV200", "", "X1:A1"))
    for sheet in draw(made, None, *findings):
        rings = [
            item.items[0]
            for item in walk(sheet.items)
            if isinstance(item, Group) and item.cls == "finding"
        ]
        for text in (t for t in texts(sheet.items) if t.cls == "number"):
            left, top, right, _ = text_box(text)
            bottom = text.y  # figures and capitals stand on their line
            for ring in rings:
                x, y = ring.centre
                across = max(left - x, x - right, 0.0)
                down = max(top - y, y - bottom, 0.0)
                assert math.hypot(across, down) >= ring.radius - 0.1, text.plain
