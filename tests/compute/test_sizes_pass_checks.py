"""What `size` recommends passes the checks, and one size smaller is refused by one of them."""

from __future__ import annotations

import pytest

from tests.compute.designs import judged, study
from wiregen.compute.sizing import size_fuses, size_wires
from wiregen.facts.ampacity import standard_sizes

CODES = ("FUS102", "FUS103", "CUR101", "VLT101")

FEED = """
format: 1
system:
  volts: 12
  ambient: 85
  drop: {{default: {drop} V}}
  tables: {{conductor: iec-60228-5, ampacity: {scheme}, bundle: stepwise, fuse: iso-8820-3}}
looms: {{one: {{title: Feed, status: new, insulation: thin-wall 105}}}}
earths: {{EP1: {{kind: chassis}}}}
fuses: {{F1: {{rating: {fuse}, style: blade, resistance: 0.001}}}}
devices:
  G1: {{kind: battery, volts: 12.6, resistance: 5 mohm, terminals: [plus], case: EP1}}
  R1: {{kind: heater, ohms: {ohms}, volts: 12, terminals: [1], case: EP1}}
wires:
  W1: {{from: "G1:plus", to: "F1:in", resistance: 0}}
  W2: {{from: "F1:out", to: "R1:1", size: {size}, length: {length}, loom: one}}
states: {{"on": {{}}}}
"""


def refused(**words: object) -> set[str]:
    """Return the codes that speak of the wire."""
    found = judged(FEED.format(**words)).findings
    wires = {p.code for p in found if p.code in CODES and "W2" in p.subjects}
    return wires | {p.code for p in found if p.code == "VLT101"}


@pytest.mark.parametrize("scheme", ["33cfr183", "iso-10133"])
@pytest.mark.parametrize(
    ("ohms", "fuse", "length", "drop"),
    [
        (2.4, 7.5, 12000, 0.5),
        (1.2, 30, 1000, 1.0),
        (0.6, 30, 4000, 0.3),
        (12.0, 20, 1500, 0.6),
        (0.5, 35, 900, 1.5),
    ],
)
def test_the_recommended_size_passes_and_the_next_smaller_does_not(
    scheme: str, ohms: float, fuse: float, length: float, drop: float
) -> None:
    facts = {"scheme": scheme, "ohms": ohms, "fuse": fuse, "length": length, "drop": drop}
    found = study(FEED.format(**facts, size=10))
    (sized,) = [w for w in size_wires(found, size_fuses(found)) if w.wire.id == "W2"]
    assert sized.choice is not None
    size = sized.choice.size
    assert size is not None
    assert refused(**facts, size=size.text) == set()
    sizes = standard_sizes()
    below = sizes[sizes.index(size) - 1]
    reason = dict(sized.choice.failed)[below.label]
    assert refused(**facts, size=below.text), reason
