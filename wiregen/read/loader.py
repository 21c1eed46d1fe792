"""From a path to a design: files, YAML, schema, records."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from wiregen.model import Design
from wiregen.problems import Problem, Unreadable
from wiregen.read.build import build
from wiregen.read.codes import FILE
from wiregen.read.companions import companion_words
from wiregen.read.include import read_files
from wiregen.source import Span


@dataclass(frozen=True, slots=True)
class Loaded:
    """A design that could be read, with what the reader already found in it.

    Attributes:
        design: every section as records.
        problems: findings of the reader: an id used twice, a colour that does not parse.
    """

    design: Design
    problems: tuple[Problem, ...] = ()


def load(path: str | Path) -> Loaded:
    """Read a design file and the files it includes.

    Args:
        path: the design file, as the user named it; spans repeat this text.

    Returns:
        The design and the findings of the reader.

    Raises:
        Unreadable: the file, its YAML, a key, a word or a quantity cannot be read (FMT codes).
    """
    beside = companion_words(path)
    if beside:
        raise Unreadable([Problem(FILE, "error", beside, Span(str(path)))])
    with _no_garbage_runs():
        design, findings = build(read_files(path))
    return Loaded(design, findings)


def load_text(text: str, path: str | Path = "design.yaml") -> Loaded:
    """Read a design from its text, as if it stood in the file `path`.

    Args:
        text: the design file.
        path: name for the spans; files it includes are looked for beside it.

    Returns:
        As `load`.

    Raises:
        Unreadable: as `load`.

    Example:
        >>> loaded = load_text("format: 1\\nplugs: {X1: {title: Wiper motor plug}}")
        >>> loaded.design.plugs["X1"].title
        'Wiper motor plug'
    """
    with _no_garbage_runs():
        design, findings = build(read_files(path, text))
    return Loaded(design, findings)


@contextmanager
def _no_garbage_runs() -> Iterator[None]:
    """Hold the garbage collector: it finds nothing in a growing tree and takes half the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
