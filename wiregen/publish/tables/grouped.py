"""What a wire runs in: twists, cables and screens, said as the bench needs it."""

from __future__ import annotations

from collections.abc import Mapping

from wiregen.connect import Network
from wiregen.connect.screens import find_screens
from wiregen.model import Design


def group_words(design: Design, network: Network) -> Mapping[str, str]:
    """Return wire -> the groups it runs in, with both ends of each screen.

    Args:
        design: the design.
        network: from `connect`.
    """
    screens = {screen.id: screen for screen in find_screens(design, network)}
    found: dict[str, list[str]] = {}
    for group in design.groups.values():
        for wire in group.wires:
            said = [
                f"{word} {group.id}"
                for word, members in (
                    ("twisted", group.twisted),
                    ("screened", group.screened),
                    ("cable", group.multicore),
                )
                if wire in members
            ]
            screen = screens.get(group.id)
            if screen is not None and wire in screen.wires:
                said.append(screen.at_wire(wire))
            found.setdefault(wire, []).append(", ".join(said))
    return {wire: "; ".join(groups) for wire, groups in found.items()}
