"""Loads: each can get supply at one terminal and earth at another."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.known import A_SOURCE, pin_at
from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.check.series import find_islands, lacking
from wiregen.connect import Link


def no_way(scene: Scene) -> Iterator[Found | Missing]:
    """A load cannot get supply, or cannot get earth, whatever is switched."""
    network = scene.network
    supplied = bool(scene.feeds.supply)
    islands = find_islands(scene)
    yield from _unfed_units(scene)
    for link in network.links:
        if link.kind != "load" or _is_unit(scene, link) or _is_source(scene, link):
            continue
        if not any(network.joints.get(node) for node in _terminals(link)):
            continue
        nets = [network.net_index[node] for node in link.nodes]
        if len(set(nets)) < 2:
            if len(link.nodes) == 1:
                yield Missing("second terminal or case of the load", link.id)
            continue
        if not supplied:
            if not network.sources:
                yield Missing(A_SOURCE, link.id)
            continue
        missing = lacking(scene, link, islands)
        if missing and not _parked(scene, link) and not _in_lead(scene, link):
            yield _dead_load(scene, link, missing)


def _parked(scene: Scene, link: Link) -> bool:
    """Tell whether a load is left out on purpose: its wire is parked, or ends at a spare pin."""
    design, network = scene.design, scene.network
    for node in link.nodes:
        net = network.net_of(node)
        for here in net.nodes if net is not None and net.kind != "earth" else ():
            pin = pin_at(design, network, here)
            wires = (design.wires[w] for w in network.wires_on.get(here, ()))
            if (pin is not None and pin.use == "spare") or any(
                w.fate == "insulated" for w in wires
            ):
                return True
    return False


def _in_lead(scene: Scene, link: Link) -> bool:
    """Tell whether a part is a resistor in the return of a source, as a shunt is: that feeds it."""
    network = scene.network
    nets = [network.nets[network.net_index[node]] for node in link.nodes]
    return (
        scene.design.devices[link.device].kind == "resistor"
        and all(net.kind == "earth" for net in nets)
        and any(met.kind == "source" for net in nets for met, _ in network.links_on(net.nodes))
    )


def _unfed_units(scene: Scene) -> Iterator[Found]:
    """Supply and earth pins of units that are wired, but to nothing that can feed them."""
    network, feeds = scene.network, scene.feeds
    for role, reached in (("supply", feeds.supply), ("earth", feeds.earth)):
        for node in scene.with_role.get(role, ()) if network.sources else ():
            net = network.net_of(node)
            plug = scene.design.plugs[node.partition(":")[0]]
            if not plug.of or net is None or not net.wires:
                continue
            if net.index not in reached and net.index not in feeds.open:
                pin = plug.pins[node.partition(":")[2]]
                message = f"{node} ({pin.carries or role}) has no way to {role} in any state"
                yield Found(message, pin.origin.span, (node, plug.of))


def _is_unit(scene: Scene, link: Link) -> bool:
    return link.id == link.device and scene.design.devices[link.device].kind == "unit"


def _is_source(scene: Scene, link: Link) -> bool:
    return scene.design.devices[link.device].kind in ("battery", "alternator")


def _dead_load(scene: Scene, link: Link, missing: list[str]) -> Found:
    device = scene.design.devices[link.device]
    part = device.inside.get(link.id.partition(".")[2])
    record = part or device
    name = f"{link.id} ({record.title})" if record.title else link.id
    loose = [n for n in link.nodes if not scene.network.joints.get(n) and n in _terminals(link)]
    where = f"; nothing is joined to {', '.join(loose)}" if loose else ""
    message = f"{name} has no way to {' and no way to '.join(missing)} in any state{where}"
    return Found(message, record.origin.span, (link.id, link.device, *link.nodes))


def _terminals(link: Link) -> tuple[str, ...]:
    return tuple(node for node in link.nodes if not node.endswith(":case"))


RULES = (
    Rule(
        code="NET104",
        name="load without supply or earth",
        title="A load has no way to supply or no way to earth in any state",
        severity="error",
        why="The load can never work; a lamp that looks for its earth through another lamp glows "
        "where it should not.",
        fix="Add the missing wire, or 'case' if the part is earthed through its housing",
        source="erich-jaeger.com, ISO 11446 contact allocation: lamps on 1 to 8 return on 3",
        needs="a source, terminals of the load",
        since="0.1",
        run=no_way,
    ),
)
