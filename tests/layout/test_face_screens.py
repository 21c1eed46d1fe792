"""The pin of a screen on its face sheet.

Common practice, no source: who fills a plug has to see that a cavity gets the screen of a cable,
and of which wires, as the colour of a wire is seen.
"""

from __future__ import annotations

from tests.layout.face_kit import (
    HERE,
    SPAN,
    SVG,
    design,
    draw,
    parsed,
    pin,
    plug,
    rows,
    table_rows,
    wire,
)
from wiregen.connect import connect
from wiregen.draw.svg import to_svg
from wiregen.layout.cavity_facts import DrawnAt, plug_facts
from wiregen.model import Contact, Design, Device, End, Group, Loom


def screened(*pins, screen: str = "X2:3", **groups: Group) -> Design:
    end = End(screen, screen.partition(":")[0], screen.partition(":")[2], SPAN)
    return design(
        plug("X1", rows("1 2 3"), title="Sensor plug", loom="new"),
        plug("X2", rows("1 2 3 4"), title="Unit plug", mates="X3", loom="new", contact="round"),
        plug("X3", rows("1 2 3 4"), *pins, of="A1", mates="X2", contacts="pins"),
        wire("W1", "X1:1", "X2:1", "GY", "0.75", loom="new"),
        wire("W2", "X1:2", "X2:2", "PK", "0.75", loom="new"),
        wire("W3", "X2:4", "X1:3", "BN", "0.75", loom="new"),
        looms={"new": Loom("new", HERE, status="new")},
        contacts={"round": Contact("round", HERE)},
        devices={"A1": Device("A1", HERE, kind="unit")},
        groups={"SC1": Group("SC1", HERE, screened=("W1", "W2"), screen=end), **groups},
    )


def cavity(made: Design, plug_id: str, node: str) -> tuple[str, list[str]]:
    """Return state and texts of one cavity, its name first."""
    root = parsed(draw(made, [plug_id])[0])
    group = next(
        g for g in root.iter(f"{SVG}g") if g.get("data-pin") == node and g.get("class") == "cavity"
    )
    words = ["".join(text.itertext()) for text in group.iter(f"{SVG}text")]
    return group.get("data-state", ""), words


def test_the_pin_of_a_screen_is_used_on_both_halves():
    made = screened()
    assert cavity(made, "X2", "X2:3") == ("used", ["3", "screen"])
    assert cavity(made, "X2", "X3:3") == ("used", ["3", "screen"])


def test_its_row_says_which_screen_of_which_wires():
    made = screened()
    row = table_rows(draw(made, ["X2"]))["X2:3"]
    assert row == [
        *("3", "Screen of SC1", "SC1", "screen", "—", "screen of W1 and W2", "round", "new screen")
    ]
    unit = table_rows(draw(made, ["X3"]))["X3:3"]
    assert unit[:4] == ["3", "Screen of SC1", "SC1", "screen"]
    assert "screen of W1 and W2" in unit


def test_its_sheet_is_where_its_wire_reaches_the_same_plug():
    made = screened()
    drawn = {("X1:1", "W1"): DrawnAt(0, "C2"), ("X2:1", "W1"): DrawnAt(0, "C3")}
    facts = plug_facts(made, connect(made), "X2", ["3"], drawn)["3"]
    assert facts.drawn == (DrawnAt(0, "C3"),)


def test_it_stands_beside_what_the_pin_says():
    said = table_rows(draw(screened(pin("3", "cable screen", role="screen")), ["X3"]))["X3:3"]
    assert said[1] == "Cable screen (SC1)"
    earth = table_rows(draw(screened(pin("3", "clean earth")), ["X3"]))["X3:3"]
    assert earth[1] == "Clean earth, screen of SC1"


def test_a_screen_beside_a_wire_has_a_line_of_its_own():
    made = screened(screen="X2:4")
    row = table_rows(draw(made, ["X2"]))["X2:4"]
    assert row[2:4] == ["W3", "SC1"]
    assert {"BN", "screen", "X1:3 Sensor plug", "screen of W1 and W2"} <= set(row)
    assert cavity(made, "X2", "X2:4") == ("used", ["4", "BN", "screen"])


def test_a_drain_with_a_coloured_sleeve_shows_its_colour():
    made = screened(pin("3", "screen", "BK"))
    assert cavity(made, "X3", "X3:3") == ("used", ["3", "BK"])


def test_bare_metal_is_not_drawn_as_a_white_wire():
    """Both are white inside; only the screen has a dashed ring, in both pictures of the plug."""

    def dashes(made: Design) -> int:
        return to_svg(draw(made, ["X3"])[0]).count("stroke-dasharray")

    assert dashes(screened(pin("3", "screen"))) == dashes(screened(pin("3", "screen", "WH"))) + 2
