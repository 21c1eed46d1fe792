"""One test of a loom as a record, and the tests as tables with blanks to fill in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from wiregen.connect.legs import ohm_words
from wiregen.layout.tables import Table, columns

CheckKind = Literal["continuity", "isolation", "diode", "coil", "bus", "volts", "amps", "step"]

CONTACT_OHM = 0.010
"""Allowed for each contact touched. From memory: 5 to 10 mohm a contact."""
METER_OHM = 0.2
"""Allowed for the meter after its leads are zeroed. From memory."""
UNKNOWN_OHM = 1.0
"""Highest reading that counts as joined where the expected resistance is not known."""
APART_OHM = 1e6
"""Least resistance between what is not joined, by multimeter. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Check:
    """One test.

    Attributes:
        id: what it is called on the sheet and in the results: `W12`, `ISO-W12`, `K1-coil`, and at
            the first power-up `F13-lamp`, `power-rest`, `X4:D run`.
        kind: what is measured; a `step` is seen to be good or not.
        start: where the first probe goes.
        end: where the second one goes; empty where it goes round several places.
        via: splices passed.
        wires: wires the reading depends on.
        expect: expected value, None when not known.
        low: least good reading, in ohm, V or A.
        high: highest good reading; None for no limit.
        apart: places it must be isolated from.
        colour: of the wire, IEC form.
        words: what is tested, or how.
        state: of a test with the battery connected: the state of the design it is made in.
    """

    id: str
    kind: CheckKind
    start: str
    end: str = ""
    via: tuple[str, ...] = ()
    wires: tuple[str, ...] = ()
    expect: float | None = None
    low: float = 0.0
    high: float | None = None
    apart: tuple[str, ...] = ()
    colour: str = ""
    words: str = ""
    state: str = ""

    @property
    def is_wiring(self) -> bool:
        """Whether the loom lies dead when it is made; else it belongs to the first power-up."""
        return self.kind not in ("volts", "amps", "step")

    @property
    def has_limits(self) -> bool:
        """Whether a reading can be judged."""
        return self.kind == "step" or self.high is not None or bool(self.low)


BLANKS = ("_Reading", "_Found at", "_Colour seen", "_By", "_Meter", "_Date")


def check_table(name: str, title: str, checks: Sequence[Check], notes: tuple[str, ...]) -> Table:
    """Return tests as a table; its blanks are the columns that `record` reads back."""
    rows = tuple(
        (
            check.id,
            check.start,
            check.end,
            ", ".join(check.via),
            check.colour,
            expected_words(check),
            limit_words(check),
            ", ".join(check.apart),
            check.words,
            *("" for _ in BLANKS),
        )
        for check in checks
    )
    return Table(
        name,
        title,
        columns(
            "*Test",
            "Probe",
            "Probe to",
            "Via",
            "~Colour",
            "Expected",
            "Good if",
            "Isolated from",
            "What",
            *BLANKS,
        ),
        rows,
        notes,
    )


def slim(table: Table) -> Table:
    """Return a table without the columns in which no row says anything; blanks stay.

    For paper: a column of empty cells takes room from those that are filled in by hand. Colours
    are looked at only where there are any.
    """
    said = {
        column.title
        for place, column in enumerate(table.columns)
        if any(row[place] for row in table.rows)
    }
    kept = [
        place
        for place, column in enumerate(table.columns)
        if column.title in said
        or (column.kind == "blank" and (column.title != "Colour seen" or "Colour" in said))
    ]
    return Table(
        table.name,
        table.title,
        tuple(table.columns[place] for place in kept),
        tuple(tuple(row[place] for place in kept) for row in table.rows),
        table.notes,
    )


def expected_words(check: Check) -> str:
    """Return the expected value with its unit."""
    if check.expect is None:
        return "not known" if check.kind == "continuity" else ""
    if check.kind in ("volts", "diode"):
        return f"{_volts(check.expect)} V"
    if check.kind == "amps":
        return f"{check.expect * 1000:.1f} mA"
    return ohm_words(check.expect)


def limit_words(check: Check) -> str:
    """Return between which values a reading is good."""
    if not check.has_limits:
        return ""
    if check.kind == "step":
        return "ok"
    if check.kind == "amps":
        return f"up to {(check.high or 0.0) * 1000:g} mA"
    if check.kind == "volts" and check.state and check.high is not None:
        if check.low < 0 < check.high:
            return f"up to {_volts(check.high)} V"
        return f"{_volts(check.low)} to {_volts(check.high)} V"
    unit = "V" if check.kind in ("volts", "diode") else "ohm"
    low, high = _number(check.low, unit), check.high
    if high is None:
        return f"over {low}"
    if not check.low:
        return f"up to {_number(high, unit)}"
    return f"{low.removesuffix(f' {unit}')} to {_number(high, unit)}"


def _volts(value: float) -> str:
    return f"{round(value, 1) + 0.0:.1f}"


def _number(value: float, unit: str) -> str:
    if value >= 1e6:
        return f"{value / 1e6:g} M{unit}"
    return f"{value:.3g} {unit}"
