"""The command `size`."""

from __future__ import annotations

from pathlib import Path

import typer

from wiregen.check.render_text import plain
from wiregen.cli.states import chosen_design
from wiregen.cli.words import complain, count
from wiregen.compute.sizing import SizedFuse, SizedWire, size_fuses, size_wires
from wiregen.compute.study import Study
from wiregen.connect import connect


def print_sizes(path: Path, format: str, variant: str | None, write: bool) -> int:
    """Size every wire and fuse of a design, print it and return the exit code.

    Args:
        path: of the design file.
        format: `text` or `json`.
        variant: of a design that has variants.
        write: fill in the sizes and ratings that are missing; what is written stays.
    """
    design = chosen_design(path, variant)
    if isinstance(design, int):
        return design
    if not design.states:
        return complain(f"{path}: no states are declared, so no currents are known")
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
    if write:
        failed = _write(path, wires, fuses)
        if failed:
            return failed
    bad = any(one.wrong for one in wires) or any(one.wrong for one in fuses)
    return 1 if bad or not all(point.found for point in study.points.values()) else 0


def _write(path: Path, wires: tuple[SizedWire, ...], fuses: tuple[SizedFuse, ...]) -> int:
    """Fill in what is missing; return an exit code, 0 when it was written."""
    from wiregen.edit import EditError, SetKey, edit_file

    edits = [
        SetKey(("wires", one.wire.id), "size", _size(one))
        for one in wires
        if one.wire.size is None
        and one.choice is not None
        and one.choice.size is not None
        and not one.missing
        and Path(one.wire.origin.span.file) == path
    ]
    edits += [
        SetKey(("fuses", one.fuse.id), "rating", one.rating.rating_a)
        for one in fuses
        if one.fuse.rating_a is None
        and one.rating is not None
        and one.rating.rating_a is not None
        and Path(one.fuse.origin.span.file) == path
    ]
    try:
        edit_file(path, edits)
    except EditError as error:
        return complain(str(error))
    typer.echo(f"{count(len(edits), 'value')} filled in", err=True)
    return 0


def _size(one: SizedWire) -> str | float:
    """Return the size as it is written: a number of mm2, or `18 AWG`."""
    if one.choice is None or one.choice.size is None:
        return ""
    size = one.choice.size
    return size.area_mm2 if size.system == "mm2" else size.label
