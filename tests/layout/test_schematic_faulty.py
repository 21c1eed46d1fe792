"""Designs with faults are drawn all the same: every wire once, at an end of its own.

A person looks for the fault on the drawing; a wire that is missing there, or no drawing at all,
hides it. Common practice, no source.
"""

from __future__ import annotations

import random

import pytest

from tests.layout.schematic_kit import groups, parsed, read, schematic
from wiregen.connect import find_halves
from wiregen.layout.lint import lint

RING = """\
format: 1
devices: {P1: {kind: lamp}}
plugs:
  X1: {mates: X2, face: [[1, 2]]}
  X2: {mates: X3, face: [[1, 2]]}
  X3: {mates: X1, face: [[1, 2]]}
boxes:
  FB1: {bars: {A: [F1], B: [F2]}}
  FB2: {bars: {A: [F1, F1]}}
fuses: {F1: {rating: 5}, F2: {rating: 5}, F3: {rating: 5}}
splices: {J1: {}}
wires:
  W1: {from: F1:out, to: X1:1}
  W2: {from: X1:2, to: X2:1}
  W3: {from: X2:2, to: X3:1}
  W4: {from: X3:2, to: P1:1}
  W5: {from: FB2, to: J1}
  W6: {from: "%s", to: P1:2}
"""


def all_drawn(text: str) -> None:
    design = read(text)
    sheets = schematic(design)
    shown = [wire.get("data-wire") for s in sheets for wire in groups(parsed(s), "wire")]
    assert sorted(shown) == sorted(design.wires)
    assert [flaw for sheet in sheets for flaw in lint(sheet).flaws] == []


@pytest.mark.parametrize(
    "end", ["F1:in", "F1", "F2:side", "F3", "FB1", "FB1:C", "J1:1", "X1", "Q1"]
)
def test_a_wire_to_a_point_that_is_not_there_is_drawn(end):
    all_drawn(RING % end)


def test_plugs_that_contradict_each_other_are_no_pair_and_those_that_agree_are():
    assert find_halves(read(RING % "J1")).mates == {}
    agreed = (RING % "J1").replace("X2: {mates: X3, ", "X2: {")
    assert find_halves(read(agreed)).mates == {"X1": "X2", "X2": "X1"}


def _muddled(seed: int) -> str:
    """Return a design whose plugs, boxes and wire ends name each other at random."""
    draw = random.Random(f"muddled {seed}")
    plugs = [f"X{n}" for n in range(1, draw.randint(3, 6))]
    lines = ["format: 1", "devices: {A1: {kind: unit}, A2: {kind: unit}, P1: {kind: lamp}}"]
    lines += ["plugs:"]
    for plug in plugs:
        mate = f"mates: {draw.choice(plugs)}, " if draw.random() < 0.8 else ""
        unit = f"of: {draw.choice(('A1', 'A2', 'Q9'))}, " if draw.random() < 0.45 else ""
        lines.append(f"  {plug}: {{{mate}{unit}face: [[1, 2, 3]]}}")
    fuses = ["F1", "F2", "F3"]
    bars = [draw.choices(fuses, k=2) for _ in range(4)]
    lines += ["boxes:"]
    lines += [
        f"  FB{n}: {{bars: {{A: [{', '.join(bars[n])}], B: [{', '.join(bars[n + 2])}]}}}}"
        for n in (0, 1)
    ]
    lines += ["fuses: {F1: {rating: 5}, F2: {rating: 5}, F3: {rating: 5}}"]
    lines += ["earths: {EP1: {}}", "splices: {J1: {}}", "wires:"]
    ends = [f"{plug}:{cavity}" for plug in plugs for cavity in (1, 2, 3)]
    ends += ["F1:out", "F2:out", "F3:in", "F3", "F2:side", "FB0", "FB1:A", "FB1:C", "EP1", "EP1:2"]
    ends += ["P1:1", "P1:2", "J1", "J1:3", "X1", "A1", "A1:1", "X9:1", "Q1"]
    for wire in range(1, 12):
        start, stop = draw.sample(ends, 2)
        lines.append(f"  W{wire}: {{from: '{start}', to: '{stop}'}}")
    return "\n".join(lines)


@pytest.mark.parametrize("seed", range(40))
def test_every_wire_of_a_muddled_design_is_drawn(seed):
    all_drawn(_muddled(seed))
