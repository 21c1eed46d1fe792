"""Two plugs side by side, in invented scenarios after published cases."""

import pytest

from tests.intake.sides import plug, side
from wiregen.intake.compare import compare, comparison_lines
from wiregen.intake.half import read_half


def rows(start, end):
    return {row.cavity: row for row in compare(start, end).cavities}


def test_functions_that_moved_by_one(tmp_path):
    """A pinout shifted by one between two series; colours do not tell.

    Source: w126-wiki.de, Pinbelegung Kombiinstrument (coolant 2 to 1, fuel 3 to 2).
    """
    first = {
        "1": "empty",
        "2": "{carries: Geber Kühlmitteltemperatur, colour: GN}",
        "3": "{carries: Tankgeber, colour: BU/BK}",
        "4": "{carries: Masse, colour: BN}",
    }
    second = {
        "1": "{carries: Geber Kühlmitteltemperatur, colour: GN}",
        "2": "{carries: Tankgeber, colour: BU/BK}",
        "3": "{carries: Öldruckgeber, colour: GN}",
        "4": "{carries: Masse, colour: BN}",
    }
    found = rows(side(tmp_path, "a.yaml", plug(first)), side(tmp_path, "b.yaml", plug(second)))
    assert [(row.status, row.goes_to) for row in found.values()] == [
        ("unused", ()),
        ("moved", ("1",)),
        ("moved", ("2",)),
        ("same", ()),
    ]


STANAG = {
    "A": "blackout", "B": "left indicator", "C": "blackout marker", "D": "earth", "E": "tail",
    "F": "blackout stop", "H": "rear fog", "J": "right indicator", "K": "permanent supply",
    "L": "earth", "M": "stop lamp", "N": "reversing lamp",
}  # fmt: skip
BRITISH = {
    "A": "convoy", "B": "stop lamp", "C": "convoy", "D": "earth", "E": "tail",
    "F": "blackout stop", "H": "convoy", "J": "stop lamp", "K": "permanent supply",
    "L": "earth", "M": "left indicator", "N": "right indicator",
}  # fmt: skip


def test_one_plug_two_allocations(tmp_path):
    """Twelve-pin military trailer plug, letters without G and I.

    Source: wikipedia.org, Trailer connectors in military organizations; landyzone.co.uk thread
    48448 for the older wiring.
    """
    start = side(tmp_path, "a.yaml", plug(BRITISH))
    end = side(tmp_path, "b.yaml", plug(STANAG))
    found = rows(start, end)
    assert list(found) == list("ABCDEFHJKLMN")
    assert [name for name, row in found.items() if row.status == "same"] == list("DEFKL")
    effects = {name: row.effect for name, row in found.items() if row.effect}
    assert set(effects) == set("ABCHJMN")
    assert effects["B"].endswith("'left indicator' would be worked by 'stop lamp'")
    assert effects["M"].endswith("'stop lamp' would be worked by 'left indicator'")
    assert effects["N"].endswith("'reversing lamp' would be worked by 'right indicator'")


def test_tail_lamp_that_works_the_brakes(tmp_path):
    """Source: wikimili.com, Trailer connectors in Australia: pin 5 works the trailer's brakes."""
    fused = plug({"5": "right tail lamp"}) + (
        "devices: {G1: {kind: battery}}\nfuses: {F7: {rating: 5}}\n"
        "wires: {W1: {from: G1:plus, to: F7:in}, W2: {from: F7:out, to: X1:5}}\n"
    )
    start = side(tmp_path, "a.yaml", fused)
    end = side(tmp_path, "b.yaml", plug({"5": "brake magnet"}))
    (row,) = rows(start, end).values()
    assert (row.status, row.danger) == ("other function", "wrong")
    assert row.effect == (
        "X1:5 'right tail lamp' would meet X1:5 'brake magnet': "
        "'brake magnet' would be worked by 'right tail lamp' (fuse F7)"
    )


def test_permanent_and_switched_feed_exchanged(tmp_path):
    """Source: rc-individual.de, ISO radio plug; arbolt.hu prints cavities twice."""
    car = {
        "1": "speed signal", "3": "K line", "4": "Zündplus", "5": "Dauerplus",
        "6": "illumination", "7": "Dauerplus", "8": "Masse",
    }  # fmt: skip
    radio = {
        "3": "empty", "4": "permanent supply", "5": "empty", "6": "illumination",
        "7": "ignition supply", "8": "earth",
    }  # fmt: skip
    start = side(tmp_path, "a.yaml", plug(car))
    found = rows(start, side(tmp_path, "b.yaml", plug(radio)))
    assert found["4"].effect.endswith("dead with the key off, what it keeps is lost")
    assert found["7"].effect.endswith("live with the key off, it draws the battery")
    assert found["4"].goes_to == ("7",)
    assert found["7"].goes_to == ("4",)
    assert found["3"].status == "no mate"
    assert not found["3"].effect
    assert found["1"].status == "missing"
    assert {found["6"].status, found["8"].status} == {"same"}


def test_list_index_taken_for_the_pin(tmp_path):
    """A list numbered 1 to 9 whose pins stand in the text; sae j1962 at uobdii.com."""
    listed = {
        "1": "signal earth", "2": "chassis earth", "3": "CAN high", "8": "CAN low",
        "9": "permanent supply",
    }  # fmt: skip
    start = read_half("iso-15031-3")
    found = rows(start, side(tmp_path, "b.yaml", plug(listed)))
    assert found["16"].status == "moved"
    assert found["16"].goes_to == ("9",)
    assert found["6"].goes_to == ("3",)
    assert "same" not in {row.status for row in found.values()}


def test_two_earths_stay_two(tmp_path):
    """Source: SAE J1962 at uobdii.com: 4 chassis earth, 5 signal earth."""
    start = read_half("iso-15031-3")
    end = side(tmp_path, "b.yaml", plug({"4": "signal ground", "5": "chassis ground"}))
    found = rows(start, end)
    assert found["4"].goes_to == ("5",)
    assert "kept apart" in found["4"].effect


JOINT = """devices:
  A1: {kind: unit, inside: {
    bar1: {join: [X1:1, X1:2, X1:3]}, bar2: {join: [X1:4, X1:5, X1:6]}}}
"""


def test_any_position_in_a_joint_connector(tmp_path):
    """Source: charm.li, reading connector views: any place within a group is right."""
    first = {str(n): f"door lamp {n}" for n in range(1, 7)}
    second = {
        **first,
        "1": "door lamp 2",
        "2": "door lamp 1",
        "3": "door lamp 4",
        "4": "door lamp 3",
    }
    start = side(tmp_path, "a.yaml", plug(first, "of: A1, ") + JOINT)
    end = side(tmp_path, "b.yaml", plug(second, "of: A1, ") + JOINT)
    found = rows(start, end)
    assert [row.status for row in found.values()] == [
        "position only",
        "position only",
        "moved",
        "moved",
        "same",
        "same",
    ]
    assert not found["1"].effect
    assert found["3"].effect


@pytest.mark.parametrize(
    ("start", "end", "danger", "said"),
    [
        ("permanent supply", "earth", "short", "short"),
        ("earth", "ignition supply", "short", "short"),
        ("horn", "earth", "short", "short as soon as 'horn' is live"),
        ("permanent supply", "{carries: pulses, role: output}", "short", "may be destroyed"),
        ("permanent supply", "horn", "wrong", "'horn' would be on all the time"),
        ("horn", "fuel pump", "wrong", "'fuel pump' would be worked by 'horn'"),
        ("horn", "empty", "", ""),
        ("horn", "Hupe", "", ""),
    ],
)
def test_what_meets_what(tmp_path, start, end, danger, said):
    (row,) = rows(
        side(tmp_path, "a.yaml", plug({"1": start})), side(tmp_path, "b.yaml", plug({"1": end}))
    ).values()
    assert row.danger == danger
    assert row.effect.endswith(said)


def test_shorts_are_said_first(tmp_path):
    start = side(tmp_path, "a.yaml", plug({"1": "horn", "2": "permanent supply"}))
    end = side(tmp_path, "b.yaml", plug({"1": "clock", "2": "earth"}))
    lines = comparison_lines(compare(start, end), "a", "b")
    assert lines[-3] == "pushed together, 2 of 2 cavities go wrong:"
    assert lines[-2].endswith("X1:2 'earth': short")


def test_words_of_the_mate_count(tmp_path):
    text = plug({"1": "horn"}, "mates: X2, ").rstrip("\n") + "\n  X2: {mates: X1}\n"
    start = side(tmp_path, "a.yaml", text, plug="X2")
    assert [contact.words for contact in start.contacts.values()] == ["horn"]


def test_a_warning_lamp_and_its_switch_are_one_wire(tmp_path):
    """The switch lights the lamp, a sender does not. Common practice, no source."""
    first = {"1": "oil pressure lamp", "2": "brake fluid lamp", "3": "oil pressure lamp"}
    second = {"1": "Öldruckschalter", "2": "brake fluid switch", "3": "Öldruckgeber"}
    found = rows(side(tmp_path, "a.yaml", plug(first)), side(tmp_path, "b.yaml", plug(second)))
    assert [found[name].status for name in ("1", "2")] == ["same", "same"]
    assert found["3"].status != "same"
    assert [name for name, row in found.items() if row.effect] == ["3"]


def test_plugs_without_a_cavity_name_in_common_are_not_said_to_fit(tmp_path):
    one = side(tmp_path, "a.yaml", plug({"1": "{carries: earth}", "2": "{carries: horn}"}))
    other = side(tmp_path, "b.yaml", plug({"A": "{carries: earth}", "B": "{carries: horn}"}))
    last = comparison_lines(compare(one, other), "a", "b")[-1]
    assert last.startswith("no cavity has the same name on both sides")
    same = comparison_lines(compare(one, one), "a", "a")[-1]
    assert same.startswith("pushed together, nothing meets what it should not")
