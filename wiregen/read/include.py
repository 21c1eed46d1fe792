"""The main file and the files it includes: same folder tree only, no circles."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from wiregen.problems import Problem, Unreadable
from wiregen.read import codes
from wiregen.read.files import MAX_BYTES, plain_text, read_text
from wiregen.read.say import schema_problems
from wiregen.read.yaml_tree import Map, Place, Seq, read_tree, text_of
from wiregen.source import Span

MAX_DEPTH = 8
MAX_FILES = 100
MAIN_ONLY = ("drawing", "system")


@dataclass(frozen=True, slots=True)
class FileTree:
    """One file that was read.

    Attributes:
        name: as the user named the main file; included ones relative to the same place.
        text: with `\\n` line ends.
        tree: what it says, allowed by the schema.
    """

    name: str
    text: str
    tree: Map


def read_files(path: str | Path, text: str | None = None) -> list[FileTree]:
    """Read the main file and everything it includes, in order.

    Args:
        path: the main file, as the user named it.
        text: its text where it is known already; the file is not opened then.

    Raises:
        Unreadable: with everything that is wrong in any of the files.
    """
    name = str(path)
    job = _Job(root=_real(os.path.dirname(name) or "."))
    job.read(name, name, (), text)
    if job.problems:
        raise Unreadable(job.problems)
    return job.files


@dataclass(slots=True)
class _Job:
    root: str
    files: list[FileTree] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    seen: set[str] = field(default_factory=set)
    size: int = 0

    def read(self, name: str, path: str, above: tuple[str, ...], known: str | None = None) -> None:
        real = _real(path)
        self.seen.add(real)
        try:
            text = read_text(path, name) if known is None else plain_text(known, name)
            tree = read_tree(text, name)
        except Unreadable as error:
            self.problems.extend(error.problems)
            return
        self.size += len(text)
        faults = schema_problems(tree, name)
        self.problems.extend(faults)
        self.files.append(FileTree(name, text, tree))
        if above:
            self.main_only(tree, name)
        if not any(fault.message.startswith("include") for fault in faults):
            self.include(tree, name, (*above, real))

    def main_only(self, tree: Map, name: str) -> None:
        for key in MAIN_ONLY:
            if key in tree:
                self.refuse(f"'{key}' belongs in the main file only", name, tree.key_at[key])

    def include(self, tree: Map, name: str, above: tuple[str, ...]) -> None:
        for written, at in _written(tree):
            said = self.why_not(written, name, above)
            if said:
                self.refuse(f"'{written[:80]}': {said}", name, at)
                continue
            inner = os.path.join(os.path.dirname(name), written)
            if _real(inner) not in self.seen:
                self.read(os.path.normpath(inner), _real(inner), above)

    def why_not(self, written: str, name: str, above: tuple[str, ...]) -> str:
        """Return why a file may not be brought in; empty when it may."""
        if not written or not written.isprintable():
            return "not a file name"
        if "\\" in written or re.match(r"[A-Za-z]:", written) or os.path.isabs(written):
            return "write a path relative to this file, with '/' between folders"
        real = _real(os.path.join(os.path.dirname(name), written))
        if os.path.commonpath([real, self.root]) != self.root:
            return "outside the folder of the design; only files in it or below may be included"
        if real in above:
            return "the files include each other in a circle"
        if len(above) >= MAX_DEPTH:
            return f"includes are nested more than {MAX_DEPTH} deep"
        if len(self.seen) >= MAX_FILES:
            return f"more than {MAX_FILES} files in all"
        if self.size > MAX_BYTES:
            return f"more than {MAX_BYTES // 1_000_000} MB in all"
        if os.path.isdir(real):
            return "this is a folder, not a design file"
        return "" if os.path.isfile(real) else "there is no such file"

    def refuse(self, message: str, name: str, at: Place) -> None:
        self.problems.append(Problem(codes.INCLUDE, "error", message, Span(name, *at)))


def _real(path: str) -> str:
    """Return the path with every link followed; unchanged when it cannot be a path at all."""
    try:
        return os.path.realpath(path)
    except (OSError, ValueError):
        return path


def _written(tree: Map) -> Iterator[tuple[str, Place]]:
    node = tree.get("include")
    if isinstance(node, Seq):
        yield from ((text_of(n), at) for n, at in zip(node, node.value_at, strict=True))
    elif node is not None:
        yield text_of(node), tree.value_at["include"]
