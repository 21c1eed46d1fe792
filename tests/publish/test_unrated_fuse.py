"""The first power-up where a fuse has no rating yet."""

from __future__ import annotations

from tests.compute.designs import read
from wiregen.connect import connect
from wiregen.publish.proving import prove

LAMP = """
format: 1
earths: {EP1: {kind: chassis}}
fuses: {F1: {rating: 10}, F2: {}}
devices:
  G1: {kind: battery, volts: 12, terminals: [plus], case: EP1}
  P1: {kind: lamp, watts: 21, volts: 12, terminals: [1], case: EP1}
  P2: {kind: lamp, watts: 5, volts: 12, terminals: [1], case: EP1}
wires:
  W1: {from: "G1:plus", to: "F1:in"}
  W2: {from: "G1:plus", to: "F2:in"}
  W3: {from: "F1:out", to: "P1:1"}
  W4: {from: "F2:out", to: "P2:1"}
states: {run: {}}
"""


def test_a_fuse_without_a_rating_is_put_in_once_it_is_rated() -> None:
    design = read(LAMP).design
    words = str(prove(design, connect(design)))
    assert "Lamp in place of F1, then the 10 A fuse" in words
    assert "Lamp in place of F2, then its fuse, once it is rated" in words
