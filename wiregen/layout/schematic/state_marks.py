"""The marks of one operating state on a drawn sheet: on wires, beside pins, on lamps (mm)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wiregen.compute.numbers import amps
from wiregen.compute.wire_roles import Glow, WireRole
from wiregen.layout.lint_view import Index, Ink, inks_of
from wiregen.layout.schematic.block import NOTE_MM, words
from wiregen.layout.schematic.state_places import Room, label_end, legs_of
from wiregen.layout.schematic.state_view import StateView
from wiregen.sheet import style
from wiregen.sheet.items import Group, Item, Path, walk
from wiregen.sheet.metrics import text_width_mm
from wiregen.sheet.moves import bounds
from wiregen.sheet.state_shapes import HALOS, LIVE, REACH_MM, glowing, halo, state_mark
from wiregen.sheet.zones import Area

_LAMPS = ("lamp", "led")
_LEGEND = {
    "live": "live",
    "off": "switched off",
    "dead": "no voltage in any state",
    "earth": "earth",
    "floating": "floating",
    "open": "broken in this state",
}
_LEGEND_MM = 2.3
_STEP_MM = 2.0
_CURRENT_WORDS = "current this way"
_LAMP_WORDS = "bright lamp: burns, with rays in full"


def with_state(
    state: StateView, items: Sequence[Item], area: Area, *, mono: bool
) -> tuple[Item, ...]:
    """Return a drawn sheet with bands under its wires, marks on them, numbers beside them.

    Args:
        state: what the state does.
        items: the drawn sheet.
        area: marks and numbers stay within it.
        mono: only live wires get a band.
    """
    if not state.found:
        return tuple(items)
    wires = [i for i in items if isinstance(i, Group) and i.cls.split(" ")[0] == "wire"]
    bands = tuple(
        band
        for wire in wires
        for run, role in _bands(state, wire, mono)
        for band in halo(run, role)
    )
    shown = tuple(_with_lamps(state, item, "") for item in items)
    room = Room(shown, area)
    marks = [mark for wire in wires for mark in _wire_marks(state, wire, room)]
    volts = _volt_words(state, items, room)
    return (Group(bands, "halos"), *shown, Group((*marks, *volts), "state-marks"))


def _bands(
    state: StateView, wire: Group, mono: bool
) -> Iterator[tuple[tuple[tuple[float, float], ...], str]]:
    now = state.wires.get(dict(wire.data)["wire"])
    if now is not None and now.role in (("live",) if mono else HALOS):
        for path in wire.items:
            if isinstance(path, Path) and path.cls == "run":
                yield path.points, now.role


def _wire_marks(state: StateView, wire: Group, room: Room) -> Iterator[Item]:
    """Yield the mark of one wire as drawn, and its current, as near to its label as can be."""
    name = dict(wire.data)["wire"]
    now, legs = state.wires.get(name), legs_of(wire)
    if now is None or not legs:
        return
    middle = (legs[0].low + legs[0].high) / 2
    near = label_end(wire) or ((middle, legs[0].at) if legs[0].level else (legs[0].at, middle))
    text = amps(abs(now.amps_a)) if now.amps_a else ""
    wide = text_width_mm(text, NOTE_MM, bold=True) if text else 0.0
    spot = room.on_wire(name, legs, near, wide)
    if spot is None:
        return
    back = now.amps_a != 0 and (now.amps_a > 0) != spot.leg.forward
    upright = not spot.leg.level
    kind = _kind(now)
    size = spot.reach / REACH_MM
    mark = state_mark(kind, spot.x, spot.y, upright=upright, back=back, size=size)
    data = (("wire", name), ("role", now.role), ("amps", f"{now.amps_a:.4g}"))
    number = words(*spot.text, text, NOTE_MM, bold=True, cls="amps") if spot.text else None
    yield replace(mark, data=data, items=(*mark.items, number) if number else mark.items)


def _kind(now: WireRole) -> str:
    if now.amps_a and now.role in ("live", "earth"):
        return f"{now.role} current"
    return now.role


def _volt_words(state: StateView, items: Sequence[Item], room: Room) -> Iterator[Item]:
    """Yield the voltage beside the pins of loads and beside splices, where there is room."""
    done: set[str] = set()
    for item in walk(tuple(items)):
        if not isinstance(item, Group) or item.cls != "pin":
            continue
        data = dict(item.data)
        node, text = state.volts.get(data["pin"], ("", ""))
        if not text or node in done:
            continue
        at = room.beside((float(data["x"]), float(data["y"])), text_width_mm(text, NOTE_MM))
        if at is not None:
            done.add(node)
            volts = words(*at, text, NOTE_MM, colour=LIVE)
            yield Group((volts,), "volts", data=(("pin", data["pin"]),))


def _with_lamps(state: StateView, item: Item, device: str) -> Item:
    """Return an item with the lamps in it that light."""
    if not isinstance(item, Group):
        return item
    data = dict(item.data)
    if item.cls == "symbol":
        if data["kind"] not in _LAMPS:
            return item
        pair = (data["from"], data["to"]) if "from" in data else (device,)
        glow: Glow = state.lamps.get(frozenset(pair), "dark")
        if glow == "dark":
            return item
        left, top, right, bottom = bounds(item.items)
        return glowing(item, ((left + right) / 2, (top + bottom) / 2), lit=glow == "lit")
    owner = data.get("device", device)
    if not any(isinstance(part, Group) for part in item.items):
        return item
    return replace(item, items=tuple(_with_lamps(state, part, owner) for part in item.items))


def state_legend(state: StateView, area: Area, drawn: Sequence[Item]) -> tuple[Item, ...]:
    """Return the legend of the marks, in one line over the drawing, as far right as it is free.

    Args:
        state: what the state does.
        area: the room for the drawing.
        drawn: the drawing, whose topmost words may reach a little over its area.
    """
    if not state.found:
        return ()
    entries: list[tuple[str, str]] = []
    used = {now.role for now in state.wires.values()}
    flowing = {now.role for now in state.wires.values() if now.amps_a}
    for role, said in _LEGEND.items():
        if role in used:
            entries.append((role, f"{said}, no current" if role in flowing else said))
        if role in flowing and role in ("live", "earth"):
            entries.append((f"{role} current", f"{said}, {_CURRENT_WORDS}"))
    lamps = _LAMP_WORDS if any(glow != "dark" for glow in state.lamps.values()) else ""
    room = [2 * REACH_MM + 1.2 + text_width_mm(text, _LEGEND_MM) + 4.0 for _, text in entries]
    lamps_mm = text_width_mm(lamps, _LEGEND_MM) + 4.0 if lamps else 0.0
    x, y = _free_left(area, lamps_mm + sum(room) - 4.0, inks_of(drawn)), area.y - 0.8
    items: list[Item] = []
    if lamps:
        items.append(words(x, y, lamps, _LEGEND_MM))
        x += lamps_mm
    for (kind, text), wide in zip(entries, room, strict=True):
        items.append(state_mark(kind, x + REACH_MM, y - 0.8))
        items.append(words(x + 2 * REACH_MM + 1.2, y, text, _LEGEND_MM, colour=style.INK))
        x += wide
    return (Group(tuple(items), "state-legend"),)


def _free_left(area: Area, wide: float, taken: Index[Ink]) -> float:
    """Return where a legend over a drawing begins: as far right as nothing is in its way, mm."""
    last = area.right - wide
    for step in range(int(max(0.0, last - area.x) / _STEP_MM) + 1):
        left = last - step * _STEP_MM
        if taken.is_free(Ink("", left, area.y - 2 * REACH_MM, left + wide, area.y)):
            return left
    return last
