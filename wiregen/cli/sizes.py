"""The command `size`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from wiregen.check.render_text import plain
from wiregen.cli.states import chosen_design
from wiregen.cli.words import complain, count
from wiregen.compute.sizing import size_fuses, size_wires
from wiregen.compute.study import Study
from wiregen.connect import connect
from wiregen.model import Design
from wiregen.problems import Unreadable

if TYPE_CHECKING:
    from wiregen.compute.fill import Filled
    from wiregen.edit import SetKey


def print_sizes(path: Path, format: str, variant: str | None, write: bool, every: bool) -> int:
    """Size every wire and fuse of a design, print it and return the exit code.

    Args:
        path: of the design file.
        format: `text` or `json`.
        variant: of a design that has variants.
        write: fill in the sizes and ratings that are missing; what is written stays.
        every: with `write`: put the smallest that will do in place of what is written, too.
    """
    if every and not write:
        return complain("--all changes sizes that are written: it goes with --write")
    design = chosen_design(path, variant)
    if isinstance(design, int):
        return design
    if not design.states:
        return complain(f"{path}: no states are declared; write 'states: {{run: {{S1: run}}}}'")
    study = Study(design, connect(design))
    fuses = size_fuses(study)
    wires = size_wires(study, fuses)
    if format == "json":
        import json

        from wiregen.compute.render_sizes import sizes_data

        typer.echo(json.dumps(sizes_data(study, wires, fuses), indent=2, ensure_ascii=False))
    else:
        from wiregen.compute.render_sizes import sizes_text

        for line in sizes_text(study, wires, fuses).splitlines():
            typer.echo(plain(line))
    good = not any(one.wrong for one in wires) and not any(one.wrong for one in fuses)
    if write:
        from wiregen.compute.fill import fill

        filled = fill(study, every)
        failed = _write(design, filled)
        if failed:
            return failed
        good = filled.good
    return 0 if good and all(point.found for point in study.points.values()) else 1


def _write(design: Design, filled: Filled) -> int:
    """Write sizes and ratings where they differ; return an exit code, 0 when all was written."""
    from wiregen.edit import EditError, edit_file

    edits, words = _edits(design, filled)
    try:
        for file, changes in edits.items():
            _try(file, changes)
        for file, changes in edits.items():
            edit_file(file, changes)
            typer.echo(plain(_told(file, words[file])), err=True)
    except EditError as error:
        return complain(str(error))
    except Unreadable as error:
        return complain(f"{error.problems[0].span.file}: {error.problems[0].message}")
    if not edits:
        typer.echo("nothing to write", err=True)
    for name, why in filled.left:
        typer.echo(plain(f"left as it is: {name} ({why})"), err=True)
    for lost in filled.unmet:
        typer.echo(plain(filled.words(lost)), err=True)
    return 0


def _try(file: str, changes: list[SetKey]) -> None:
    """Make the edits on the text alone, so that either all files are written or none."""
    from wiregen.edit import edit_text

    edit_text(Path(file).read_bytes().decode("utf-8-sig"), changes, file)


def _edits(design: Design, filled: Filled) -> tuple[dict[str, list[SetKey]], dict[str, list[str]]]:
    """Return file -> what changes in it, as edits and in words."""
    from wiregen.edit import SetKey

    edits: dict[str, list[SetKey]] = {}
    words: dict[str, list[str]] = {}
    for name, size in filled.sizes.items():
        wire = design.wires[name]
        if wire.size is None or wire.size.label != size.label:
            file = wire.origin.span.file
            value = _number(size.area_mm2) if size.system == "mm2" else size.label
            edits.setdefault(file, []).append(SetKey(("wires", name), "size", value))
            had = f" for {wire.size.label}" if wire.size is not None else ""
            words.setdefault(file, []).append(f"{name} {_called(size.label)}{had}")
    for name, rating in filled.ratings.items():
        fuse = design.fuses[name]
        if fuse.rating_a != rating:
            file = fuse.origin.span.file
            edits.setdefault(file, []).append(SetKey(("fuses", name), "rating", _number(rating)))
            had = f" for {fuse.rating_a:g} A" if fuse.rating_a is not None else ""
            words.setdefault(file, []).append(f"{name} {rating:g} A{had}")
    return edits, words


def _number(value: float) -> float | int:
    return int(value) if value == int(value) else value


def _told(file: str, words: list[str]) -> str:
    return f"{count(len(words), 'value')} written into {file}: {', '.join(words)}"


def _called(label: str) -> str:
    return f"{label} mm2" if label[:1].isdigit() and " " not in label else label
