"""A drafted adapter as text: the design file, and the table that is printed."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

from wiregen.edit import yaml_lines
from wiregen.intake.adapter import Adapter
from wiregen.intake.pin_text import remark

_WIDTH = 98


def adapter_text(adapter: Adapter, start: str, end: str) -> str:
    """Return the draft as a design file, its decisions as remarks at the head.

    Args:
        adapter: the draft.
        start: name of the side that stays.
        end: name of the side that is fitted.
    """
    lines = [f"# Draft of an adapter loom between {remark(start)} and {remark(end)}."]
    lines += ["# Nothing is measured. Decide, then delete the line:"]
    for number, text in enumerate(adapter.decisions, 1):
        lines += _wrapped(f"{number}. {remark(text)}", "#  ", "#     ")
    lines += ["format: 1", "drawing: {title: Adapter loom, number: draft, revision: A}"]
    for name, section in adapter.sections.items():
        lines.append(f"{name}:")
        assert isinstance(section, Mapping)
        for key, value in section.items():
            lines += yaml_lines(key, value, 2, width=200)
    return "\n".join(lines) + "\n"


def adapter_lines(adapter: Adapter) -> Iterator[str]:
    """Yield the table of wires with reasons, and the decisions."""
    rows = [
        (f"{match.start.said}", f"{match.end.said}", wires[-1], match.confidence, match.reason)
        for match, wires in adapter.wired
    ]
    widths = [max((len(row[n]) for row in rows), default=0) for n in range(4)]
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=False)]
        yield f"{cells[0]} -> {cells[1]}  {cells[2]}  {cells[3]}  {row[4]}"
    if adapter.decisions:
        yield "to decide:"
    for number, text in enumerate(adapter.decisions, 1):
        yield from _wrapped(f"{number}. {text}", "  ", "     ")


def _wrapped(text: str, first: str, then: str) -> list[str]:
    return textwrap.wrap(
        text,
        _WIDTH,
        initial_indent=first,
        subsequent_indent=then,
        break_long_words=False,
        break_on_hyphens=False,
    )
