"""Another id for an object: its own key, and every place of the file that refers to it."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.edit.edits import EditError, Rename
from wiregen.edit.places import Entry, Place
from wiregen.edit.plan import Replacement
from wiregen.edit.yaml_text import yaml_text

SECTIONS = (
    "looms",
    "contacts",
    "plugs",
    "splices",
    "fuses",
    "boxes",
    "earths",
    "devices",
    "wires",
    "groups",
    "buses",
    "signals",
)
"""Sections whose ids share one space."""

REFERENCES = (
    "plugs.*.loom",
    "plugs.*.of",
    "plugs.*.mates",
    "plugs.*.contact",
    "plugs.*.face.like",
    "plugs.*.face.cavity.*",
    "plugs.*.pins.*.contact",
    "splices.*.loom",
    "earths.*.loom",
    "boxes.*.loom",
    "boxes.*.bars.*.[]",
    "fuses.*.fitted_on",
    "devices.*.loom",
    "devices.*.case",
    "devices.*.inside.*.case",
    "devices.*.inside.*.from",
    "devices.*.inside.*.to",
    "devices.*.inside.*.join.[]",
    "wires.*.from",
    "wires.*.to",
    "wires.*.was",
    "wires.*.loom",
    "groups.*.twisted.[]",
    "groups.*.screened.[]",
    "groups.*.multicore.[]",
    "groups.*.screen",
    "buses.*.members.[]",
    "buses.*.terminators.{}",
    "buses.*.through.[].[]",
    "states.*.{}",
    "route.[].from",
    "route.[].to",
    "signals.*.from.at",
    "signals.*.to.at",
    "accepted.[].object",
)
"""Where an id or an end may stand: `*` any key, `[]` any item, `{}` the keys themselves."""


def rename_spans(root: Place, rename: Rename) -> list[Replacement]:
    """Return the replacements that rename an object within one file.

    Raises:
        EditError: the file does not have the old id or has the new one already.
    """
    named = [
        entry
        for section in SECTIONS
        if section in root.entries
        for entry in root.entries[section].value.entries.values()
    ]
    if any(entry.key == rename.new for entry in named):
        raise EditError(f"'{rename.new}' is in the file already")
    spans = [_key_span(entry, rename.new) for entry in named if entry.key == rename.old]
    if not spans:
        raise EditError(f"there is no '{rename.old}' in the file")
    for pattern in REFERENCES:
        spans.extend(_references(root, pattern.split("."), rename))
    return sorted(spans)


def _references(place: Place, steps: list[str], rename: Rename) -> Iterator[Replacement]:
    if not steps:
        if place.kind == "scalar" and _owner(place.text) == rename.old:
            yield (place.start, place.end, yaml_text(_renamed(place.text, rename)))
        elif place.kind == "list":
            for item in place.items:
                yield from _references(item, steps, rename)
        return
    step, rest = steps[0], steps[1:]
    if step == "[]":
        for item in place.items:
            yield from _references(item, rest, rename)
    elif step == "{}":
        for entry in place.entries.values():
            if _owner(entry.key) == rename.old:
                yield _key_span(entry, _renamed(entry.key, rename))
    elif step == "*":
        for entry in place.entries.values():
            yield from _references(entry.value, rest, rename)
    elif step in place.entries:
        yield from _references(place.entries[step].value, rest, rename)


def _owner(text: str) -> str:
    return text.partition(":")[0]


def _renamed(text: str, rename: Rename) -> str:
    return rename.new + text[len(rename.old) :]


def _key_span(entry: Entry, new: str) -> Replacement:
    return (entry.start, entry.end, yaml_text(new))
