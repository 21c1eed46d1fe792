"""Plugs of a table as text of a design file."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from wiregen.edit import Remarked, yaml_lines
from wiregen.edit.yaml_text import Value
from wiregen.intake.number import Number
from wiregen.intake.pins import JOINT, PinTable, TablePin, TablePlug

_NUMBER = re.compile(r"(?:0|[1-9]\d{0,5})(?:\.\d{1,4})?")


def plug_values(table: PinTable) -> dict[str, Value]:
    """Return the plugs of a table as values of the section `plugs`."""
    return {plug.id: _plug(plug) for plug in table.plugs}


def design_text(table: PinTable) -> str:
    """Return a design file with the plugs of a table; what was odd stands in its head."""
    lines = [
        f"# Pins taken from {remark(table.file)}. Nothing here has been measured.",
        "# Add the face of each plug (rows of cavities as seen from the mating side), its half",
        "# (contacts: pins or sockets) and the date each pin was measured.",
    ]
    lines += [f"# {remark(text)}" for text in finding_lines(table)]
    lines += ["format: 1", "plugs:" if table.plugs else "plugs: {}"]
    for name, value in plug_values(table).items():
        lines += yaml_lines(name, value, 2)
    return "\n".join(lines) + "\n"


def finding_lines(table: PinTable) -> list[str]:
    """Return what was odd in a table, one line each: `pins.csv row 12: ...`."""
    return [
        f"{table.file} row {finding.row}: {finding.message}"
        if finding.row
        else f"{table.file}: {finding.message}"
        for finding in table.findings
    ]


def remark(text: str) -> str:
    """Return a text as it may stand behind `#`: one line, nothing that does not show."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _plug(plug: TablePlug) -> dict[str, Value]:
    value: dict[str, Value] = {}
    if plug.title:
        value["title"] = plug.title
    if plug.colour_key:
        value["colour_key"] = plug.colour_key
    value["pins"] = {cavity: _pin(pin) for cavity, pin in plug.pins.items()}
    return value


def _pin(pin: TablePin) -> Value:
    if pin.state and not pin.says:
        return _remarked(pin.state, [pin.values.get("source", ""), *pin.remarks])
    value: dict[str, Value] = dict(_texts(pin.values))
    if pin.says:
        value["says"] = [dict(_texts(said)) for said in pin.says]
    return _remarked(value, pin.remarks)


def _texts(values: Mapping[str, str]) -> Iterable[tuple[str, Value]]:
    for key, text in values.items():
        parts = text.split(JOINT) if key in ("colour", "size") else [text]
        numbers = [Number(part) if _is_size(key, part) else part for part in parts]
        yield key, numbers if len(parts) > 1 else numbers[0]


def _is_size(key: str, text: str) -> bool:
    return key == "size" and _NUMBER.fullmatch(text) is not None


def _remarked(value: Value, remarks: Iterable[str]) -> Value:
    said = "; ".join(filter(None, remarks))
    return Remarked(value, said) if said else value
