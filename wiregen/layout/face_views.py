"""The views of one plug with the words above them (mm)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from wiregen.layout.cavity_facts import CavityFacts
from wiregen.layout.face_arrange import Room
from wiregen.layout.face_fit import Fit, Way, at_scale, fit_face
from wiregen.layout.face_head import (
    FaceHead,
    arrangement_words,
    belonging,
    doubt_words,
    head_items,
    plug_words,
    safety_words,
)
from wiregen.layout.face_picture import Picture, Side, subtitle_words, with_tabs
from wiregen.layout.face_subject import FaceSubject
from wiregen.model import Design, Plug
from wiregen.model.faces import as_strip
from wiregen.sheet.frame import Paper

GAP = 3.5
"""Between head, pictures and table, mm."""
TOO_CLOSE = "Places too close together to be drawn: cavities in plain rows."


def free_room(subject: FaceSubject, pictures: Sequence[Picture], paper: Paper) -> Room:
    """Width and height below the head, mm."""
    area = subject.area(paper)
    _, bottom = head_items(face_head_of(subject, pictures[0].fit, 1.0), area)
    return area.width, area.bottom - bottom - GAP


def face_head_of(subject: FaceSubject, fit: Fit, grown: float) -> FaceHead:
    """Return what stands above the pictures when they are drawn `grown` times larger."""
    plug, layout = subject.plug, fit.layout
    words = [arrangement_words(layout, fit.scale * grown), *_unrecorded_half(subject)]
    if any(room.codes == () for room in fit.rooms.values()):
        words.append("The colours stand in the pin table.")
    return FaceHead(
        plug.id,
        plug.title,
        plug_words(subject.design, subject.network, plug, len(layout.cavities) + len(fit.doubled)),
        " ".join(words),
        (*safety_words(plug), *doubt_words(layout, fit.doubled)),
    )


def _unrecorded_half(subject: FaceSubject) -> tuple[str, ...]:
    if subject.mate or not subject.plug.of:
        return ()
    return ("The wire side of the loom half looks like the mating side drawn here.",)


def make_pictures(subject: FaceSubject, way: Way, strip: bool = False) -> list[Picture]:
    """Wire side, mating side and the other half, all at one scale."""
    return pictures_of(subject, find_fits(subject, way, strip))


def find_fits(subject: FaceSubject, way: Way, strip: bool = False) -> tuple[Fit, ...]:
    """Return what the plug needs to be read, and its other half where it is drawn; found once.

    Args:
        subject: the plug.
        way: how closely it is drawn.
        strip: with its cavities in plain rows.
    """
    found = subject.fits.get((way, strip)) or _find_fits(subject, way, strip)
    return subject.fits.setdefault((way, strip), found)


def _find_fits(subject: FaceSubject, way: Way, strip: bool) -> tuple[Fit, ...]:
    def fitted(half: Plug, facts: Mapping[str, CavityFacts]) -> Fit:
        layout = subject.layouts[half.id]
        return fit_face(as_strip(layout, TOO_CLOSE) if strip else layout, facts, way)

    fit = fitted(subject.plug, subject.facts)
    if subject.mate is None:
        return (fit,)
    other = fitted(subject.mate, subject.mate_facts)
    if other.layout.width == fit.layout.width:
        fit, other = at_scale(fit, other.scale), at_scale(other, fit.scale)
    return fit, other


def pictures_of(subject: FaceSubject, fits: Sequence[Fit]) -> list[Picture]:
    """Return the views of a plug, and of its other half, drawn as they need."""
    plug, mate = subject.plug, subject.mate
    pictures = [
        _view(subject, plug, fits[0], "wire", "seen from the wire side"),
        _view(subject, plug, fits[0], "mating", "seen from the mating side"),
    ]
    if mate:
        pictures.append(_view(subject, mate, fits[1], "mating", "mating half, mating side"))
    return with_tabs(pictures)


def _view(subject: FaceSubject, half: Plug, fit: Fit, side: Side, title: str) -> Picture:
    is_mate = half is subject.mate
    facts = subject.mate_facts if is_mate else subject.facts
    strong = _is_new(subject.design, half)
    picture = Picture(half.id, side, title, "", fit, facts, strong, is_mate)
    words = subtitle_words(half.id, half.contacts, picture.key, picture.latch)
    if is_mate:
        words = " · ".join(part for part in (words, belonging(subject.design, half)) if part)
    return replace(picture, subtitle=words)


def _is_new(design: Design, plug: Plug) -> bool:
    loom = design.looms.get(plug.loom)
    return loom.status == "new" if loom else not plug.of
