"""The commands `import` and `export`: pin tables in and out."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

import typer

from wiregen.check.render_text import plain
from wiregen.cli.judged import refused
from wiregen.cli.words import complain
from wiregen.edit import EditError, SetKey, edit_file
from wiregen.intake.columns import Columns, find_columns, named_columns
from wiregen.intake.pin_text import design_text, finding_lines, plug_values
from wiregen.intake.pins import PinTable, pins_of_table
from wiregen.intake.table import Table, TableError, read_tables
from wiregen.problems import Unreadable, did_you_mean
from wiregen.publish import CannotWrite, write_files


def import_table(
    path: Path,
    *,
    output: Path | None,
    into: Path | None,
    plug: str,
    colour_key: str,
    sheet: str,
    named: Sequence[str],
) -> int:
    """Turn a pin table into plugs of a design file; return the exit code.

    Args:
        path: CSV or XLSX file.
        output: new design file; the name of the table with `.yaml` when None.
        into: existing design file that gets the plugs instead.
        plug: id of the plug where the table names none.
        colour_key: how its colours are written; found when empty.
        sheet: of a workbook; the first one with a pin table when empty.
        named: columns named by hand, such as `cavity=A`.
    """
    target = output or Path(path.with_suffix(".yaml").name)
    if into is None and target.exists():
        return complain(f"{target} exists already; name another file with -o")
    try:
        table, columns = _chosen(path, sheet, _pairs(named))
        _check_key(colour_key)
        pins = pins_of_table(table, columns, plug, colour_key)
    except TableError as error:
        return complain(str(error))
    _show(table, columns, pins)
    if not pins.plugs:
        return complain(f"{path}: no row under the headings holds a pin")
    if sys.stdin.isatty() and sys.stdout.isatty() and not typer.confirm("write these plugs?", True):
        return 0
    return _into(into, pins) if into else _new(target, pins)


def export_pins(path: Path, kind: str, output: Path | None, plugs: Sequence[str]) -> int:
    """Write the pins of a design as a table; return the exit code."""
    from wiregen.intake.export import pin_rows, to_csv, to_xlsx
    from wiregen.read import load

    try:
        design = load(path).design
    except Unreadable as error:
        return refused(error, path)
    for name in plugs:
        if name not in design.plugs:
            return complain(f"{path} has no plug '{name}'; it has {', '.join(design.plugs)}")
    rows = pin_rows(design, plugs)
    target = output or Path(f"{path.stem}-pins.{kind}")
    try:
        data = to_csv(rows) if kind == "csv" else to_xlsx(rows)
        write_files(target.parent, {target.name: data})
    except (TableError, CannotWrite) as error:
        return complain(str(error))
    typer.echo(plain(f"{target}: {len(rows)} pins"))
    return 0


def _pairs(named: Sequence[str]) -> dict[str, str]:
    pairs = {}
    for text in named:
        holds, _, letter = text.partition("=")
        if not letter:
            raise TableError(f"'{text}': name a column as in --column cavity=A")
        pairs[holds.strip()] = letter
    return pairs


def _check_key(key: str) -> None:
    from wiregen.facts.colours import COLOUR_KEYS

    if key and key not in COLOUR_KEYS:
        said = f"'{key}' is not a colour key{did_you_mean(key, COLOUR_KEYS)}"
        raise TableError(f"{said}; known are {', '.join(COLOUR_KEYS)}")


def _chosen(path: Path, sheet: str, named: Mapping[str, str]) -> tuple[Table, Columns]:
    """Return the sheet with the pin table and its columns."""
    tables = read_tables(path)
    if sheet:
        names = [table.sheet for table in tables]
        if sheet not in names:
            raise TableError(f"{path} has no sheet '{sheet}'{did_you_mean(sheet, names)}")
        tables = [table for table in tables if table.sheet == sheet]
    for table in tables:
        columns = named_columns(table, named) if named else find_columns(table)
        if columns is not None:
            return table, columns
    said = "no row of headings was found that names the cavity and what it carries"
    raise TableError(
        f"{path}: {said}; name the columns by hand: --column cavity=A --column carries=B"
    )


def _show(table: Table, columns: Columns, pins: PinTable) -> None:
    """Print how the table was read, before anything is written."""
    where = f"headings in row {columns.row}" if columns.row else "columns named by hand"
    lines = [f"{table.name}: {table.how}; {where}"]
    width = max((len(column.heading) for column in columns.all), default=0)
    for column in columns.all:
        holds = column.holds.replace("_", " ") or "not used"
        if column.holds == "colour":
            holds = f"colour, written in {pins.colours.key}"
        if column.heading or column.holds:
            lines.append(f"  {column.letter:>2}  {column.heading.ljust(width)}  {holds}")
    for plug in pins.plugs:
        title = f" {plug.title}" if plug.title else ""
        lines.append(f"{plug.id}{title}: {len(plug.pins)} cavities, not measured")
    lines += finding_lines(pins)
    for line in lines:
        typer.echo(plain(line))


def _new(target: Path, pins: PinTable) -> int:
    try:
        write_files(target.parent, {target.name: design_text(pins).encode()})
    except CannotWrite as error:
        return complain(str(error))
    typer.echo(plain(f"{target} written; next: wiregen check {target}"))
    return 0


def _into(path: Path, pins: PinTable) -> int:
    edits = [SetKey(("plugs",), name, value) for name, value in plug_values(pins).items()]
    try:
        from wiregen.read import load

        taken = [name for name in plug_values(pins) if name in load(path).design.plugs]
        if taken:
            return complain(f"{path} has a plug '{taken[0]}' already; choose another with --plug")
        edit_file(path, edits)
    except Unreadable as error:
        return complain(str(error))
    except EditError as error:
        return complain(str(error))
    typer.echo(plain(f"{len(edits)} plugs added to {path}; next: wiregen check {path}"))
    return 0
