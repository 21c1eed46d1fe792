"""Wire colours: what the letters mean under each key, and what is refused."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiregen.facts.colours import (
    COLOUR_KEYS,
    Colour,
    ColourError,
    Tint,
    check_own_key,
    explain,
    parse_colour,
)

IEC = "IEC 60757:2021 clauses 4 and 5, public reprint"
JAPANESE = "service-manual colour keys of three makers"
GERMAN = "DIN 72551 practice, three workshop pages"
BS = "BS AU 7 colour list, jcna.com wiring colour page"
US = "published trailer wiring table and a published bulletin"
PRACTICE = "common practice, no source"


@pytest.mark.parametrize(
    ("text", "key", "name", "source"),
    [
        ("BK", "iec-60757", "black", IEC),
        ("BN", "iec-60757", "brown", IEC),
        ("RD", "iec-60757", "red", IEC),
        ("OG", "iec-60757", "orange", IEC),
        ("YE", "iec-60757", "yellow", IEC),
        ("GN", "iec-60757", "green", IEC),
        ("BU", "iec-60757", "blue", IEC),
        ("VT", "iec-60757", "violet", IEC),
        ("GY", "iec-60757", "grey", IEC),
        ("WH", "iec-60757", "white", IEC),
        ("PK", "iec-60757", "pink", IEC),
        ("GD", "iec-60757", "gold", IEC),
        ("TQ", "iec-60757", "turquoise", IEC),
        ("SR", "iec-60757", "silver", IEC),
        ("GNYE", "iec-60757", "green-and-yellow", IEC),
        ("BU/WH", "iec-60757", "blue with white tracer", PRACTICE),
        ("BK/RD/BK", "iec-60757", "black with red and black tracers", PRACTICE),
        ("B", "japanese", "black", JAPANESE),
        ("L", "japanese", "blue", JAPANESE),
        ("P", "japanese", "pink", JAPANESE),
        ("SB", "japanese", "light blue", JAPANESE),
        ("BR/LG", "japanese", "brown with light green tracer", JAPANESE),
        ("GR", "japanese", "grey", JAPANESE),
        ("sw", "german", "black", GERMAN),
        ("ge", "german", "yellow", GERMAN),
        ("vi", "german", "violet", GERMAN),
        ("ws/sw", "german", "white with black tracer", GERMAN),
        ("swrt", "german", "black with red tracer", GERMAN),
        ("rs", "german", "pink", GERMAN),
        ("gnge", "german", "green-and-yellow", GERMAN),
        ("K", "bs-au-7", "pink", BS),
        ("N", "bs-au-7", "brown", BS),
        ("P", "bs-au-7", "violet", BS),
        ("S", "bs-au-7", "grey", BS),
        ("U", "bs-au-7", "blue", BS),
        ("RK", "bs-au-7", "red with pink tracer", "service manual of 1994, wiring guide"),
        ("UGS", "bs-au-7", "blue with green and grey tracers", "service manual of 1994"),
        ("GLG", "bs-au-7", "green with light green tracer", "service manual of 1994"),
        ("LG", "bs-au-7", "light green", "service manual of 1994"),
        ("BR", "us-2", "brown", US),
        ("TN", "us-2", "tan", US),
        ("DG/OR", "us-2", "dark green with orange tracer", US),
        ("LT BLU/WHT", "us-3", "light blue with white tracer", US),
        ("DK GRN", "us-3", "dark green", US),
        ("PPL", "us-3", "violet", US),
    ],
)
def test_meaning_of_a_marking(text: str, key: str, name: str, source: str) -> None:
    assert parse_colour(text, key).name == name, source


@pytest.mark.parametrize("text", ["BU/WH", "BU-WH", "BUWH", "buwh", "bu / wh", " Bu/Wh "])
def test_spellings_of_one_colour(text: str) -> None:
    colour = parse_colour(text)
    assert (colour.iec, colour.text) == ("BU/WH", text.strip())


def test_only_run_together_green_and_yellow_is_protective() -> None:
    protective, tracer = parse_colour("gnye"), parse_colour("GN/YE")
    assert protective.base == Tint("GNYE")
    assert tracer == Colour(Tint("GN"), (Tint("YE"),))
    assert parse_colour("GN-YE") == tracer
    assert parse_colour("YEGN").iec == "YE/GN"
    assert parse_colour("GNYE", "us-2") == tracer


def test_order_of_base_and_tracer_matters() -> None:
    assert parse_colour("RD/BK") != parse_colour("BK/RD")
    assert parse_colour("RD/BK").base == Tint("RD")


def test_light_and_dark_are_kept() -> None:
    light, dark = parse_colour("LT BLU", "us-3"), parse_colour("DK BLU", "us-3")
    assert (light.iec, dark.iec) == ("LT BU", "DK BU")
    assert light.text == "LT BLU"


def test_colours_outside_the_standard_are_kept_by_name() -> None:
    assert parse_colour("tan/WH").iec == "tan/WH"
    assert parse_colour("NAT", "us-3").iec == "natural"
    assert parse_colour("Natural").name == "natural"


def test_own_key_takes_the_longest_letters_first() -> None:
    own = {"S": "black", "SB": "sky blue", "B": "dark green"}
    assert parse_colour("SB", "mine", own).name == "light blue"
    assert parse_colour("SSB", "mine", own).iec == "BK/LT BU"
    assert parse_colour("S/B", "mine", own).iec == "BK/DK GN"
    with pytest.raises(ColourError, match="'RD' is not a colour of mine"):
        parse_colour("RD", "mine", own)


@pytest.mark.parametrize(
    ("text", "key", "message"),
    [
        (
            "LGR",
            "japanese",
            "'LGR' is ambiguous in japanese: blue with grey tracer or light green with red "
            "tracer; write base and tracer apart with /, or use other letters",
        ),
        (
            "BL",
            "us-2",
            "'BL' is ambiguous in us-2: blue or black; "
            "write base and tracer apart with /, or use other letters",
        ),
        (
            "GR",
            "iec-60757",
            "'GR' is not a colour of iec-60757; it means grey (japanese, german, us-2) or green "
            "(us-2): name the key with colour_key",
        ),
        (
            "SB",
            "iec-60757",
            "'SB' is not a colour of iec-60757; it means light blue (japanese): "
            "name the key with colour_key",
        ),
        (
            "BRN",
            "iec-60757",
            "'BRN' is not a colour of iec-60757; it means brown (us-3): "
            "name the key with colour_key",
        ),
        ("blue/white", "iec-60757", "'blue/white' is not a colour of iec-60757; write BU/WH"),
        ("rot", "iec-60757", "'rot' is not a colour of iec-60757; write RD"),
        ("blue-white", "iec-60757", "'blue-white' is not a colour of iec-60757; write BU/WH"),
        ("schwarz/weiß", "iec-60757", "'schwarz/weiß' is not a colour of iec-60757; write BK/WH"),
        ("light blue", "iec-60757", "'light blue' is not a colour of iec-60757; write LT BU"),
        ("BU WH", "iec-60757", "'BU WH' is not a colour of iec-60757; write BU/WH"),
        ("LT WH", "iec-60757", "'LT WH' is not a colour of iec-60757"),
        ("XQ/7", "iec-60757", "'XQ/7' is not a colour of iec-60757"),
        ("BU/BU", "iec-60757", "'BU/BU' has a tracer of the colour it lies on"),
        (
            "BK/RD/WH/YE",
            "iec-60757",
            "'BK/RD/WH/YE' has 4 colours; a wire has up to two tracers",
        ),
        (
            "GNYE/BK",
            "iec-60757",
            "protective green-and-yellow stands alone, found 'GNYE/BK'; "
            "write GN/YE for green with a yellow tracer",
        ),
        ("", "iec-60757", "expected a colour such as BU/WH, found nothing"),
        (7, "iec-60757", "expected a colour such as BU/WH, found 7"),
        (None, "iec-60757", "expected a colour such as BU/WH, found nothing"),
        (
            "B",
            "japanse",
            "unknown colour key 'japanse'; use iec-60757, japanese, german, bs-au-7, us-2, us-3, "
            "or declare it under colour_keys; did you mean 'japanese'?",
        ),
    ],
)
def test_refusal_says_what_is_meant(text: object, key: str, message: str) -> None:
    with pytest.raises(ColourError) as refusal:
        parse_colour(text, key)
    assert str(refusal.value) == message


def test_own_key_with_a_word_that_is_no_colour() -> None:
    with pytest.raises(ColourError, match="'blak' in colour key 'mine' is not a colour"):
        check_own_key("mine", {"S": "blak"})


def test_same_letters_in_other_keys() -> None:
    # SB: sky blue in Japanese keys, black in a Swedish one; P: pink and purple. Published keys.
    def meanings(text: str, key: str) -> list[tuple[str, str]]:
        found = explain(text, key)
        assert found[0].key == key
        return [(one.key, one.colour.name) for one in found]

    assert meanings("SB", "japanese")[0] == ("japanese", "light blue")
    assert ("swedish", "black") in meanings("SB", "japanese")
    assert ("bs-au-7", "violet") in meanings("P", "japanese")
    assert ("us-2", "green") in meanings("GR", "german")
    assert ("us-2", "grey") in meanings("GR", "german")
    assert explain("XQ7") == ()


def test_remembered_letters_say_so() -> None:
    status = {one.key: one.status for one in explain("B", "japanese")}
    assert status["japanese"] == "confirmed"
    assert status["italian"] == "from memory"


PLAIN = ("BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "PK", "GD", "TQ", "SR", "tan")
UNSHADED = ("BK", "WH", "natural", "bare")
tints = st.one_of(
    st.builds(Tint, st.sampled_from(PLAIN), st.sampled_from(["", "light", "dark"])),
    st.builds(Tint, st.sampled_from(UNSHADED)),
)
colours = st.one_of(
    st.just(Colour(Tint("GNYE"))),
    st.lists(tints, min_size=1, max_size=3)
    .filter(lambda row: all(one != other for one, other in pairwise(row)))
    .map(lambda row: Colour(row[0], tuple(row[1:]))),
)


@given(colours)
def test_canonical_text_reads_as_the_same_colour(colour: Colour) -> None:
    for text in (colour.iec, colour.iec.lower(), colour.iec.replace("/", " - ")):
        assert parse_colour(text) == colour


@given(st.sampled_from(PLAIN))
def test_light_is_lighter_and_dark_darker(code: str) -> None:
    def light(tint: Tint) -> int:
        return sum(int(tint.paint[i : i + 2], 16) for i in (1, 3, 5))

    dark, plain, pale = (light(Tint(code, s)) for s in ("dark", "", "light"))
    assert dark + 60 < plain < pale - 60


def test_paint_of_base_and_tracers() -> None:
    base, tracers = parse_colour("BU/WH/RD").paint
    assert (base, tracers) == (Tint("BU").paint, (Tint("WH").paint, Tint("RD").paint))
    assert parse_colour("GNYE").paint == (Tint("GN").paint, (Tint("YE").paint,))
    every = [Tint(code).paint for code in (*PLAIN, *UNSHADED)]
    assert len(set(every)) == len(every)


def outcome(text: str, key: str, own: Mapping[str, str] | None = None) -> str:
    """Return the canonical text of what is read, or the message of the refusal."""
    try:
        return parse_colour(text, key, own).iec
    except ColourError as refusal:
        return str(refusal)


@given(
    st.one_of(st.text(), st.text(alphabet="BLGRPUKYWTDNSOVE/- ", max_size=30)),
    st.sampled_from(COLOUR_KEYS),
)
def test_any_text_is_read_or_refused(text: str, key: str) -> None:
    assert outcome(text, key)
    assert all(one.colour.iec for one in explain(text, key))


@given(
    st.dictionaries(st.text("ABab \u0416", max_size=3), st.sampled_from(["red", "BU", "sky blue"])),
    st.text("ABab/ \u0416", max_size=40),
)
def test_any_own_key_is_read_or_refused(own: dict[str, str], text: str) -> None:
    assert outcome(text, "mine", own)
