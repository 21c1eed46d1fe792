"""Work in a second process: its result, its errors, and that nothing of it stays behind."""

from __future__ import annotations

import os

import pytest

from tests.history.samples import document
from wiregen.history.beside import beside
from wiregen.history.review import review
from wiregen.publish import document as documents


def no_process_left() -> bool:
    try:
        os.waitpid(-1, os.WNOHANG)
    except ChildProcessError:
        return True
    return False


@pytest.fixture(autouse=True)
def two_processors(monkeypatch):
    monkeypatch.setattr(os, "cpu_count", lambda: 2)


def test_the_work_is_done_in_another_process():
    with beside(lambda: (os.getpid(), ["X1"])) as result:
        process, found = result()
    assert process != os.getpid()
    assert found == ["X1"]
    assert no_process_left()


def test_it_is_done_here_where_there_is_one_processor(monkeypatch):
    monkeypatch.setattr(os, "cpu_count", lambda: 1)
    with beside(os.getpid) as result:
        assert result() == os.getpid()


def test_what_the_other_process_cannot_do_is_done_here():
    here = os.getpid()

    def fails_elsewhere():
        if os.getpid() != here:
            raise MemoryError
        return "done"

    with beside(fails_elsewhere) as result:
        assert result() == "done"
    with beside(lambda: open(os.devnull)) as result:  # cannot be pickled
        result().close()
    assert no_process_left()


def test_an_error_of_the_work_is_raised_here():
    with pytest.raises(ZeroDivisionError), beside(lambda: 1 // 0) as result:
        result()
    assert no_process_left()


def test_what_is_not_asked_for_is_dropped():
    with beside(lambda: __import__("time").sleep(60)):
        pass
    assert no_process_left()


def test_a_large_review_says_the_same(monkeypatch):
    text = (
        "format: 1\nplugs: {X1: {contacts: pins, face: [[1, 2]]}, X2: {face: [[1, 2]]}}\n"
        "wires:\n  W1: {from: X1:1, to: X2:1, colour: RD, size: 1}\n"
    )
    sides = document(text), document(text.replace("to: X2:1", "to: X2:9"))
    here = review(*sides)
    monkeypatch.setattr(documents, "_LARGE", 0)
    with sides[0].checking() as old, sides[1].checking() as new:
        elsewhere = review(old, new)
    assert [p.code for p in here.appeared] == [p.code for p in elsewhere.appeared] != []
    assert elsewhere == here
