"""Symbols of parts: passive parts, sources and loads, after IEC 60617 (mm, y down)."""

from __future__ import annotations

from wiregen.sheet import style
from wiregen.sheet.elements import arrow_head, element_items
from wiregen.sheet.items import Arc, Circle, Item, Path, Point
from wiregen.sheet.strokes import (
    BODY,
    FILLED,
    LINK,
    Shape,
    box,
    filled_white,
    line,
    two_ended,
    word,
)

# Passive parts


def fuse() -> Shape:
    """Fuse: slim box with the line through it, so that fuses in a row stay apart."""
    return two_ended(box(8.0, 3.0), line((-4.0, 0.0), (4.0, 0.0)), left=4.0)


def fusible_link() -> Shape:
    """Fusible link: a short thin bow between two dots."""
    bow = (
        Arc((-1.5, 0.0), 1.5, 180.0, 360.0, style.SYMBOL_PEN),
        Arc((1.5, 0.0), 1.5, 180.0, 0.0, style.SYMBOL_PEN),
    )
    dots = (Circle((-3.0, 0.0), 0.7, FILLED), Circle((3.0, 0.0), 0.7, FILLED))
    return two_ended(*bow, *dots, left=3.0)


def breaker() -> Shape:
    """Circuit breaker: bow over two open ends."""
    body = tuple(i for i in element_items("Breaker", 8.0) if not _is_level(i))
    return two_ended(*filled_white(body), left=4.0)


def resistor() -> Shape:
    """Resistor: plain box."""
    return two_ended(*filled_white(element_items("ResistorIEC", 8.0)), left=4.0)


def heater() -> Shape:
    """Heating element: box with bars across."""
    bars = tuple(line((x, -2.0), (x, 2.0)) for x in (-2.0, 0.0, 2.0))
    return two_ended(*filled_white(element_items("ResistorIEC", 8.0)), *bars, left=4.0)


def terminator() -> Shape:
    """Bus terminator: resistor marked with its unit."""
    body = filled_white(element_items("ResistorIEC", 8.0))
    return two_ended(*body, word("Ω", 2.7), left=4.0)


def sender() -> Shape:
    """Sender: resistor that a quantity changes."""
    return two_ended(*filled_white(element_items("ResistorVarIEC", 8.0)), left=4.0)


def potentiometer() -> Shape:
    """Resistor with a sliding tap below."""
    body = filled_white(element_items("ResistorIEC", 8.0))
    tap: tuple[Item, ...] = (line((0.0, 7.5), (0.0, 3.0)), arrow_head((0.0, 7.5), (0.0, 2.1)))
    items, ends = two_ended(*body, *tap, left=4.0)
    return items, (*ends, ("tap", (0.0, 7.5)))


def capacitor() -> Shape:
    """Capacitor: two plates."""
    plates = element_items("Capacitor", 10.0, 0.18)
    return two_ended(*plates, left=0.9)


def coil() -> Shape:
    """Coil: a row of half circles."""
    return two_ended(*element_items("Inductor", 8.0), left=4.0)


def diode() -> Shape:
    """Diode: current flows from 1 (anode) to 2 (cathode)."""
    return two_ended(*element_items("Diode", 10.0, 0.35), left=1.75, names=("anode", "cathode"))


def zener() -> Shape:
    """Suppressor or Zener diode: 2 is the cathode."""
    return two_ended(*element_items("Zener", 10.0, 0.35), left=1.75, names=("anode", "cathode"))


def led() -> Shape:
    """Light-emitting diode."""
    return two_ended(*element_items("LED", 9.0, 0.35), left=1.575, names=("anode", "cathode"))


def _is_level(item: Item) -> bool:
    return isinstance(item, Path) and len({y for _, y in item.points}) == 1


# Sources


def battery() -> Shape:
    """Battery of several cells; the long plate is plus."""
    plates = element_items("Battery", 9.0, 0.5625)
    return two_ended(*plates, *_plus_sign(-4.6), left=2.53, names=("plus", "minus"))


def cell() -> Shape:
    """One cell; the long plate is plus."""
    plates = element_items("BatteryCell", 9.0, 0.1875)
    return two_ended(*plates, *_plus_sign(-2.9), left=0.84, names=("plus", "minus"))


def _plus_sign(x: float) -> tuple[Item, ...]:
    return line((x - 0.7, -2.2), (x + 0.7, -2.2)), line((x, -2.9), (x, -1.5))


def alternator() -> Shape:
    """Alternator with its rectifier: G over a wave, a diode towards the plus terminal."""
    ring = Circle((-2.5, 0.0), 5.0, BODY)
    wave = (
        Arc((-3.7, 2.3), 1.2, 180.0, 360.0, style.SYMBOL_PEN),
        Arc((-1.3, 2.3), 1.2, 180.0, 0.0, style.SYMBOL_PEN),
    )
    rectifier = (
        Path(((4.0, -1.8), (4.0, 1.8), (6.6, 0.0)), BODY, closed=True),
        line((6.6, -1.8), (6.6, 1.8)),
    )
    leads = (
        line((-10.0, 0.0), (-7.5, 0.0)),
        line((2.5, 0.0), (10.0, 0.0)),
        line((-5.0, -7.5), (-5.0, -4.33)),
        line((0.0, -7.5), (0.0, -4.33)),
    )
    ends: tuple[tuple[str, Point], ...] = (
        ("minus", (-10.0, 0.0)),
        ("plus", (10.0, 0.0)),
        ("lamp", (-5.0, -7.5)),
        ("phase", (0.0, -7.5)),
    )
    return (*leads, ring, word("G", 4.0, -2.5, -1.6), *wave, *rectifier), ends


def converter() -> Shape:
    """DC/DC converter: box with a diagonal and the sign for direct current on both sides."""
    signs = tuple(
        line((x - 1.1, y + dy), (x + 1.1, y + dy))
        for x, y in ((-2.6, -2.6), (2.6, 2.6))
        for dy in (-0.45, 0.45)
    )
    return two_ended(box(10.0, 10.0), line((-5.0, 5.0), (5.0, -5.0)), *signs, left=5.0)


# Loads


def lamp() -> Shape:
    """Lamp: cross in a circle."""
    return two_ended(*_ring_first(filled_white(element_items("Lamp2", 6.0))), left=3.0)


def motor() -> Shape:
    """Motor: M in a circle."""
    return two_ended(Circle((0.0, 0.0), 4.0, BODY), word("M", 4.2), left=4.0)


def gauge() -> Shape:
    """Gauge: pointer in a circle."""
    pointer = (line((-1.9, 1.9), (1.3, -1.3)), arrow_head((-1.9, 1.9), (2.0, -2.0)))
    return two_ended(Circle((0.0, 0.0), 4.0, BODY), *pointer, left=4.0)


def horn() -> Shape:
    """Horn: a bell on a small box."""
    bell = Path(((-1.5, -2.0), (-4.0, -5.5), (4.0, -5.5), (1.5, -2.0)), BODY, closed=True)
    return two_ended(bell, box(3.0, 4.0), left=1.5)


def solenoid() -> Shape:
    """Solenoid: coil with a plunger that moves."""
    plunger = Path(((0.0, -4.0), (0.0, -6.1)), LINK)
    head = arrow_head((0.0, -4.0), (0.0, -7.5))
    return two_ended(box(4.0, 8.0), plunger, head, left=2.0)


def relay_coil() -> Shape:
    """Coil of a relay: an upright box."""
    return two_ended(box(4.0, 8.0), left=2.0)


def load() -> Shape:
    """Any other load: box with an arrow for the power it takes."""
    arrow = (line((-2.6, 0.0), (1.4, 0.0)), arrow_head((-2.6, 0.0), (2.8, 0.0)))
    return two_ended(box(8.0, 6.0), *arrow, left=4.0)


def socket() -> Shape:
    """Socket outlet: a shell with its two contacts."""
    shell = Circle((0.0, 0.0), 4.0, BODY)
    contacts = (
        Circle((-1.5, 0.0), 0.75, style.SYMBOL_PEN),
        Circle((1.5, 0.0), 0.75, style.SYMBOL_PEN),
    )
    key = Path(((-1.0, -4.0), (-1.0, -3.0), (1.0, -3.0), (1.0, -4.0)), style.SYMBOL_PEN)
    return two_ended(shell, *contacts, key, left=4.0)


def sensor() -> Shape:
    """Sensor with electronics: box whose left edge takes something in."""
    mark = Path(((-4.0, -2.2), (-0.6, 0.0), (-4.0, 2.2)), style.SYMBOL_PEN)
    return two_ended(box(8.0, 6.0), mark, left=4.0)


def unit() -> Shape:
    """Control unit: rounded box with its legs."""
    legs = tuple(
        line((x, y), (x, y + dy)) for x in (-2.5, 0.0, 2.5) for y, dy in ((-4.0, -1.2), (4.0, 1.2))
    )
    return two_ended(box(10.0, 8.0, 1.2), *legs, left=5.0)


def flasher() -> Shape:
    """Flasher unit: box with a pulse train."""
    pulse = line(
        (-3.0, 1.2),
        (-1.8, 1.2),
        (-1.8, -1.2),
        (0.0, -1.2),
        (0.0, 1.2),
        (1.8, 1.2),
        (1.8, -1.2),
        (3.0, -1.2),
    )
    return two_ended(box(8.0, 6.0), pulse, left=4.0)


def _ring_first(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """White-filled circles go below the strokes drawn in them."""
    return (
        *(item for item in items if isinstance(item, Circle)),
        *(item for item in items if not isinstance(item, Circle)),
    )
