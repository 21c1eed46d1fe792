"""Seeded wiring graphs: plugs with fixed pins on two sides, fuses, splices, earths and lamps.

A graph is a plain dictionary, lengths in units of which twelve are one pin pitch.
"""

from __future__ import annotations

import random

from wiregen.layout.engine import Box, Graph, Link, Pin

PITCH = 12
# plugs, wires, fuses, splices, earths, lamps, columns
SIZES = {
    "small": (2, 14, 2, 1, 1, 1, 2),
    "medium": (6, 60, 5, 3, 3, 3, 3),
    "large": (25, 400, 24, 20, 12, 14, 4),
    "huge": (120, 3000, 120, 120, 40, 60, 6),
}
# Reference: layered orthogonal layout with fixed ports of a general graph library, default
# settings. Per size and seed: crossings, bends, length in units of one twelfth of a pin pitch.
REFERENCE = {
    "small": {
        1: (22, 34, 4590),
        2: (21, 32, 4885),
        3: (14, 32, 4296),
        4: (12, 30, 3918),
        5: (14, 32, 4948),
        6: (18, 32, 4331),
        7: (18, 32, 4658),
        8: (11, 32, 4631),
    },
    "medium": {
        1: (203, 148, 42258),
        2: (211, 164, 47209),
        3: (186, 144, 42912),
        4: (246, 160, 58380),
        5: (192, 150, 34603),
        6: (196, 150, 31900),
        7: (315, 158, 54155),
        8: (130, 144, 37459),
        9: (216, 136, 36665),
        10: (238, 158, 41932),
        11: (165, 158, 50768),
        12: (148, 136, 38397),
    },
    "large": {1: (6474, 1118, 1132719), 2: (5600, 1122, 1077759)},
}

COLOURS = ("BK", "RD", "BU", "GN", "YE", "WH", "BN", "GY", "VT", "OG")
AREAS = ("0.5", "0.75", "1.0", "1.5", "2.5")


def _node(name, kind, west, east):
    tall = max(west, east)
    if kind == "plug":
        width, height, first = 96, 24 + PITCH * tall, 24
    elif kind == "splice":
        width, height, first = 12, PITCH * (tall + 1), PITCH
    else:
        width, height, first = 36, 24, 12
    pins = {}
    for side, count in (("W", west), ("E", east)):
        shift = (tall - count) // 2 if kind == "splice" and count else 0
        for i in range(count):
            place = first + PITCH * (i + shift)
            pins[str(len(pins) + 1)] = (side, 0 if side == "W" else width, place)
    return {"id": name, "kind": kind, "w": width, "h": height, "pins": pins}


class _Maker:
    """Draws one graph; every choice comes from one seeded generator in a fixed sequence."""

    def __init__(self, size, seed):
        self.draw = random.Random(f"{size}{seed}")
        self.size = size
        plugs, self.count, self.fuses, self.splices, self.earths, self.lamps, self.columns = SIZES[
            size
        ]
        self.nodes, self.wires, self.free, self.level = {}, [], {}, {}
        for i in range(plugs):
            self._plug(i, 2 * self.count / plugs)
        self.plugs = list(self.nodes)
        groups = plugs // self.columns // 3 or 1
        self.group = {p: (int(p[1:]) - 1) // self.columns % max(1, groups) for p in self.plugs}

    def _add(self, name, kind, west, east):
        node = _node(name, kind, west, east)
        self.nodes[name] = node
        for pin, (side, _, _) in node["pins"].items():
            self.free.setdefault((name, side), []).append(pin)

    def _plug(self, i, mean):
        level = i % self.columns
        big = self.draw.random() < 0.3 or self.size == "small"
        share = self.draw.uniform(1.3, 1.8) if big else self.draw.uniform(0.5, 1.4)
        pins = 12 if self.size == "small" else max(4, min(60, int(mean * share)))
        west, east = pins // 2, pins - pins // 2
        if level == 0:
            west, east = 0, pins
        elif level == self.columns - 1:
            west, east = pins, 0
        self._add(f"X{i + 1}", "plug", west, east)
        self.level[f"X{i + 1}"] = level

    def _wire(self, a, pin_a, b, pin_b):
        name = f"W{len(self.wires) + 1}"
        label = f"{name} {self.draw.choice(COLOURS)} {self.draw.choice(AREAS)}"
        self.wires.append({"id": name, "a": [a, pin_a], "b": [b, pin_b], "label": label})

    def _take(self, plug, side, near=None):
        free = self.free.get((plug, side)) or []
        if not free:
            return None
        if near is None:
            return free.pop(self.draw.randrange(len(free)))
        return free.pop(min(range(len(free)), key=lambda i: (abs(int(free[i]) - near), i)))

    def _pick(self, side, low=None, high=None, group=None):
        fits = [
            p
            for p in self.plugs
            if self.free.get((p, side))
            and (low is None or self.level[p] >= low)
            and (high is None or self.level[p] <= high)
        ]
        if group is not None:
            near = [p for p in fits if self.group[p] == group]
            if near and self.draw.random() < 0.8:
                fits = near
        return self.draw.choice(fits) if fits else None

    def _source(self):
        return self._pick("E", 0, self.columns - 2)

    def _load(self, source):
        return self._pick("W", self.level[source] + 1, None, self.group[source])

    def _two_terminal(self, name, kind):
        source = self._source()
        self._add(name, kind, 1, 1)
        load = self._load(source)
        self._wire(source, self._take(source, "E"), name, self.free[name, "W"].pop())
        self._wire(name, self.free[name, "E"].pop(), load, self._take(load, "W"))

    def _splice(self, name):
        count = 2 if self.size == "small" else None
        drawn = self.draw.choice([2, 3, 3, 4]) if count is None else count
        source = self._source()
        self._add(name, "splice", 1, drawn)
        self._wire(source, self._take(source, "E"), name, self.free[name, "W"].pop())
        for _ in range(drawn):
            load = self._load(source)
            if load is None:
                return
            self._wire(name, self.free[name, "E"].pop(0), load, self._take(load, "W"))

    def _earth(self, name):
        source = self._source()
        self._add(name, "earth", 1, 0)
        self._wire(source, self._take(source, "E"), name, self.free[name, "W"].pop())

    def _ends(self, chance):
        """Return two plugs and the edges a bundle runs between, None to try again."""
        if chance < 0.90 or self.size == "small":
            a = self._source()
            if not a:
                return False
            high = self.level[a] + (1 if self.draw.random() < 0.7 else 3)
            b = self._pick("W", self.level[a] + 1, high, self.group[a])
            return (a, "E", b, "W") if b else None
        if chance < 0.96:
            side = self.draw.choice("EW")
            a = self._pick(side)
            b = self._pick(side, None, None, self.group[a]) if a else None
            return (a, side, b, side) if b and b != a else None
        a = self._pick("E", 1)
        b = self._pick("W", None, self.level[a]) if a else None
        return (a, "E", b, "W") if b and b != a else None

    def _bundle(self, a, side_a, b, side_b):
        pin_a, pin_b = self._take(a, side_a), self._take(b, side_b)
        if pin_a is None or pin_b is None:
            if pin_a:
                self.free[a, side_a].append(pin_a)
            if pin_b:
                self.free[b, side_b].append(pin_b)
            return
        self._wire(a, pin_a, b, pin_b)
        at_a, at_b = int(pin_a), int(pin_b)
        for _ in range(self.draw.choice([0, 0, 1, 2, 3, 5])):
            if len(self.wires) >= self.count:
                break
            pin_a = self._take(a, side_a, at_a + 1)
            if pin_a is None:
                break
            pin_b = self._take(b, side_b, at_b + self.draw.choice([1, 1, 1, -1, 2]))
            if pin_b is None:
                self.free[a, side_a].append(pin_a)
                self.free[a, side_a].sort(key=int)
                break
            self._wire(a, pin_a, b, pin_b)
            at_a, at_b = int(pin_a), int(pin_b)
        for key in ((a, side_a), (b, side_b)):
            self.free[key].sort(key=int)

    def make(self):
        for i in range(self.fuses):
            self._two_terminal(f"F{i + 1}", "fuse")
        for i in range(self.splices):
            self._splice(f"S{i + 1}")
        for i in range(self.earths):
            self._earth(f"G{i + 1}")
        for i in range(self.lamps):
            self._two_terminal(f"L{i + 1}", "lamp")
        for _ in range(20 * self.count):
            if len(self.wires) >= self.count:
                break
            ends = self._ends(self.draw.random())
            if ends is False:
                break
            if ends:
                self._bundle(*ends)
        return {"nodes": self.nodes, "wires": self.wires}


def wiring(size, seed):
    """Return the seeded graph of a size: nodes by name and the list of wires."""
    return _Maker(size, seed).make()


def as_graph(wiring_graph, pitch_mm=5.0, label_mm=26.0, **options):
    """Return the engine's graph for a seeded one, with the pin pitch scaled to `pitch_mm`."""
    scale = pitch_mm / PITCH
    boxes = tuple(
        Box(
            name,
            node["w"] * scale,
            node["h"] * scale,
            tuple(
                Pin(pin, side, dx * scale, dy * scale)
                for pin, (side, dx, dy) in node["pins"].items()
            ),
        )
        for name, node in wiring_graph["nodes"].items()
    )
    links = tuple(
        Link(wire["id"], tuple(wire["a"]), tuple(wire["b"]), label_mm)
        for wire in wiring_graph["wires"]
    )
    return Graph(boxes, links, pitch=pitch_mm, **options)
