"""The commands and their options; each does its work in a module of its own."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from wiregen.cli.handover import add_handover_commands
from wiregen.cli.intake_commands import add_intake_commands
from wiregen.cli.review_commands import add_review_commands

app = typer.Typer(
    name="wiregen",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Check a wiring design and draw its connector faces and its schematic.",
    epilog=(
        "Exit codes: 0 fine, 1 errors found in a design, 2 a file cannot be read or the command "
        "is not used right, 70 a bug in wiregen."
    ),
)


class Format(StrEnum):
    """How findings are printed."""

    text = "text"
    json = "json"
    github = "github"
    sarif = "sarif"


class Printing(StrEnum):
    """How computed results are printed."""

    text = "text"
    json = "json"


class Listing(StrEnum):
    """What is built in."""

    rules = "rules"
    faces = "faces"
    colours = "colours"
    tables = "tables"
    keys = "keys"


DesignFile = Annotated[Path, typer.Argument(metavar="DESIGN", help="the design file (YAML)")]


def _version(wanted: bool) -> None:
    if wanted:
        from wiregen import __version__

        typer.echo(f"wiregen {__version__}")
        raise typer.Exit


@app.callback()
def about(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="print the version"),
    ] = False,
) -> None:
    """Check a wiring design and draw its connector faces and its schematic."""


@app.command()
def check(
    designs: Annotated[
        list[Path], typer.Argument(metavar="DESIGN...", help="one or more design files (YAML)")
    ],
    format: Annotated[
        Format,
        typer.Option("--format", help="text to read, or json, github, sarif for other programs"),
    ] = Format.text,
) -> None:
    """Find conflicts; every finding names its place and what to do."""
    from wiregen.cli.checking import check_designs

    raise typer.Exit(check_designs(designs, format.value))


@app.command()
def draw(
    design: DesignFile,
    *,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FOLDER", help="where to write; else out/NAME"),
    ] = None,
    plug: Annotated[
        str | None, typer.Option(metavar="PLUG", help="only this plug, such as X1")
    ] = None,
    circuit: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="only this circuit, followed through fuses and contacts"),
    ] = None,
    loom: Annotated[str | None, typer.Option(metavar="LOOM", help="only this loom")] = None,
    state: Annotated[
        str | None,
        typer.Option(
            metavar="NAME", help="the schematic in this state: live wires, currents, volts"
        ),
    ] = None,
    variant: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="only this variant, of a design that has variants"),
    ] = None,
    png: Annotated[bool, typer.Option("--png", help="also write each sheet as PNG")] = False,
    mono: Annotated[bool, typer.Option("--mono", help="for a black-and-white printer")] = False,
    dot: Annotated[
        bool,
        typer.Option(
            "--dot", help="let Graphviz's dot, if installed, choose the columns of the overview"
        ),
    ] = False,
    fresh: Annotated[
        bool, typer.Option("--fresh", help="lay out anew; else what was drawn before stays put")
    ] = False,
    lint: Annotated[
        bool, typer.Option("--lint", help="also measure the sheets and name what is not clear")
    ] = False,
) -> None:
    """Draw connector faces and schematic sheets: SVG files and one PDF."""
    from wiregen.cli.drawing import Wanted, draw_design

    wanted = Wanted(
        plug=plug,
        circuit=circuit,
        loom=loom,
        png=png,
        mono=mono,
        dot=dot,
        lint=lint,
        state=state,
        variant=variant,
        fresh=fresh,
    )
    raise typer.Exit(draw_design(design, output, wanted))


@app.command()
def states(
    design: DesignFile,
    *,
    format: Annotated[
        Printing, typer.Option("--format", help="text to read, or json for other programs")
    ] = Printing.text,
    variant: Annotated[
        str | None, typer.Option(metavar="NAME", help="of a design that has variants")
    ] = None,
    lost: Annotated[
        bool,
        typer.Option("--lost", help="what is lost with each earth, fuse, plug and new wire"),
    ] = False,
    shorts: Annotated[
        bool,
        typer.Option(
            "--shorts", help="a short to earth at each wire: its current, the fuse, how fast"
        ),
    ] = False,
) -> None:
    """Compute every operating state: volts, amps, drops, dead pins."""
    from wiregen.cli.states import Table, print_states

    if lost and shorts:
        raise typer.BadParameter("--lost and --shorts are two tables: ask for one at a time")
    wanted: Table = "lost" if lost else "shorts" if shorts else "states"
    raise typer.Exit(print_states(design, format.value, variant, wanted))


@app.command()
def size(
    design: DesignFile,
    *,
    format: Annotated[
        Printing, typer.Option("--format", help="text to read, or json for other programs")
    ] = Printing.text,
    variant: Annotated[
        str | None, typer.Option(metavar="NAME", help="of a design that has variants")
    ] = None,
    write: Annotated[
        bool, typer.Option("--write", help="fill missing sizes and ratings into the file")
    ] = False,
    every: Annotated[
        bool, typer.Option("--all", help="with --write: change those that are written, too")
    ] = False,
) -> None:
    """Find the smallest size of every wire and fuse, with reasons."""
    from wiregen.cli.sizes import print_sizes

    raise typer.Exit(print_sizes(design, format.value, variant, write, every))


@app.command()
def explain(
    code: Annotated[str, typer.Argument(metavar="CODE", help="such as CAV102")],
) -> None:
    """Say why a rule exists and how to put the fault right."""
    from wiregen.cli.catalogue import explain_code

    raise typer.Exit(explain_code(code))


@app.command()
def colours(
    marking: Annotated[
        str, typer.Argument(metavar="MARKING", help="as printed on the wire: BU/WH, 'LT GN', SB")
    ],
    key: Annotated[
        str, typer.Option("--key", metavar="KEY", help="the colour key it was written in")
    ] = "iec-60757",
) -> None:
    """Say what a colour marking means, under every colour key."""
    from wiregen.cli.catalogue import explain_marking

    raise typer.Exit(explain_marking(marking, key))


@app.command(name="list")
def list_built_in(
    what: Annotated[
        Listing, typer.Argument(metavar="WHAT", help="rules, faces, colours, tables, keys")
    ],
    section: Annotated[
        str, typer.Argument(metavar="[SECTION]", help="with keys: such as fuses or plugs.pins")
    ] = "",
    *,
    full: Annotated[
        bool, typer.Option("--full", help="rules with why and what to do, as a Markdown page")
    ] = False,
) -> None:
    """List what is built in: rules, faces, colours, tables, or keys of the design file."""
    from wiregen.cli.catalogue import list_entries

    raise typer.Exit(list_entries(what.value, section, full))


add_handover_commands(app)
add_intake_commands(app)
add_review_commands(app)
