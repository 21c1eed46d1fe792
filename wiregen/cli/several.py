"""Several files on the command line: what is no design among them is named and passed over."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from wiregen.cli.words import complain
from wiregen.read.companions import companion_words


def designs_among(paths: Sequence[Path]) -> list[Path]:
    """Return the design files, each once; a file that stands beside a design is named instead.

    A single file is returned whatever it is, so that the command says itself why it is no use.
    """
    named = list(dict.fromkeys(paths))
    if len(named) == 1:
        return named
    designs = []
    for path in named:
        said = companion_words(path)
        if said:
            complain(f"{path}: {said}; passed over")
        else:
            designs.append(path)
    return designs
