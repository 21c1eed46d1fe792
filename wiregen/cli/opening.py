"""Opening a design for a command: read, and reduced to one variant."""

from __future__ import annotations

from pathlib import Path

from wiregen.cli.judged import refused
from wiregen.cli.words import complain
from wiregen.problems import Unreadable, nearest_or_all
from wiregen.publish import Document


def open_document(path: Path, variant: str | None) -> Document | int:
    """Return a design as one variant has it, or the exit code when that cannot be done.

    Args:
        path: the design file.
        variant: needed where the design has variants: what is built and measured is one of them.
    """
    try:
        document = Document(path)
    except Unreadable as error:
        return refused(error, path)
    names = tuple(document.design.variants)
    if variant is not None and variant not in names:
        return complain(f"{path} has no variant '{variant}'{nearest_or_all(variant, names)}")
    if names and variant is None:
        return complain(f"{path} has variants; choose one with --variant: {', '.join(names)}")
    return document.of_variant(variant) if variant else document
