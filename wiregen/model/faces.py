"""Cavity arrangements: every plug's face as one layout, as seen from its mating side.

A face may be stated as rows, rings or free positions, seen from either side, copied from another
plug or a standard, or be left to the other half. Whatever way it was said, one `FaceLayout` comes
out; the wire side is `mirrored` of it, and so is the mating side of the other half.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from wiregen.model.design import Design
from wiregen.model.face_layout import (
    NOT_RECORDED,
    Cavity,
    FaceLayout,
    PositionsStatus,
    Shape,
    as_strip,
    mirrored,
    mirrored_words,
    standard_layout,
    stated_layout,
    strip_layout,
)
from wiregen.model.order import in_order
from wiregen.model.plugs import Face, Plug

__all__ = [
    "NOT_RECORDED",
    "Cavity",
    "FaceLayout",
    "PositionsStatus",
    "Shape",
    "as_strip",
    "cavity_contact",
    "face_layout",
    "face_layouts",
    "mirrored",
    "mirrored_words",
]


def face_layout(design: Design, plug_id: str) -> FaceLayout:
    """Return the layout of a plug as seen from its mating side.

    A half without a face takes its mate's, mirrored; then the standard it names; then a plain
    strip of its pins with `origin` "arrangement not recorded".

    Args:
        design: the design; `plug_id` must be one of its plugs.
        plug_id: id of the plug.
    """
    return _Resolver(design).layout(plug_id)


def face_layouts(design: Design) -> dict[str, FaceLayout]:
    """Return the layout of every plug as seen from its mating side, in natural order."""
    resolver = _Resolver(design)
    return {plug_id: resolver.layout(plug_id) for plug_id in in_order(design.plugs)}


def cavity_contact(plug: Plug, cavity: str) -> str:
    """Return the contact record or opening stated for a cavity; empty when nothing is said."""
    pin = plug.pins.get(cavity)
    if pin and pin.contact:
        return pin.contact
    sizes: Mapping[str, str] = plug.face.cavity if plug.face else {}
    return sizes.get(cavity) or sizes.get("default") or plug.contact


class _Resolver:
    """Follows `like` and `mates` from plug to plug; a loop or a dead end is not recorded."""

    def __init__(self, design: Design) -> None:
        self._design = design
        self._mates: dict[str, str] = {}
        for plug_id in in_order(design.plugs):
            other = design.plugs[plug_id].mates
            if other:
                self._mates.setdefault(plug_id, other)
                self._mates.setdefault(other, plug_id)
        self._done: dict[str, FaceLayout | None] = {}

    def layout(self, plug_id: str) -> FaceLayout:
        plug = self._design.plugs[plug_id]
        found = self._arrangement(plug_id)
        if found is None:
            mate = self._design.plugs.get(self._mates.get(plug_id, ""))
            return strip_layout([*plug.pins, *(mate.pins if mate else ())])
        return _with_outside(found, plug)

    def _arrangement(self, plug_id: str) -> FaceLayout | None:
        """The layout without what only concerns this plug's pins; None when nothing is known."""
        trail = [plug_id]
        seen = {plug_id}
        found = self._at(plug_id)
        while found is None:
            onward = next((p for p in self._onward(trail[-1]) if p not in seen), "")
            if not onward:
                break
            trail.append(onward)
            seen.add(onward)
            found = self._at(onward)
        last = trail[-1]
        for here in reversed(trail):
            if here != last:
                found = self._taken_over(here, last, found)
            found = found or standard_layout(
                self._design.plugs[here], self._design.plugs[here].standard
            )
            last = here
            self._done[here] = found
        return found

    def _at(self, plug_id: str) -> FaceLayout | None:
        """What is known of a plug without asking another one."""
        if plug_id in self._done:
            return self._done[plug_id]
        plug = self._design.plugs[plug_id]
        if plug.face is None:
            return None
        if plug.face.like in self._design.plugs:
            return None
        if plug.face.like:
            return _marked(standard_layout(plug, plug.face.like), plug.face)
        return stated_layout(plug.face, self._opening(plug))

    def _onward(self, plug_id: str) -> list[str]:
        """The plugs to ask, the one it is said to be like first."""
        face = self._design.plugs[plug_id].face
        asked = (face.like if face else "", self._mates.get(plug_id, ""))
        return [other for other in asked if other in self._design.plugs]

    def _taken_over(self, here: str, other: str, found: FaceLayout | None) -> FaceLayout | None:
        """The layout of `here` when `other` was asked for it."""
        if found is None:
            return None
        face = self._design.plugs[here].face
        if face is not None and face.like == other:
            return _marked(replace(found, origin=f"as {other}"), face)
        return replace(mirrored(found), origin=f"face of {other}, mirrored")

    def _opening(self, plug: Plug) -> Callable[[str], float | None]:
        """Return the lookup of a cavity's opening in mm."""

        def opening_mm(cavity: str) -> float | None:
            text = cavity_contact(plug, cavity)
            record = self._design.contacts.get(text)
            if record is not None:
                return record.blade_mm
            try:
                size = float(text.removesuffix("mm"))
            except ValueError:
                return None
            return size if 0 < size < 1000 else None

        return opening_mm


def _marked(layout: FaceLayout | None, face: Face) -> FaceLayout | None:
    """The layout with the key and latch this face states for itself."""
    if layout is None:
        return None
    return replace(layout, key=face.key or layout.key, latch=face.latch or layout.latch)


def _with_outside(layout: FaceLayout, plug: Plug) -> FaceLayout:
    outside = tuple(name for name in in_order(plug.pins) if name not in layout.cavities)
    return replace(layout, outside=outside) if outside else layout
