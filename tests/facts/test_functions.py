"""What words say a pin carries: the same in every language, and never two things at once."""

import pytest

from wiregen.facts.din72552 import terminal
from wiregen.facts.faces import list_pinouts, pinout
from wiregen.facts.functions import MODIFIERS, concepts, state_kind, terminal_concepts
from wiregen.facts.tables import rows
from wiregen.facts.trade_words import colour_of_words, heading_column, normal

# Typed again from dictionaries of the trade; common practice, no source.
ALIKE = [
    ("left indicator", "Blinker links", "clignotant gauche", "intermitente izquierdo"),
    ("right turn signal", "Fahrtrichtungsanzeiger rechts", "freccia destra", "R/H indicator"),
    ("stop lamps", "Bremsleuchte", "feux de stop", "luces de freno", "luce stop", "brake light"),
    ("reversing lamp", "Rückfahrscheinwerfer", "feu de recul", "luz de marcha atrás"),
    ("rear fog lamp", "Nebelschlußleuchte", "feu de brouillard arrière", "retronebbia"),
    ("main beam", "Fernlicht", "feux de route", "luces largas", "abbaglianti", "high beam"),
    ("dipped beam", "Abblendlicht", "feux de croisement", "luz de cruce", "anabbaglianti"),
    ("permanent supply", "Dauerplus", "+ permanent", "positivo permanente", "battery +", "Kl. 30"),
    ("ignition-switched supply", "Zündplus", "+ après contact", "positivo sotto chiave"),
    ("earth", "Masse", "masa", "massa", "GND", "common return", "battery -"),
    ("oil pressure warning lamp", "Öldruck-Kontrollleuchte", "voyant pression d'huile"),
    (
        "charge lamp",
        "Charge indicator",
        "Ladekontrolle",
        "témoin de charge",
        "spia di ricarica",
        "testigo de carga",
    ),
    ("horn", "Hupe", "klaxon", "bocina", "clacson"),
    ("right rear speaker +", "Lautsprecher hinten rechts +", "haut-parleur arrière droit +"),
    ("CAN high", "CAN-H", "CAN_H", "canh"),
    ("ignition supply", "Klemme 15", "Kl. 15", "Terminal 15", "KL15"),
    ("start signal", "Klemme 50", "Klemme 50 Anlasser", "starter signal"),
    ("engine speed", "Klemme W", "Drehzahlmesser", "rev counter"),
    ("oil pressure switch", "Öldruckschalter", "Öldruck-Schalter"),
    ("engine stop", "Abstellmagnet", "fuel stop solenoid"),
    ("fuel pump", "Kraftstoffpumpe", "fuel lift pump"),
    ("fuel sender", "Kraftstoffgeber", "Tankgeber"),
]
# Words that are easily taken for one another; none of a row may equal another of it.
DIFFERENT = [
    ("left indicator", "right indicator", "indicator", "left indicator tell-tale"),
    ("stop lamp", "engine stop", "stop"),
    ("tacho", "tachometer", "speedometer"),
    ("rear fog lamp", "front fog lamp", "fog lamp"),
    ("permanent supply", "ignition supply", "accessory supply", "supply", "ignition 2"),
    ("earth", "sensor earth", "signal earth", "screen", "engine earth"),
    ("oil pressure warning lamp", "oil pressure gauge", "oil pressure sensor", "oil pressure"),
    ("fuel pump", "fuel gauge", "fuel pump relay", "fuel stop", "fuel reserve lamp", "fuel"),
    ("glow plugs", "glow relay", "glow lamp"),
    ("starter", "start signal"),
    ("wiper slow", "wiper fast", "wiper park", "wiper", "rear wiper"),
    ("tail lamp", "left tail lamp", "side lamp", "stop and tail lamp"),
    ("brake lamp", "electric brakes", "handbrake", "brake fluid"),
    ("right rear speaker +", "right rear speaker -", "left rear speaker +"),
    ("CAN high", "CAN low", "CAN"),
    ("coolant temperature gauge", "coolant temperature warning lamp", "coolant level"),
    ("Scheibenwischer", "Scheibenwaschpumpe"),
    ("Luftfilter", "Lüfter", "Heizungsgebläse", "Kühlerlüfter"),
    ("Lichtschalter", "Linksschalter", "Schalter"),
    ("Öldruckschalter", "Öldruckgeber", "Öldruck"),
    ("Kl. 30 Hupe", "Kl. 15 Hupe", "Hupe", "Kl. 30"),
]


@pytest.mark.parametrize("texts", ALIKE, ids=lambda texts: texts[0])
def test_one_function_in_several_languages(texts):
    assert {concepts(text) for text in texts} == {concepts(texts[0])}
    assert concepts(texts[0]) - MODIFIERS


@pytest.mark.parametrize("texts", DIFFERENT, ids=lambda texts: texts[0])
def test_what_is_near_is_not_the_same(texts):
    assert len({concepts(text) for text in texts}) == len(texts)


def test_no_phrase_of_the_table_means_two_things():
    meanings = {}
    for row in rows("function_words"):
        for phrase in row["words"].split(";"):
            meanings.setdefault(normal(phrase), set()).add(row["concept"])
    assert {phrase: found for phrase, found in meanings.items() if len(found) > 1} == {}


def test_every_terminal_is_one_of_the_standard():
    for row in rows("function_terminals"):
        assert terminal(row["terminal"]) is not None
        assert terminal_concepts(row["terminal"])


@pytest.mark.parametrize("standard", list_pinouts())
def test_words_and_terminal_of_a_standard_agree(standard):
    """Where a catalogue pin has both, they mean the same (54g is used otherwise by ISO 12098)."""
    for pin in pinout(standard).values():
        by_number = terminal_concepts(pin.din72552)
        if by_number and not standard.startswith("iso-7588"):
            assert by_number <= concepts(pin.function.partition(" of ")[0]) or (
                "earth" in concepts(pin.function) or "signal earth" in concepts(pin.function)
                or pin.din72552 == "58"
            ), pin  # fmt: skip


@pytest.mark.parametrize(
    ("words", "letters"),
    [
        ("schwarz-weiß", "BK/WH"),
        ("light blue", "LT BU"),
        ("bleu clair", "LT BU"),
        ("dunkelgrün/gelb", "DK GN/YE"),
        ("rosso e nero", "RD/BK"),
        ("marrón con blanco", "BN/WH"),
        ("grau/violett", "GY/VT"),
        ("horn", ""),
        ("", ""),
    ],
)
def test_colours_in_words(words, letters):
    """Grau GY, violett VT, schwarz BK: IEC 60757; the words are common practice, no source."""
    assert colour_of_words(words) == letters


@pytest.mark.parametrize(
    ("heading", "column"),
    [("Cavity", "cavity"), ("FARBE ", "colour"), ("Wire_No.", "label"), ("Section (mm²)", "size")],
)
def test_headings(heading, column):
    assert heading_column(heading) == column


def test_states():
    assert [state_kind(name) for name in ("Aus", "RUN", "démarrage", "acc", "flood")] == [
        "off", "run", "crank", "accessory", "",
    ]  # fmt: skip
