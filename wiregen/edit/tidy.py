"""The canonical form of a design file, so that a change of one object is a change of one line.

Only white space and the order of whole objects change. Comments stay above what they stand
above; where it is not sure what a comment belongs to, nothing is moved.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from wiregen.edit.places import Entry, Place, read_places
from wiregen.model import natural_key
from wiregen.problems import Unreadable
from wiregen.read.yaml_tree import Map, Node, Seq, read_tree, text_of

SECTIONS = (
    "format",
    "include",
    "drawing",
    "system",
    "colour_key",
    "colour_keys",
    "variants",
    "looms",
    "contacts",
    "plugs",
    "splices",
    "fuses",
    "boxes",
    "earths",
    "devices",
    "circuits",
    "wires",
    "groups",
    "buses",
    "states",
    "route",
    "signals",
    "accepted",
)
"""Order of the sections; one that is not named here keeps the whole file's order as it is."""

_WIRE_KEYS = ("from", "to", "colour", "size", "length", "loom")
_NUMBERED = re.compile(r"([A-Za-z]+)[0-9]+")
_WIDEST = 24
"""A value longer than this does not widen the column of all the others."""


def tidy_text(text: str, name: str = "design") -> str:
    """Return a design file in canonical form; what it says and its comments stay.

    Sections come in the usual order; objects that are numbered alike (W1, W2) in natural order
    within a run that no comment line and no blank line parts; the keys of one-line wires in
    columns; no white space at the ends of lines.

    Args:
        text: of the file, without a byte order mark.
        name: of the file, for messages.

    Raises:
        Unreadable: the text is no YAML a design may hold.

    Example:
        >>> print(tidy_text("wires:\\n  W10: {to: J1, from: J2} # b\\n  W2: {from: J1, to: J5}\\n"))
        wires:
          W2:  {from: J1, to: J5}
          W10: {from: J2, to: J1}  # b
        <BLANKLINE>
    """
    windows = "\r\n" in text
    plain = text.replace("\r\n", "\n")
    if "\r" in plain or (windows and plain.count("\n") != text.count("\r\n")):
        return text
    wanted = _plain(read_tree(plain, name))
    bare = _if_same(_without_trailing(plain), plain, wanted, name)
    tidy = _if_same(_made(bare), bare, wanted, name)
    return tidy.replace("\n", "\r\n") if windows else tidy


def _made(text: str) -> str:
    """Put a text in order; its places are read again only when it changed."""
    places = None
    for step in (_sections_in_order, _objects_in_order, _wires_in_columns):
        places = places or read_places(text)
        changed = step(text, places)
        if changed != text:
            text, places = changed, None
    return text


def _if_same(changed: str, text: str, wanted: Node, name: str) -> str:
    """Return a changed text, or the text as it was when more than white space and order changed."""
    if changed == text or _ink(changed) != _ink(text):
        return text
    try:
        same = _plain(read_tree(changed, name)) == wanted
    except Unreadable:
        return text
    return changed if same else text


def _ink(text: str) -> Counter[str]:
    """Count the characters that are no white space; commas go with the keys they stand between."""
    return Counter("".join(text.split()))


def _plain(node: Node) -> Node:
    if isinstance(node, Map):
        return {key: _plain(value) for key, value in node.items()}
    if isinstance(node, Seq):
        return [_plain(value) for value in node]
    return text_of(node)


def _without_trailing(text: str) -> str:
    lines = [line.rstrip(" \t") for line in text.split("\n")]
    return "\n".join(lines).rstrip("\n") + "\n" if text.strip() else text


def _sections_in_order(text: str, whole: Place) -> str:
    """Order the sections of the file, each with the comment that stands right above it."""
    entries = list(whole.entries.values())
    places = {section: number for number, section in enumerate(SECTIONS)}
    starts: list[int] = []
    for before, entry in pairwise(entries):
        start = _lead(text, before, entry)
        if start is None:
            return text
        starts.append(start)
    known = all(entry.key in places for entry in entries)
    if not starts or not known or entries[0].key != "format":
        return text
    bounds = [0, *starts, len(text)]
    chunks = [text[a:b] for a, b in pairwise(bounds)]
    order = sorted(range(len(entries)), key=lambda n: places[entries[n].key])
    tail = text[_end_of_line(text, entries[-1].value.end) :]
    if order[-1] != len(entries) - 1 and tail.strip():
        return text  # a remark at the end may be about the whole file
    return _joined(chunks, order)


def _lead(text: str, before: Entry, entry: Entry) -> int | None:
    """Return where a section begins with its comment; None when it is not sure whose one is."""
    line = text.rfind("\n", 0, entry.start) + 1
    end = text.find("\n", before.value.end) + 1
    if line != entry.start or not 0 < end <= line:
        return None
    lines = text[end:line].splitlines(keepends=True)
    kinds = ["blank" if not x.strip() else "own" if x[0] == "#" else "inner" for x in lines]
    while kinds and kinds[0] == "inner":
        end += len(lines.pop(0))
        kinds.pop(0)
    first = kinds.index("own") if "own" in kinds else len(kinds)
    sure = all(k == "blank" for k in kinds[:first]) and all(k == "own" for k in kinds[first:])
    return end if sure else None


def _objects_in_order(text: str, whole: Place) -> str:
    """Order the objects of each section by id, within runs that nothing parts."""
    parts: list[str] = []
    done = 0
    for section, entry in whole.entries.items():
        if section == "states" or entry.value.kind != "mapping" or entry.value.flow:
            continue
        for run in _runs(text, list(entry.value.entries.values())):
            if not _numbered_alike(run):
                continue
            starts = [text.rfind("\n", 0, e.start) + 1 for e in run]
            bounds = [*starts, min(_end_of_line(text, run[-1].value.end) + 1, len(text))]
            chunks = [text[a:b] for a, b in pairwise(bounds)]
            order = [n for _, n in sorted((natural_key(e.key), n) for n, e in enumerate(run))]
            parts += [text[done : bounds[0]], _joined(chunks, order)]
            done = bounds[-1]
    return "".join([*parts, text[done:]])


def _numbered_alike(run: Sequence[Entry]) -> bool:
    """Tell whether ids are letters with a number, all with the same letters: W1, W2."""
    letters = {found[1] if (found := _NUMBERED.fullmatch(e.key)) else "" for e in run}
    return len(letters) == 1 and "" not in letters


def _joined(chunks: Sequence[str], order: Sequence[int]) -> str:
    """Return chunks in another order; the last line of the file may lack its end."""
    ends = all(chunk.endswith("\n") for chunk in chunks)
    if ends or list(order) == sorted(order):
        return "".join(chunks[n] for n in order)
    whole = [chunk if chunk.endswith("\n") else f"{chunk}\n" for chunk in chunks]
    return "".join(whole[n] for n in order)


def _runs(text: str, entries: Sequence[Entry]) -> Iterator[list[Entry]]:
    """Yield runs of objects on lines of their own without a comment line or blank between."""
    run: list[Entry] = []
    for entry in entries:
        if run:
            between = text[run[-1].value.end : entry.start]
            parted = between.count("\n") != 1
            if parted:
                yield run
                run = []
        run.append(entry)
    if run:
        yield run


def _wires_in_columns(text: str, whole: Place) -> str:
    """Write the keys of one-line wires under each other; a remark stays in its column if it can."""
    wires = whole.entries.get("wires")
    if wires is None or wires.value.kind != "mapping" or wires.value.flow:
        return text
    rows = [entry for entry in wires.value.entries.values() if _is_row(text, entry)]
    parts: list[str] = []
    done = 0
    for entry, row in zip(rows, _rows(text, rows), strict=True):
        end = _end_of_line(text, entry.value.end)
        behind = text[entry.value.end : end]
        remark = behind.strip()
        column = entry.value.end - entry.start + len(behind) - len(behind.lstrip())
        parts += [text[done : entry.start], f"{row}  ".ljust(column) + remark if remark else row]
        done = end
    return "".join([*parts, text[done:]])


def _end_of_line(text: str, start: int) -> int:
    end = text.find("\n", start)
    return len(text) if end < 0 else end


def _is_row(text: str, entry: Entry) -> bool:
    """Tell whether a wire stands on one line, with nothing but keys and values."""
    value = entry.value
    if value.kind != "mapping" or not value.flow or "\n" in text[entry.start : value.end]:
        return False
    return re.fullmatch(r" *: *", text[entry.end : value.start]) is not None


def _rows(text: str, rows: Sequence[Entry]) -> list[str]:
    cells = [_cells(text, entry.value) for entry in rows]
    names = [f"{text[entry.start : entry.end]}:" for entry in rows]
    first = max((len(name) for name in names), default=0)
    widths = {
        key: max((len(c[key]) for c in cells if key in c and len(c[key]) <= _WIDEST), default=0)
        for key in _WIRE_KEYS
    }
    return [
        f"{name:<{first}} {{{_row(found, widths)}}}"
        for name, found in zip(names, cells, strict=True)
    ]


def _cells(text: str, value: Place) -> dict[str, str]:
    """Return key -> `key: value` as written; the usual keys of a wire first."""
    found = {
        key: f"{text[inner.start : inner.end]}: {text[inner.value.start : inner.value.end]}"
        for key, inner in value.entries.items()
    }
    usual = [key for key in _WIRE_KEYS if key in found]
    return {key: found[key] for key in [*usual, *(k for k in found if k not in usual)]}


def _row(cells: dict[str, str], widths: dict[str, int]) -> str:
    """Pad the usual keys but the last to their columns; a missing one leaves its column open."""
    last = next((key for key in reversed(_WIRE_KEYS) if key in cells), "from")
    columns = _WIRE_KEYS[: _WIRE_KEYS.index(last)]
    padded = (f"{cells[key]}," if key in cells else "" for key in columns)
    start = "".join(
        f"{text:<{widths[key] + 2}}" if widths[key] else text
        for key, text in zip(columns, padded, strict=True)
    )
    rest = [cells[key] for key in cells if key not in columns]
    return f"{start}{', '.join(rest)}"
