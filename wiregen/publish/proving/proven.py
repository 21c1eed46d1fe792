"""A design with the pins measured that a result recorded beside it proves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from wiregen.connect import Network, connect, split_node
from wiregen.model import Design, Pin, in_order
from wiregen.problems import Unreadable
from wiregen.read import Loaded
from wiregen.read.companions import measured_path


def proven_design(design: Design, network: Network, variant: str = "") -> Design:
    """Return the design with the date of a good reading at every pin that one proves.

    Nothing is read where no results are kept beside the design. Results that cannot be read count
    as none: `wiregen record` says what is wrong with them.

    Args:
        design: the design, as the variant has it.
        network: from `connect`.
        variant: of a design that has variants.
    """
    proven = _proven(design, network, variant)
    return _dated(design, proven, every=True) if proven else design


def with_measured(loaded: Loaded) -> Loaded:
    """Return what was read with the pins dated that a result kept beside the design proves.

    For the rules: what nobody wrote of a pin stays unsaid. A pin of a design with variants counts
    as measured when it was on any of them.
    """
    design = loaded.design
    if not measured_path(Path(design.path)).exists():
        return loaded
    proven: dict[str, str] = {}
    for name, one in _each_variant(design):
        proven |= _proven(one, connect(one), name)
    return replace(loaded, design=_dated(design, proven, every=False))


def _each_variant(design: Design) -> Iterator[tuple[str, Design]]:
    from wiregen.check.variants import in_variant

    if not design.variants:
        yield "", design
    for name in design.variants:
        yield name, in_variant(design, name)


def _proven(design: Design, network: Network, variant: str) -> Mapping[str, str]:
    """Return the pins that results kept beside the design prove, each with its date."""
    path = Path(design.path)
    if not measured_path(path).exists():
        return {}
    from wiregen.publish.proving import prove
    from wiregen.publish.proving.record import judged_kept, proven_pins

    try:
        checks = prove(design, network).checks
        return proven_pins(design, judged_kept(path, design, network, checks, variant))
    except Unreadable:
        return {}


def _dated(design: Design, proven: Mapping[str, str], *, every: bool) -> Design:
    """Return a design with dates at pins; at pins that are not described only for `every`."""
    plugs = dict(design.plugs)
    for node, date in proven.items():
        owner, cavity = split_node(node)
        plug = plugs.get(owner)
        pin = plug.pins.get(cavity) if plug else None
        if plug is None or (pin is None and not every):
            continue
        pin = pin or Pin(name=cavity, origin=plug.origin)
        pins = {**plug.pins, cavity: replace(pin, measured=max(pin.measured, date))}
        plugs[owner] = replace(plug, pins={name: pins[name] for name in in_order(pins)})
    return replace(design, plugs=plugs)
