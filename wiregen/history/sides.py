"""The two sides of a comparison: files, files of a revision, or nothing."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from wiregen.history.revisions import NotThere, RevisionError, Stored, read_stored, stored
from wiregen.read import Loaded, load, load_text


@dataclass(frozen=True, slots=True)
class Missing:
    """A design that is on the other side only: it says nothing.

    Attributes:
        path: as it is called on the other side.
        where: it is not: `revision HEAD`.
    """

    path: str
    where: str


Place: TypeAlias = str | Stored | Missing
"""Where a design is: a file, a file in a revision, or nowhere."""
NOTHING = "format: 1\n"
"""A design that says nothing."""


def find_sides(old: str, new: str) -> tuple[Place, Place]:
    """Find two designs, each a file or `REVISION:FILE`; the old one may be a revision of the new.

    Where the file had another name in that revision, it is found under that name; where it is on
    one side only, the other is `Missing`: a new design, or one that was taken away.

    Raises:
        RevisionError: there is no such revision or file.
    """
    before, after = _find_side(old), _find_side(new)
    if before is not None or ":" in old:
        return before or old, after or new
    if isinstance(after, Stored):
        try:
            return stored(old, after.path, after.folder, after.commit), after
        except NotThere as error:
            return error.earlier or Missing(after.path, f"revision {old}"), after
    return _of_file(old, new)


def _find_side(name: str) -> Place | None:
    """Return a file that is there, or what `REVISION:FILE` names; None for anything else."""
    if os.path.exists(name):
        return name
    revision, colon, path = name.partition(":")
    if colon and revision and path and not (len(revision) == 1 and os.sep == "\\"):
        return stored(revision, path, ".")
    return None


def _of_file(revision: str, file: str) -> tuple[Place, Place]:
    """Find a file in a revision, and as it is now."""
    folder = os.path.dirname(file)
    while folder and not os.path.isdir(folder):
        folder = os.path.dirname(folder)
    path = os.path.relpath(file, folder or ".")
    after: Place = file if os.path.exists(file) else Missing(file, "the working tree")
    try:
        return stored(revision, path, folder or "."), after
    except NotThere as error:
        if isinstance(after, Missing):
            raise RevisionError(
                f"'{file}' is neither in revision {revision} nor in the working tree"
            ) from None
        return error.earlier or Missing(file, f"revision {revision}"), after
    except RevisionError:
        if isinstance(after, Missing):
            raise RevisionError(
                f"there is no file '{revision}'; to compare with a revision write REVISION:FILE, "
                f"or a revision and a file"
            ) from None
        raise


def read_place(place: Place, scratch: Path) -> Loaded:
    """Read a design; one that is missing says nothing.

    Args:
        place: where it is.
        scratch: an empty folder for what is not in the working tree; the design stands there with
            what belongs to it for as long as that folder does.

    Raises:
        RevisionError: git cannot give it, or it is too large.
        Unreadable: it is no design.
    """
    if isinstance(place, Missing):
        return load_text(NOTHING, scratch / Path(place.path).name)
    return read_stored(place, scratch) if isinstance(place, Stored) else load(place)
