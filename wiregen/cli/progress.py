"""A progress line on the terminal for work that takes more than a moment."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from threading import Timer
from typing import TypeVar

T = TypeVar("T")
_PATIENCE_S = 1.0
_CLEAR = "\r\x1b[K"


@contextmanager
def waiting(what: str) -> Iterator[None]:
    """Say on the terminal what is being done, once it has taken over a second."""
    if not sys.stderr.isatty():
        yield
        return
    said: list[str] = []

    def say() -> None:
        said.append(what)
        _write(f"\r{what} ...")

    timer = Timer(_PATIENCE_S, say)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        if said:
            _write(_CLEAR)


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
                _write(f"\r{what} {bar} {done}/{total}")
                drawn = True
            yield item
    finally:
        if drawn:
            _write(_CLEAR)


def _write(text: str) -> None:
    sys.stderr.write(text)
    sys.stderr.flush()
