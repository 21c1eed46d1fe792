"""Results recorded beside a design count on its sheets."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.layout.schematic_kit import groups, parsed
from wiregen.publish import Document

SMALL = """
format: 1
plugs:
  X1: {contacts: pins, face: [[1, 2]], pins: {1: {carries: a, source: book}, 2: {carries: b}}}
  X2: {contacts: pins, face: [[1]]}
wires:
  W1: {from: X1:1, to: X2:1, colour: BU, size: 1, length: 500}
"""


@pytest.fixture
def design(tmp_path: Path) -> Path:
    path = tmp_path / "small.yaml"
    path.write_text(SMALL, "utf-8")
    return path


def standings(path: Path) -> dict[str, str]:
    sheet = next(d.sheet for d in Document(path).draw() if d.name.startswith("sheet-"))
    return {
        pin.get("data-pin", ""): mark.get("data-known", "")
        for pin in groups(parsed(sheet), "pin")
        for mark in groups(pin, "standing")
    }


def test_a_good_reading_marks_both_pins_measured(design: Path) -> None:
    assert standings(design) == {"X1:1": "not measured"}
    design.with_name("small.measured.yaml").write_text(
        "format: 1\nresults:\n  W1: {reading: 0.1, by: AB, date: 2026-12-01}\n", "utf-8"
    )
    assert standings(design) == {"X1:1": "measured", "X2:1": "measured"}


def test_a_bad_reading_or_a_broken_file_marks_nothing(design: Path) -> None:
    kept = design.with_name("small.measured.yaml")
    kept.write_text("format: 1\nresults:\n  W1: {reading: open, date: 2026-12-01}\n", "utf-8")
    assert standings(design) == {"X1:1": "not measured"}
    kept.write_text("format: [1\n", "utf-8")
    assert standings(design) == {"X1:1": "not measured"}
