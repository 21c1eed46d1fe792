"""A progress line on the terminal for work that takes more than a moment."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Iterator
from typing import TypeVar

T = TypeVar("T")
_PATIENCE_S = 1.0


def shown(items: Iterable[T], total: int, what: str) -> Iterator[T]:
    """Yield the items, with a bar on stderr once it has taken over a second.

    Args:
        items: passed on one by one.
        total: how many there are.
        what: word before the bar.
    """
    if not sys.stderr.isatty():
        yield from items
        return
    began = time.monotonic()
    drawn = False
    try:
        for done, item in enumerate(items):
            if time.monotonic() - began > _PATIENCE_S:
                filled = 30 * done // max(total, 1)
                bar = "#" * filled + "." * (30 - filled)
                sys.stderr.write(f"\r{what} {bar} {done}/{total}")
                sys.stderr.flush()
                drawn = True
            yield item
    finally:
        if drawn:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
