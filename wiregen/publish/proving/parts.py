"""Diodes, relay coils and data buses: what a meter reads at them."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.connect import Network, node_of, split_node
from wiregen.model import Bus, Design, Device
from wiregen.publish.proving.checks import APART_OHM, Check

_FORWARD = (0.3, 0.9)
"""What the diode range of a meter shows across silicon, V. From memory."""
_COIL_SPREAD = 0.15
"""Allowed around a coil's resistance: warm or cold, and from part to part. From memory."""
_TERMINATOR_OHM = 120.0
_BUS_SPREAD = 0.1


def part_checks(design: Design, network: Network) -> tuple[Check, ...]:
    """Return the tests of diodes both ways, coils with and without suppression, and buses."""
    checks: list[Check] = []
    for device in design.devices.values():
        if device.kind == "diode":
            checks += _diode(device.id, f"{device.id}:plus", f"{device.id}:minus", device.title)
        for part in device.inside.values():
            if part.kind == "diode" and part.start is not None and part.end is not None:
                name = f"{device.id}.{part.id}"
                checks += _diode(name, node_of(part.start), node_of(part.end), part.title)
        checks += _coil(device)
    for bus in design.buses.values():
        checks += _bus(bus)
    return tuple(checks)


def _diode(name: str, plus: str, minus: str, title: str) -> Iterator[Check]:
    low, high = _FORWARD
    words = f"{title or 'diode'}, red probe first"
    yield Check(f"{name}-forward", "diode", plus, minus, low=low, high=high, words=words)
    yield Check(f"{name}-back", "isolation", minus, plus, low=APART_OHM, words=words)


def _coil(device: Device) -> Iterator[Check]:
    coil = device.coil
    if coil is None or coil.ohms is None:
        return
    start, end = f"{device.id}:{coil.start}", f"{device.id}:{coil.end}"
    words = f"coil of {device.title or device.id}, relay pulled out"
    if coil.suppression == "diode":
        plus = coil.plus or coil.start
        words += f"; red probe on {plus}, the other way round its diode reads too"
        if plus == coil.end:
            start, end = end, start
    yield Check(
        f"{device.id}-coil",
        "coil",
        start,
        end,
        expect=coil.ohms,
        low=coil.ohms * (1 - _COIL_SPREAD),
        high=coil.ohms * (1 + _COIL_SPREAD),
        words=words,
    )


def _bus(bus: Bus) -> Iterator[Check]:
    """Yield the resistance between the two wires of a bus at each plug it passes."""
    passive = len(bus.terminators) - len(bus.active)
    by_plug: dict[str, list[str]] = {}
    for end in bus.members:
        by_plug.setdefault(split_node(node_of(end))[0], []).append(node_of(end))
    ohm = _TERMINATOR_OHM / passive if passive else None
    words = f"{bus.title or bus.kind}, all units off: {passive} end{'' if passive == 1 else 's'}"
    words += f" of {_TERMINATOR_OHM:g} ohm"
    if bus.active:
        words += "; active ends do not show on an ohm-meter"
    pairs = [nodes for nodes in by_plug.values() if len(nodes) == 2]
    for number, (one, two) in enumerate(pairs, start=1):
        yield Check(
            bus.id if len(pairs) == 1 else f"{bus.id}-{number}",
            "bus",
            one,
            two,
            expect=ohm,
            low=(1 - _BUS_SPREAD) * ohm if ohm else APART_OHM / 100,
            high=(1 + _BUS_SPREAD) * ohm if ohm else None,
            words=words,
        )
