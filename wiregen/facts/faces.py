"""Faces and pinouts that a standard lays down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, TypeVar, cast

from wiregen.facts.tables import rows
from wiregen.problems import did_you_mean

Status = Literal["confirmed", "from memory"]
Outline = Literal["round", "rectangle", "d-shape"]
_Record = TypeVar("_Record")


class FaceError(ValueError):
    """No such face in the catalogue; the text names the nearest one."""


@dataclass(frozen=True, slots=True)
class StandardCavity:
    """One cavity as seen from the mating side.

    Attributes:
        x: centre, to the right, in the unit of the face.
        y: centre, downwards, in the unit of the face.
        diameter: of the cavity, or width of the blade, in the unit of the face.
        blade_angle_deg: 0 = a blade lying across (along x), 90 = upright; None = round contact.
    """

    x: float
    y: float
    diameter: float
    blade_angle_deg: float | None = None


@dataclass(frozen=True, slots=True)
class StandardFace:
    """The face of one stated half.

    Attributes:
        id: such as `iso-11446`.
        title: in words.
        half: which half is laid out, such as `socket on the vehicle`; the other is its mirror.
        contacts: `pins` or `sockets` of that half; empty where the standard's copy did not say.
        seen_from: always `mating side`.
        outline: shape of the shell.
        width: of the outline, in `unit`; centred on 0, 0.
        height: of the outline, in `unit`; centred on 0, 0.
        unit: `mm`, or `proportion` when only the arrangement is known.
        key: where the key or latch is: `top`, `bottom`, or empty.
        cavities: by name, in natural order.
        source: standard and where it was read.
        status: of the arrangement: `confirmed` or `from memory`.
        positions_status: of the places of the numbers.
        note: what to look at before trusting it; empty when there is nothing to say.
    """

    id: str
    title: str
    half: str
    contacts: Literal["pins", "sockets", ""]
    seen_from: Literal["mating side"]
    outline: Outline
    width: float
    height: float
    unit: Literal["mm", "proportion"]
    key: str
    cavities: Mapping[str, StandardCavity]
    source: str
    status: Status
    positions_status: Status
    note: str


@dataclass(frozen=True, slots=True)
class StandardPin:
    """What a standard says about one pin; texts are empty where it says nothing.

    Attributes:
        name: of the cavity.
        function: in words.
        din72552: terminal designation.
        colour: of the core, IEC 60757 text such as `WH/BK`.
        size: of the core, such as `2.5` (mm2) or `10 AWG`.
        status: `confirmed` or `from memory`.
        note: what is open or varies; empty when there is nothing to say.
    """

    name: str
    function: str
    din72552: str
    colour: str
    size: str
    status: Status
    note: str = ""


@dataclass(frozen=True, slots=True)
class Apart:
    """Pins that may not be joined on one side, nor bridged by one load."""

    pins: tuple[str, ...]
    side: str
    why: str
    source: str


def list_faces() -> tuple[str, ...]:
    """Return the ids of all faces of the catalogue, in natural order.

    Example:
        >>> list_faces()[:2]
        ('iso-1724', 'iso-3732')
    """
    return tuple(_faces())


def list_pinouts() -> tuple[str, ...]:
    """Return the ids of all contact allocations; a few have no face in the catalogue.

    Example:
        >>> [standard for standard in list_pinouts() if standard not in list_faces()]
        ['iso-1185', 'iso-11783-2-ibbc', 'iso-12098', 'sae-j560']
    """
    return tuple(_pinouts())


def face(face_id: str) -> StandardFace:
    """Return a face of the catalogue.

    Raises:
        FaceError: there is none of that id; the text names the nearest one.

    Example:
        >>> face("iso-15031-3").cavities["1"].x, face("iso-15031-3").cavities["9"].y
        (-3.5, 1.0)
    """
    return _known(face_id, _faces(), "face")


def pinout(standard_id: str) -> Mapping[str, StandardPin]:
    """Return what a standard says about each pin, in natural order.

    Raises:
        FaceError: there is no allocation of that id; the text names the nearest one.

    Example:
        >>> pinout("iso-11446")["11"].colour
        'WH/BK'
    """
    return _known(standard_id, _pinouts(), "contact allocation")


def apart(standard_id: str) -> tuple[Apart, ...]:
    """Return the groups of pins a standard keeps apart; none for most.

    Example:
        >>> [group.pins for group in apart("iso-11446")]
        [('3', '11', '13'), ('5', '7')]
    """
    return tuple(
        Apart(tuple(row["pins"].split()), row["side"], row["why"], row["source"])
        for row in rows("apart")
        if row["standard"] == standard_id
    )


def _known(wanted: str, records: Mapping[str, _Record], what: str) -> _Record:
    found = records.get(wanted)
    if found is None:
        raise FaceError(
            f"no {what} '{wanted}' in the catalogue: it has {', '.join(records)}"
            + did_you_mean(wanted, records)
        )
    return found


@cache
def _faces() -> Mapping[str, StandardFace]:
    cavities: dict[str, dict[str, StandardCavity]] = {}
    for row in rows("cavities"):
        cavities.setdefault(row["face"], {})[row["cavity"]] = StandardCavity(
            float(row["x"]),
            float(row["y"]),
            float(row["diameter"]),
            float(row["blade_angle_deg"]) if row["blade_angle_deg"] else None,
        )
    return MappingProxyType(
        {row["id"]: _face(row, MappingProxyType(cavities[row["id"]])) for row in rows("faces")}
    )


def _face(row: Mapping[str, str], cavities: Mapping[str, StandardCavity]) -> StandardFace:
    return StandardFace(
        id=row["id"],
        title=row["title"],
        half=row["half"],
        contacts=cast(Literal["pins", "sockets", ""], row["contacts"]),
        seen_from="mating side",
        outline=cast(Outline, row["outline"]),
        width=float(row["width"]),
        height=float(row["height"]),
        unit=cast(Literal["mm", "proportion"], row["unit"]),
        key=row["key"],
        cavities=cavities,
        source=row["source"],
        status=cast(Status, row["status"]),
        positions_status=cast(Status, row["positions_status"]),
        note=row["note"],
    )


@cache
def _pinouts() -> Mapping[str, Mapping[str, StandardPin]]:
    found: dict[str, dict[str, StandardPin]] = {}
    for row in rows("pinouts"):
        found.setdefault(row["standard"], {})[row["pin"]] = StandardPin(
            name=row["pin"],
            function=row["function"],
            din72552=row["din72552"],
            colour=row["colour"],
            size=row["size"],
            status=cast(Status, row["status"]),
            note=row["note"],
        )
    return MappingProxyType({name: MappingProxyType(pins) for name, pins in found.items()})
