"""The closed vocabularies of the design file: every word a key may hold, in one place."""

from __future__ import annotations

DEVICE_KINDS = (
    "battery",
    "alternator",
    "switch",
    "isolator",
    "relay",
    "flasher",
    "lamp",
    "led",
    "motor",
    "solenoid",
    "coil",
    "heater",
    "horn",
    "resistor",
    "capacitor",
    "diode",
    "converter",
    "sensor",
    "sender",
    "gauge",
    "unit",
    "bus bar",
    "terminator",
    "socket",
    "load",
)
ROLES = (
    "supply",
    "earth",
    "sensor return",
    "screen",
    "input",
    "output",
    "sender",
    "sense",
    "lamp terminal",
    "trigger",
    "antenna",
    "bus",
    "through",
)
DRIVES = ("high side", "low side", "push-pull", "open collector", "contact")
EARTH_KINDS = ("chassis", "engine", "isolated")
STATUSES = ("existing", "new", "removed")
FATES = ("used", "moved", "insulated", "removed")
CONTACT_SORTS = ("pins", "sockets")
SIDES = ("mating side", "wire side")
SAFETY_CLASSES = ("brake", "steering", "restraint", "lighting", "fuel")
ZONES = ("dry", "wet", "flexing", "branch")
BARE_PIN_WORDS = ("empty", "blocked", "reserved")
FUSE_STYLES = (
    "blade",
    "mini blade",
    "low-profile mini blade",
    "micro blade",
    "maxi blade",
    "bolt-on",
    "link",
    "glass",
    "breaker",
)
TRANSITIONS = ("break first", "make first")
FACE_MARKS = (
    "top",
    "bottom",
    "left",
    "right",
    "top left",
    "top right",
    "bottom left",
    "bottom right",
)
HANDS = ("left", "right")
RING_STARTS = ("top", "right", "bottom", "left")
RING_TURNS = ("clockwise", "anticlockwise")
POSITION_UNITS = ("mm", "none")
PIN_USES = ("spare",)
NEEDS = ("live", "dead")
SUPPRESSIONS = ("diode", "resistor", "none")
TERMINATOR_SORTS = ("resistive", "active")
TERMINALS: dict[str, tuple[str, ...]] = {
    "battery": ("plus", "minus"),
    "diode": ("plus", "minus"),
}
