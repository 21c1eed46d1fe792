"""wiregen: one checked text file for a wiring loom, drawn as connector faces and schematic.

import wiregen

design = wiregen.load("designs/tractor.yaml")
design.findings          # what the rules say
design.nets              # what is joined by metal
design.drawings[0]       # shows itself in a notebook; .svg, .png(), .save(path)
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from wiregen.publish import Document

__all__ = ["__version__", "load"]
__version__ = "0.1.0"


def load(path: str | Path) -> Document:
    """Read a design file.

    Args:
        path: the design file.

    Returns:
        The design; findings, nets and drawings are made when first asked for.

    Raises:
        wiregen.problems.Unreadable: the file cannot be read as a design.
    """
    from wiregen.publish import Document

    return Document(path)
