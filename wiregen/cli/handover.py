"""The commands of the hand-over: `trace`, `tables`, `record`, `pack`."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

DesignFile = Annotated[Path, typer.Argument(metavar="DESIGN", help="the design file (YAML)")]

Variant = Annotated[str | None, typer.Option(metavar="NAME", help="of a design that has variants")]


class Shape(StrEnum):
    """How an answer is printed."""

    text = "text"
    json = "json"


class Reader(StrEnum):
    """Who a pack is for."""

    bench = "bench"
    customer = "customer"


def add_handover_commands(app: typer.Typer) -> None:
    """Add the commands to the command line."""
    app.command("trace")(_trace)
    app.command("tables")(_tables)
    app.command("record")(_record)
    app.command("pack")(_pack)


def _trace(
    design: DesignFile,
    start: Annotated[
        str | None, typer.Argument(metavar="[PIN]", help="the pin to trace, such as X1:3")
    ] = None,
    end: Annotated[
        str | None, typer.Argument(metavar="[PIN]", help="only the way to this pin")
    ] = None,
    *,
    fuse: Annotated[
        str | None, typer.Option(metavar="FUSE", help="everything behind a fuse, such as F3")
    ] = None,
    format: Annotated[Shape, typer.Option("--format", help="text to read, or json")] = Shape.text,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FOLDER", help="also draw the trace as one sheet"),
    ] = None,
    variant: Variant = None,
) -> None:
    """Follow a pin to its supplies and to earth, leg by leg."""
    from wiregen.cli.tracing import trace_design

    pins = (start, end)
    raise typer.Exit(
        trace_design(design, pins, fuse, format=format.value, output=output, variant=variant)
    )


def _tables(
    design: DesignFile,
    *,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FOLDER", help="where to write; else out/NAME"),
    ] = None,
    allowance: Annotated[
        float, typer.Option(metavar="MM", min=0, help="added to a cut length at each end")
    ] = 50,
    step: Annotated[
        float, typer.Option(metavar="MM", min=0.1, help="cut lengths are rounded up to this")
    ] = 10,
    labels: Annotated[
        str | None,
        typer.Option(metavar="SHEET", help="labels for such sheets, mm: '48x25 columns=4 rows=11'"),
    ] = None,
    variant: Variant = None,
) -> None:
    """Write wire list, cut list, parts, fuse chart and other tables."""
    from wiregen.cli.tabling import write_tables
    from wiregen.publish.tables import Cutting

    raise typer.Exit(
        write_tables(design, output, Cutting(allowance, step), labels=labels, variant=variant)
    )


def _record(
    design: DesignFile,
    results: Annotated[
        Path, typer.Argument(metavar="RESULTS", help="the filled-in test sheet (CSV, XLSX)")
    ],
    *,
    date: Annotated[str, typer.Option(metavar="YYYY-MM-DD", help="of rows without one")] = "",
    by: Annotated[str, typer.Option(metavar="WHO", help="for rows that do not say")] = "",
    meter: Annotated[str, typer.Option(metavar="METER", help="for rows that do not say")] = "",
    write: Annotated[
        bool, typer.Option("--write", help="also mark the proven pins measured in the design")
    ] = False,
    variant: Variant = None,
) -> None:
    """Judge measured test results and keep them beside the design."""
    from wiregen.cli.recording import record_results
    from wiregen.publish.proving.results import Result

    usual = Result("", by=by, meter=meter, date=date)
    raise typer.Exit(record_results(design, results, usual, mark=write, variant=variant))


def _pack(
    design: DesignFile,
    *,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FOLDER", help="where to write; else out/NAME"),
    ] = None,
    reader: Annotated[
        Reader | None, typer.Option("--for", help="leave out what this reader does not need")
    ] = None,
    allowance: Annotated[
        float, typer.Option(metavar="MM", min=0, help="added to a cut length at each end")
    ] = 50,
    step: Annotated[
        float, typer.Option(metavar="MM", min=0.1, help="cut lengths are rounded up to this")
    ] = 10,
    mono: Annotated[bool, typer.Option("--mono", help="for a black-and-white printer")] = False,
    variant: Variant = None,
) -> None:
    """Write one PDF with drawings, tables, test sheet and record."""
    from wiregen.cli.packing import write_pack
    from wiregen.publish.tables import Cutting

    cutting = Cutting(allowance, step)
    raise typer.Exit(
        write_pack(
            design,
            output,
            reader.value if reader else "",
            cutting,
            mono=mono,
            variant=variant,
        )
    )
