"""The cautions of every sheet in their long form, for the front of a pack."""

from __future__ import annotations

from wiregen.layout.tables import Table, columns

LONG: tuple[tuple[str, str], ...] = (
    (
        "Battery first",
        "Disconnect the battery, minus lead first, before any plug is pulled or wire is cut, and "
        "wait: restraint systems and capacitors hold their charge for minutes after.",
    ),
    (
        "Restraint wiring",
        "Yellow-marked wiring and plugs belong to airbags and belt tensioners. They are never "
        "probed, cut, joined or measured with an ohm-meter on the strength of these pages.",
    ),
    (
        "Ignition",
        "Ignition primary and coil leads carry hundreds of volts, plug leads tens of thousands. "
        "Keep hands and meters away while the engine turns.",
    ),
    (
        "Fuses",
        "A fuse protects the wire behind it. Never fit a larger one, never bridge one. Fuses are "
        "taken out before work and fitted last, one by one, with a lamp in their place first.",
    ),
    (
        "Insulation meter",
        "It works with hundreds of volts: only with every unit, lamp and sensor unplugged, and "
        "never on a loom in a vehicle that has restraint wiring connected.",
    ),
    (
        "First start",
        "Wheels chocked, gearbox in neutral, nobody in front, and a way to stop the engine that "
        "does not depend on the new wiring.",
    ),
    (
        "Battery gas and rings",
        "Batteries give off explosive gas: no sparks, no smoking, ventilation. Take off rings and "
        "watch straps: a short across a battery welds them on.",
    ),
    (
        "Boats and fuel spaces",
        "Only ignition-protected parts belong where petrol vapour or gas can gather.",
    ),
    ("Above 60 V DC", "Higher voltages are outside this document and need their own rules."),
    (
        "Rules and qualification",
        "Brake, steering, restraint and lighting circuits fall under the vehicle rules of the "
        "country; work on them needs a licensed or qualified person. Where local rules say "
        "otherwise than this document, they hold.",
    ),
    (
        "Makers' data",
        "The data of the makers of cable, fuses, contacts and units prevail over every table here.",
    ),
    (
        "What is proven",
        "A pin is proven by measuring, not by colour and not by a drawing. Pins without a date of "
        "measurement are taken from the source named beside them and may be wrong.",
    ),
)


def cautions_table() -> Table:
    """Return the cautions as a table of two columns."""
    return Table("cautions", "Cautions", columns("*What", "Why and how"), LONG)
