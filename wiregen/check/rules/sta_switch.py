"""States between states: what a changeover joins on its way, what a coil does when it lets go."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, pairwise

from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.compute.gather import grouped
from wiregen.model import Device
from wiregen.model.devices import Pair

_DRIVEN = ("high side", "low side", "push-pull", "open collector")


def make_first(scene: Scene) -> Iterator[Found | Missing]:
    """A changeover that makes before it breaks joins two sources, or supply and earth."""
    for device in scene.design.devices.values():
        steps = [*device.positions.items()]
        if device.rest or device.pulled:
            steps = [("at rest", device.rest), ("pulled in", device.pulled)]
        for (first, closed), (second, following) in pairwise(steps):
            joined = _joined(scene, device, closed, following)
            if not joined or device.transition == "break first":
                continue
            if not device.transition:
                yield Missing("transition of the changeover", device.id)
                break
            yield Found(
                f"{device.id} makes before it breaks: between '{first}' and '{second}' it {joined}",
                device.origin.at("transition"),
                (device.id,),
            )


def _joined(
    scene: Scene, device: Device, closed: tuple[Pair, ...], following: tuple[Pair, ...]
) -> str:
    """Return what both positions together join that neither joins alone; empty when harmless."""
    both = grouped([*closed, *following])
    apart = (grouped(list(closed)), grouped(list(following)))
    for one, other in combinations(both, 2):
        if both[one] != both[other] or any(_together(group, one, other) for group in apart):
            continue
        nets = [scene.network.net_of(f"{device.id}:{name}") for name in (one, other)]
        first, second = nets
        if first is None or second is None or first.index == second.index:
            continue
        live = [scene.feeds.is_permanent(net.index) for net in (first, second)]
        earth = [net.kind == "earth" for net in (first, second)]
        if (live[0] and earth[1]) or (live[1] and earth[0]):
            return f"shorts {one} and {other}: one is live, the other is earth"
        if all(live) and scene.feeds.fused[first.index] != scene.feeds.fused[second.index]:
            return f"joins two sources, at {one} and {other}"
    return ""


def _together(group: Mapping[str, str], one: str, other: str) -> bool:
    return one in group and other in group and group[one] == group[other]


def unsuppressed(scene: Scene) -> Iterator[Found | Missing]:
    """An electronic output drives a relay coil that nothing suppresses."""
    drivers = {
        net.index: f"{plug.id}:{pin.name}"
        for plug in scene.design.plugs.values()
        for pin in plug.pins.values()
        if pin.drives in _DRIVEN
        and (net := scene.network.net_of(f"{plug.id}:{pin.name}")) is not None
    }
    coils = {link.device: link.nodes for link in scene.network.links if link.kind == "load"}
    for device in scene.design.devices.values() if drivers else ():
        coil = device.coil
        if coil is None and device.kind != "relay":
            continue
        nodes = coils.get(device.id, ())
        if coil is not None:
            nodes = (f"{device.id}:{coil.start}", f"{device.id}:{coil.end}")
        nets = [scene.network.net_of(node) for node in nodes]
        driver = next((drivers[net.index] for net in nets if net and net.index in drivers), "")
        if not driver or (coil and coil.suppression in ("diode", "resistor")):
            continue
        if coil is None or not coil.suppression:
            yield Missing("suppression of the coil", device.id)
            continue
        yield Found(
            f"{driver} drives the coil of {device.id}, which has no suppression",
            device.origin.at("coil"),
            (device.id, driver),
        )


RULES = (
    Rule(
        code="STA109",
        name="changeover makes first",
        title="A changeover that makes before it breaks joins two sources, or supply and earth",
        severity="error",
        why="For an instant two batteries of different voltage, or a battery and earth, are joined "
        "through the contact: it welds.",
        fix="Use a switch that breaks before it makes, and write 'transition: break first'",
        source="common practice, no source",
        needs="positions and transition of the switch, a source",
        since="0.1",
        run=make_first,
    ),
    Rule(
        code="STA115",
        name="coil without suppression on an output",
        title="An electronic output drives a relay coil that nothing suppresses",
        severity="warning",
        why="When the coil lets go it gives hundreds of volts: the output dies sooner or later.",
        fix="Use a relay with a diode or resistor; if the output has a clamp of its own, accept "
        "this with that reason",
        source="builders' mailing list, message 13288; twcontrols.com relay diode lesson",
        needs="drives of the output, suppression of the coil",
        since="0.1",
        run=unsuppressed,
    ),
)
