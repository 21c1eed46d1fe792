"""A design as lines, one object each, that do not depend on how the file is written."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.history.changes import ORDER
from wiregen.history.plain import leaf_text, plain, sorted_facts
from wiregen.model import Design, in_order


def facts_lines(design: Design) -> Iterator[str]:
    """Yield what a design says, section by section, ids in natural order; a pin has its line."""
    facts = plain(design)
    for section in ORDER:
        for name in in_order(facts.get(section, {})):
            rows: dict[str, list[str]] = {"": []}
            for path, leaf in sorted_facts(facts[section][name]):
                pin = str(path[1]) if path[0] == "pins" else ""
                key = ".".join(map(str, path[2:] if pin else path))
                rows.setdefault(pin, []).append(f"{key} {leaf_text(leaf)}")
            for pin, words in rows.items():
                head = f"{name}:{pin}" if pin else name
                if words or not pin:
                    yield f"{section} {head}".rstrip() + f": {', '.join(words)}".rstrip(": ")
