"""Invented vehicles of any size as design files: what a real loom has, in believable amounts.

Two fuse boxes, relays and switches in front of the loads, loads behind plugs between looms, earth
splices, and units that read sensors with a shared supply and return.
"""

from __future__ import annotations

import json
import random

LOADS = (
    ("work light", "lamp", 55, 1.5), ("side light", "lamp", 5, 0.75), ("beacon", "lamp", 21, 1.0),
    ("wiper motor", "motor", 60, 2.5), ("blower", "motor", 120, 2.5), ("horn", "horn", 40, 1.5),
    ("fuel heater", "heater", 150, 2.5), ("valve", "solenoid", 20, 1.0), ("pump", "motor", 80, 2.5),
    ("step lamp", "lamp", 5, 0.75), ("socket", "socket", 100, 2.5),
    ("mirror heater", "heater", 30, 1.0),
)  # fmt: skip
SENSORS = (
    "oil pressure",
    "coolant",
    "air filter",
    "hydraulic oil",
    "boost",
    "fuel",
    "speed",
    "lift",
)
PLACES = ("front left", "front right", "roof", "rear left", "rear right", "cab", "engine", "dash")
COLOURS = ("RD", "BK", "BU", "GN", "YE", "WH", "BN", "GY", "VT", "OG", "PK")
PLUG_SIZES = (6, 8, 12, 16, 24)


class _Vehicle:
    """Collects the objects of one vehicle; every choice comes from one seeded generator."""

    def __init__(self, seed):
        self.draw = random.Random(f"vehicle {seed}")
        self.sections = {
            name: {}
            for name in ("plugs", "fuses", "boxes", "splices", "earths", "devices", "wires")
        }
        self.count = {}
        self.open_pairs = {}
        self.command_places = []

    def new(self, section, letter, record):
        self.count[letter] = self.count.get(letter, 0) + 1
        name = f"{letter}{self.count[letter]}"
        self.sections[section][name] = record
        return name

    def wire(self, start, end, loom, size=0.75, colour=None):
        if colour is None:
            base, tracer = self.draw.sample(COLOURS, 2)
            colour = base if self.draw.random() < 0.3 else f"{base}/{tracer}"
        record = {"from": start, "to": end, "colour": colour, "size": size, "loom": loom}
        self.new("wires", "W", record)
        return colour

    def through(self, start, one, other, carries, size):
        """Lead a wire through the plug between two looms; returns the pin at the far half."""
        pair = self.open_pairs.get((one, other))
        if not pair or not pair[2]:
            ways = self.draw.choice(PLUG_SIZES)
            half = {"title": f"{one} to {other}", "loom": one, "contacts": "sockets"}
            half["face"] = [
                list(range(row * ways // 2 + 1, (row + 1) * ways // 2 + 1)) for row in (0, 1)
            ]
            half["pins"] = {}
            near = self.new("plugs", "X", half)
            back = {"title": f"{other} to {one}", "loom": other, "contacts": "pins", "mates": near}
            far = self.new("plugs", "X", back)
            pair = self.open_pairs[one, other] = near, far, list(range(1, ways + 1))
        near, far, free = pair
        pin = free.pop(0)
        self.sections["plugs"][near]["pins"][pin] = {"carries": carries}
        colour = self.wire(start, f"{near}:{pin}", one, size)
        return f"{far}:{pin}", colour

    def basics(self):
        """Battery, alternator, key switch, two fuse boxes and earths."""
        s = self.sections
        s["devices"] |= {
            "G1": {"kind": "battery", "title": "Battery", "volts": 12.6},
            "G2": {"kind": "alternator", "title": "Alternator", "volts": 14.2, "amps": 95,
                   "terminals": ["B", "L", "W"], "case": "EP1"},
            "S1": {"kind": "switch", "title": "Key switch", "terminals": [30, 15, 50],
                   "positions": {"off": [], "run": [[30, 15]], "start": [[30, 15], [30, 50]]}},
            "M1": {"kind": "motor", "title": "Starter", "use": "starter", "amps": 220,
                   "volts": 12, "terminals": [30, 50, 31], "case": "EP1"},
        }  # fmt: skip
        self.count |= {"G": 2, "S": 1, "M": 1}
        s["earths"] |= {
            "EP1": {"kind": "engine", "title": "engine block"},
            "EP2": {"kind": "chassis", "title": "cab floor"},
            "EP3": {"kind": "chassis", "title": "rear frame"},
        }
        s["boxes"]["FB1"] = {"title": "Cab fuse box", "loom": "cab", "bars": {"30": [], "15": []}}
        s["boxes"]["FB2"] = {"title": "Engine bay box", "loom": "engine", "bars": {"30": []}}
        for title, rating in (("Engine bay", 80), ("Cab", 80), ("Key switch", 30), ("Charge", 125)):
            record = {"title": title, "rating": rating, "style": "bolt-on", "fitted_on": "G1:plus"}
            self.new("fuses", "F", record)
        for start, end, loom, size, colour in (
            ("G1:plus", "M1:30", "engine", 35, "RD"), ("F4:out", "G2:B", "engine", 16, "RD"),
            ("G1:minus", "EP2", "engine", 35, "BK"), ("F1:out", "FB2:30", "engine", 10, "RD"),
            ("F2:out", "FB1:30", "engine", 10, "RD"), ("F3:out", "S1:30", "cab", 4, "RD"),
            ("S1:15", "FB1:15", "cab", 4, "BK/BU"), ("S1:50", "M1:50", "engine", 2.5, "WH/VT"),
            ("EP1", "EP2", "engine", 35, "BK"),
        ):  # fmt: skip
            self.wire(start, end, loom, size, colour)

    def fuse(self, box, bar, title, rating):
        name = self.new("fuses", "F", {"title": title, "rating": rating, "style": "blade"})
        self.sections["boxes"][box]["bars"][bar].append(name)
        return f"{name}:out"

    def load(self):
        """One consumer, or a left and right pair of them, behind its fuse."""
        title, kind, watts, size = self.draw.choice(LOADS)
        place = self.draw.choice(PLACES)
        loom = "engine" if place == "engine" else "rear" if "rear" in place else "cab"
        name = f"{place} {title}"
        box, bar = self.draw.choice((("FB1", "15"), ("FB1", "30"), ("FB2", "30")))
        home = "cab" if box == "FB1" else "engine"
        at = self.fuse(box, bar, name, self.draw.choice((5, 10, 15, 20)))
        if watts >= 55:
            at = self.relay(at, name, home, size)
        elif self.draw.random() < 0.6:
            record = {"kind": "switch", "title": f"{title} switch", "terminals": [1, 2],
                      "positions": {"off": [], "on": [[1, 2]]}}  # fmt: skip
            switch = self.new("devices", "S", record)
            self.wire(at, f"{switch}:1", home, size)
            at = f"{switch}:2"
        colour = None
        if loom != home:
            at, colour = self.through(at, home, loom, name, size)
        loads = 2 if kind == "lamp" and self.draw.random() < 0.5 else 1
        if loads == 2:
            joint = self.new("splices", "J", {"title": name, "loom": loom})
            self.wire(at, joint, loom, size, colour)
            at = joint
        earth = self.draw.choice(("EP2", "EP3") if loom != "engine" else ("EP1",))
        for _ in range(loads):
            letter = {"lamp": "P", "motor": "M", "heater": "E"}.get(kind, "B")
            record = {"kind": kind, "title": name, "terminals": [1, 2], "watts": watts, "volts": 12}
            device = self.new("devices", letter, record)
            self.wire(at, f"{device}:1", loom, size, colour)
            self.wire(f"{device}:2", earth, loom, size, "BN")

    def relay(self, feed, title, loom, size):
        """A relay that switches a load, its coil worked by a switch on the dash."""
        record = {"kind": "relay", "title": f"{title} relay", "loom": loom,
                  "coil": {"from": 86, "to": 85, "ohms": 85},
                  "pulled": [[30, 87]], "rest": []}  # fmt: skip
        relay = self.new("devices", "K", record)
        self.wire(feed, f"{relay}:30", loom, size)
        switch = self.new(
            "devices", "S", {"kind": "switch", "title": f"{title} switch", "terminals": [1, 2],
                             "positions": {"off": [], "on": [[1, 2]]}}
        )  # fmt: skip
        self.wire(self.commands(), f"{switch}:1", "cab", 0.75)
        if loom == "cab":
            self.wire(f"{switch}:2", f"{relay}:86", loom, 0.75)
        else:
            at, colour = self.through(f"{switch}:2", "cab", loom, f"{title} command", 0.75)
            self.wire(at, f"{relay}:86", loom, 0.75, colour)
        self.wire(f"{relay}:85", "EP2" if loom == "cab" else "EP1", loom, 0.75, "BN")
        return f"{relay}:87"

    def commands(self):
        """The splice that feeds the next switch of a relay; a fuse feeds five switches."""
        if not self.command_places:
            joint = self.new("splices", "J", {"title": "relay commands", "loom": "cab"})
            self.wire(self.fuse("FB1", "15", "relay commands", 5), joint, "cab", 0.75)
            self.command_places = [joint] * 5
        return self.command_places.pop()

    def unit(self):
        """A control unit with one plug and sensors that share supply and return."""
        name = self.new("devices", "A", {"kind": "unit", "title": "Control unit"})
        face = [list(range(1, 13)), list(range(13, 25))]
        plug = self.new(
            "plugs", "X", {"title": "Unit plug", "of": name, "contacts": "pins", "face": face}
        )
        record = {
            "title": "Unit plug, loom side",
            "loom": "cab",
            "contacts": "sockets",
            "mates": plug,
        }
        half = self.new("plugs", "X", record)
        pins = self.sections["plugs"][plug]["pins"] = {
            1: {"carries": "supply", "role": "supply"}, 2: {"carries": "earth", "role": "earth"},
            3: {"carries": "sensor 5 V"}, 4: {"carries": "sensor return", "role": "sensor return"},
        }  # fmt: skip
        self.wire(self.fuse("FB1", "15", "control unit", 10), f"{half}:1", "cab", 1.0)
        self.wire(f"{half}:2", "EP2", "cab", 1.0, "BN")
        joints = [
            self.new("splices", "J", {"title": t, "loom": "engine"}) for t in ("5 V", "return")
        ]
        for pin, joint in zip((3, 4), joints, strict=True):
            at, colour = self.through(f"{half}:{pin}", "cab", "engine", "sensors", 0.5)
            self.wire(at, joint, "engine", 0.5, colour)
        for n in range(self.draw.randint(3, 5)):
            title = self.draw.choice(SENSORS)
            record = {"kind": "sensor", "title": f"{title} sensor", "terminals": [1, 2, 3]}
            sensor = self.new("devices", "B", record)
            pins[5 + n] = {"carries": f"{title} signal", "role": "input"}
            self.wire(joints[0], f"{sensor}:1", "engine", 0.5)
            self.wire(f"{sensor}:2", joints[1], "engine", 0.5)
            at, colour = self.through(f"{half}:{5 + n}", "cab", "engine", f"{title} signal", 0.5)
            self.wire(at, f"{sensor}:3", "engine", 0.5, colour)


def vehicle(wires, seed=1):
    """Return the text of the design file of a vehicle with about so many wires."""
    made = _Vehicle(seed)
    made.basics()
    while len(made.sections["wires"]) < wires:
        (made.unit if made.draw.random() < 0.12 else made.load)()
    lines = [
        "format: 1",
        f"drawing: {{title: Orchard sprayer {seed}, number: OS-{seed:03}, revision: A}}",
        "system: {volts: 12}",
        "looms:",
    ]
    lines += [f"  {name}: {{title: {name.capitalize()} loom, status: {status}}}" for name, status in
              (("cab", "existing"), ("engine", "existing"), ("rear", "new"))]  # fmt: skip
    for section, records in made.sections.items():
        if not records:  # a small vehicle may have no plugs
            continue
        lines.append(f"{section}:")
        lines += [f"  {name}: {json.dumps(record)}" for name, record in records.items()]
    return "\n".join(lines) + "\n"
