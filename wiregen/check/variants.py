"""One variant of a design: objects marked for other variants are taken out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Protocol, TypeVar

from wiregen.model import Design, Device, Plug


class _Marked(Protocol):
    @property
    def only(self) -> tuple[str, ...]: ...


T = TypeVar("T", bound=_Marked)


def in_variant(design: Design, variant: str) -> Design:
    """Return the design as one variant has it.

    Args:
        design: the whole design.
        variant: one of `design.variants`.

    Returns:
        The same design without the objects and pins whose `only` leaves this variant out.
    """

    def keep(records: Mapping[str, T]) -> dict[str, T]:
        return {
            name: record
            for name, record in records.items()
            if not record.only or variant in record.only
        }

    def plug(record: Plug) -> Plug:
        return replace(record, pins=keep(record.pins))

    def device(record: Device) -> Device:
        return replace(record, inside=keep(record.inside))

    return replace(
        design,
        looms=keep(design.looms),
        contacts=keep(design.contacts),
        plugs={name: plug(record) for name, record in keep(design.plugs).items()},
        splices=keep(design.splices),
        fuses=keep(design.fuses),
        boxes=keep(design.boxes),
        earths=keep(design.earths),
        devices={name: device(record) for name, record in keep(design.devices).items()},
        wires=keep(design.wires),
        groups=keep(design.groups),
        buses=keep(design.buses),
        circuits=keep(design.circuits),
        states=keep(design.states),
        signals=keep(design.signals),
        route=tuple(leg for leg in design.route if not leg.only or variant in leg.only),
    )
