"""Faces and pinouts that a standard lays down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Status = Literal["confirmed", "from memory"]
Outline = Literal["round", "rectangle", "d-shape"]


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
        status: `confirmed` or `from memory`, with what is open.
    """

    name: str
    function: str
    din72552: str
    colour: str
    size: str
    status: str


@dataclass(frozen=True, slots=True)
class Apart:
    """Pins that may not be joined on one side, nor bridged by one load."""

    pins: tuple[str, ...]
    side: str
    why: str
    source: str


def list_faces() -> tuple[str, ...]:
    """Return the ids of the catalogue in natural order."""
    raise NotImplementedError


def face(face_id: str) -> StandardFace:
    """Return a face of the catalogue."""
    raise NotImplementedError


def pinout(face_id: str) -> Mapping[str, StandardPin]:
    """Return what the standard says about each pin, in natural order; empty if it says nothing."""
    raise NotImplementedError


def apart(face_id: str) -> tuple[Apart, ...]:
    """Return the groups of pins the standard keeps apart."""
    raise NotImplementedError
