"""The head of a face sheet: reference, title, and what has to be known of the plug in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wiregen.connect import Network
from wiregen.model import Design, Plug
from wiregen.model.faces import FaceLayout
from wiregen.sheet import style
from wiregen.sheet.frame import Area
from wiregen.sheet.items import Item, Text
from wiregen.sheet.metrics import shrink, text_width_mm, wrap

REFERENCE = 7.5
SMALL_REFERENCE = 5.0
_LINE = 3.6


@dataclass(frozen=True, slots=True)
class FaceHead:
    """What stands above the pictures.

    Attributes:
        reference: id of the plug.
        title: of the plug.
        words: one sentence about it.
        arrangement: where the places come from.
        doubts: what must be looked at before the face is trusted; printed in the warm colour.
    """

    reference: str
    title: str
    words: str
    arrangement: str = ""
    doubts: tuple[str, ...] = ()


def plug_words(design: Design, network: Network, plug: Plug, ways: int) -> str:
    """Return ways, contacts, loom, place and other half of a plug in one line."""
    words = [f"{ways}-way" if ways else "no cavities recorded"]
    words += ["sealed"] if plug.sealed else []
    words += [plug.contacts] if plug.contacts else ["contacts not recorded"]
    parts = [", ".join(words), belonging(design, plug), plug.where]
    parts.append(_mate_words(design, network, plug))
    parts += [f"housing {plug.housing}" if plug.housing else ""]
    parts += [f"keyed {plug.keyed}" if plug.keyed else ""]
    parts.append(plug.note)
    return " · ".join(part for part in parts if part)


def belonging(design: Design, plug: Plug) -> str:
    """Return the loom with its status, or the device a plug is built into."""
    if plug.of:
        device = design.devices.get(plug.of)
        title = device.title if device else ""
        return f"built into {plug.of} {title}".rstrip()
    loom = design.looms.get(plug.loom)
    if loom is None:
        return f"loom {plug.loom}" if plug.loom else ""
    return f"{loom.title or loom.id} ({loom.status})"


def _mate_words(design: Design, network: Network, plug: Plug) -> str:
    other = design.plugs.get(network.mate(plug.id) or "")
    if other is None:
        return "mating half not recorded"
    push = {"pins": "pushes into", "sockets": "pushes onto"}.get(plug.contacts, "mates with")
    return f"{push} {other.id} {other.title}".rstrip()


def arrangement_words(layout: FaceLayout, scale: float) -> str:
    """Return where the places come from and whether they are to scale.

    Args:
        layout: the layout.
        scale: mm on paper for one unit of the layout.
    """
    if layout.shape == "strip":
        return ""
    origin = "as stated for this plug" if layout.origin == "own face" else layout.origin
    if layout.to_scale:
        return f"Arrangement: {origin}; places to scale {scale:.1f} : 1, openings enlarged."
    return f"Arrangement: {origin}; drawn to proportion, not to scale."


_SAFETY = {
    "restraint": "Restraint (airbag) wiring: it is never probed or cut here.",
}


def safety_words(plug: Plug) -> tuple[str, ...]:
    """Return what has to be respected at a plug with a declared safety class."""
    if not plug.safety:
        return ()
    rules = f"{plug.safety.capitalize()} circuit: local vehicle rules apply."
    return (_SAFETY.get(plug.safety, rules),)


def doubt_words(layout: FaceLayout, doubled: Sequence[str]) -> tuple[str, ...]:
    """Return in sentences why the drawn places may not be the true ones.

    Args:
        layout: the layout.
        doubled: cavities that were given the place of another one.
    """
    doubts = []
    if layout.positions_status == "not recorded":
        doubts.append("Arrangement not recorded: plain rows, this is not where the cavities are.")
    if layout.positions_status == "from memory":
        doubts.append("Places from memory: check the numbers moulded on the plug first.")
    if layout.note:
        doubts.append(layout.note[:1].upper() + layout.note[1:].rstrip(".") + ".")
    if layout.outside:
        doubts.append(f"Not on the face: {', '.join(layout.outside)}.")
    if doubled:
        doubts.append(f"Given the place of another cavity: {', '.join(doubled)}.")
    return tuple(doubts)


def head_items(head: FaceHead, area: Area, small: bool = False) -> tuple[tuple[Item, ...], float]:
    """Return the head of a sheet, and the y where it ends (mm).

    Args:
        head: what it says.
        area: the free area of the sheet.
        small: for sheets that continue another.
    """
    size = SMALL_REFERENCE if small else REFERENCE
    reference, size = shrink(head.reference, area.width * 0.3, size, 3.0, bold=True)
    base = area.y + size * 0.78
    items: list[Item] = [
        Text(area.x, base, ((reference, True, style.INK),), size, cls="plug-reference")
    ]
    left = area.x + max(text_width_mm(reference, size, bold=True) + 5.0, 0.0 if small else 16.0)
    width = area.right - left
    title_size = 3.6 if small else style.TEXT_TITLE
    y = area.y - 0.6
    for number, line in enumerate(wrap(head.title, width, title_size, bold=True, max_lines=2)):
        y += title_size * (1.2 if number else 1.0)
        if line:
            items.append(Text(left, y, ((line, True, style.INK),), title_size, cls="plug-title"))
    y += 0.8
    plain = " ".join(part for part in (head.words, head.arrangement) if part and small)
    lines = [(line, style.SECONDARY) for line in wrap(plain, width, style.TEXT_WIRE, max_lines=1)]
    if not small:
        lines = [(line, style.SECONDARY) for line in wrap(head.words, width, 2.5, max_lines=3)]
        lines += _second_lines(head, width)
    for words, colour in lines:
        if words:
            y += _LINE
            items.append(Text(left, y, ((words, False, colour),), style.TEXT_WIRE))
    return tuple(items), max(y, base) + 1.2


def _second_lines(head: FaceHead, width: float) -> list[tuple[str, str]]:
    plain = wrap(head.arrangement, width, 2.3, max_lines=2) if head.arrangement else ()
    doubts = wrap(" ".join(head.doubts), width, 2.3, max_lines=3) if head.doubts else ()
    return [(line, style.SECONDARY) for line in plain] + [
        (line, style.ATTENTION) for line in doubts
    ]
