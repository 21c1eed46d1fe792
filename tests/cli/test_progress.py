"""The progress bar: only on a terminal, only after a moment, and gone at the end."""

import io
import time

import pytest

from wiregen.cli import progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def clock(monkeypatch):
    """Set the seconds each look at the clock takes."""

    def set_step(step: float) -> None:
        now = iter(step * count for count in range(1000))
        monkeypatch.setattr(progress.time, "monotonic", lambda: next(now))

    return set_step


def shown_on(stream, monkeypatch) -> str:
    monkeypatch.setattr(progress.sys, "stderr", stream)
    assert list(progress.shown("abcd", 4, "drawing")) == list("abcd")
    return stream.getvalue()


def test_long_work_shows_a_bar_and_clears_it(clock, monkeypatch):
    clock(0.6)
    text = shown_on(Terminal(), monkeypatch)
    assert "\rdrawing " in text
    assert "3/4" in text
    assert text.endswith("\r\x1b[K")


def test_short_work_shows_nothing(clock, monkeypatch):
    clock(0.01)
    assert shown_on(Terminal(), monkeypatch) == ""


def test_waiting_says_so_after_a_while_and_clears_it(monkeypatch):
    terminal = Terminal()
    monkeypatch.setattr(progress.sys, "stderr", terminal)
    monkeypatch.setattr(progress, "_PATIENCE_S", 0.0)
    with progress.waiting("laying out"):
        for _ in range(500):
            if terminal.getvalue():
                break
            time.sleep(0.01)
    assert terminal.getvalue() == "\rlaying out ...\r\x1b[K"


def test_a_short_wait_says_nothing(monkeypatch):
    terminal = Terminal()
    monkeypatch.setattr(progress.sys, "stderr", terminal)
    with progress.waiting("laying out"):
        pass
    assert terminal.getvalue() == ""


def test_nothing_is_shown_where_nobody_looks(clock, monkeypatch):
    clock(0.6)
    assert shown_on(io.StringIO(), monkeypatch) == ""
