"""The command `states`."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import typer

from wiregen.check.render_text import plain
from wiregen.check.variants import in_variant
from wiregen.cli.judged import refused
from wiregen.cli.words import complain
from wiregen.compute.study import Study
from wiregen.connect import connect
from wiregen.model import Design
from wiregen.problems import Unreadable, nearest_or_all
from wiregen.read import load

Table = Literal["states", "lost", "shorts"]


def print_states(path: Path, format: str, variant: str | None, wanted: Table) -> int:
    """Solve every state of a design, print it and return the exit code.

    Args:
        path: of the design file.
        format: `text` or `json`.
        variant: of a design that has variants.
        wanted: the states; or what is lost with each earth, fuse, plug and new wire; or what a
            short to earth does.
    """
    design = chosen_design(path, variant)
    if isinstance(design, int):
        return design
    if not design.states:
        return complain(f"{path}: no states are declared; write 'states: {{run: {{S1: run}}}}'")
    study = Study(design, connect(design))
    if format == "json":
        import json

        typer.echo(json.dumps(_data(study, wanted), indent=2, ensure_ascii=False))
    else:
        for line in _text(study, wanted).splitlines():
            typer.echo(plain(line))
    return 0 if all(point.found for point in study.points.values()) else 1


def _data(study: Study, wanted: Table) -> dict[str, object]:
    from wiregen.compute.render_lost import lost_data
    from wiregen.compute.render_shorts import shorts_data
    from wiregen.compute.render_states import states_data

    return {"states": states_data, "lost": lost_data, "shorts": shorts_data}[wanted](study)


def _text(study: Study, wanted: Table) -> str:
    from wiregen.compute.render_lost import lost_text
    from wiregen.compute.render_shorts import shorts_text
    from wiregen.compute.render_states import states_text

    return {"states": states_text, "lost": lost_text, "shorts": shorts_text}[wanted](study)


def chosen_design(path: Path, variant: str | None) -> Design | int:
    """Read a design and reduce it to one variant; an exit code when that cannot be done."""
    try:
        loaded = load(path)
    except Unreadable as error:
        return refused(error, path)
    design = loaded.design
    names = tuple(design.variants)
    if variant is not None and variant not in names:
        return complain(f"{path} has no variant '{variant}'{nearest_or_all(variant, names)}")
    if names and variant is None:
        return complain(f"{path} has variants; choose one with --variant: {', '.join(names)}")
    return in_variant(design, variant) if variant else design
