"""A variant of a design keeps what belongs to it and nothing else."""

from __future__ import annotations

import pytest

from wiregen.check.variants import in_variant
from wiregen.read import load_text

DESIGN = """\
format: 1
variants: {early: first series, late: second series}
looms: {a: {title: A}, b: {title: B, only: [late]}}
contacts: {c1: {amps: 8}, c2: {amps: 6, only: [late]}}
circuits: {feed: {volts: 12}, second feed: {volts: 12, only: [late]}}
plugs:
  X1: {pins: {1: {carries: feed}, 2: {carries: second feed, only: [late]}}}
  X2: {pins: {1: {carries: feed}}, only: [late]}
devices:
  A1: {kind: unit, inside: {P1: {kind: lamp, from: X1:1, to: X1:2, only: [late]}}}
  S1: {kind: switch, terminals: [1, 2], positions: {off: [], on: [[1, 2]]}}
splices: {J1: {}, J2: {only: [late]}}
fuses: {F1: {rating: 5}, F2: {rating: 5, only: [late]}}
boxes: {FB1: {bars: {15: [F1]}}, FB2: {bars: {15: [F2]}, only: [late]}}
earths: {EP1: {}, EP2: {only: [late]}}
wires:
  W1: {from: X1:1, to: J1, colour: RD}
  W2: {from: X2:1, to: J1, colour: RD, only: [late]}
groups: {TP1: {twisted: [W1]}, TP2: {twisted: [W2], only: [late]}}
buses: {B1: {members: [X1:1]}, B2: {members: [X2:1], only: [late]}}
states: {run: {S1: on}, test: {S1: on, only: [late]}}
route: [{from: N1, to: N2, length: 100}, {from: N1, to: X2, length: 100, only: [late]}]
signals:
  one: {from: {at: X1:1, pulses_per_km: 1}, to: {at: X1:1, pulses_per_km: 1}}
  two: {from: {at: X2:1, pulses_per_km: 1}, to: {at: X2:1, pulses_per_km: 1}, only: [late]}
"""
SECTIONS = [
    "looms",
    "contacts",
    "circuits",
    "plugs",
    "splices",
    "fuses",
    "boxes",
    "earths",
    "wires",
    "groups",
    "buses",
    "states",
    "route",
    "signals",
]


@pytest.mark.parametrize("section", SECTIONS)
def test_what_belongs_to_another_variant_is_not_there(section):
    design = load_text(DESIGN).design
    sizes = [len(getattr(in_variant(design, name), section)) for name in ("early", "late")]
    assert sizes == [1, 2]


def test_pins_and_parts_inside_follow_their_variant():
    early = in_variant(load_text(DESIGN).design, "early")
    assert list(early.plugs["X1"].pins) == ["1"]
    assert early.devices["A1"].inside == {}
