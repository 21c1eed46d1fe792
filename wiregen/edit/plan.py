"""From changes of keys to replacements of spans of text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from wiregen.edit.edits import AppendItem, EditError, Path, RemoveKey, SetKey
from wiregen.edit.places import Entry, Place
from wiregen.edit.yaml_text import Value, yaml_lines, yaml_text

Replacement = tuple[int, int, str]
"""First character, character behind the last, and the text that takes their place."""
_BLANKS = re.compile(" *")
_NOTHING = ("", "~", "null")


@dataclass(slots=True)
class _Job:
    """What is to happen to one mapping or list."""

    put: dict[str, Value] = field(default_factory=dict)
    drop: set[str] = field(default_factory=set)
    append: list[Value] = field(default_factory=list)


def plan(
    text: str, root: Place, edits: Iterable[SetKey | RemoveKey | AppendItem]
) -> list[Replacement]:
    """Return the replacements that make the edits; they do not overlap.

    Raises:
        EditError: a path leads nowhere, or two edits are about the same place.
    """
    jobs: dict[Path, _Job] = {}
    for edit in edits:
        if not _exists(root, edit.path):
            _make_section(root, edit, jobs.setdefault((), _Job()))
        else:
            _enter(jobs.setdefault(edit.path, _Job()), edit)
    writer = _Writer(text, root)
    spans = [span for path, job in jobs.items() for span in writer.change(path, job)]
    spans.sort(key=lambda span: (span[0], span[1]))
    for (_, end, _), (start, _, _) in pairwise(spans):
        if start < end:
            raise EditError("two changes are about the same place of the file")
    return spans


def _enter(job: _Job, edit: SetKey | RemoveKey | AppendItem) -> None:
    if isinstance(edit, AppendItem):
        job.append.append(edit.value)
    elif edit.key in job.put or edit.key in job.drop:
        raise EditError(f"two changes are about '{edit.key}'")
    elif isinstance(edit, SetKey):
        job.put[edit.key] = edit.value
    else:
        job.drop.add(edit.key)


def find(root: Place, path: Path) -> Place:
    """Return the value a path leads to.

    Raises:
        EditError: there is no such place.
    """
    place = root
    for step in path:
        inner = _step(place, step)
        if inner is None:
            raise EditError(f"there is no '{_shown(path)}' in the file")
        place = inner
    return place


def _step(place: Place, step: str | int) -> Place | None:
    if isinstance(step, int):
        return place.items[step] if 0 <= step < len(place.items) else None
    entry = place.entries.get(step)
    return entry.value if entry else None


def _exists(root: Place, path: Path) -> bool:
    place: Place | None = root
    for step in path:
        place = _step(place, step) if place else None
    return place is not None


def _make_section(root: Place, edit: SetKey | RemoveKey | AppendItem, job: _Job) -> None:
    """Turn an edit of a section that is missing into one that makes the section."""
    path = edit.path
    if isinstance(edit, RemoveKey) or len(path) != 1 or isinstance(path[0], int):
        raise EditError(f"there is no '{_shown(path)}' in the file")
    made = job.put.get(path[0])
    if isinstance(edit, AppendItem):
        job.put[path[0]] = [*(made if isinstance(made, list) else ()), edit.value]
        return
    known = made if isinstance(made, dict) else {}
    if edit.key in known:
        raise EditError(f"two changes are about '{edit.key}'")
    job.put[path[0]] = {**known, edit.key: edit.value}


def _shown(path: Path) -> str:
    return ".".join(map(str, path))


@dataclass(frozen=True, slots=True)
class _Writer:
    text: str
    root: Place

    @property
    def newline(self) -> str:
        first = self.text.find("\n")
        return "\r\n" if first > 0 and self.text[first - 1] == "\r" else "\n"

    def change(self, path: Path, job: _Job) -> Iterator[Replacement]:
        place = find(self.root, path)
        bare = self.text[place.start : place.end] in _NOTHING
        empty = place.kind != "scalar" and not (place.entries or place.items)
        if path and (bare or empty) and not job.drop:
            yield from self.fill(path, place, job.append or job.put)
        elif job.append:
            if place.kind != "list":
                raise EditError(f"'{_shown(path)}' is not a list")
            yield self.append(place, job.append)
        elif place.kind != "mapping":
            raise EditError(f"'{_shown(path)}' has no keys")
        else:
            yield from self.change_keys(path, place, job)

    def change_keys(self, path: Path, place: Place, job: _Job) -> Iterator[Replacement]:
        new = {key: value for key, value in job.put.items() if key not in place.entries}
        missing = sorted(job.drop - place.entries.keys())
        if missing:
            raise EditError(f"there is no '{missing[0]}' in '{_shown(path)}'")
        entries = list(place.entries.values())
        if place.flow:
            yield from self.cut_flow(place, entries, job.drop)
        elif job.drop and len(job.drop) == len(entries) and not new:
            yield from self.empty(path, place)
        else:
            yield from self.cut_lines(entries, job.drop)
        for key, value in job.put.items():
            if key not in new:
                yield self.replace(place.entries[key], value)
        if new:
            yield self.add(path, place, new, len(job.drop) == len(entries))

    def fill(self, path: Path, place: Place, value: Value) -> Iterator[Replacement]:
        """Give a key that has nothing yet its first entries; a section gets a line for each."""
        if len(path) > 1:
            yield self.replace(self.entry(path), value)
            return
        entry = self.entry(path)
        colon = _after(self.text, entry.end, ":") or entry.end
        yield (colon, max(colon, place.end), "")
        yield self.lines_behind(max(colon, place.end), list(_section_lines(value, 2)))

    def entry(self, path: Path) -> Entry:
        """Return the entry that holds the value at a path; the value must have a key."""
        last = path[-1]
        if isinstance(last, int):
            raise EditError(f"'{_shown(path)}' is empty")
        return find(self.root, path[:-1]).entries[last]

    def replace(self, entry: Entry, value: Value) -> Replacement:
        """Replace a value; what stands between the colon and a block goes with the block."""
        old = entry.value
        colon = _after(self.text, entry.end, ":")
        written = yaml_text(value)
        if colon is None or (old.start == old.end and old.kind == "scalar"):
            at = entry.end if colon is None else colon
            return (at, at, f": {written}" if colon is None else f" {written}")
        if not old.flow and old.kind != "scalar":
            return (colon, old.end, f" {written}")
        return (old.start, old.end, written)

    def add(self, path: Path, place: Place, new: Mapping[str, Value], emptied: bool) -> Replacement:
        if place.flow:
            inner = ", ".join(f"{yaml_text(key)}: {yaml_text(value)}" for key, value in new.items())
            ends = [max(entry.value.end, entry.end) for entry in place.entries.values()]
            return self.behind_last(place, inner, ends, emptied)
        first = next(iter(place.entries.values()), None)
        indent = self.column(first.start) if first else 0
        lines: list[str] = []
        for key, value in new.items():
            lines += yaml_lines(key, value, indent) if path else _section(key, value)
        return self.lines_behind(place.end, lines)

    def append(self, place: Place, values: Sequence[Value]) -> Replacement:
        if place.flow:
            inner = ", ".join(map(yaml_text, values))
            return self.behind_last(place, inner, [item.end for item in place.items], False)
        indent = " " * self.column(place.start)
        return self.lines_behind(place.end, [f"{indent}- {yaml_text(value)}" for value in values])

    def behind_last(
        self, place: Place, inner: str, ends: Sequence[int], emptied: bool
    ) -> Replacement:
        """Put text behind the last entry in brackets, where a comma may already stand."""
        if not ends or emptied:
            at = place.start + 1
            return (at, at, inner)
        comma = _after(self.text, ends[-1], ",", place.end)
        if comma is None:
            return (ends[-1], ends[-1], f", {inner}")
        return (comma, comma, f" {inner}")

    def lines_behind(self, end: int, lines: Sequence[str]) -> Replacement:
        """Put lines behind the line that holds a place, its remark included."""
        at = self.text.find("\n", end)
        body = self.newline.join(lines)
        if at < 0:
            return (len(self.text), len(self.text), self.newline + body + self.newline)
        return (at + 1, at + 1, body + self.newline)

    def empty(self, path: Path, place: Place) -> Iterator[Replacement]:
        """Leave `{}` where every entry of a block goes."""
        if not path:
            raise EditError("a design file cannot be left empty")
        colon = None if isinstance(path[-1], int) else _after(self.text, self.entry(path).end, ":")
        if colon is None:
            yield (place.start, place.end, "{}")
            return
        yield (colon, colon, " {}")
        yield from self.cut_lines(list(place.entries.values()), set(place.entries))

    def cut_lines(self, entries: Sequence[Entry], drop: set[str]) -> Iterator[Replacement]:
        """Cut entries of a block with their lines; remarks on other lines stay."""
        for number, entry in enumerate(entries):
            if entry.key not in drop:
                continue
            start = self.text.rfind("\n", 0, entry.start) + 1
            end = self.text.find("\n", max(entry.value.end, entry.end))
            if not self.text[start : entry.start].strip():
                yield (start, len(self.text) if end < 0 else end + 1, "")
            elif number + 1 < len(entries) and entries[number + 1].key not in drop:
                yield (entry.start, entries[number + 1].start, "")
            else:
                raise EditError(f"'{entry.key}' cannot be taken out of its line")

    def cut_flow(
        self, place: Place, entries: Sequence[Entry], drop: set[str]
    ) -> Iterator[Replacement]:
        """Cut entries out of brackets, each with one comma; remarks between them stay."""
        kept = [number for number, entry in enumerate(entries) if entry.key not in drop]
        tail = kept[-1] + 1 if kept else len(entries)
        for entry in entries[:tail]:
            if entry.key in drop:
                comma = _after(self.text, _end(entry), ",", place.end)
                yield self.piece(entry.start, comma or _end(entry))
        if kept and tail < len(entries):
            yield from self.cut_tail(place, entries[tail - 1], entries[tail:])

    def cut_tail(self, place: Place, last: Entry, gone: Sequence[Entry]) -> Iterator[Replacement]:
        """Cut the last entries of a mapping in brackets, and the comma that led to them."""
        start, end = _end(last), _end(gone[-1])
        if "\n" not in self.text[start:end]:
            yield (start, end, "")
            return
        comma = _after(self.text, start, ",", gone[0].start)
        trailing = _after(self.text, end, ",", place.end)
        if comma and not trailing:
            yield (comma - 1, comma, "")
        for entry in gone:
            yield (entry.start, _after(self.text, _end(entry), ",", place.end) or end, "")

    def piece(self, start: int, end: int) -> Replacement:
        """Cut a piece with the blanks behind it; with its whole line where it stands alone."""
        blanks = _BLANKS.match(self.text, end)
        behind = blanks.end() if blanks else end
        if self.text[behind : behind + 1] != "\n":
            return (start, end if self.text[behind : behind + 1] in ("#", "\r") else behind, "")
        line = self.text.rfind("\n", 0, start) + 1
        if not self.text[line:start].strip():
            return (line, behind + 1, "")
        return (start, end, "")

    def column(self, at: int) -> int:
        return at - (self.text.rfind("\n", 0, at) + 1)


def _end(entry: Entry) -> int:
    return max(entry.value.end, entry.end)


def _section(key: str, value: Value) -> list[str]:
    """A new section, with one line for each of its objects."""
    if not isinstance(value, Mapping | list) or not value:
        return yaml_lines(key, value)
    return [f"{yaml_text(key)}:", *_section_lines(value, 2)]


def _section_lines(value: Value, indent: int) -> Iterator[str]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from yaml_lines(key, inner, indent)
    elif isinstance(value, list):
        for item in value:
            yield f"{' ' * indent}- {yaml_text(item)}"


def _after(text: str, at: int, mark: str, stop: int | None = None) -> int | None:
    """Return the place behind a mark that comes next, over blanks and remarks; None if none."""
    stop = len(text) if stop is None else stop
    while at < stop:
        here = text[at]
        if here == mark:
            return at + 1
        if here == "#":
            at = text.find("\n", at)
            if at < 0:
                return None
        elif not here.isspace():
            return None
        at += 1
    return None
