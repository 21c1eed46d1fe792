"""Random designs for property tests: dicts, and the same as text of a design file.

`designs()` gives designs that can always be read; what the rules say about them is open.
`design_text(design)` writes one as YAML. With `bad_ends=True` some wires end nowhere.
"""

from __future__ import annotations

import json
from typing import Any

from hypothesis import strategies as st

DesignDict = dict[str, Any]

COLOURS = ("BU/WH", "BN", "RD", "BK/YE", "GNYE", "lt bu", "VT/GY", "WH", "YE", "GN/YE", "OG/BK/RD")
SIZES = (0.35, 0.5, 0.75, 1.0, "1.5", 2.5, "18 AWG", "SAE 14", "10 mm2 / 8 AWG", 25)
LENGTHS = (0, 120, 850, "1.2 m", "3 ft", 4000)
_WORDS = ("feed", "charge lamp", "Zündung", "a < b & c", 'it\'s "so"', "*", "5 %", "{x: 1}", "# no")
_ROLES = ("supply", "earth", "sensor return", "screen", "input", "output", "sender", "bus")
_MARKS = ("top", "bottom", "left", "right")
_STANDARDS = ("iso-11446", "iso-1724")
_STYLES = (
    tuple(str(number) for number in range(1, 25)),
    tuple(f"{number:02}" for number in range(1, 25)),
    tuple(f"{number}a" for number in range(1, 25)),
    tuple("ABCDEFHJKLMNPRSTUVWXYZab"),
    tuple(f"{row}{place}" for row in "ABC" for place in range(1, 9)),
    ("L", "54g", "31", "R", "58R", "54", "58L", "NO", "1:2", "1e3", "0x1F", "010", "~", "true"),
)


def words() -> st.SearchStrategy[str]:
    """Free texts, also with characters that mean something in YAML, SVG or PDF."""
    letters = st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Cf", "Zl", "Zp", "Cn"))
    return st.sampled_from(_WORDS) | st.text(letters, max_size=12).map(str.strip)


@st.composite
def designs(draw: st.DrawFn, *, bad_ends: bool = False, max_plugs: int = 6) -> DesignDict:
    """One design: plugs of every kind of face, wires, splices, fuses, earths, devices, units.

    Args:
        bad_ends: let some ends name objects, cavities or terminals that are not there.
        max_plugs: number of plugs, 1 to this.
    """
    design: DesignDict = {"format": 1}
    if draw(st.booleans()):
        design["drawing"] = {"title": draw(words()), "number": "T-1", "revision": "A"}
        design["system"] = {"volts": draw(st.sampled_from((6, 12, 24, 48)))}
    design["looms"] = {
        "old": {"title": "Old loom", "status": "existing"},
        "new": {"title": "New loom", "status": "new", "insulation": "thin-wall 105"},
    }
    design["devices"] = draw(devices())
    design["plugs"], cavities = draw(plugs(list(design["devices"]), max_plugs))
    design |= draw(joints())
    ends = _ends(design, cavities)
    design["wires"] = draw(wires(ends, bad_ends=bad_ends))
    _parts_inside(draw, design, cavities)
    _extras(draw, design, ends)
    return design


@st.composite
def plugs(
    draw: st.DrawFn, device_ids: list[str], most: int = 6
) -> tuple[DesignDict, dict[str, list[str]]]:
    """Plugs by id, and the cavities of each."""
    made: DesignDict = {}
    cavities: dict[str, list[str]] = {}
    for number in range(1, draw(st.integers(1, most)) + 1):
        plug: DesignDict = {"title": draw(words())}
        name = f"X{number}"
        mates = [other for other, its in made.items() if "mates" not in its and "like" not in its]
        if mates and draw(st.booleans()):
            half = draw(st.sampled_from(mates))
            plug |= {"mates": half, "contacts": "sockets"}
            made[half] |= {"mates": name, "contacts": "pins"}
            cavities[name] = cavities[half]
        else:
            plug["face"], cavities[name] = draw(faces(cavities))
            if plug["face"] is None:
                del plug["face"]
        units = [device for device in device_ids if device.startswith("A")]
        if units and draw(st.booleans()):
            plug["of"] = draw(st.sampled_from(units))
        else:
            plug["loom"] = draw(st.sampled_from(("old", "new")))
        if draw(st.booleans()):
            plug["sealed"] = draw(st.booleans())
            plug["housing"] = draw(st.sampled_from(("round-edge 8", "flat 6")))
        if draw(st.integers(0, 3)) == 0:
            plug["drawn"] = draw(wishes()) | draw(st.sampled_from(({}, {"wires": "right"})))
        chosen = draw(st.lists(st.sampled_from(cavities[name]), unique=True, max_size=12))
        plug["pins"] = {cavity: draw(pins()) for cavity in chosen}
        made[name] = plug
    return made, cavities


@st.composite
def faces(draw: st.DrawFn, others: dict[str, list[str]]) -> tuple[Any, list[str]]:
    """One face of any kind, None where the plug has none, and its cavities."""
    names = list(draw(st.sampled_from(_STYLES)))
    names = names[: draw(st.integers(1, len(names)))]
    kinds = ["bare rows", "rows", "ring", "rings", "at", "standard", "none"]
    kind = draw(st.sampled_from(kinds + (["like"] if others else [])))
    marks = {"key": draw(st.sampled_from(_MARKS)), "latch": draw(st.sampled_from(_MARKS))}
    if kind == "like":
        other = draw(st.sampled_from(sorted(others)))
        return {"like": other}, others[other]
    if kind == "standard":
        standard = draw(st.sampled_from(_STANDARDS))
        return {"like": standard}, [str(number) for number in range(1, 8)]
    if kind == "none":
        return None, names
    if kind == "ring":
        turn = draw(st.sampled_from(("clockwise", "anticlockwise")))
        start = draw(st.sampled_from((*_MARKS, 22.5)))
        return {"ring": names, "turn": turn, "from": start, **marks}, names
    if kind == "rings":
        outer = {"names": names[1:] or ["Z9"], "radius": 9.5}
        rings = [{"names": names[:1], "radius": 0}, outer]
        return {"rings": rings, "key": marks["key"]}, names[:1] + outer["names"]
    if kind == "at":
        places = {name: [place % 5 * 4.5, place // 5 * 5] for place, name in enumerate(names)}
        side = draw(st.sampled_from(("mating side", "wire side")))
        unit = draw(st.sampled_from(("mm", "none")))
        return {"at": places, "seen_from": side, "unit": unit}, names
    width = draw(st.integers(1, 8))
    rows: list[list[str | None]] = [
        list(names[at : at + width]) for at in range(0, len(names), width)
    ]
    if draw(st.booleans()):
        rows[-1].insert(0, None)
    if kind == "bare rows":
        return rows, names
    face: dict[str, Any] = {"rows": rows, **marks}
    if draw(st.booleans()):
        face |= {"pitch": 4.2, "stagger": 0.5, "cavity": {"default": 1.5, names[0]: 2.8}}
    return face, names


@st.composite
def pins(draw: st.DrawFn) -> Any:
    """One pin: a bare word, or some of its keys."""
    if draw(st.integers(0, 4)) == 0:
        return draw(st.sampled_from(("empty", "blocked", "reserved")))
    whole = {
        "carries": words(),
        "circuit": st.sampled_from(("charge", "glow command", "panel feed")),
        "colour": st.sampled_from(COLOURS),
        "size": st.sampled_from(SIZES),
        "role": st.sampled_from(_ROLES),
        "source": st.just("engine manual p. 41"),
        "measured": st.just("2026-11-02"),
        "use": st.just("spare"),
        "note": words(),
    }
    chosen = draw(st.lists(st.sampled_from(sorted(whole)), unique=True, min_size=1))
    return {key: draw(whole[key]) for key in chosen}


def wishes() -> st.SearchStrategy[DesignDict]:
    """Where an object is to stand on the schematic."""
    sides = st.sampled_from(("left", "right"))
    columns = st.sampled_from((1, 2, 3, 9))
    return st.fixed_dictionaries({}, optional={"side": sides, "column": columns})


@st.composite
def devices(draw: st.DrawFn) -> DesignDict:
    """Devices of many kinds, always with one unit."""
    whole: DesignDict = {
        "G1": {"kind": "battery", "volts": 12.6, "resistance": "12 mohm"},
        "G2": {"kind": "alternator", "volts": 14.2, "amps": 65, "terminals": ["B", "L", "W"]},
        "S1": {
            "kind": "switch",
            "terminals": ["30", "15"],
            "positions": {"off": [], "run": [["30", "15"]]},
        },
        "K1": {
            "kind": "relay",
            "coil": {"from": 86, "to": 85, "ohms": 85},
            "rest": [[30, "87a"]],
            "pulled": [[30, 87]],
        },
        "P1": {"kind": "lamp", "watts": 55, "volts": 12, "terminals": [1, 2]},
        "M1": {"kind": "motor", "amps": 20, "volts": 12, "terminals": ["+", "-"]},
        "D1": {"kind": "diode"},
        "R1": {"kind": "resistor", "ohms": 47, "terminals": [1, 2]},
    }
    chosen = draw(st.lists(st.sampled_from(sorted(whole)), unique=True))
    units: DesignDict = {
        f"A{number}": {"kind": "unit", "title": draw(words())} for number in (1, 2)
    }
    if draw(st.integers(0, 3)) == 0:
        units["A1"]["drawn"] = draw(wishes())
    return {name: whole[name] for name in chosen} | units


@st.composite
def joints(draw: st.DrawFn) -> DesignDict:
    """Splices, fuses, a box and earths."""
    fuses = {
        f"F{n}": {"rating": draw(st.sampled_from((5, 10, 30))), "style": "blade"}
        for n in range(1, draw(st.integers(1, 4)) + 1)
    }
    found: DesignDict = {
        "fuses": fuses,
        "splices": {
            f"J{n}": {"zone": draw(st.sampled_from(("dry", "wet", "flexing", "branch")))}
            for n in range(1, draw(st.integers(1, 4)))
        },
        "earths": {
            f"EP{n}": {"kind": draw(st.sampled_from(("chassis", "engine", "isolated")))}
            for n in range(1, draw(st.integers(1, 3)) + 1)
        },
    }
    if draw(st.booleans()):
        bars = {"15": list(fuses)}
        found["boxes"] = {"FB1": {"title": "Fuse box", "bars": bars, "drawn": draw(wishes())}}
    return found


@st.composite
def wires(draw: st.DrawFn, ends: list[str], *, bad_ends: bool = False) -> DesignDict:
    """Wires between any two of the ends."""
    bad = ("X99:1", "X1:nowhere", "G9:plus", "J99") if bad_ends else ()
    end = st.sampled_from([*ends, *bad])
    made: DesignDict = {}
    for number in range(1, draw(st.integers(0, 14)) + 1):
        wire: dict[str, Any] = {"from": draw(end), "to": draw(end)}
        optional = {
            "colour": st.sampled_from(COLOURS),
            "size": st.sampled_from(SIZES),
            "length": st.sampled_from(LENGTHS),
            "loom": st.sampled_from(("old", "new")),
            "label": words(),
        }
        for key in draw(st.lists(st.sampled_from(sorted(optional)), unique=True)):
            wire[key] = draw(optional[key])
        if draw(st.integers(0, 6)) == 0:
            del wire["to"]
            wire |= {"fate": draw(st.sampled_from(("insulated", "removed"))), "why": "not used"}
        made[f"W{number}"] = wire
    return made


def design_text(design: DesignDict) -> str:
    """Write a design as the text of a design file, one object a line.

    Example:
        >>> print(design_text({"format": 1, "plugs": {"X1": {"title": "Plug"}}}))
        format: 1
        plugs:
          "X1": {"title": "Plug"}
        <BLANKLINE>
    """
    lines = []
    for section, value in design.items():
        if isinstance(value, dict) and value:
            lines.append(f"{section}:")
            lines += [f"  {_flow(name)}: {_flow(record)}" for name, record in value.items()]
        else:
            lines.append(f"{section}: {_flow(value)}")
    return "\n".join(lines) + "\n"


def _flow(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def _ends(design: DesignDict, cavities: dict[str, list[str]]) -> list[str]:
    ends = [f"{plug}:{name}" for plug, names in cavities.items() for name in names[:8]]
    ends += [f"{fuse}:{side}" for fuse in design["fuses"] for side in ("in", "out")]
    ends += [*design["splices"], *design["earths"]]
    for name, device in design["devices"].items():
        named = device.get("terminals") or {"battery": ["plus", "minus"]}.get(device["kind"], [])
        coil = ["86", "85", "30", "87", "87a"] if device["kind"] == "relay" else []
        ends += [f"{name}:{terminal}" for terminal in [*named, *coil]]
    ends += [f"{box}:{bar}" for box, its in design.get("boxes", {}).items() for bar in its["bars"]]
    return ends


def _parts_inside(draw: st.DrawFn, design: DesignDict, cavities: dict[str, list[str]]) -> None:
    """Give units whose plugs are drawn a lamp, a switch or a link inside."""
    for plug, its in design["plugs"].items():
        names = cavities[plug]
        if "of" not in its or len(names) < 2 or draw(st.booleans()):
            continue
        unit = design["devices"][its["of"]]
        inside = unit.setdefault("inside", {})
        between = {"from": f"{plug}:{names[0]}", "to": f"{plug}:{names[1]}"}
        part = draw(st.sampled_from(("lamp", "switch", "join")))
        if part == "join":
            inside[f"{plug}-link"] = {"join": list(between.values())}
        elif part == "lamp":
            inside[f"{plug}-lamp"] = {"kind": "lamp", "watts": 2.2, "volts": 12, **between}
        else:
            inside[f"{plug}-switch"] = {"kind": "switch", "closed_in": ["run"], **between}


def _extras(draw: st.DrawFn, design: DesignDict, ends: list[str]) -> None:
    """Add groups, states and a route where there is something to put in them."""
    wire_ids = list(design["wires"])
    if len(wire_ids) >= 2 and draw(st.booleans()):
        design["groups"] = {"SC1": {"twisted": wire_ids[:2], "screened": wire_ids[:2]}}
    if draw(st.booleans()):
        settings = {"S1": "run"} if "S1" in design["devices"] else {}
        design["states"] = {"key off": {}, "run": settings}
        design["route"] = [{"from": "N1", "to": "X1", "length": 400}]
        design["signals"] = {"hours": {"from": {"at": ends[0]}, "to": {"at": ends[-1]}}}
