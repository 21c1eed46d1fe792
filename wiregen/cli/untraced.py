"""Why a name cannot be traced, and what to trace instead."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.connect import Network, node_of, split_node
from wiregen.model import Design, in_order
from wiregen.problems import did_you_mean

_MOST_NAMED = 4


def untraced(design: Design, network: Network, name: str) -> str:
    """Return why a name that is no pin of the network cannot be traced.

    Args:
        design: the design.
        network: from `connect`.
        name: what was asked for: a cavity that holds nothing, a wire, a plug, or nothing at all.
    """
    from wiregen.model.faces import face_layouts

    plug, cavity = split_node(name)
    layout = face_layouts(design).get(plug)
    if layout is not None and cavity in layout.cavities:
        written = design.plugs[plug].pins.get(cavity)
        state = written.state if written and written.state != "used" else "without a wire"
        return f"{name} is {state}: there is nothing to trace"
    for kind, section in (
        ("wire", design.wires),
        ("plug", design.plugs),
        ("device", design.devices),
        ("fuse", design.fuses),
        ("fuse box", design.boxes),
        ("group of wires", design.groups),
    ):
        if name in section:
            known = (node for node in _ends(design, network, name) if node in network.net_index)
            return f"{name} is a {kind}: {_instead(list(dict.fromkeys(known)))}"
    return f"there is no pin '{name}' to trace{did_you_mean(name, network.net_index)}"


def _ends(design: Design, network: Network, name: str) -> Iterator[str]:
    """Yield the pins of something: of a unit those of its plugs, of a group those of its wires."""
    if name in design.wires:
        yield from network.written[name]
    elif name in design.groups:
        group = design.groups[name]
        if group.screen is not None:
            yield node_of(group.screen)
        for wire in group.wires:
            yield from network.written.get(wire, ())
    else:
        owners = {name, *(plug.id for plug in design.plugs.values() if plug.of == name)}
        yield from in_order(n for n in network.net_index if split_node(n)[0] in owners)


def _instead(nodes: list[str]) -> str:
    if not nodes:
        return "it has no pin to trace"
    if len(nodes) > _MOST_NAMED:
        return f"trace one of its {len(nodes)} pins, such as {nodes[0]}"
    *first, last = nodes
    return f"trace {', '.join(first)} or {last}" if first else f"trace {last}"
