"""Every kind of symbol and what draws it.

The forms follow IEC 60617; they are composed from schemdraw's elements where it has them and
from own strokes where it does not.
"""

from __future__ import annotations

from collections.abc import Callable

from wiregen.sheet import contact_shapes, part_shapes
from wiregen.sheet.strokes import Shape

SHAPES: dict[str, Callable[[], Shape]] = {
    "alternator": part_shapes.alternator,
    "battery": part_shapes.battery,
    "breaker": part_shapes.breaker,
    "bus bar": contact_shapes.bus_bar,
    "capacitor": part_shapes.capacitor,
    "cell": part_shapes.cell,
    "change-over": contact_shapes.change_over,
    "closed contact": contact_shapes.closed_contact,
    "coil": part_shapes.coil,
    "converter": part_shapes.converter,
    "diode": part_shapes.diode,
    "earth": contact_shapes.earth,
    "flasher": part_shapes.flasher,
    "fuse": part_shapes.fuse,
    "fusible link": part_shapes.fusible_link,
    "gauge": part_shapes.gauge,
    "heater": part_shapes.heater,
    "horn": part_shapes.horn,
    "isolated earth": contact_shapes.isolated_earth,
    "isolator": contact_shapes.isolator,
    "lamp": part_shapes.lamp,
    "led": part_shapes.led,
    "load": part_shapes.load,
    "motor": part_shapes.motor,
    "potentiometer": part_shapes.potentiometer,
    "push button": contact_shapes.push_button,
    "relay change-over": contact_shapes.relay_change_over,
    "relay coil": part_shapes.relay_coil,
    "relay make": contact_shapes.relay_make,
    "resistor": part_shapes.resistor,
    "screen": contact_shapes.screen,
    "sender": part_shapes.sender,
    "sensor": part_shapes.sensor,
    "sensor return": contact_shapes.sensor_return,
    "socket": part_shapes.socket,
    "solenoid": part_shapes.solenoid,
    "splice": contact_shapes.splice,
    "switch": contact_shapes.switch,
    "terminator": part_shapes.terminator,
    "twisted pair": contact_shapes.twisted_pair,
    "unit": part_shapes.unit,
    "zener": part_shapes.zener,
}
