"""A design to start from: one plug with its face, and the lines that are to be filled in."""

from __future__ import annotations

import re
from dataclasses import dataclass

from wiregen.edit import yaml_text
from wiregen.edit.yaml_text import Value
from wiregen.facts.faces import face, list_faces, list_pinouts, pinout
from wiregen.intake.number import Number
from wiregen.problems import did_you_mean

_NAME = re.compile(r"\S{1,40}")
_GAPS = ("~", "-", "_")


class StarterError(ValueError):
    """An answer cannot be used; one line for the user."""


@dataclass(frozen=True, slots=True)
class Starter:
    """What is known at the start.

    Attributes:
        title: of the drawing.
        plug: title of the first plug.
        face: rows as seen from the mating side, `1 2 3 / 4 5 6`, `~` for a gap; or the name of a
            standard face.
        contacts: `pins` or `sockets`; empty when not known.
        volts: nominal; empty when not known.
    """

    title: str = ""
    plug: str = ""
    face: str = ""
    contacts: str = ""
    volts: str = ""


def starter_text(starter: Starter) -> str:
    """Return a design file with remarks that say how to go on.

    Raises:
        StarterError: the face or the volts cannot be read.
    """
    standard = starter.face if starter.face in list_faces() else ""
    rows = [] if standard else _rows(starter.face)
    lines = [
        "# Everything after # is a remark. Write what is known; what is missing is reported as",
        "# not checked, never guessed. Take the # away from a line to use it.",
        "format: 1",
        f"drawing: {{title: {yaml_text(starter.title or 'My loom')}, number: 1, revision: A}}",
        *([f"system: {{volts: {_volts(starter.volts)}}}"] if starter.volts else []),
        "looms:",
        "  loom: {title: Loom as it is, status: existing}      # existing, new or removed",
        "plugs:",
        "  X1:                        # one record is one half of a connector",
        f"    title: {yaml_text(starter.plug or 'First plug')}",
        "    loom: loom",
    ]
    lines.append(
        f"    contacts: {starter.contacts}"
        if starter.contacts
        else "    # contacts: sockets      # or pins: the contacts decide, not the shell"
    )
    lines += _face_lines(standard, rows)
    lines += _standard_pins(standard) if standard in list_pinouts() else _open_pins(standard, rows)
    lines += [
        "# earths:",
        "#   EP1: {title: frame stud, kind: chassis}",
        "# wires:                     # lengths in mm, sizes in mm2",
        "#   W1: {from: X1:1, to: EP1, colour: BN, size: 1.5, length: 600, loom: loom}",
    ]
    return "\n".join(lines) + "\n"


def _face_lines(standard: str, rows: list[list[str]]) -> list[str]:
    if standard:
        return [f"    standard: {standard}", f"    face: {{like: {standard}}}"]
    gapped = [[None if name in _GAPS else name for name in row] for row in rows]
    written = ", ".join(yaml_text(list[Value](row)) for row in gapped)
    return [
        "    # rows of cavities as seen from the mating side, key at the top; ~ is a gap",
        f"    face: [{written}]",
    ]


def _standard_pins(standard: str) -> list[str]:
    lines = ["    pins:                    # as the standard says: measure before you trust it"]
    for name, pin in pinout(standard).items():
        value: dict[str, Value] = {"carries": pin.function}
        if pin.colour:
            value["colour"] = pin.colour
        if pin.size:
            value["size"] = Number(pin.size) if re.fullmatch(r"[\d.]+", pin.size) else pin.size
        value["source"] = standard.replace("-", " ").upper()
        lines.append(f"      {yaml_text(name)}: {yaml_text(value)}")
    return lines


def _open_pins(standard: str, rows: list[list[str]]) -> list[str]:
    names = [name for row in rows for name in row if name not in _GAPS]
    names = list(face(standard).cavities) if standard else names
    lines = ["    pins:                    # or: 3: empty, 3: blocked, 3: reserved"]
    example = "{carries: , colour: BU/WH, size: 1.0, source: traced, measured: 2026-01-30}"
    first, *rest = names
    lines.append(f"      {yaml_text(first)}: {{carries: not known yet, source: none}}")
    return [*lines, *(f"    #  {yaml_text(name)}: {example}" for name in rest)]


def _rows(text: str) -> list[list[str]]:
    rows = [row.replace(",", " ").split() for row in text.split("/")]
    rows = [row for row in rows if row] or [["1", "2"]]
    names = [name for row in rows for name in row if name not in _GAPS]
    if re.fullmatch(r"(?i)(iso|sae|din)-\S+", text.strip()):
        raise StarterError(f"no standard face '{text}'{did_you_mean(text, list_faces())}")
    for name in names:
        if not _NAME.fullmatch(name) or names.count(name) > 1:
            raise StarterError(
                f"cavity '{name[:40]}' is there twice or too long; write rows such as"
                f" '1 2 3 / 4 5 6', or one of {', '.join(list_faces())}"
                + did_you_mean(text, list_faces())
            )
    if not names:
        raise StarterError("a face needs at least one cavity")
    return rows


def _volts(text: str) -> str:
    bare = text.strip().removesuffix("V").strip()
    if not re.fullmatch(r"\d{1,3}(\.\d+)?", bare):
        raise StarterError(f"'{text}' is no voltage; write 12 or 24")
    return bare
