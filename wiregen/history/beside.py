"""Work that a second process does while this one goes on."""

from __future__ import annotations

import os
import pickle
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import NoReturn, TypeVar

T = TypeVar("T")


@contextmanager
def beside(work: Callable[[], T]) -> Iterator[Callable[[], T]]:
    """Begin some work in a second process, and give how to get what it returns.

    It is done in this process, once asked for, where there is no second one to be had or where
    that one could not do it; so an error is raised here. What is not asked for is dropped.

    Args:
        work: changes nothing, and returns what can be pickled.
    """
    if not hasattr(os, "fork") or (os.cpu_count() or 1) < 2:
        yield work
        return
    receiver, sender = os.pipe()
    child = os.fork()
    if not child:
        _answer(sender, work)
    os.close(sender)
    ended: list[int] = []

    def result() -> T:
        data = answer.read()
        ended.append(os.waitpid(child, 0)[1])
        return pickle.loads(data) if ended == [0] else work()

    with os.fdopen(receiver, "rb") as answer:
        try:
            yield result
        finally:
            if not ended:
                os.kill(child, signal.SIGKILL)
                os.waitpid(child, 0)


def _answer(sender: int, work: Callable[[], object]) -> NoReturn:
    """Do the work in the second process and send what it returns; nothing else may come of it."""
    done = False
    try:
        data = pickle.dumps(work(), pickle.HIGHEST_PROTOCOL)
        with os.fdopen(sender, "wb") as answer:
            answer.write(data)
        done = True
    finally:
        os._exit(0 if done else 1)
