"""Two states of one design and what lies between them, each part made when first asked for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from wiregen.history.review import Fate, Review, Touched, Voided, review
from wiregen.model import in_order
from wiregen.publish.document import Document

if TYPE_CHECKING:
    from wiregen.layout.drawing_set import PlannedSet
    from wiregen.layout.drawn_diff import DrawnDiff
    from wiregen.publish.proving.checks import Check
    from wiregen.publish.proving.results import Result
    from wiregen.sheet.items import Sheet

MOST_WIRES = 1_500
"""Sheets and tests of a larger design are not made to see which of them change."""

_CONTENTS = "contents"
"""Kind of the sheets that only list the others."""


@dataclass(frozen=True, slots=True)
class State:
    """One of the two states.

    Attributes:
        document: the design.
        name: what it is called: the file, or revision and file.
        results: of tests, kept beside it.
    """

    document: Document
    name: str
    results: tuple[Result, ...] = ()

    @property
    def title(self) -> str:
        """Its name with the revision of its title block."""
        revision = self.document.design.title_block.revision
        return f"{self.name}, revision {revision}" if revision else self.name


@dataclass(frozen=True, slots=True)
class ChangedSheet:
    """A sheet that is not as it was.

    Attributes:
        before: the sheet as it was; None when it is new.
        after: the sheet as it is; None when it is gone.
        drawn: both in one, with marks.
        plug: of a face; empty for any other sheet.
    """

    before: Sheet | None
    after: Sheet | None
    drawn: DrawnDiff
    plug: str = ""

    @property
    def page(self) -> Sheet:
        """The sheet as it is, or as it was when it is gone."""
        page = self.after or self.before
        assert page is not None
        return page


class Change:
    """What lies between two states of a design."""

    def __init__(self, old: State, new: State) -> None:
        self.old = old
        self.new = new

    @cached_property
    def review(self) -> Review:
        """Everything that changed and everything that follows from it."""
        found = self.bare
        if not found.difference.changes:
            return found
        found = replace(found, void=self._void())
        wires = (len(state.document.design.wires) for state in (self.old, self.new))
        if max(wires) > MOST_WIRES:
            return found
        found = replace(found, tests=self._touched_tests())
        faces = tuple(in_order({sheet.plug for sheet in self.sheets if sheet.plug}))
        return replace(found, sheets=self._touched_sheets(), faces=faces)

    @cached_property
    def bare(self) -> Review:
        """What changed, without sheets, tests and measured values."""
        return review(self.old.document, self.new.document)

    @cached_property
    def sheets(self) -> tuple[ChangedSheet, ...]:
        """The sheets that show something else, drawn; in the order of the new set."""
        from wiregen.layout.drawn_diff import drawn_diff
        from wiregen.layout.drawn_renames import kept_renamed

        renames = self._renames
        planned = self.old.document.plan()
        before = dict(zip(_keys(planned, renames), planned.sheets(), strict=True))
        planned = self.new.document.plan_from(kept_renamed(planned.kept, renames))
        after = dict(zip(_keys(planned, {}), planned.sheets(), strict=True))
        names = (self.old.title, self.new.title)
        found = []
        for key in dict.fromkeys((*after, *before)):
            if key[0] == _CONTENTS:
                continue
            one, other = before.get(key), after.get(key)
            if one == other:
                continue
            drawn = drawn_diff(one, other, names, renames)
            if drawn.marks:
                plug = key[1] if key[0] == "face" else ""
                found.append(ChangedSheet(one, other, drawn, plug))
        return tuple(found)

    @cached_property
    def _renames(self) -> dict[str, str]:
        """Id of an object in the old state -> its id in the new one."""
        pairs = self.bare.difference.pairs
        shared = (pair for pair in pairs.items() if pair[0][0] not in ("circuits", "states"))
        return {one[1]: other[1] for one, other in shared if one != other}

    def _touched_sheets(self) -> tuple[Touched, ...]:
        found = []
        for sheet in self.sheets:
            fate: Fate = (
                "new" if sheet.before is None else "gone" if sheet.after is None else "changed"
            )
            found.append(Touched(fate, sheet.page.name, sheet.page.title))
        return tuple(found)

    def _touched_tests(self) -> tuple[Touched, ...]:
        """Return the tests of the loom that are new, gone or ask for another reading."""
        from wiregen.layout.drawn_pairs import with_new_ids

        renames = self._renames
        before: dict[str, object] = {}
        for check, made in _wiring(self.old.document):
            known = with_new_ids(check.id, renames)
            before.setdefault(known, (_asked(check, renames), with_new_ids(made, renames)))
        after: dict[str, tuple[object, str]] = {}
        for check, made in _wiring(self.new.document):
            words = " - ".join(filter(None, (check.start, check.end)))
            after.setdefault(check.id, ((_asked(check, {}), made), words))
        found = []
        for name in in_order({*before, *after}):
            if name not in after:
                found.append(Touched("gone", name, ""))
            elif name not in before:
                found.append(Touched("new", name, after[name][1]))
            elif before[name] != after[name][0]:
                found.append(Touched("changed", name, after[name][1]))
        return tuple(found)

    def _void(self) -> tuple[Voided, ...]:
        """Return the measured values that counted for the old state and do not for the new one."""
        results = {result.test: result for result in (*self.old.results, *self.new.results)}
        if not results:
            return ()
        before, after = _made(self.old.document), _made(self.new.document)
        found = []
        for name in in_order(results):
            result = results[name]
            if not result.made_of or result.made_of not in before.get(name, ()):
                continue
            if result.made_of not in after.get(name, ()):
                why = "its wires changed" if name in after else "there is no such test any more"
                found.append(Voided(name, result.reading, result.date, why))
        return tuple(found)


def _keys(planned: PlannedSet, renames: Mapping[str, str]) -> Iterator[tuple[str, ...]]:
    """Yield what each sheet of a set is known by, with the ids of the new design."""
    for number in range(planned.maps):
        yield "overview", str(number)
    for number in range(planned.contents):
        yield _CONTENTS, str(number)
    for page in planned.pages:
        yield "schematic", page.plan.key
    seen: dict[str, int] = {}
    for face in planned.faces:
        seen[face.plug] = seen.get(face.plug, 0) + 1
        yield "face", renames.get(face.plug, face.plug), str(seen[face.plug])


def _checks(document: Document) -> Iterator[tuple[Check, str]]:
    """Yield the tests of a design, or of each of its variants, with what their wires are."""
    from wiregen.publish.proving import prove
    from wiregen.publish.proving.results import made_of
    from wiregen.publish.volts import Expected

    names = tuple(document.design.variants)
    for part in map(document.of_variant, names) if names else (document,):
        for check in prove(part.design, part.network, Expected()).checks:
            yield check, made_of(part.design, part.network, check)


def _wiring(document: Document) -> Iterator[tuple[Check, str]]:
    """Yield those of the tests that are made on the loom without power."""
    return ((check, made) for check, made in _checks(document) if check.is_wiring)


def _made(document: Document) -> dict[str, set[str]]:
    """Return test -> what its wires are, in any variant."""
    found: dict[str, set[str]] = {}
    for check, made in _checks(document):
        found.setdefault(check.id, set()).add(made)
    return found


def _asked(check: Check, renames: Mapping[str, str]) -> tuple[object, ...]:
    """Return what a test asks for, with the ids of the new design."""
    from wiregen.layout.drawn_pairs import with_new_ids

    def named(items: Iterable[str]) -> tuple[str, ...]:
        return tuple(in_order(with_new_ids(item, renames) for item in items))

    ends = named((check.start, check.end))
    numbers = (check.expect, check.low, check.high)
    return (check.kind, ends, named(check.via), named(check.apart), *numbers, check.colour)
