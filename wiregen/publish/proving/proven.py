"""A design with the pins measured that a result recorded beside it proves."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from wiregen.connect import Network, split_node
from wiregen.model import Design, Pin, in_order
from wiregen.problems import Unreadable
from wiregen.read.companions import measured_path


def proven_design(design: Design, network: Network) -> Design:
    """Return the design with the date of a good reading at every pin that one proves.

    Nothing is read where no results are kept beside the design. Results that cannot be read count
    as none: `wiregen record` says what is wrong with them.

    Args:
        design: the design.
        network: from `connect`.
    """
    path = Path(design.path)
    if not measured_path(path).exists():
        return design
    from wiregen.publish.proving import prove
    from wiregen.publish.proving.record import judged_kept, proven_pins

    try:
        judged = judged_kept(path, design, network, prove(design, network).checks)
    except Unreadable:
        return design
    plugs = dict(design.plugs)
    for node, date in proven_pins(design, judged).items():
        owner, cavity = split_node(node)
        plug = plugs[owner]
        pin = plug.pins.get(cavity) or Pin(name=cavity, origin=plug.origin)
        pins = {**plug.pins, cavity: replace(pin, measured=max(pin.measured, date))}
        plugs[owner] = replace(plug, pins={name: pins[name] for name in in_order(pins)})
    return replace(design, plugs=plugs)
