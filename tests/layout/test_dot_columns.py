"""Columns of the overview from `dot`: where it is installed, in time, and harmless where not."""

from __future__ import annotations

import shutil
import stat

import pytest

from wiregen.layout import dot_columns as module
from wiregen.layout.dot_columns import dot_columns

CHAIN = {("A 1", "B:2"): 3, ("B:2", "C"): 1, ("A 1", "C"): 1}


def fake_dot(folder, monkeypatch, script):
    program = folder / "dot"
    program.write_text("#!/bin/sh\n" + script)
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setattr(module.shutil, "which", lambda name: str(program))


@pytest.mark.skipif(shutil.which("dot") is None, reason="dot is not installed")
def test_every_line_leads_to_the_right():
    # ranks of an acyclic graph rise along every edge (Gansner and others, IEEE TSE 19, 1993)
    columns = dot_columns(["A 1", "B:2", "C"], CHAIN)
    assert columns == {"A 1": 0, "B:2": 1, "C": 2}


def test_without_dot_the_own_engine_chooses(monkeypatch):
    monkeypatch.setattr(module.shutil, "which", lambda name: None)
    assert dot_columns(["A 1", "B:2", "C"], CHAIN) == {}


def test_a_dot_that_takes_too_long_is_given_up(tmp_path, monkeypatch):
    fake_dot(tmp_path, monkeypatch, "exec sleep 30\n")
    monkeypatch.setattr(module, "TIME_LIMIT_S", 0.2)
    assert dot_columns(["A 1", "B:2", "C"], CHAIN) == {}


def test_a_dot_that_fails_is_ignored(tmp_path, monkeypatch):
    fake_dot(tmp_path, monkeypatch, "exit 3\n")
    assert dot_columns(["A 1", "B:2", "C"], CHAIN) == {}


def test_columns_follow_the_places_dot_gives(tmp_path, monkeypatch):
    lines = ("graph 1 9 9", "node 0 5.5 1 1 1", "node 1 0.5 1 1 1", "node 2 5.5 3 1 1", "stop")
    fake_dot(tmp_path, monkeypatch, "cat >/dev/null\n" + "".join(f"echo '{li}'\n" for li in lines))
    assert dot_columns(["A 1", "B:2", "C"], CHAIN) == {"A 1": 1, "B:2": 0, "C": 1}
