"""A drafted adapter is an ordinary design: it is read, it passes the rules, it draws."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.intake.sides import plug, side
from tests.intake.test_match import FEED_PINS, FEEDS, LANGUAGES, SYNONYMS, TRAILER, WORDS
from wiregen.check import check
from wiregen.intake.adapter import draft_adapter
from wiregen.intake.adapter_text import adapter_lines, adapter_text
from wiregen.intake.half import read_half, told_apart
from wiregen.intake.match import match
from wiregen.read import load


def drafted(folder, start, end):
    """Return the adapter, its file as read, and the errors found in it."""
    start, end = told_apart(start, end)
    adapter = draft_adapter(start, end, match(start, end))
    path = folder / "adapter.yaml"
    path.write_text(adapter_text(adapter, start.label, end.label), encoding="utf-8")
    loaded = load(path)
    errors = [one for one in check(loaded).findings if one.severity == "error"]
    return adapter, loaded.design, errors


def ways(design):
    """Return (cavity of the first side, cavity of the second) for every way of the loom."""
    onward = {}
    for wire in design.wires.values():
        onward.setdefault(wire.start.text.replace(":in", ":out"), []).append(wire.end.text)
    found = []
    for first in (name for name in onward if name.startswith("X1A:")):
        ends = [first]
        while ends:
            end = ends.pop()
            if end in onward:
                ends += [one.replace(":in", ":out") for one in onward[end]]
            else:
                found.append((first.partition(":")[2], end.partition(":")[2]))
    return sorted(found)


@pytest.mark.parametrize("pair", [TRAILER, SYNONYMS, LANGUAGES], ids=lambda pair: pair.name)
def test_the_loom_joins_what_belongs_together(tmp_path, pair):
    start = side(tmp_path, "a.yaml", plug(pair.start))
    end = side(tmp_path, "b.yaml", plug(pair.end))
    adapter, design, errors = drafted(tmp_path, start, end)
    assert errors == []
    assert ways(design) == sorted((old, new) for new, old in pair.right.items())
    assert adapter.decisions


def test_trailer_returns_stay_apart(tmp_path):
    """Returns 3, 11 and 13 may not be joined in the trailer: erich-jaeger.com, ISO 11446."""
    adapter, design, errors = drafted(tmp_path, read_half("iso-11446"), read_half("iso-1724"))
    assert errors == []
    assert ways(design) == [(str(n), str(n)) for n in range(1, 8)]
    assert design.plugs["X1A"].apart == (("3", "11", "13"), ("5", "7"))
    pins = design.plugs["X1A"].pins
    assert {name: pin.state for name, pin in pins.items()} == {
        "8": "empty", "9": "empty", "10": "empty", "11": "empty", "12": "reserved", "13": "empty",
    }  # fmt: skip
    assert any("X1:11 'return of 10'" in text for text in adapter.decisions)
    sizes = {wire.id: wire.size.area_mm2 for wire in design.wires.values()}
    assert sizes == {"W1": 1.5, "W2": 1.5, "W3": 2.5, "W4": 1.5, "W5": 1.5, "W6": 1.5, "W7": 1.5}


def test_unfused_feed_gets_a_fuse_and_a_fused_one_none(tmp_path):
    start = side(tmp_path, "a.yaml", plug(FEED_PINS) + FEEDS)
    needs = "{run: live, crank: live, key off: dead}"
    unit = {
        "A": f"{{carries: control unit, role: supply, needs: {needs}}}",
        "B": "{carries: clock, role: supply, needs: {key off: live}}",
    }
    adapter, design, errors = drafted(tmp_path, start, side(tmp_path, "b.yaml", plug(unit)))
    assert ways(design) == [("1", "A"), ("3", "B")]
    assert list(design.fuses) == ["F1"]
    assert design.wires["W2"].start.text == "X1A:3"
    assert design.wires["W2"].end.text == "F1:in"
    assert any("X1:3 'feed three' has no fuse" in text for text in adapter.decisions)
    assert errors == []


def test_one_feed_for_several_goes_over_a_splice(tmp_path):
    start = side(tmp_path, "a.yaml", plug({"1": "{carries: Dauerplus, role: supply, size: 2.5}"}))
    unit = dict.fromkeys("AB", "{carries: permanent supply, role: supply, size: 1}")
    _, design, errors = drafted(tmp_path, start, side(tmp_path, "b.yaml", plug(unit)))
    assert ways(design) == [("1", "A"), ("1", "B")]
    assert list(design.splices) == ["J1"]
    assert errors == []


def test_missing_feed_names_the_spare_wire_that_is_there(tmp_path):
    first = {"1": "horn", "2": "{use: spare, colour: GY}", "3": "earth"}
    second = {"A": "horn", "B": "{carries: tachometer, without: engine speed}"}
    start = side(tmp_path, "a.yaml", plug(first))
    adapter, _, _ = drafted(tmp_path, start, side(tmp_path, "b.yaml", plug(second)))
    (said,) = [text for text in adapter.decisions if "tachometer" in text]
    assert "lost: engine speed" in said
    assert any("trace the spare ones that are there: X1:2." in one for one in adapter.decisions)
    assert any("Nothing takes up X1:3 'earth'" in text for text in adapter.decisions)


@pytest.mark.parametrize(("here", "there", "volts"), [(24, 24, 24), (24, 0, 24), (24, 12, None)])
def test_the_draft_keeps_the_voltage_both_sides_have(tmp_path, here, there, volts):
    said = f"system: {{volts: {there}}}\n" if there else ""
    start = side(tmp_path, "a.yaml", f"system: {{volts: {here}}}\n" + plug({"1": "horn"}))
    end = side(tmp_path, "b.yaml", said + plug({"1": "horn"}))
    _, design, _ = drafted(tmp_path, start, end)
    assert design.system.volts_v == volts


def test_decisions_of_one_kind_are_one_line(tmp_path):
    start = side(tmp_path, "a.yaml", plug({
        "1": "{carries: horn, size: 1}", "2": "{carries: clock, size: 1}", "3": "washer",
    }))  # fmt: skip
    end = side(tmp_path, "b.yaml", plug({
        "1": "{carries: horn, size: 2}", "2": "{carries: clock, size: 2}", "3": "fuel pump",
        "4": "{carries: beacon, without: the beacon}", "5": "earth",
    }))  # fmt: skip
    adapter, _, _ = drafted(tmp_path, start, end)
    assert [one for one in adapter.decisions if "size" in one or "served" in one] == [
        "X2:3 'fuel pump', X2:4 'beacon' (lost: the beacon) are served by nothing: find a feed or "
        "a signal, or leave it out and note what is lost.",
        "X2:5 'earth' is served by nothing: take it to an earth point if what it returns is used.",
        "W1, W2: the wires at both ends differ in size; the larger one is drafted.",
    ]


def test_needs_nobody_knows_are_asked(tmp_path):
    start = side(tmp_path, "a.yaml", plug({"1": "ignition supply"}))
    unit = {"A": "{carries: ignition supply, role: supply, needs: {crank: live}}"}
    adapter, _, _ = drafted(tmp_path, start, side(tmp_path, "b.yaml", plug(unit)))
    assert any(text.startswith("Measure X1:1 'ignition supply'") for text in adapter.decisions)


def test_several_plugs_on_both_sides(tmp_path):
    text = plug({"1": "horn"}).rstrip("\n") + '\n  X2: {pins: {1: {carries: "clock"}}}\n'
    start = side(tmp_path, "a.yaml", text, plug="X1,X2")
    end = side(tmp_path, "b.yaml", text, plug="X2,X1")
    _, design, errors = drafted(tmp_path, start, end)
    assert list(design.plugs) == ["X1", "X1A", "X2", "X2A", "X3", "X3A", "X4", "X4A"]
    assert [(w.start.text, w.end.text) for w in design.wires.values()] == [
        ("X1A:1", "X3A:1"),
        ("X2A:1", "X4A:1"),
    ]
    assert errors == []


@pytest.mark.parametrize(
    ("head", "more"),
    [
        ("face: [[1, ~, 2]], contacts: pins, ", ""),
        ("face: {at: {1: [0, 0], 2: [4.5, 1]}, seen_from: wire side, cavity: {1: big}}, ", ""),
        ("face: {like: X9}, ", "  X9: {face: {ring: [1, 2], from: left}, pins: {1: empty}}\n"),
        ("mates: X9, ", "  X9: {face: [[1, 2]], mates: X1, pins: {1: {carries: horn}}}\n"),
        ("colour_key: german, sealed: true, contact: big, ", ""),
    ],
)
def test_plugs_are_copied_whole(tmp_path, head, more):
    text = "contacts: {big: {blade: 6.3}}\n" + plug(
        {"1": "{carries: horn, colour: gn, contact: big, size: 1.50}", "2": "empty"}, head
    )
    colours = text if "german" in head else text.replace("colour: gn", "colour: GN")
    start = side(tmp_path, "a.yaml", colours.rstrip("\n") + "\n" + more)
    _, design, errors = drafted(tmp_path, start, side(tmp_path, "b.yaml", plug({"1": "horn"})))
    copy, old = design.plugs["X1"], start.design.plugs["X1"]
    assert (copy.title, copy.sealed, copy.contacts) == (old.title, old.sealed, old.contacts)
    assert [colour.iec for colour in copy.pins["1"].colours] == ["GN"]
    assert copy.pins["1"].sizes[0].text == "1.50"
    assert errors == []
    assert (copy.face is None) == ("german" in head)


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(st.sampled_from("123456789"), WORDS, max_size=9),
    st.dictionaries(st.sampled_from("123456789"), WORDS, max_size=9),
)
def test_any_draft_is_a_design_without_errors(tmp_path_factory, first, second):
    folder = tmp_path_factory.mktemp("t")
    start, end = (
        side(folder, name, plug(pins)) for name, pins in (("a.yaml", first), ("b.yaml", second))
    )
    adapter, design, errors = drafted(folder, start, end)
    assert errors == []
    assert len(ways(design)) == len(adapter.wired)
    assert all("\n" not in line for line in adapter_lines(adapter))
