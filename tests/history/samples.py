"""Designs of the tests, invented, unless a source stands beside them."""

from wiregen.model import Design
from wiregen.publish import Document
from wiregen.read import load_text

BASE = """format: 1
system: {volts: 12}
looms:
  cab: {title: Cab loom, status: existing}
plugs:
  X1:
    title: Panel plug
    loom: cab
    face: [[1, 2, 3]]
    pins:
      1: {carries: lamp feed, circuit: lamps, colour: RD}
      2: {carries: horn, colour: BU}
      3: empty
splices: {J1: {loom: cab}}
fuses:
  F1: {title: Lamps, rating: 10, style: blade}
  F2: {title: Horn, rating: 15, style: blade}
earths: {EP1: {kind: chassis}}
devices:
  G1: {kind: battery, volts: 12, terminals: [plus, minus]}
  P1: {kind: lamp, title: Left lamp, watts: 21, volts: 12, terminals: [1, 2]}
wires:
  W1: {from: G1:plus, to: F1:in, colour: RD, size: 2.5, length: 300, loom: cab}
  W2: {from: G1:plus, to: F2:in, colour: RD, size: 2.5, length: 350, loom: cab}
  W3: {from: F1:out, to: X1:1, colour: RD, size: 1.0, length: 900, loom: cab}
  W4: {from: X1:1, to: P1:1, colour: GY, size: 1.0, length: 1200, loom: cab}
  W5: {from: P1:2, to: EP1, colour: BN, size: 1.0, length: 200, loom: cab}
  W6: {from: G1:minus, to: EP1, colour: BK, size: 16, length: 200, loom: cab}
  W7: {from: F2:out, to: X1:2, colour: BU, size: 1.0, length: 900, loom: cab}
"""

MOVES = {
    "C1": "C4",
    "C3": "C11",
    "C4": "D13",
    "C5": "D15",
    "C6": "C10",
    "C7": "D10",
    "C8": "D16",
    "C9": "D9",
    "C10": "C14",
    "C12": "C1",
    "C13": "C16",
    "C16": "D12",
    "D3": "C6",
    "D4": "C2",
    "D5": "C7",
}
"""Old cavity -> new cavity of one housing; C15 gets no new place.

Source: w-body.com, page "Base cluster to gauges cluster"; part of its table.
"""
LEFT_OVER = "C15"
MARKS = {
    "C1": ("tan/WH", "33"),
    "C3": ("GY", "8"),
    "C4": ("VT", "30"),
    "C5": ("DK GN", "389"),
    "C6": ("YE", "726"),
    "C7": ("BN/WH", "230"),
    "C8": ("", ""),
    "C9": ("", ""),
    "C10": ("BK/WH", "151"),
    "C12": ("PK/BK", "39"),
    "C13": ("PK/BK", "750"),
    "C15": ("PK/BK", "39"),
    "C16": ("DK GN/WH", "35"),
    "D3": ("tan/BK", "456"),
    "D4": ("LT BU", "14"),
    "D5": ("LT GN", "11"),
}
"""Colour and circuit number at each old cavity, where the same page names them."""


def design(text: str) -> Design:
    return load_text(text).design


def document(text: str) -> Document:
    return Document("design.yaml", load_text(text))


def cluster(places: dict[str, str], *, wires: bool, left_over: str = "") -> str:
    """The gauge plug with each old wire in the cavity `places` gives it."""
    rows = [[f"{row}{n}" for n in range(1, 17)] for row in "CD"]
    lines = ["format: 1", "looms: {body: {title: Body loom, status: existing}}", "plugs:"]
    lines += ["  X1:", "    title: Gauge plug", "    loom: body", "    contacts: sockets"]
    lines += [f"    face: {rows}".replace("'", ""), "    pins:"]
    for old, new in places.items():
        colour, circuit = MARKS[old]
        facts = [f"carries: wire {old}"]
        facts += [f"colour: {colour}", f"circuit: '{circuit}'"] if colour else []
        lines.append(f"      {new}: {{{', '.join(facts)}}}")
    if not wires:
        return "\n".join(lines) + "\n"
    lines += ["  X9:", "    title: Body plug", "    loom: body", "    face: [[C1]]", "splices:"]
    lines += [f"  J{n}: {{loom: body}}" for n in range(1, len(MARKS) + 1)]
    lines.append("wires:")
    for number, old in enumerate(MARKS, 1):
        colour = f", colour: {MARKS[old][0]}" if MARKS[old][0] else ""
        end = f", to: X1:{places[old]}" if old in places else ", fate: insulated, why: not used"
        lines.append(f"  W{number}: {{from: J{number}{end}{colour}, loom: body}}")
    return "\n".join(lines) + "\n"
