"""Small designs written in a test."""

from __future__ import annotations

import tempfile
from pathlib import Path
from textwrap import dedent

from wiregen.check import Report, check
from wiregen.compute.study import Study
from wiregen.connect import connect
from wiregen.read import Loaded, load


def read(text: str) -> Loaded:
    """Read a design from its text; it has no problems."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "design.yaml"
        path.write_text(dedent(text), encoding="utf-8")
        loaded = load(path)
    assert loaded.problems == ()
    return loaded


def study(text: str) -> Study:
    """Return what is computed of a design."""
    design = read(text).design
    return Study(design, connect(design))


def judged(text: str) -> Report:
    """Return the findings on a design."""
    return check(read(text))
