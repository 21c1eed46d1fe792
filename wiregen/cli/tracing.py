"""The command `trace`."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import typer

from wiregen.check.render_text import plain
from wiregen.cli.drawing import file_name
from wiregen.cli.opening import open_document
from wiregen.cli.untraced import untraced
from wiregen.cli.words import complain
from wiregen.connect.behind import behind_fuse, unplug_order
from wiregen.connect.reach import between
from wiregen.connect.trace import trace
from wiregen.connect.ways import Trace, to_first_loads
from wiregen.problems import nearest_or_all
from wiregen.publish import CannotWrite, Document, write_files
from wiregen.publish import trace_text as text
from wiregen.publish.volts import state_volts


def trace_design(
    path: Path,
    pins: tuple[str | None, str | None],
    fuse: str | None,
    *,
    format: str,
    output: Path | None,
    variant: str | None,
) -> int:
    """Print a trace and return the exit code.

    Args:
        path: the design file.
        pins: the pin to trace, and the pin to end at.
        fuse: the fuse to look behind, instead of pins.
        format: `text` or `json`.
        output: folder for the drawn sheet; None draws nothing.
        variant: of a design that has variants.
    """
    document = open_document(path, variant)
    if isinstance(document, int):
        return document
    named = [pin for pin in pins if pin is not None]
    if (fuse is None) == (not named):
        return complain("name a pin such as X1:3, or a fuse with --fuse F3")
    if fuse is not None:
        return _behind(document, fuse, format)
    for pin in named:
        if pin not in document.network.net_index:
            return complain(f"{path}: {untraced(document.design, document.network, pin)}")
    if len(named) == 2:
        return _between(document, named[0], named[1], format)
    return _pin(document, named[0], format, output)


def _pin(document: Document, pin: str, format: str, output: Path | None) -> int:
    found = trace(document.network, pin)
    net = document.network.net_of(pin)
    if net is not None and net.kind == "earth":
        found = to_first_loads(found)
    volts = state_volts(document.design, document.network)
    args = (document.design, document.network, found, volts)
    if output is not None:
        try:
            said = [*text.screen_words(*args[:2], pin), *text.pin_volts(found, volts)]
            written = _draw(document, found, said, output)
        except CannotWrite as error:
            return complain(str(error))
        for file in written:
            typer.echo(plain(str(file)), err=True)
    _print(text.trace_lines(*args), text.trace_data(*args), format)
    return 0


def _draw(document: Document, found: Trace, said: list[str], output: Path) -> list[Path]:
    """Write the sheet of a trace as SVG and PDF."""
    from wiregen.draw.pdf import to_pdf
    from wiregen.draw.svg import to_svg
    from wiregen.layout.trace_sheet import trace_sheet

    sheet = trace_sheet(document.design, document.network, found, said=said)
    stem = f"{file_name(document.design.name)}-{re.sub(r'[^A-Za-z0-9.-]+', '-', sheet.name)}"
    files = {f"{stem}.svg": to_svg(sheet).encode(), f"{stem}.pdf": to_pdf((sheet,), sheet.title)}
    return write_files(output, files)


def _between(document: Document, start: str, end: str, format: str) -> int:
    way = between(document.network, start, end)
    if way is None:
        said = f"{start} and {end} are not joined, not even through loads"
        _print([said], {"start": start, "end": end, "legs": None}, format)
        return 0
    args = (document.design, document.network, way)
    _print(text.between_lines(*args), text.way_data(*args), format)
    return 0


def _behind(document: Document, fuse: str, format: str) -> int:
    fuses = document.design.fuses
    if fuse not in fuses:
        return complain(f"{document.design.path} has no fuse '{fuse}'{nearest_or_all(fuse, fuses)}")
    found = behind_fuse(document.network, fuse)
    args = (document.design, found, unplug_order(document.network, found))
    _print(text.fuse_lines(*args), text.fuse_data(*args), format)
    return 0


def _print(lines: Iterable[str], data: dict[str, Any], format: str) -> None:
    if format == "json":
        typer.echo(json.dumps(data, indent=1, ensure_ascii=False))
    else:
        for line in lines:
            typer.echo(plain(line))
