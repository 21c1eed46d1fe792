"""Terminal names of DIN 72552 and letters of IEC 81346-2 against published copies."""

from __future__ import annotations

import pytest

from wiregen.facts.designations import letter
from wiregen.facts.din72552 import successors, terminal

COPY = "leksanet.com, DIN 72552 encyclopedia copy"


@pytest.mark.parametrize(
    ("name", "part_of_meaning"),
    [
        ("15", "ignition on"),
        ("30", "battery + direct"),
        ("31", "ground direct"),
        ("31b", "switched ground"),
        ("49a", "flasher unit output"),
        ("50", "starter control"),
        ("53a", "self-parking"),
        ("54", "stop lamp"),
        ("56a", "main beam"),
        ("56b", "dipped beam"),
        ("58L", "left"),
        ("58R", "right"),
        ("61", "tell-tale"),
        ("85", "relay coil end"),
        ("86", "relay coil start"),
        ("87a", "break (NC)"),
        ("D+", "dynamo +"),
    ],
)
def test_meaning(name: str, part_of_meaning: str) -> None:
    found = terminal(name)
    assert found is not None
    assert part_of_meaning in found.meaning, COPY
    assert found.status == "confirmed"


def test_case_and_unknown_names() -> None:
    assert terminal("58l") is None
    assert terminal("999") is None


def test_old_names() -> None:
    # lkw-kelkheim.de tipps/435
    assert successors("30f") == ("45",)
    assert successors("15/54") == ("15", "49", "54")
    assert successors("N") == ("55",)
    assert successors("15") == ()
    for old in ("54d", "S4", "VL", "PL"):
        assert all(terminal(new) for new in successors(old))


@pytest.mark.parametrize(
    ("text", "meaning", "example"),
    [
        ("F", "direct protection", "fuse"),
        ("G", "generates energy, signal or flow", "battery"),
        ("K", "processes signals", "relay"),
        ("P", "presents information", "gauge"),
        ("S", "manual operation to signal", "switch"),
        ("X", "connects", "connector"),
    ],
)
def test_letters(text: str, meaning: str, example: str) -> None:
    found = letter(text)  # IEC 81346-2:2009 main classes, cemarking.pro
    assert found is not None
    assert found.meaning == meaning
    assert example in found.examples


def test_letters_that_are_not_in_use() -> None:
    assert letter("I") is None
    assert letter("O") is None
    lamp = letter("H")
    assert lamp is not None
    assert (lamp.meaning.split()[0], lamp.older_meaning) == ("reserved", "indicator lamp, buzzer")
