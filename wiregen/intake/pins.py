"""From the rows of a table to plugs with their pins; what is odd becomes a finding."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from wiregen.facts.sizes import read_size
from wiregen.facts.trade_words import colour_of_words, heading_column, says_unused
from wiregen.intake.columns import Columns
from wiregen.intake.formula import disarmed
from wiregen.intake.table import Table
from wiregen.intake.table_colours import TableColours, read_colours
from wiregen.model.vocabulary import BARE_PIN_WORDS, ROLES
from wiregen.units import UnitError

_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}")
_NAME = re.compile(r"\S{1,40}")
_AREA_UNIT = re.compile(r"\s*(?:mm\s*[2²]|mm\^2|qmm|sq\.?\s*mm)\s*$", re.IGNORECASE)
_LONGEST = 40
JOINT = ", "
"""Between the colours or sizes of wires that share a contact."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something odd in a row; row 0 is the whole table."""

    row: int
    message: str


@dataclass(slots=True)
class TablePin:
    """One cavity of the table.

    Attributes:
        row: number of the row in the file.
        state: `empty`, `blocked`, `reserved`, or empty for a used one.
        values: keys of the pin and their texts.
        says: what each of several rows says of this cavity.
        remarks: what the table says and the file has no key for.
    """

    cavity: str
    row: int
    state: str = ""
    values: dict[str, str] = field(default_factory=dict)
    says: list[dict[str, str]] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


@dataclass(slots=True)
class TablePlug:
    """One plug of the table."""

    id: str
    title: str
    colour_key: str = ""
    pins: dict[str, TablePin] = field(default_factory=dict)


@dataclass(slots=True)
class PinTable:
    """What a table says.

    Attributes:
        file: name of the file, the source of every pin.
        plugs: in the order of the table.
        colours: how its colours are written.
        findings: what is odd, in order of the rows.
    """

    file: str
    plugs: list[TablePlug]
    colours: TableColours
    findings: list[Finding]


def pins_of_table(
    table: Table, columns: Columns, plug_id: str = "X1", colour_key: str = ""
) -> PinTable:
    """Read the rows under the headings.

    Args:
        table: the cells.
        columns: what they hold.
        plug_id: id of the plug where the table names none.
        colour_key: how its colours are written; found where it is empty.

    Returns:
        Every row is there: as a pin, as a second statement about a cavity, or as a finding.
    """
    job = _Job(table, columns, plug_id)
    rows = list(job.rows())
    stated = [row["colour_key"] for _, row in rows if row.get("colour_key")]
    key = colour_key or (stated[0] if stated and len(set(stated)) == 1 else "")
    written = (part for _, row in rows for part in _parts(row.get("colour", "")))
    job.colours = read_colours((text for text in written if text and not says_unused(text)), key)
    for number, row in rows:
        job.enter(number, row)
    job.finish()
    return PinTable(table.name, list(job.plugs.values()), job.colours, job.findings)


@dataclass(slots=True)
class _Job:
    table: Table
    columns: Columns
    plug_id: str
    colours: TableColours = field(default_factory=lambda: TableColours("", {}, (), ""))
    plugs: dict[str, TablePlug] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    ids: set[str] = field(default_factory=set)
    unread: dict[str, list[int]] = field(default_factory=dict)
    gauge: bool = False

    def __post_init__(self) -> None:
        sizes = [column.heading for column in self.columns.all if column.holds == "size"]
        self.gauge = "awg" in "".join(sizes).lower()

    def find(self, row: int, message: str) -> None:
        self.findings.append(Finding(row, message))

    def rows(self) -> Iterator[tuple[int, dict[str, str]]]:
        """Yield the rows as texts by column; headings that come again are left out."""
        used = [(column.place, column.holds) for column in self.columns.all if column.holds]
        plug = ""
        for number, cells in self.table.rows[self.columns.body :]:
            row = {holds: cells[at] for at, holds in used if at < len(cells) and cells[at]}
            if not row:
                continue
            if len(row) > 1 and all(heading_column(text) for text in row.values()):
                self.find(number, "the headings come again; left out")
                continue
            for holds, text in row.items():
                if text.startswith("="):
                    self.find(number, f"{holds} is a formula, kept as text: {_short(text)}")
            row = {holds: disarmed(text) for holds, text in row.items()}
            plug = row.get("plug", plug)
            yield number, {**row, "plug": plug}

    def enter(self, number: int, row: Mapping[str, str]) -> None:
        plug = self.plug(row)
        written = row.get("cavity", "")
        if not written:
            said = ", ".join(text for key, text in row.items() if key != "plug")
            if said:
                self.find(number, f"no cavity; left out: {_short(said)}")
            return
        cavity = "".join(written.split())[:_LONGEST]
        if cavity != written:
            self.find(number, f"cavity '{_short(written)}' has blanks or is too long: {cavity}")
        pin = self.pin(cavity, number, row)
        first = plug.pins.get(cavity)
        if first is None:
            plug.pins[cavity] = pin
        else:
            self.find(number, f"cavity {cavity} of {plug.id} again, first in row {first.row}")
            _add_statement(first, pin, self.table.name)

    def plug(self, row: Mapping[str, str]) -> TablePlug:
        name = row.get("plug", "")
        known = self.plugs.get(name)
        if known is None:
            title = row.get("title", "")
            if not name:
                title = title or next((text for text in reversed(self.columns.above) if text), "")
            plug_id = self.new_id(name)
            if name and plug_id != name:
                title = title or name
            key = self.colours.key if self.colours.key != "iec-60757" else ""
            known = self.plugs[name] = TablePlug(plug_id, title[:120], key)
        return known

    def new_id(self, name: str) -> str:
        base = name if _ID.fullmatch(name) else "" if name else self.plug_id
        if not base:
            base = next(f"X{n}" for n in range(1, len(self.ids) + 2) if f"X{n}" not in self.ids)
        found, number = base, 2
        while found in self.ids:
            found, number = f"{base[:36]}-{number}", number + 1
        self.ids.add(found)
        return found

    def pin(self, cavity: str, number: int, row: Mapping[str, str]) -> TablePin:
        pin = TablePin(cavity, number)
        carries = row.get("carries", "")
        told = any(row.get(key) for key in ("colour", "size", "circuit", "label"))
        if row.get("state") in BARE_PIN_WORDS:
            pin.state = row["state"]
        elif says_unused(carries) and not told:
            pin.state = "empty"
            pin.remarks.append(f"'{carries}'")
        elif says_unused(carries):
            pin.values["use"] = "spare"
        for key in ("carries", "circuit"):
            if row.get(key):
                pin.values[key] = row[key]
        self.colour(pin, row.get("colour", ""))
        self.size(pin, row.get("size", ""))
        self.role(pin, row.get("role", ""))
        if row.get("label"):
            pin.values["label"] = row["label"]
        pin.values["source"] = row.get("source") or f"{self.table.name} row {number}"
        if row.get("measured"):
            pin.values["measured"] = row["measured"]
        notes = [f"goes to {row['goes_to']}" if row.get("goes_to") else "", row.get("note", "")]
        if any(notes):
            pin.values["note"] = "; ".join(filter(None, notes))
        return pin

    def colour(self, pin: TablePin, written: str) -> None:
        if not written or says_unused(written):
            return
        found = [self.colours.letters.get(part) for part in _parts(written)]
        letters = JOINT.join(part for part in found if part)
        if not all(found):
            pin.remarks.append(f"colour '{written}'")
            self.unread.setdefault(written, []).append(pin.row)
            return
        pin.values["colour"] = letters
        if letters != written:
            pin.remarks.append(f"colour '{written}'")

    def size(self, pin: TablePin, written: str) -> None:
        if not written or says_unused(written):
            return
        try:
            pin.values["size"] = JOINT.join(
                _size(part, gauge=self.gauge) for part in written.split(JOINT)
            )
        except UnitError:
            self.find(pin.row, f"size '{_short(written)}' cannot be read")
            pin.remarks.append(f"size '{written}'")

    def role(self, pin: TablePin, written: str) -> None:
        if written.lower() in ROLES:
            pin.values["role"] = written.lower()
        elif written:
            pin.remarks.append(f"role '{written}'")

    def finish(self) -> None:
        for written, numbers in self.unread.items():
            rows = ", ".join(map(str, numbers[:6])) + (" ..." if len(numbers) > 6 else "")
            self.find(numbers[0], f"colour '{_short(written)}' kept as a remark (rows {rows})")
        if self.colours.doubt:
            self.find(0, f"{self.colours.doubt}; say how they are written with --colour-key")
        for plug in self.plugs.values():
            self.odd_names(plug)
        self.findings.sort(key=lambda finding: finding.row)

    def odd_names(self, plug: TablePlug) -> None:
        """Name cavities that are written in another way than nearly all of the others."""
        forms: dict[str, list[TablePin]] = {}
        for pin in plug.pins.values():
            forms.setdefault(_form(pin.cavity), []).append(pin)
        few = max(1, len(plug.pins) // 10)
        for pins in forms.values():
            if len(pins) <= few < len(plug.pins) - len(pins):
                for pin in pins:
                    self.find(pin.row, f"cavity {pin.cavity} is named unlike the others")


@lru_cache(maxsize=2_000)
def _size(written: str, *, gauge: bool) -> str:
    """Return a size as a design file writes it; whole numbers are AWG under such a heading.

    Raises:
        UnitError: it is no size.
    """
    text = _AREA_UNIT.sub("", written)
    if re.fullmatch(r"\d+,\d+", text):
        text = text.replace(",", ".")
    if gauge and re.fullmatch(r"\d+(/0)?", text):
        text = f"{text} AWG"
    read_size(text)
    return text


def _parts(written: str) -> list[str]:
    """Return the colours of the wires that share a contact; words with a comma are one colour."""
    return [written] if colour_of_words(written) else written.split(JOINT)


def _form(name: str) -> str:
    """Return the style of a name: 37a is digit-letter, 12 is digit."""
    return re.sub(r"[^\W\d_]+", "a", re.sub(r"\d+", "1", name))


def _add_statement(first: TablePin, again: TablePin, file: str) -> None:
    """Keep what a second row says of a cavity beside what the first one said."""
    if not first.says:
        first.says.append(_statement(first, file))
    first.says.append(_statement(again, file))
    if first.state and not again.state:
        first.state, first.values = "", dict(again.values)
    first.remarks += [f"row {again.row}: {text}" for text in again.remarks]


def _statement(pin: TablePin, file: str) -> dict[str, str]:
    keys: Iterable[str] = ("carries", "colour", "size", "circuit")
    said = {key: pin.values[key] for key in keys if key in pin.values}
    return {"source": f"{file} row {pin.row}", **said}


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else text[: _LONGEST - 3] + "..."
