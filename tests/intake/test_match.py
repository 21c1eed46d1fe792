"""Circuits are matched by what they are called, and nothing is ever matched wrongly.

The pairs are worked by hand: `right` says which cavity of the second plug takes which of the first;
`asked` what only a person can decide; all else of the second plug has no partner.
"""

from dataclasses import dataclass, field

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.intake.sides import outcome, plug, side
from wiregen.intake.half import read_half, told_apart
from wiregen.intake.match import match


@dataclass(frozen=True)
class Pair:
    name: str
    source: str
    start: dict[str, str]
    end: dict[str, str]
    right: dict[str, str]
    asked: set[str] = field(default_factory=set)


# The 7-pin side says its functions as the names of its contacts, which are those of DIN 72552.
TRAILER = Pair(
    name="13 pins to 7",
    source="ISO 11446 as at erich-jaeger.com, contact allocation; ISO 1724 as at jukeboxduo.de, "
    "seven-pin socket: contacts L, 54g, 31, R, 58R, 54, 58L",
    start={
        "1": "turn signal, left",
        "2": "rear fog light",
        "3": "return for 1-8",
        "4": "turn signal, right",
        "5": "right tail and number plate lamp",
        "6": "brake lights",
        "7": "left tail and number plate lamp",
        "8": "reverse light",
        "9": "permanent live",
        "10": "ignition live",
        "11": "return for 10",
        "12": "empty",
        "13": "return for 9",
    },
    end={"1": "L", "2": "54g", "3": "31", "4": "R", "5": "58R", "6": "54", "7": "58L"},
    right={"1": "1", "2": "2", "3": "3", "4": "4", "5": "5", "6": "6", "7": "7"},
)
SYNONYMS = Pair(
    name="synonyms",
    source="common practice, no source",
    start={
        "1": "LH indicator",
        "2": "RH indicator",
        "3": "high beam",
        "4": "rev counter",
        "5": "water temperature sender",
        "6": "ground",
        "7": "alternator warning lamp",
        "8": "constant 12 V",
        "9": "oil pressure switch",
        "10": "handbrake switch",
        "11": "dash lights",
        "12": "CAN-H",
        "13": "CAN-L",
        "14": "fuel pump",
        "15": "stop",
        "16": "wiper speed 1",
    },
    end={
        "A": "left turn signal",
        "B": "right turn signal",
        "C": "main beam",
        "D": "tachometer",
        "E": "coolant temperature gauge",
        "F": "earth",
        "G": "charge lamp",
        "H": "permanent supply",
        "J": "oil pressure warning lamp",
        "K": "parking brake lamp",
        "L": "instrument illumination",
        "M": "CAN high",
        "N": "CAN low",
        "P": "fuel pump relay",
        "R": "engine stop solenoid",
        "S": "wiper fast",
        "T": "oil pressure gauge",
    },
    right=dict(zip("ABCDEFGHJKLMN", [str(n) for n in range(1, 14)], strict=True)),
    asked={"P"},
)
LANGUAGES = Pair(
    name="German to French",
    source="common practice, no source",
    start={
        "1": "Blinker links",
        "2": "Blinker rechts",
        "3": "Fernlicht",
        "4": "Abblendlicht",
        "5": "Masse",
        "6": "Dauerplus",
        "7": "Zündplus",
        "8": "Ladekontrolle",
        "9": "Öldruck Kontrollleuchte",
        "10": "Rückfahrscheinwerfer",
        "11": "Nebelschlussleuchte",
        "12": "Tacho",
        "13": "Hupe",
        "14": "Sensormasse",
    },
    end={
        "a": "Clignotant gauche",
        "b": "Clignotant droit",
        "c": "Feux de route",
        "d": "Feux de croisement",
        "e": "Masse",
        "f": "+ permanent",
        "g": "+ après contact",
        "h": "Témoin de charge",
        "i": "Témoin pression d'huile",
        "j": "Feu de recul",
        "k": "Feu de brouillard arrière",
        "l": "Compte-tours",
        "m": "Klaxon",
        "n": "Masse capteurs",
    },
    right=dict(zip("abcdefghijkmn", [str(n) for n in range(1, 15) if n != 12], strict=True)),
)
ROLES = Pair(
    name="one name, other role",
    source="common practice, no source",
    start={
        "1": "{carries: fuel pump, role: output, drives: low side}",
        "2": "{carries: cooling fan, role: supply}",
        "3": "{carries: hour meter, role: output}",
        "4": "{carries: horn, volts: 24}",
        "5": "{carries: work light, role: output}",
        "6": "{carries: oil pressure, role: sender}",
        "7": "{carries: buzzer, drives: low side}",
    },
    end={
        "1": "{carries: fuel pump, role: output, drives: high side}",
        "2": "{carries: cooling fan, role: earth}",
        "3": "{carries: hour meter, role: output}",
        "4": "{carries: horn, volts: 12}",
        "5": "{carries: work light, role: input}",
        "6": "{carries: oil pressure, role: input}",
        "7": "{carries: buzzer, drives: high side}",
    },
    right={"5": "5", "6": "6"},
    asked={"1", "2", "3", "4", "7"},
)
ALIKE = Pair(
    name="several of one name",
    source="w-body.com, base cluster to gauges cluster: two yellow wires, told by position only",
    start={
        "1": "{carries: lamp feed, colour: YE}",
        "2": "{carries: lamp feed, colour: YE}",
        "3": "{carries: gauge feed, circuit: cluster, colour: PK/BK}",
        "4": "{carries: gauge feed, circuit: heater, colour: PK/BK}",
        "5": "{carries: left indicator, colour: GN}",
        "6": "{carries: rear fog lamp, colour: BU}",
    },
    end={
        "1": "{carries: lamp feed, colour: YE}",
        "2": "{carries: lamp feed, colour: YE}",
        "8": "{carries: gauge feed, circuit: heater, colour: RD}",
        "9": "{carries: gauge feed, circuit: cluster, colour: WH}",
        "5": "{carries: right indicator, colour: GN}",
        "6": "{carries: front fog lamp, colour: BU}",
    },
    right={"8": "4", "9": "3"},
    asked={"1", "2"},
)
GENERIC = Pair(
    name="words that name nothing, numbers of one file only",
    source="common practice, no source",
    start={
        "1": "input 1",
        "2": "sensor",
        "3": "spare 2",
        "4": "{carries: lamp, circuit: C4}",
        "5": "left",
        "6": "{circuit: 30}",
        "7": "{circuit: c7, colour: GN}",
        "8": "{carries: horn, says: [{source: a, carries: horn}, {source: b, carries: clock}]}",
        "15": "{colour: GN}",
        "30": "{colour: RD}",
        "31": "{colour: BN}",
    },
    end={
        "1": "input 1",
        "2": "sensor",
        "3": "spare 2",
        "4": "{carries: washer, circuit: C4}",
        "5": "left",
        "6": "permanent supply",
        "7": "{circuit: c7, carries: clock}",
        "8": "horn",
        "15": "ignition supply",
        "31": "earth",
    },
    right={},
    asked={"1", "2", "3", "5", "8"},
)
SORTS = Pair(
    name="what is only of one sort is not asked about",
    source="common practice, no source",
    start={"1": "oil pressure lamp", "2": "air filter switch", "3": "water temperature gauge"},
    end={"1": "Öldruckschalter", "2": "Drehzahlgeber"},
    right={},
    asked={"1"},
)
VOLTS = Pair(
    name="24 V tractor, 12 V implement",
    source="common practice, no source",
    start={"1": "permanent supply", "2": "earth", "3": "{carries: ignition supply, volts: 12}"},
    end={"1": "Dauerplus", "2": "Masse", "3": "Zündplus"},
    right={"2": "2", "3": "3"},
    asked={"1"},
)
PAIRS = [GENERIC, SORTS, TRAILER, SYNONYMS, LANGUAGES, ROLES, ALIKE]


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.name)
def test_right_wrong_asked(tmp_path, pair):
    start = side(tmp_path, "a.yaml", plug(pair.start))
    end = side(tmp_path, "b.yaml", plug(pair.end))
    pairs, asked, _ = outcome(start, end)
    wrong = {cavity: to for cavity, to in pairs.items() if pair.right.get(cavity) != to}
    assert wrong == {}
    assert pairs == pair.right
    assert asked == pair.asked


def test_voltages_of_two_systems_are_kept_apart(tmp_path):
    start = side(tmp_path, "a.yaml", "system: {volts: 24}\n" + plug(VOLTS.start))
    end = side(tmp_path, "b.yaml", "system: {volts: 12}\n" + plug(VOLTS.end))
    assert outcome(start, end)[:2] == (VOLTS.right, VOLTS.asked)


@pytest.mark.parametrize("pair", PAIRS[1:], ids=lambda pair: pair.name)
def test_colour_alone_changes_nothing(tmp_path, pair):
    def coloured(pins, colour):
        return {
            cavity: said if said == "empty" else bare(said)[:-1] + f", colour: {colour}}}"
            for cavity, said in pins.items()
        }

    def bare(said):
        text = said if said.startswith("{") else f'{{carries: "{said}"}}'
        return text.split(", colour:")[0].rstrip("}") + "}"

    start = side(tmp_path, "a.yaml", plug(coloured(pair.start, "BU")))
    end = side(tmp_path, "b.yaml", plug(coloured(pair.end, "BU")))
    assert outcome(start, end)[0] == pair.right


FEEDS = """
devices:
  G1: {kind: battery, volts: 12.6}
  S1: {kind: switch, terminals: [30, 15, 15x, 50], positions: {
    off: [], run: [[30, 15], [30, 15x]], start: [[30, 15], [30, 50]]}}
fuses: {F1: {rating: 10}}
earths: {EP1: {kind: chassis}}
states: {key off: {S1: off}, run: {S1: run}, crank: {S1: start}}
wires:
  W1: {from: G1:plus, to: S1:30}
  W2: {from: S1:15, to: F1:in}
  W3: {from: "F1:out", to: X1:1}
  W4: {from: S1:15x, to: X1:2}
  W5: {from: G1:plus, to: X1:3}
  W6: {from: G1:minus, to: EP1}
"""
FEED_PINS = {
    "1": "{carries: feed one, role: supply}",
    "2": "{carries: feed two, role: supply}",
    "3": "{carries: feed three, role: supply}",
}


@pytest.mark.parametrize(
    ("needs", "found"),
    [
        ("{run: live, crank: live, key off: dead}", "1"),
        ("{run: live, crank: dead}", "2"),
        ("{run: live, key off: live}", "3"),
        ("{Starten: live, Aus: dead}", "1"),
    ],
)
def test_a_feed_is_chosen_by_the_states_it_must_be_live_in(tmp_path, needs, found):
    start = side(tmp_path, "a.yaml", plug(FEED_PINS) + FEEDS)
    unit = {"A": f"{{carries: control unit, role: supply, needs: {needs}}}"}
    pairs, asked, _ = outcome(start, side(tmp_path, "b.yaml", plug(unit)))
    assert (pairs, asked) == ({"A": found}, set())


def test_no_feed_that_fits_is_asked_with_the_reasons(tmp_path):
    pins = {key: FEED_PINS[key] for key in ("2", "3")}
    start = side(
        tmp_path,
        "a.yaml",
        plug(pins) + FEEDS.replace('from: "F1:out", to: X1:1', "from: F1:out, to: EP1"),
    )
    needs = "{crank: live, key off: dead, run: live}"
    unit = {"A": f"{{carries: control unit, role: supply, needs: {needs}}}"}
    found = match(*told_apart(start, side(tmp_path, "b.yaml", plug(unit))))
    assert found.matches == ()
    (question,) = found.questions
    assert "live in 'crank', dead in 'key off', live in 'run'" in question.text


def test_a_named_feed_that_dies_while_cranking_is_not_taken(tmp_path):
    """A feed named ignition 2 drops out at start: jdmfsm.info, ignition feeds by key position."""
    start = side(tmp_path, "a.yaml", plug({"1": "ignition 2", "2": "battery +"}))
    unit = {"A": "{carries: ignition 2, role: supply, needs: {run: live, crank: live}}"}
    pairs, asked, _ = outcome(start, side(tmp_path, "b.yaml", plug(unit)))
    assert pairs == {"A": "2"}
    assert asked == set()


def test_unknown_state_of_a_feed_is_asked(tmp_path):
    """Whether terminal 15 holds while cranking differs by maker."""
    start = side(tmp_path, "a.yaml", plug({"1": "ignition supply", "2": "permanent supply"}))
    unit = {"A": "{carries: control unit, role: supply, needs: {run: live, crank: live}}"}
    pairs, asked, _ = outcome(start, side(tmp_path, "b.yaml", plug(unit)))
    assert (pairs, asked) == ({}, {"A"})


WORDS = st.sampled_from(
    [
        "left indicator", "right indicator", "Masse", "return of 1 to 3", "Kl. 30", "31", "L",
        "stop", "fuel pump", "", "?", "sensor earth", "permanent supply", "58L", "54", "R", "§ &",
    ]
)  # fmt: skip
SIDES = st.dictionaries(st.sampled_from("123456789"), WORDS, max_size=9)


@settings(max_examples=100, deadline=None)
@given(SIDES, SIDES)
def test_every_contact_is_in_one_group(tmp_path_factory, first, second):
    folder = tmp_path_factory.mktemp("t")
    start = side(folder, "a.yaml", plug(first))
    end = side(folder, "b.yaml", plug(second))
    found = match(*told_apart(start, end))
    ends = [one.end.cavity for one in found.matches]
    ends += [contact.cavity for one in found.questions for contact in one.ends]
    ends += [contact.cavity for contact in found.left_end]
    told = [c.cavity for c in end.contacts.values() if c.kind != "none"]
    assert sorted(ends) == sorted(told)
    starts = {one.start.cavity for one in found.matches}
    starts |= {contact.cavity for one in found.questions for contact in one.starts}
    starts |= {contact.cavity for contact in found.left_start}
    assert starts == {c.cavity for c in start.contacts.values() if c.kind != "none"}


def test_standards_by_name():
    pairs, asked, rest = outcome(read_half("iso-11446"), read_half("iso-1724"))
    assert pairs == {str(n): str(n) for n in range(1, 8)}
    assert (asked, rest) == (set(), set())
