"""Trees that the schema allows to one design."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import PurePath
from typing import TypeVar

from wiregen.facts.colours import COLOUR_KEYS, ColourError, check_own_key
from wiregen.model import Design, Loom
from wiregen.problems import Problem, Unreadable, did_you_mean
from wiregen.read import codes
from wiregen.read.build_devices import build_device
from wiregen.read.build_plugs import build_contact, build_plug
from wiregen.read.build_rest import (
    build_circuit,
    build_leg,
    build_signal,
    build_state,
    build_system,
    build_title_block,
    build_waiver,
)
from wiregen.read.build_wires import (
    build_box,
    build_bus,
    build_earth,
    build_fuse,
    build_group,
    build_loom,
    build_splice,
    build_wire,
)
from wiregen.read.include import FileTree
from wiregen.read.sections import Sections, sections_of
from wiregen.read.values import Fields, Reading
from wiregen.read.yaml_tree import text_of

T = TypeVar("T")


def build(files: Sequence[FileTree]) -> tuple[Design, tuple[Problem, ...]]:
    """Return the design of a main file and the files it includes, and the reader's findings.

    Args:
        files: main file first; each allowed by the schema.

    Raises:
        Unreadable: a quantity cannot be read, or keys do not go together.
    """
    reading = Reading()
    sections = sections_of(files, reading)
    reading.own_keys = _own_keys(sections, reading)
    sections.file_keys = {file.name: _file_key(file, reading) for file in files}
    design = _design(files[0], sections, reading)
    if reading.unreadable.problems:
        raise Unreadable(sorted(reading.unreadable.problems, key=lambda p: (p.span, p.message)))
    findings = sorted(reading.findings.problems, key=lambda p: (p.span, p.message))
    return replace(design, sources={file.name: file.text for file in files}), tuple(findings)


def _design(main: FileTree, sections: Sections, reading: Reading) -> Design:
    top = Fields(reading, main.tree, main.name, "", (1, 1, 0))
    records = sections.records
    looms = records("looms", _checked(build_loom))
    return Design(
        path=main.name,
        name=PurePath(main.name).stem,
        origin=top.origin,
        title_block=build_title_block(top.inner("drawing")),
        system=build_system(top.inner("system")),
        colour_key=sections.file_keys[main.name],
        variants=sections.texts("variants"),
        looms=looms,
        contacts=records("contacts", build_contact),
        plugs=records("plugs", _in_loom(build_plug, looms)),
        splices=records("splices", build_splice),
        fuses=records("fuses", build_fuse),
        boxes=records("boxes", build_box),
        earths=records("earths", build_earth),
        devices=records("devices", lambda name, f: build_device(name, f, sections)),
        circuits=records("circuits", build_circuit),
        wires=records("wires", _in_loom(build_wire, looms)),
        groups=records("groups", build_group),
        buses=records("buses", build_bus),
        states=records("states", build_state),
        route=tuple(build_leg(f) for f in sections.lists("route")),
        signals=records("signals", build_signal),
        waivers=tuple(build_waiver(f) for f in sections.lists("accepted")),
        colour_keys=reading.own_keys,
    )


def _checked(make: Callable[[str, Fields], T]) -> Callable[[str, Fields], T]:
    """Return a builder that first looks whether a `colour_key` is known."""

    def build_one(name: str, f: Fields) -> T:
        _known_key(f)
        return make(name, f)

    return build_one


def _in_loom(
    make: Callable[[str, Fields], T], looms: Mapping[str, Loom]
) -> Callable[[str, Fields], T]:
    """Return a builder that reads colours as the object, its loom or its file writes them."""

    def build_one(name: str, f: Fields) -> T:
        _known_key(f)
        loom = looms.get(f.text("loom"))
        key = f.text("colour_key") or (loom.colour_key if loom else "")
        return make(name, replace(f, colour_key=key) if key else f)

    return build_one


def _known_key(f: Fields) -> None:
    key = f.text("colour_key")
    legal = (*COLOUR_KEYS, *f.reading.own_keys)
    if key and key not in legal:
        said = f"'{key}' is not a colour key{did_you_mean(key, legal)}; legal: {', '.join(legal)}"
        f.fault(codes.WORD, "colour_key", said)


def _file_key(file: FileTree, reading: Reading) -> str:
    _known_key(Fields(reading, file.tree, file.name, "", file.tree.at))
    return text_of(file.tree.get("colour_key")) or COLOUR_KEYS[0]


def _own_keys(sections: Sections, reading: Reading) -> dict[str, dict[str, str]]:
    keys = {}
    for name, f in sections.entries("colour_keys").items():
        letters = {code: text_of(word) for code, word in f.node.items()}
        if name in COLOUR_KEYS:
            said = f"{f.path}: '{name}' is a built-in colour key; choose another name"
            reading.unreadable.add(codes.COMBINATION, "error", said, f.origin.span)
            continue
        try:
            check_own_key(name, letters)
        except ColourError as error:
            said = f"{f.path}: {error}"
            reading.unreadable.add(codes.WORD, "error", said, f.origin.span)
            continue
        keys[name] = letters
    return keys
