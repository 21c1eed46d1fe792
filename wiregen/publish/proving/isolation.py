"""Isolation between what is not joined, and the pins that tell a mirrored plug."""

from __future__ import annotations

from collections.abc import Sequence

from wiregen.connect import Network, split_node
from wiregen.connect.screens import Screen
from wiregen.layout.tables import Table, columns
from wiregen.model import Design, in_order
from wiregen.publish.proving.checks import APART_OHM, Check
from wiregen.publish.proving.groups import Groups

_MIRROR_PINS = 2


def isolation_checks(design: Design, network: Network, groups: Groups) -> tuple[Check, ...]:
    """Return one test for each piece of loom with plug cavities: apart from all it lies next to.

    Each pair of neighbours is named once, with the piece that comes first; a screen and the wires
    under it with the screen, though they are no neighbours.
    """
    checks = []
    under = _under_screens(design, groups)
    done = {(group, other) for group, others in under.items() for other in others}
    for group, nodes in groups.members.items():
        cavities = [node for node in nodes if split_node(node)[0] in design.plugs]
        screens = [groups.screens[node] for node in nodes if node in groups.screens]
        if not cavities and not screens:
            continue
        wires = in_order({wire for node in nodes for wire in network.wires_on.get(node, ())})
        wires += [screen.id for screen in screens]
        apart = dict.fromkeys(under.get(group, {}).values())
        for node in cavities:
            for other in groups.around(node):
                pair = (group, groups.of[other])
                if pair not in done and (pair[1], pair[0]) not in done:
                    done.add(pair)
                    apart[f"{node}/{split_node(other)[1]}"] = None
        checks.append(
            Check(
                f"ISO-{wires[0]}",
                "isolation",
                next(iter(cavities), wires[-1]),
                wires=tuple(wires),
                low=APART_OHM,
                apart=tuple(apart),
                words=_words(screens, bool(apart)),
            )
        )
    return tuple(checks)


def _words(screens: Sequence[Screen], apart: bool) -> str:
    first = [f"{screen.over} under screen {screen.id}" for screen in screens]
    first += ["next pins"] if apart and not screens else []
    return "to all else joined together" + (f", {', '.join(first)} first" if first else "")


def _under_screens(design: Design, groups: Groups) -> dict[str, dict[str, str]]:
    """Return piece of a screen -> piece of a wire under it -> where the two can be probed.

    That is in the plug of the screen's pin, else at the free end of the screen.
    """
    found: dict[str, dict[str, str]] = {}
    for screen in groups.screens.values():
        mine = groups.of[screen.id]
        plug = split_node(screen.node)[0]
        for wire in screen.wires:
            for node in groups.wire_ends.get(wire, ()):
                owner, cavity = split_node(node)
                if groups.of[node] == mine or owner not in design.plugs:
                    continue
                pair = f"{screen.node}/{cavity}" if owner == plug else f"{screen.id}/{node}"
                pairs = found.setdefault(mine, {})
                if owner == plug or groups.of[node] not in pairs:
                    pairs[groups.of[node]] = pair
    return found


def mirror_table(design: Design, network: Network, groups: Groups) -> Table:
    """Return for each loom half two pins that read differently when it is loaded mirrored."""
    rows = []
    wired = {split_node(node)[0] for node in groups.of}
    for plug in design.plugs.values():
        if plug.of or plug.id not in wired:
            continue
        told = telling_pins(design, network, groups, plug.id)
        for cavity, other, why in told[:_MIRROR_PINS]:
            wires = groups.ends_at(f"{plug.id}:{cavity}")
            rows.append(
                (
                    f"{plug.id}:{cavity}",
                    carried(design, network, plug.id, cavity),
                    ", ".join(wires),
                    f"{plug.id}:{other} {why}",
                    "",
                )
            )
        if not told:
            words = "no reading tells it apart: look at the key and count from cavity 1"
            rows.append((plug.id, plug.title, "", words, ""))
    return Table(
        "mirror",
        "Pins that tell a mirrored plug",
        columns("*Pin", "Carries", "Wire", "Loaded mirrored its contact would be in", "_Seen"),
        tuple(rows),
        (
            "Look at these first: pins whose mirror image carries the same pass even in a plug "
            "that was loaded as seen from the wrong side; these do not.",
        ),
    )


def carried(design: Design, network: Network, plug: str, cavity: str) -> str:
    """Return what a cavity carries, said on either half."""
    for half in (plug, network.mate(plug) or ""):
        pin = design.plugs[half].pins.get(cavity) if half in design.plugs else None
        if pin is not None and (pin.carries or pin.circuit):
            return pin.carries or pin.circuit
    return ""


def telling_pins(
    design: Design, network: Network, groups: Groups, plug: str
) -> list[tuple[str, str, str]]:
    """Return (cavity, where it would be when mirrored, why that shows), the clearest first."""
    found: list[tuple[int, str, str, str]] = []
    for cavity, other in groups.mirror_of(plug).items():
        node, there = f"{plug}:{cavity}", f"{plug}:{other}"
        if cavity == other or node not in groups.of:
            continue
        if there not in groups.of:
            pin = design.plugs[plug].pins.get(other)
            state = pin.state if pin and pin.state != "used" else "without a wire"
            found.append((0, cavity, other, f"which is {state}"))
        elif groups.of[there] != groups.of[node]:
            wires = ", ".join(groups.ends_at(there))
            found.append((1, cavity, other, f"where {wires} belongs"))
    found.sort(key=lambda entry: entry[0])
    return [(cavity, other, why) for _, cavity, other, why in found]
