"""Drawing lint of a whole set: every sheet by itself, and the references between sheets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.layout.lint import Flaw, Lint, lint
from wiregen.sheet.items import Group, Sheet, Text, walk
from wiregen.sheet.metrics import lacking
from wiregen.sheet.zones import PAPERS, zone_at


@dataclass(frozen=True, slots=True)
class _Mark:
    """Where a wire goes on to another sheet: that sheet and zone as printed, its own place, mm."""

    wire: str
    to: str
    sheet: str
    zone: str
    x: float
    y: float


def lint_set(sheets: Sequence[Sheet]) -> tuple[Lint, ...]:
    """Measure the sheets of one set.

    Args:
        sheets: all of them; a reference to a sheet that is not there dangles.
    """
    numbered = {_number(sheet): sheet for sheet in sheets}
    marks = {number: tuple(_marks(sheet)) for number, sheet in numbered.items()}
    found = []
    for sheet in sheets:
        own = lint(sheet)
        dangling = tuple(_dangling(_number(sheet), numbered, marks))
        found.append(replace(own, flaws=(*own.flaws, *dangling)))
    return tuple(found)


def letters_lacking(sheet: Sheet) -> Iterator[str]:
    """Yield the letters on a sheet that the font of the drawings lacks."""
    texts = (item for item in walk(sheet.items) if isinstance(item, Text))
    return (char for text in texts for words, *_ in text.parts for char in lacking(words))


def _number(sheet: Sheet) -> str:
    """Return the number of a schematic sheet as references print it; its name for other sheets."""
    kind, _, number = sheet.name.partition("-")
    return number.lstrip("0") if kind == "sheet" else sheet.name


def _marks(sheet: Sheet) -> Iterator[_Mark]:
    for item in walk(sheet.items):
        if isinstance(item, Group) and item.cls == "reference":
            data = dict(item.data)
            yield _Mark(
                data["wire"],
                data["to"],
                data["sheet"],
                data["zone"],
                float(data["x"]),
                float(data["y"]),
            )


def _dangling(
    number: str, sheets: Mapping[str, Sheet], marks: Mapping[str, Sequence[_Mark]]
) -> Iterator[Flaw]:
    """References of a sheet without their other half in the zone they name."""
    for mark in marks[number]:
        back = [
            other
            for other in marks.get(mark.sheet, ())
            if other.wire == mark.wire and other.sheet == number
        ]
        if not any(_zone(sheets[mark.sheet], other) == mark.zone for other in back):
            says = f"{mark.to}, sheet {mark.sheet} {mark.zone}"
            yield Flaw("dangling reference", (mark.wire, says), mark.x, mark.y)


def _zone(sheet: Sheet, mark: _Mark) -> str:
    size = (sheet.width, sheet.height)
    paper = next(paper for paper in PAPERS if (paper.width, paper.height) == size)
    return zone_at(mark.x, mark.y, paper)
