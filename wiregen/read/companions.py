"""Files that stand beside a design and are none: its kept layout, what was measured on it."""

from __future__ import annotations

from pathlib import Path

_KINDS = {".layout.yaml": "the kept layout of", ".measured.yaml": "what was measured on"}


def companion_words(path: str | Path) -> str:
    """Return what a file beside a design is; empty for a design.

    Example:
        >>> companion_words("jobs/tractor.layout.yaml")
        'this is the kept layout of tractor.yaml, not a design'
    """
    name = Path(path).name
    for ending, what in _KINDS.items():
        if name.endswith(ending):
            return f"this is {what} {name.removesuffix(ending)}.yaml, not a design"
    return ""
