"""Frozen records of a design, each with its place in the file."""

from wiregen.model.base import Drawn, End, Origin, Range
from wiregen.model.design import (
    Circuit,
    Design,
    Drop,
    Revision,
    RouteLeg,
    Signal,
    SignalEnd,
    State,
    System,
    TitleBlock,
    Waiver,
)
from wiregen.model.devices import Coasts, Coil, Device, Forward, LampTerminal
from wiregen.model.order import in_order, natural_key, sorted_map
from wiregen.model.plugs import Accepts, Contact, Face, Pin, Plug, Ring, Say
from wiregen.model.wires import Box, Bus, Earth, Fuse, Group, Loom, Splice, Wire

__all__ = [
    "Accepts",
    "Box",
    "Bus",
    "Circuit",
    "Coasts",
    "Coil",
    "Contact",
    "Design",
    "Device",
    "Drawn",
    "Drop",
    "Earth",
    "End",
    "Face",
    "Forward",
    "Fuse",
    "Group",
    "LampTerminal",
    "Loom",
    "Origin",
    "Pin",
    "Plug",
    "Range",
    "Revision",
    "Ring",
    "RouteLeg",
    "Say",
    "Signal",
    "SignalEnd",
    "Splice",
    "State",
    "System",
    "TitleBlock",
    "Waiver",
    "Wire",
    "in_order",
    "natural_key",
    "sorted_map",
]
