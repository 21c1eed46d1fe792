"""Results of tests: read from a filled-in sheet, and kept beside the design."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from wiregen.connect import Network
from wiregen.connect.screens import screened_wires
from wiregen.dates import is_day
from wiregen.edit import yaml_text
from wiregen.intake.formula import disarmed
from wiregen.intake.table import Table, TableError, read_tables
from wiregen.model import Design, in_order
from wiregen.problems import did_you_mean
from wiregen.publish.proving.cavity_volts import READ, volts_id
from wiregen.publish.proving.checks import Check
from wiregen.publish.proving.readings import ReadingError, read_reading
from wiregen.read.files import read_text
from wiregen.read.yaml_tree import Map, read_tree, text_of

_HEADS: Mapping[str, str] = {
    "test": "test",
    "reading": "reading",
    "value": "reading",
    "found at": "found_at",
    "colour seen": "colour",
    "by": "by",
    "who": "by",
    "meter": "meter",
    "date": "date",
    "note": "note",
}
_KEPT = ("reading", "found_at", "colour", "by", "meter", "date", "note")


class ResultsError(ValueError):
    """The results cannot be used; one line for the user, nothing was recorded."""


@dataclass(frozen=True, slots=True)
class Result:
    """What was found in one test.

    Attributes:
        test: id of the check.
        reading: as written; may be empty where only a colour or a place was noted.
        found_at: the pin where the wire was found instead.
        colour: seen on the wire, where it is not as drawn.
        by: who measured.
        meter: with what.
        date: when, `2026-12-01`.
        note: anything else.
        made_of: the wires as they were when it was measured.
        variant: of a design that has variants, the one it was measured on; empty for each.
    """

    test: str
    reading: str = ""
    found_at: str = ""
    colour: str = ""
    by: str = ""
    meter: str = ""
    date: str = ""
    note: str = ""
    made_of: str = ""
    variant: str = ""


def made_of(design: Design, network: Network, check: Check) -> str:
    """Return what a check depends on, as it is now; a change of it voids a result.

    That is wires, and screens with the ends of the wires they are over.
    """
    parts = [f"{check.start} {check.end}".rstrip()]
    for name in check.wires:
        wire = design.wires.get(name)
        if wire is None:
            under = screened_wires(design.groups[name])
            parts += [f"{name} over {' '.join((w, *network.written.get(w, ())))}" for w in under]
            continue
        facts = (
            *network.written[name],
            wire.colour.iec if wire.colour else "",
            wire.size.label if wire.size else "",
            f"{wire.length_mm:g}" if wire.length_mm is not None else "",
        )
        parts.append(" ".join([name, *(fact for fact in facts if fact)]))
    return ", ".join(parts)


def read_results(
    path: Path, checks: Iterable[Check], usual: Result | None = None
) -> tuple[Result, ...]:
    """Read a filled-in test sheet.

    Args:
        path: CSV or workbook. Its forms have the columns Test and Reading, and any of Found at,
            Colour seen, By, Meter, Date, Note; or Cavity and, for each state, `STATE, read`.
        checks: the tests of the design.
        usual: by, meter and date for rows that do not say.

    Returns:
        The rows that say something, in the order of the sheet.

    Raises:
        ResultsError: no such sheet, an unknown test, a reading that is none, or no date
            as year-month-day.
    """
    known = {check.id: check for check in checks}
    try:
        tables = read_tables(path)
    except TableError as error:
        raise ResultsError(str(error)) from None
    forms = [rows for table in tables if (rows := _rows(path, table)) is not None]
    if not forms:
        raise ResultsError(
            f"{path}: no row names the columns Test and Reading, or Cavity and the states read"
        )
    every = (row for rows in forms for row in rows)
    return tuple(_results(every, known, usual or Result("")))


def _rows(path: Path, table: Table) -> list[tuple[str, dict[str, str]]] | None:
    """Return the rows of a form, each with its place; None where the table is no form."""
    where = f"{path}, sheet {table.sheet}, row" if table.sheet else f"{path}, row"
    head = _head(table)
    if head is not None:
        number, places = head
        return [(f"{where} {n}", _named(cells, places)) for n, cells in table.rows if n > number]
    wide = _wide_head(table)
    if wide is None:
        return None
    number, places, states = wide
    found = []
    for line, cells in table.rows:
        said = _named(cells, places)
        for state, place in states.items() if line > number and said["test"] else ():
            reading = _named(cells, {"reading": place})
            test = volts_id(said["test"], state)
            found.append((f"{where} {line}", {**said, **reading, "test": test}))
    return found


def _named(cells: Sequence[str], places: Mapping[str, int]) -> dict[str, str]:
    return {
        name: disarmed(cells[place]).strip() if place < len(cells) else ""
        for name, place in places.items()
    }


def _head(table: Table) -> tuple[int, dict[str, int]] | None:
    for number, cells in table.rows[:20]:
        words = [cell.strip().lower() for cell in cells]
        places = {_HEADS[word]: place for place, word in enumerate(words) if word in _HEADS}
        if "test" in places and "reading" in places:
            return number, places
    return None


def _wide_head(table: Table) -> tuple[int, dict[str, int], dict[str, int]] | None:
    """Return the row, the columns and the states of a table of volts that was filled in."""
    for number, cells in table.rows[:20]:
        titles = [cell.strip() for cell in cells]
        states = {
            title.removesuffix(READ): place
            for place, title in enumerate(titles)
            if title.endswith(READ)
        }
        words = [title.lower() for title in titles]
        if states and "cavity" in words:
            places = {_HEADS[word]: place for place, word in enumerate(words) if word in _HEADS}
            return number, {**places, "test": words.index("cavity")}, states
    return None


def _results(
    rows: Iterable[tuple[str, Mapping[str, str]]], known: Mapping[str, Check], usual: Result
) -> Iterator[Result]:
    """Yield the rows that say something; `where` names the row in messages."""
    first_at: dict[str, str] = {}
    for where, said in rows:
        test = said["test"]
        if not test or not any(said.get(name) for name in ("reading", "found_at", "colour")):
            continue
        if test not in known:
            raise ResultsError(f"{where}: no test '{test}'{did_you_mean(test, known)}")
        if test in first_at:
            raise ResultsError(f"{where}: test {test} is there before, in {first_at[test]}")
        first_at[test] = where
        if said.get("reading"):
            try:
                read_reading(said["reading"], known[test].kind)
            except ReadingError as error:
                raise ResultsError(f"{where}: {test}: {error}") from None
        facts = {name: said.get(name) or getattr(usual, name) for name in _KEPT}
        if not facts["date"]:
            raise ResultsError(f"{where}: {test} has no date; fill it in or give --date")
        if not is_day(facts["date"]):
            raise ResultsError(f"{where}: '{facts['date']}' is not a day such as 2026-12-01")
        yield Result(test, **facts)


def read_kept(path: Path) -> tuple[Result, ...]:
    """Read results kept beside a design; none where there is no such file.

    Raises:
        Unreadable: the file is there and is not what `kept_text` writes.
    """
    return kept_in(read_text(path, str(path)), str(path)) if path.exists() else ()


def kept_in(text: str, name: str) -> tuple[Result, ...]:
    """Return the results in the text of such a file.

    Raises:
        Unreadable: it is not what `kept_text` writes; places are in the file `name`.
    """
    tree = read_tree(text, name)
    found = list(_kept_results(tree.get("results"), ""))
    variants = tree.get("variants")
    for variant, results in variants.items() if isinstance(variants, Map) else ():
        found += _kept_results(results, variant)
    return tuple(found)


def _kept_results(results: object, variant: str) -> Iterator[Result]:
    for test, record in results.items() if isinstance(results, Map) else ():
        if isinstance(record, Map):
            yield Result(
                test,
                **{name: text_of(record.get(name, "")) for name in _KEPT},
                made_of=text_of(record.get("made_of", "")),
                variant=variant,
            )


def of_variant(results: Iterable[Result], variant: str) -> tuple[Result, ...]:
    """Return the results that count for a variant: its own, and those that name none."""
    every = tuple(results)
    found = {one.test: one for one in every if not one.variant}
    found |= {one.test: one for one in every if variant and one.variant == variant}
    return tuple(found.values())


def kept_text(design: Design, results: Iterable[Result]) -> str:
    """Return results as the text of the file beside the design."""
    by_variant: dict[str, dict[str, Result]] = {}
    for result in results:
        by_variant.setdefault(result.variant, {})[result.test] = result
    lines = [
        f"# What was measured on {design.name}; written by `wiregen record`.",
        "# A result counts only as long as its wires are as 'made_of' says.",
        "format: 1",
    ]
    plain = by_variant.pop("", {})
    if plain or not by_variant:
        lines += ["results:" if plain else "results: {}", *_result_lines(plain, "  ")]
    if by_variant:
        lines.append("variants:")
    for variant in in_order(by_variant):
        lines += [f"  {yaml_text(variant)}:", *_result_lines(by_variant[variant], "    ")]
    return "\n".join(lines) + "\n"


def _result_lines(by_test: Mapping[str, Result], indent: str) -> Iterator[str]:
    for test in in_order(by_test):
        result = by_test[test]
        facts = {name: getattr(result, name) for name in (*_KEPT, "made_of")}
        said = {name: value for name, value in facts.items() if value}
        yield f"{indent}{yaml_text(test)}: {yaml_text(said)}"
