"""What follows from a change, in words and as data: numbers, sheets, tests, measured values."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import asdict
from typing import Any

from wiregen.check.render_text import plain
from wiregen.compute.numbers import amps, percent, rounded, shown
from wiregen.history.figures import (
    LEAST_A,
    LEAST_DROP_V,
    LEAST_FUSE_SHARE,
    LEAST_SHARE,
    UNITS,
    Figure,
    Figures,
)
from wiregen.history.review import Review, Touched

_FIGURES = (
    f"currents, drops and fuse loads (from {percent(LEAST_SHARE, 1)} and {LEAST_A:g} A, "
    f"{LEAST_DROP_V:g} V, {percent(LEAST_FUSE_SHARE, 1)} of a fuse; where it differs most)"
)
_TESTS = {"changed": "other reading", "new": "new", "gone": "gone"}
_MOST_TESTS = 16


def follow_blocks(review: Review) -> Iterator[tuple[str, list[str]]]:
    """Yield headings with their lines, those that have any."""
    figures = [*_figure_lines(review.figures.rows)]
    if review.figures.skipped:
        figures.append(plain(f"no operating point in {', '.join(review.figures.skipped)}"))
    sheets = [*_sheet_lines(review)]
    tests = [*_test_lines(review.tests or ())]
    void = [
        plain(f"{v.test}: {v.reading or 'no reading'} of {v.date or 'no date'}, {v.why}")
        for v in review.void
    ]
    blocks = (
        (_FIGURES, figures),
        ("sheets and faces that change", sheets),
        ("tests of the loom", tests),
        ("measured values that are void: measure again", void),
    )
    yield from ((title, lines) for title, lines in blocks if lines)


def _figure_lines(rows: Iterable[Figure]) -> Iterator[str]:
    """Yield one line for each branch."""
    by_branch: dict[tuple[str, str], list[Figure]] = {}
    for row in rows:
        by_branch.setdefault((row.variant, row.id), []).append(row)
    for (variant, name), found in by_branch.items():
        words = [f"{_change_words(one)} ({one.state})" for one in found]
        if len({one.state for one in found}) == 1:
            words = [*map(_change_words, found[:-1]), words[-1]]
        mark = f" [{variant}]" if variant else ""
        yield plain(f"{name} {found[0].title}".rstrip() + f"{mark}: {', '.join(words)}")


def _change_words(figure: Figure) -> str:
    before, after = figure.before, figure.after
    if figure.sort == "fuse":
        return f"{percent(before, 1)} -> {percent(after, 1)} of its rating"
    if figure.sort == "drop":
        return f"drop {shown(before)} -> {shown(after)} V"
    return f"{amps(before)} -> {amps(after)}"


def _sheet_lines(review: Review) -> Iterator[str]:
    if review.sheets is None and review.difference.changes:
        yield "sheets and tests not looked at"
    for sheet in review.sheets or ():
        if not sheet.name.startswith("face-"):
            number = sheet.name.removeprefix("sheet-").lstrip("0")
            title = f"sheet {number} {sheet.title}" if number.isdigit() else sheet.title
            yield plain(title + ("" if sheet.fate == "changed" else f" ({sheet.fate})"))
    if review.faces:
        yield f"faces {', '.join(review.faces)}"


def _test_lines(tests: Iterable[Touched]) -> Iterator[str]:
    by_fate: dict[str, list[str]] = {}
    for test in tests:
        by_fate.setdefault(test.fate, []).append(test.name)
    for fate, words in _TESTS.items():
        names = by_fate.get(fate, [])
        if names:
            more = len(names) - _MOST_TESTS
            rest = f" and {more} more (see --format json)" if more > 0 else ""
            yield plain(f"{words}: {', '.join(names[:_MOST_TESTS])}{rest}")


def figures_data(figures: Figures) -> dict[str, Any]:
    """Return the numbers with the least differences that are reported."""
    rows = [
        {
            "what": row.sort,
            "unit": UNITS[row.sort],
            "id": row.id,
            "title": row.title,
            "state": row.state,
            "variant": row.variant,
            "before": rounded(row.before),
            "after": rounded(row.after),
        }
        for row in figures.rows
    ]
    least = {
        "current_a": LEAST_A,
        "current_share": LEAST_SHARE,
        "drop_v": LEAST_DROP_V,
        "fuse_share": LEAST_FUSE_SHARE,
    }
    return {"least": least, "rows": rows, "no_operating_point": list(figures.skipped)}


def touched_data(found: tuple[Touched, ...] | None) -> list[dict[str, str]] | None:
    """Return sheets or tests as data; None when nobody looked."""
    return None if found is None else [asdict(one) for one in found]
