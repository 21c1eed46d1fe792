"""A wire's group: names, strands and label."""

import pytest

from wiregen.sheet import style
from wiregen.sheet.grey import without_hue
from wiregen.sheet.items import Path, Text, walk
from wiregen.sheet.wire import LabelSpot, wire_group, wire_width_mm

RUN = ((0.0, 0.0), (10.0, 0.0), (10.0, 5.0))


def strands(colour: str, fate: style.Fate = "new", mono: bool = False) -> list[Path]:
    group = wire_group(
        "W1",
        start="X1:1",
        end="X2:7",
        colour=colour,
        size="0.75",
        runs=(RUN,),
        fate=fate,
        mono=mono,
    )
    return [item for item in group.items if isinstance(item, Path)]


def test_group_names_the_wire_as_readers_of_the_svg_expect() -> None:
    group = wire_group("W12", start="X1:3", end="X2:7", colour="BU/WH", size="0.75", runs=(RUN,))
    assert (group.cls, group.id) == ("wire", "wire-W12")
    assert group.data == (
        ("wire", "W12"),
        ("from", "X1:3"),
        ("to", "X2:7"),
        ("colour", "BU/WH"),
        ("size", "0.75"),
    )
    assert group.title == "W12 0.75 BU/WH, X1:3 to X2:7"


def test_casing_run_and_tracer_lie_on_the_same_points() -> None:
    paths = strands("BU/WH")
    assert [path.cls for path in paths] == ["casing", "run", "tracer"]
    assert {path.points for path in paths} == {RUN}
    assert [path.pen.width for path in paths] == pytest.approx([1.36, 1.0, 0.42])
    assert [path.pen.stroke for path in paths] == ["#14181d", "#1f5fbf", "#ffffff"]
    assert paths[2].pen.dash == (3.0, 2.0)


def test_existing_is_thinner_and_removed_is_dashed() -> None:
    assert [path.pen.width for path in strands("OG", "existing")] == pytest.approx([0.96, 0.6])
    (removed,) = strands("OG", "removed")
    assert removed.cls == "run"
    assert removed.pen.dash
    assert wire_width_mm("new") > wire_width_mm("existing") > wire_width_mm("removed")


def test_two_tracers_take_turns() -> None:
    """Along one period no millimetre is covered by both tracers, and each shows."""
    first, second = [p.pen.dash for p in strands("BU/RD/WH") if p.cls == "tracer"]
    period = sum(first)
    assert sum(second) == pytest.approx(period)

    def inked(dash: tuple[float, ...], at: float) -> bool:
        for number, length in enumerate(dash):
            if at < length:
                return number % 2 == 0
            at -= length
        return False

    steps = [period * (k + 0.5) / 200 for k in range(200)]
    both = [(inked(first, s), inked(second, s)) for s in steps]
    assert (True, True) not in both
    assert (True, False) in both
    assert (False, True) in both


def test_white_and_black_wires_stand_out_by_their_casing() -> None:
    for colour in ("WH", "YE", "BK"):
        casing, run = strands(colour)
        assert casing.pen.width > run.pen.width
        assert casing.pen.stroke == style.INK


@pytest.mark.parametrize("mono", [False, True])
@pytest.mark.parametrize("fate", ["new", "existing"])
def test_a_white_wire_is_seen_on_a_screen(fate: style.Fate, mono: bool) -> None:
    # A viewer that rounds strokes to whole points of a 100 dpi screen may lose one of them; from
    # arithmetic, 25.4 mm / 100, for a drawing printed a fifth smaller.
    casing, run = strands("WH", fate, mono)[:2]
    outline_points = (casing.pen.width - run.pen.width) * 0.82 / 0.254
    assert outline_points > 1.5


def test_a_wire_without_a_colour_says_so_and_is_not_drawn_as_a_white_one() -> None:
    group = wire_group(
        "W9", start="X1:1", end="J1", colour="", size="", runs=(RUN,), labels=(LabelSpot(1, 1),)
    )
    (label,) = [item for item in group.items if isinstance(item, Text)]
    assert label.plain == "W9 size? no colour"
    assert ("colour", "") in group.data
    assert strands("")[0].pen.dash
    assert not strands("WH")[0].pen.dash


def test_label_has_the_number_bold_and_the_rest_grey() -> None:
    group = wire_group(
        "W12",
        start="a",
        end="b",
        colour="BU/WH",
        size="0.75",
        runs=(RUN,),
        labels=(LabelSpot(3, 4, "end", True),),
    )
    label = group.items[-1]
    assert isinstance(label, Text)
    assert label.parts == (("W12", True, style.INK), (" 0.75 BU/WH", False, style.SECONDARY))
    assert (label.cls, label.x, label.y, label.anchor, label.upright) == (
        "wire-label",
        3,
        4,
        "end",
        True,
    )


def test_mono_has_no_hue_and_tells_the_colours_apart() -> None:
    codes = ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ"]
    seen = {}
    for code in codes:
        paths = strands(code, mono=True)
        assert {path.pen.stroke for path in paths} <= {style.INK, style.PAPER}
        seen[code] = tuple((path.pen.stroke, path.pen.dash) for path in paths)
    assert len(set(seen.values())) == len(codes)
    assert all("run" in {path.cls for path in strands(code, mono=True)} for code in codes)


def test_without_hue_leaves_only_greys() -> None:
    group = without_hue(
        wire_group(
            "W1",
            start="a",
            end="b",
            colour="GN/YE",
            size="1",
            runs=(RUN,),
            labels=(LabelSpot(0, 0),),
        )
    )
    paints = {i.pen.stroke for i in walk((group,)) if isinstance(i, Path)}
    assert all(p == style.INK or p[1:3] == p[3:5] == p[5:7] for p in paints)
