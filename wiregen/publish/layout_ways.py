"""Ways of wires and bundles in a layout file, each on one line."""

from __future__ import annotations

from collections.abc import Mapping

from wiregen.layout.engine import KeptLink
from wiregen.layout.schematic.ends import link_keys
from wiregen.layout.schematic.keeping import link_id
from wiregen.publish.layout_words import Words, number_text

_ROOM = {"none": (False, False), "first": (True, False), "last": (False, True),
         "both": (True, True)}  # fmt: skip


def wire_key(name: str) -> str:
    """Return how the file names a link: `W5`, `W5 from` where only that end is here.

    Example:
        >>> [wire_key(one) for one in ("W5:0 W5:1", "W5:1 W5:1>", "under F1:0 under F1:1")]
        ['W5', 'W5 to', 'under F1']
    """
    wire, _, end = link_keys(name)[0].rpartition(":")
    if name.endswith(">"):
        return f"{wire} {'to' if end == '1' else 'from'}"
    return wire


def link_of(key: str) -> str:
    """Return the link a key of the file names.

    Example:
        >>> [link_of(one) for one in ("W5", "W5 to", "under F1")]
        ['W5:0 W5:1', 'W5:1 W5:1>', 'under F1:0 under F1:1']
    """
    wire, _, end = key.partition(" ")
    if end in ("from", "to"):
        here = f"{wire}:{int(end == 'to')}"
        return link_id(here, f"{here}>")
    return link_id(f"{key}:0", f"{key}:1")


def wire_words(name: str, link: KeptLink, nodes: Mapping[str, str]) -> str:
    """Return how the file writes a wire: the pins it ends at, and its way."""
    first, second = (nodes.get(key) or "-" for key in link_keys(name))
    return way_words((f"{first} ", f"{second} "), link)


def way_words(nodes: tuple[str, str], link: KeptLink) -> str:
    """Return how the file writes a way; `nodes` are the words before each end."""
    said = [
        f"{node}{side} {number_text(y)}"
        for node, side, y in zip(nodes, link.sides, link.ends, strict=True)
    ]
    said += [f"lane {at} {number_text(link.lanes[at])}" for at in sorted(link.lanes)]
    for at in sorted(link.runs):
        if link.runs[at]:
            said.append(f"run {at} {' '.join(map(number_text, link.runs[at]))}")
    said.append(f"label {_ends_word(link.labels)}")
    if any(link.also):
        said.append(f"also {_ends_word(link.also)}")
    return " ".join(said)


def _ends_word(ends: tuple[bool, bool]) -> str:
    return next(word for word, which in _ROOM.items() if which == ends)


def way_of(keys: tuple[str, str], words: Words, nodes: dict[str, str]) -> KeptLink:
    """Return the way of a wire, or of a bundle, whose ends have no keys."""
    sides, ends = [], []
    for key in keys:
        node = words.word() if key else ""
        if key and not key.endswith(">"):
            nodes[key] = "" if node == "-" else node
        sides.append(words.side())
        ends.append(words.number())
    lanes: dict[int, float] = {}
    runs: dict[int, tuple[float, ...]] = {}
    labels, also = (True, False), (False, False)
    while words.left:
        kind = words.one_of(("lane", "run", "label", "also"))
        if kind == "label":
            labels = _ROOM[words.one_of(list(_ROOM))]
            continue
        if kind == "also":
            also = _ROOM[words.one_of(list(_ROOM))]
            continue
        at = words.whole()
        if kind == "lane":
            lanes[at] = words.number()
        else:
            runs[at] = words.numbers()
    return KeptLink((sides[0], sides[1]), (ends[0], ends[1]), lanes, runs, labels, also)
