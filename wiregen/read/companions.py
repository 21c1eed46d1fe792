"""Files that stand beside a design and are none: its kept layout, what was measured on it."""

from __future__ import annotations

from pathlib import Path

LAYOUT = ".layout.yaml"
MEASURED = ".measured.yaml"
_KINDS = {LAYOUT: "the kept layout of", MEASURED: "what was measured on"}


def measured_path(design_path: Path) -> Path:
    """Return the file beside a design that holds what was measured on it."""
    return design_path.with_name(f"{design_path.stem}{MEASURED}")


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
