"""A re-pin written into the design with the old wires: pins, ends and fates."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wiregen.edit import Edit, RemoveKey, SetKey, edit_text
from wiregen.intake.copies import value_of
from wiregen.intake.half import Half
from wiregen.intake.re_pin import OldWire, RePin
from wiregen.read.yaml_tree import Map, read_tree


def re_pinned_text(start: Half, plan: RePin) -> str:
    """Return the design file of a plug as it is after the re-pin, all else as it was.

    Args:
        start: the plug with the old wires, from a design.
        plan: the job.

    Returns:
        The text of the main file: pins in their new cavities, emptied cavities `empty`, every
        wire of that plug with its fate and the cavity it `was` in.
    """
    assert start.design is not None
    path = start.design.path
    text = start.design.sources[path]
    return edit_text(text, list(_edits(start, plan, read_tree(text, path))), path)


def _edits(start: Half, plan: RePin, tree: Map) -> Iterator[Edit]:
    plug = start.own_ids.get(start.plugs[0], start.plugs[0])
    pins = ((tree.get("plugs") or {}).get(plug) or {}).get("pins") or {}
    after = {fate.end: pins[fate.wire.cavity] for fate in plan.fates if _known(fate, pins)}
    for fate in plan.fates:
        cavity = fate.wire.cavity
        if cavity in pins and cavity not in after:
            yield SetKey(("plugs", plug, "pins"), cavity, "empty")
        if fate.end and fate.fate == "moved" and cavity in pins:
            yield SetKey(("plugs", plug, "pins"), fate.end, value_of(pins[cavity]))
    fates = {f"{plug}:{fate.wire.cavity}": fate for fate in plan.fates}
    for name, wire in (tree.get("wires") or {}).items():
        yield from _wire_edits(name, wire, plug, fates)


def _known(fate: OldWire, pins: Mapping[str, object]) -> bool:
    return bool(fate.end) and fate.wire.cavity in pins


def _wire_edits(
    name: str, wire: Mapping[str, str], plug: str, fates: Mapping[str, OldWire]
) -> Iterator[Edit]:
    key = next((key for key in ("from", "to") if wire.get(key) in fates), "")
    if not key:
        return
    old = wire[key]
    fate = fates[old]
    path = ("wires", name)
    if fate.fate == "moved":
        yield SetKey(path, key, f"{plug}:{fate.end}")
        yield SetKey(path, "was", old)
    elif fate.fate == "insulated":
        yield RemoveKey(path, key)
        yield SetKey(path, "was", old)
        yield SetKey(path, "why", fate.why)
    yield SetKey(path, "fate", fate.fate)
