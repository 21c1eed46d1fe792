"""What each wire and each fuse may carry, by the tables a design chooses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wiregen.compute.heat import Heated, heated
from wiregen.facts.ampacity import (
    AMPACITY_TABLES,
    Ampacity,
    AmpacityError,
    Insulation,
    ampacity,
    insulation_class,
)
from wiregen.facts.conductors import ConductorError, resistance
from wiregen.facts.sizes import WireSize
from wiregen.model import Design, Wire

if TYPE_CHECKING:
    from wiregen.compute.study import Study

CONDUCTOR = "iec-60228-5"
AMPACITY = "33cfr183"
BUNDLE = "stepwise"
FUSE = "iso-8820-3"
TABLES = {"conductor": CONDUCTOR, "ampacity": AMPACITY, "bundle": BUNDLE, "fuse": FUSE}

NEEDS_INSULATION = "insulation with its temperature, as 'insulation: thin-wall 105' on loom or wire"


@dataclass(frozen=True, slots=True)
class Rated:
    """What a wire may carry, or why that cannot be said.

    Attributes:
        ampacity: None when `needs` says why.
        needs: the missing fact, or what the table says.
    """

    ampacity: Ampacity | None
    needs: str = ""


def chosen(design: Design, what: str) -> tuple[str, bool]:
    """Return the table of a design and whether the design names it.

    Args:
        design: the design.
        what: `conductor`, `ampacity`, `bundle` or `fuse`.
    """
    named = design.system.tables.get(what)
    return (named, True) if named else (TABLES[what], False)


def insulation_of(design: Design, wire: Wire) -> Insulation | None:
    """Return the insulation of a wire, its own or its loom's; None when no class is written."""
    loom = design.looms.get(wire.loom)
    text = wire.insulation or (loom.insulation if loom else "")
    try:
        return insulation_class(text) if text else None
    except AmpacityError:
        return None


def loaded_of(study: Study, wire: Wire) -> int:
    """Return how many wires that lie together carry current, the wire among them."""
    bundle = study.bundles.get(wire.id)
    return bundle.loaded if bundle is not None else 1


def rated(study: Study, wire: Wire, size: WireSize | None = None) -> Rated:
    """Return what a wire may carry.

    Args:
        study: of the design with its tables and ambient temperature.
        wire: the wire.
        size: instead of its own.
    """
    design = study.design
    size = size or wire.size
    if size is None:
        return Rated(None, "size")
    insulation = insulation_of(design, wire)
    if insulation is None:
        return Rated(None, NEEDS_INSULATION)
    scheme = chosen(design, "ampacity")[0]
    try:
        return Rated(_rated(study, wire, size, insulation, scheme))
    except AmpacityError as error:
        other = _covering(study, wire, size, insulation)
        such = f"another table, as 'tables: {{ampacity: {other}}}'" if other else "another table"
        return Rated(None, f"{such} ({error})")


def _rated(
    study: Study, wire: Wire, size: WireSize, insulation: Insulation, scheme: str
) -> Ampacity:
    return ampacity(
        size,
        insulation.highest_c,
        scheme=scheme,
        ambient_c=study.design.system.ambient_c,
        bundle=chosen(study.design, "bundle")[0],
        loaded=loaded_of(study, wire),
    )


def _covering(study: Study, wire: Wire, size: WireSize, insulation: Insulation) -> str:
    """Return the first table that has a row for a wire; empty when none has."""
    for scheme in AMPACITY_TABLES:
        try:
            _rated(study, wire, size, insulation, scheme)
        except AmpacityError:
            continue
        return scheme
    return ""


def heated_wire(study: Study, wire: Wire, size: WireSize | None = None) -> Heated | None:
    """Return a wire for the heat model; None when its size or resistance is not known.

    The surroundings are 20 degC when the design gives no ambient temperature.
    """
    design = study.design
    size = size or wire.size
    if size is None:
        return None
    try:
        row = resistance(size, chosen(design, "conductor")[0])
    except ConductorError:
        return None
    ambient = design.system.ambient_c
    around = 20.0 if ambient is None else ambient
    return heated(size, row.mohm_per_m, around, loaded_of(study, wire))
