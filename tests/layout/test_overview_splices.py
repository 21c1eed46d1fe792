"""Where the overview counts a splice: into what feeds it, or as a place of its own.

That a reader takes a line of an overview for wires between its two ends is common practice, no
source.
"""

from __future__ import annotations

from tests.layout.schematic_kit import read
from wiregen.connect import connect
from wiregen.layout.overview_map import Overview, find_overview
from wiregen.layout.schematic.ends import find_ends

RELAYS = """\
format: 1
devices:
  A1: {kind: unit}
  K1: {kind: relay, coil: {from: 86, to: 85}}
  K2: {kind: relay, coil: {from: 86, to: 85}}
  K3: {kind: relay, coil: {from: 86, to: 85}}
plugs: {X1: {of: A1, face: [[1, 2, 3, 4]]}}
fuses: {F1: {rating: 6}}
splices: {J1: {title: coils}, J2: {title: contacts}}
earths: {EP1: {}}
wires:
  W1: {from: F1:out, to: J2}
  W2: {from: J1, to: EP1}
  W11: {from: X1:1, to: K1:86}
  W12: {from: K1:85, to: J1}
  W13: {from: J2, to: K1:30}
  W21: {from: X1:2, to: K2:86}
  W22: {from: K2:85, to: J1}
  W23: {from: J2, to: K2:30}
  W31: {from: X1:3, to: K3:86}
  W32: {from: K3:85, to: J1}
  W33: {from: J2, to: K3:30}
"""


def found(text: str) -> Overview:
    design = read(text)
    network = connect(design)
    return find_overview(design, network, find_ends(design, network))


def test_relays_that_share_a_feed_and_a_return_are_not_wired_to_each_other():
    overview = found(RELAYS)
    assert overview.into["J2"] == "F1"
    assert "J1" in overview.places
    relays = {"K1", "K2", "K3"}
    assert not [b for b in overview.bundles if {b.a, b.b} <= relays]
    assert [b.wires for b in overview.bundles if {b.a, b.b} == {"J1", "K2"}]


def test_a_splice_is_counted_into_the_plug_that_its_lamps_hang_on():
    overview = found("""\
format: 1
devices: {P1: {kind: lamp}, P2: {kind: lamp}, P3: {kind: lamp}}
plugs: {X1: {face: [[1, 2]]}}
splices: {J1: {}}
wires:
  W1: {from: P1:1, to: J1}
  W2: {from: J1, to: X1:1}
  W3: {from: P2:1, to: J1}
  W4: {from: J1, to: P3:1}
""")
    assert overview.into == {"J1": "X1"}


def test_a_splice_without_a_feed_between_two_places_is_counted_into_the_one_with_more_wires():
    overview = found("""\
format: 1
devices: {A1: {kind: unit, terminals: [1, 2]}, A2: {kind: unit, terminals: [1, 2, 3]}}
splices: {J1: {}}
wires:
  W1: {from: A1:1, to: J1}
  W2: {from: J1, to: A2:1}
  W3: {from: A1:2, to: J1}
  W4: {from: A2:2, to: J1}
  W5: {from: J1, to: A2:3}
""")
    assert overview.into == {"J1": "A2"}
