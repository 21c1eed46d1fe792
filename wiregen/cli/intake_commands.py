"""The commands that bring pins in, take them out and hold plugs together, with their options."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer


class TableKind(StrEnum):
    """How a table is written."""

    csv = "csv"
    xlsx = "xlsx"


class Joining(StrEnum):
    """How two plugs are brought together."""

    loom = "loom"
    re_pin = "re-pin"


class Contacts(StrEnum):
    """What a half carries."""

    pins = "pins"
    sockets = "sockets"


def new_command(
    file: Annotated[
        Path, typer.Argument(metavar="[FILE]", help="the file to write; it must not exist yet")
    ] = Path("design.yaml"),
    *,
    title: Annotated[str, typer.Option(metavar="TEXT", help="title of the drawing")] = "",
    plug: Annotated[str, typer.Option(metavar="TEXT", help="title of the first plug")] = "",
    face: Annotated[
        str,
        typer.Option(metavar="ROWS", help="its cavities: '1 2 3 / 4 5 6', or a standard face"),
    ] = "",
    contacts: Annotated[Contacts | None, typer.Option(help="what the plug carries")] = None,
    volts: Annotated[str, typer.Option(metavar="VOLTS", help="nominal volts")] = "",
) -> None:
    """Write a design to start from; it asks for the first plug."""
    from wiregen.cli.starter import write_starter
    from wiregen.intake.starter_text import Starter

    starter = Starter(title, plug, face, contacts.value if contacts else "", volts)
    raise typer.Exit(write_starter(file, starter))


def import_command(
    table: Annotated[Path, typer.Argument(metavar="TABLE", help="a pin table, CSV or XLSX")],
    *,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FILE", help="the design file; else TABLE.yaml"),
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option(metavar="DESIGN", help="add the plugs to this design instead"),
    ] = None,
    plug: Annotated[
        str, typer.Option(metavar="ID", help="id of the plug, where the table names none")
    ] = "X1",
    colour_key: Annotated[
        str, typer.Option(metavar="KEY", help="how its colours are written, such as german")
    ] = "",
    sheet: Annotated[str, typer.Option(metavar="SHEET", help="sheet of a workbook")] = "",
    column: Annotated[
        list[str] | None,
        typer.Option(metavar="WHAT=COLUMN", help="name a column by hand: cavity=A, carries=C"),
    ] = None,
) -> None:
    """Make plugs of a pin table (CSV or XLSX)."""
    from wiregen.cli.intake import import_table

    code = import_table(
        table,
        output=output,
        into=into,
        plug=plug,
        colour_key=colour_key,
        sheet=sheet,
        named=column or (),
    )
    raise typer.Exit(code)


def export_command(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="the design file (YAML)")],
    *,
    kind: Annotated[TableKind, typer.Option("--as", help="csv or xlsx")] = TableKind.csv,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FILE", help="where to write; else NAME-pins.csv"),
    ] = None,
    plug: Annotated[
        list[str] | None, typer.Option(metavar="PLUG", help="only this plug; may come again")
    ] = None,
) -> None:
    """Write the pins of a design as a table."""
    from wiregen.cli.intake import export_pins

    raise typer.Exit(export_pins(design, kind.value, output, plug or ()))


def compare_command(
    first: Annotated[
        str, typer.Argument(metavar="A.yaml:X1", help="the side that feeds, or a standard")
    ],
    second: Annotated[
        str, typer.Argument(metavar="B.yaml:X4", help="the side that is pushed in, or a standard")
    ],
) -> None:
    """Hold two plugs side by side: same, moved, other function."""
    from wiregen.cli.adapting import compare_plugs

    raise typer.Exit(compare_plugs(first, second))


def adapt_command(
    first: Annotated[
        str, typer.Argument(metavar="FROM", help="what stays: vehicle.yaml:X1, or :X1,X2")
    ],
    second: Annotated[
        str, typer.Argument(metavar="TO", help="what is fitted: engine.yaml:X4, or a standard")
    ],
    *,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FILE", help="where to write; else adapter.yaml"),
    ] = None,
    kind: Annotated[
        Joining | None,
        typer.Option("--as", help="loom or re-pin; a re-pin where both housings are the same"),
    ] = None,
) -> None:
    """Draft the adapter loom between plugs, or a re-pin list."""
    from wiregen.cli.adapting import adapt_plugs

    raise typer.Exit(adapt_plugs(first, second, output, kind.value if kind else None))


def add_intake_commands(app: typer.Typer) -> None:
    """Give the command line the commands of this module."""
    app.command(name="new")(new_command)
    app.command(name="import")(import_command)
    app.command(name="export")(export_command)
    app.command(name="compare")(compare_command)
    app.command(name="adapt")(adapt_command)
