"""Pins that changed their cavity within a plug: the re-pin behind a pile of changed pins."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Mapping

from wiregen.history.plain import Leaf, Path, Plain, Record, Ref, wire_ends
from wiregen.model import in_order

_Facts = frozenset[tuple[Path, Leaf]]
_ABOUT_THE_RECORD = frozenset({"source", "measured", "note"})
"""Facts about how a pin was read, which do not tell one wire from another."""


def find_pin_moves(old: Plain, new: Plain) -> dict[str, list[tuple[str, str]]]:
    """Return plug -> the cavities whose contents moved, with where they moved to.

    A pin is told by the wires that end at it, then by all it says, then by circuit and colour,
    then by what it carries; one that is not told by any of these has not moved.

    Args:
        old: facts of the old design, already with the ids of the new one.
        new: facts of the new design.
    """
    went = _wires_went(old, new)
    found: dict[str, list[tuple[str, str]]] = {}
    for plug in in_order(old["plugs"]):
        if plug not in new["plugs"] or old["plugs"][plug] == new["plugs"][plug]:
            continue
        moves = _plug_moves(
            pins_of(old["plugs"][plug]), pins_of(new["plugs"][plug]), went.get(plug, {})
        )
        if moves:
            found[plug] = [(cavity, moves[cavity]) for cavity in in_order(moves)]
    return found


def pins_of(plug: Record) -> dict[str, _Facts]:
    """Return cavity -> what is said of it, each path without its cavity."""
    pins: dict[str, set[tuple[Path, Leaf]]] = {}
    for path, leaf in plug.items():
        if path[0] == "pins":
            pins.setdefault(str(path[1]), set()).add((path[2:], leaf))
    return {cavity: frozenset(facts) for cavity, facts in pins.items()}


def move_pins(plug: Record, targets: Mapping[str, str]) -> Record:
    """Return the facts of a plug after its pins moved, all at once.

    Args:
        plug: facts of the plug.
        targets: cavity -> cavity afterwards; what was said of a target that did not move is lost.
    """
    filled = set(targets.values())
    moved: Record = {}
    for path, leaf in plug.items():
        cavity = path[1] if path[0] == "pins" else None
        if cavity in targets:
            moved["pins", targets[str(cavity)], *path[2:]] = leaf
        elif cavity is None or cavity not in filled:
            moved[path] = leaf
    return moved


def _plug_moves(
    old: Mapping[str, _Facts], new: Mapping[str, _Facts], went: Mapping[str, str]
) -> dict[str, str]:
    olds = {c: f for c, f in old.items() if _movable(f) and new.get(c) != f}
    news = {c: f for c, f in new.items() if _movable(f) and old.get(c) != f}
    moves: dict[str, str] = {}
    for cavity in in_order(olds):
        target = went.get(cavity, "")
        if target in news and target not in moves.values() and target != cavity:
            moves[cavity] = target
    stay = {c for c in olds if c in news and c not in moves and _same_pin(olds[c], news[c])}
    for told_by in (_everything, _meaning, _circuit_and_colour, _carried):
        _pair(olds, news, moves, stay, told_by)
    return moves


def _pair(
    olds: Mapping[str, _Facts],
    news: Mapping[str, _Facts],
    moves: dict[str, str],
    stay: set[str],
    told_by: Callable[[_Facts], Hashable],
) -> None:
    """Pair the pins that one mark tells, where it tells one alone, or all are alike."""
    targets = set(moves.values())
    sources: dict[Hashable, list[str]] = {}
    places: dict[Hashable, list[str]] = {}
    for cavity in in_order(olds):
        if cavity not in moves and cavity not in stay:
            sources.setdefault(told_by(olds[cavity]), []).append(cavity)
    for cavity in in_order(news):
        if cavity not in targets and cavity not in stay:
            places.setdefault(told_by(news[cavity]), []).append(cavity)
    for mark, cavities in sources.items():
        found = places.get(mark, [])
        if mark and (told_by is _everything or len(cavities) == len(found) == 1):
            pairs = zip(cavities, found, strict=False)
            moves.update((source, place) for source, place in pairs if source != place)


def _wires_went(old: Plain, new: Plain) -> dict[str, dict[str, str]]:
    """Return plug -> cavity -> the cavity all its wires went to."""
    votes: dict[str, dict[str, Counter[str]]] = {}
    for name, record in old["wires"].items():
        after = new["wires"].get(name)
        if after is None or after.get(("ends",)) == record.get(("ends",)):
            continue
        for before, then in moved_ends(wire_ends(record), wire_ends(after)):
            if before and then and before.id == then.id:
                at = votes.setdefault(before.id, {}).setdefault(before.point, Counter())
                at[then.point] += 1
    return {
        plug: {cavity: min(places) for cavity, places in cavities.items() if len(places) == 1}
        for plug, cavities in votes.items()
    }


def moved_ends(old: Iterable[Ref], new: Iterable[Ref]) -> list[tuple[Ref | None, Ref | None]]:
    """Pair the ends of a wire that changed: at the same object first, None for one that is missing.

    Example:
        >>> x1, x2, j1 = Ref("", "X1", "1"), Ref("", "X2", "1"), Ref("", "J1")
        >>> [(str(a), str(b)) for a, b in moved_ends([x1, x2], [x2, j1])]
        [('X1:1', 'J1')]
    """
    before, after = Counter(old), Counter(new)
    gone, came = list((before - after).elements()), list((after - before).elements())
    pairs: list[tuple[Ref | None, Ref | None]] = []
    for ref in list(gone):
        same = next((other for other in came if other.id == ref.id), None)
        if same:
            pairs.append((ref, same))
            gone.remove(ref)
            came.remove(same)
    for number in range(max(len(gone), len(came))):
        one = gone[number] if number < len(gone) else None
        other = came[number] if number < len(came) else None
        pairs.append((one, other))
    return pairs


def _movable(facts: _Facts) -> bool:
    """Tell whether a pin says anything that could be carried to another cavity."""
    return any(path != ("state",) for path, _ in facts)


def _same_pin(old: _Facts, new: _Facts) -> bool:
    """Tell whether a changed pin still is the same one: circuit, else words, else colour."""
    before, after = dict(old), dict(new)
    for key in ("circuit", "carries", "colour"):
        one, other = before.get((key,)), after.get((key,))
        if one is not None and other is not None:
            return one == other
    return True


def _everything(facts: _Facts) -> Hashable:
    return facts


def _meaning(facts: _Facts) -> Hashable:
    return frozenset(fact for fact in facts if fact[0][0] not in _ABOUT_THE_RECORD)


def _circuit_and_colour(facts: _Facts) -> Hashable:
    said = dict(facts)
    circuit, colour = said.get(("circuit",)), said.get(("colour",))
    return (circuit, colour) if circuit and colour else None


def _carried(facts: _Facts) -> Hashable:
    return dict(facts).get(("carries",))
