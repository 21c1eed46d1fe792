"""What was recorded beside a design and no longer counts."""

from __future__ import annotations

from pathlib import Path

from wiregen.problems import Unreadable
from wiregen.read import Loaded
from wiregen.read.companions import measured_path

_MOST_NAMED = 8


def void_words(path: Path, loaded: Loaded) -> str:
    """Return how many recorded values are void and which, in one line; empty when none are.

    Args:
        path: a design file.
        loaded: what was read from it.
    """
    kept = measured_path(path)
    if not kept.exists():
        return ""
    from wiregen.publish import Document
    from wiregen.publish.proving.record import void_results

    whole = Document(path, loaded)
    documents = [whole.of_variant(name) for name in whole.design.variants] or [whole]
    try:
        void = [
            f"{one.test} of {document.variant}" if document.variant else one.test
            for document in documents
            for one in void_results(path, document.design, document.network, document.variant)
            if one.variant == document.variant
        ]
    except Unreadable as error:
        return f"{kept}: {error.problems[0].message}"
    if not void:
        return ""
    more = len(void) - _MOST_NAMED
    names = ", ".join(void[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
    values = "1 recorded value is" if len(void) == 1 else f"{len(void)} recorded values are"
    return f"{kept}: {values} void, the wire was changed since; measure again: {names}"
