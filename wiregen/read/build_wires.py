"""What joins the plugs, from its mappings: looms, wires, splices, fuses, boxes, earths, groups."""

from __future__ import annotations

from wiregen.model import Box, Bus, Earth, Fuse, Group, Loom, Splice, Wire, sorted_map
from wiregen.read import codes
from wiregen.read.values import Fields, end_of
from wiregen.read.yaml_tree import text_of
from wiregen.source import Span


def build_loom(name: str, f: Fields) -> Loom:
    """Return one loom."""
    return Loom(
        id=name,
        origin=f.origin,
        title=f.text("title"),
        status=f.text("status", "existing"),
        insulation=f.text("insulation"),
        note=f.text("note"),
        only=f.texts("only"),
        colour_key=f.text("colour_key"),
    )


def build_wire(name: str, f: Fields) -> Wire:
    """Return one wire."""
    return Wire(
        id=name,
        origin=f.origin,
        start=f.end("from"),
        end=f.end("to"),
        colour=f.colour("colour", name),
        size=f.size("size"),
        length_mm=f.number("length", "length"),
        loom=f.text("loom"),
        insulation=f.text("insulation"),
        resistance_ohm=f.number("resistance", "ohms"),
        status=f.text("status"),
        fate=f.text("fate"),
        was=f.end("was"),
        why=f.text("why"),
        label=f.text("label"),
        note=f.text("note"),
        only=f.texts("only"),
    )


def build_splice(name: str, f: Fields) -> Splice:
    """Return one splice."""
    return Splice(
        id=name,
        origin=f.origin,
        title=f.text("title"),
        loom=f.text("loom"),
        at=f.text("at"),
        zone=f.text("zone"),
        resistance_ohm=f.number("resistance", "ohms"),
        note=f.text("note"),
        only=f.texts("only"),
    )


def build_earth(name: str, f: Fields) -> Earth:
    """Return one earth point."""
    return Earth(
        id=name,
        origin=f.origin,
        title=f.text("title"),
        kind=f.text("kind", "chassis"),
        loom=f.text("loom"),
        at=f.text("at"),
        zone=f.text("zone"),
        resistance_ohm=f.number("resistance", "ohms"),
        note=f.text("note"),
        only=f.texts("only"),
    )


def build_fuse(name: str, f: Fields) -> Fuse:
    """Return one fuse, link or breaker."""
    return Fuse(
        id=name,
        origin=f.origin,
        title=f.text("title"),
        rating_a=f.number("rating", "amps"),
        style=f.text("style"),
        fitted_on=f.end("fitted_on"),
        resistance_ohm=f.number("resistance", "ohms"),
        breaking_a=f.number("breaking", "amps"),
        where=f.text("where"),
        note=f.text("note"),
        only=f.texts("only"),
    )


def build_box(name: str, f: Fields) -> Box:
    """Return one fuse box."""
    bars = f.node.get("bars") or {}
    return Box(
        id=name,
        origin=f.origin,
        title=f.text("title"),
        loom=f.text("loom"),
        where=f.text("where"),
        bars=sorted_map({bar: tuple(map(text_of, fuses)) for bar, fuses in bars.items()}),
        note=f.text("note"),
        only=f.texts("only"),
        drawn=f.drawn(),
    )


def build_group(name: str, f: Fields) -> Group:
    """Return one group of wires."""
    if not any(key in f.node for key in ("twisted", "screened", "multicore")):
        said = "a group has 'twisted', 'screened' or 'multicore' with its wires"
        f.fault(codes.MISSING_KEY, "twisted", said)
    return Group(
        id=name,
        origin=f.origin,
        title=f.text("title"),
        twisted=f.texts("twisted"),
        screened=f.texts("screened"),
        multicore=f.texts("multicore"),
        screen=f.end("screen"),
        untwist_mm=f.number("untwist", "length"),
        note=f.text("note"),
        only=f.texts("only"),
    )


def build_bus(name: str, f: Fields) -> Bus:
    """Return one bus."""
    terminators = sorted_map(f.words("terminators"))
    through = []
    for pair in f.node.get("through") or ():
        places = [Span(f.file, *at) for at in pair.value_at]
        first, second = map(end_of, map(text_of, pair), places)
        through.append((first, second))
    return Bus(
        id=name,
        origin=f.origin,
        title=f.text("title"),
        kind=f.text("kind"),
        members=f.ends("members"),
        terminators=tuple(terminators),
        through=tuple(through),
        max_length_mm=f.number("max_length", "length"),
        max_stub_mm=f.number("max_stub", "length"),
        amps_leg_a=f.number("leg_amps", "amps"),
        note=f.text("note"),
        only=f.texts("only"),
        active=tuple(name for name, sort in terminators.items() if sort == "active"),
    )
