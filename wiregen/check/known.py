"""What a design knows of its objects: names of cavities and terminals, titles, sections."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wiregen.check.rule import Scene
from wiregen.connect import Network
from wiregen.connect.links import terminals_of
from wiregen.model import Design, Pin, Plug
from wiregen.model.faces import NOT_RECORDED
from wiregen.problems import did_you_mean

ENDS_AT = "plug, device, fuse, splice, earth or box"
"""What an end can name, in words."""
A_SOURCE = "a source (a battery or an alternator)"
"""The fact that rules on supplies are not checked without."""
_LOOKS_LIKE = str.maketrans("IOZSB", "10258")


def end_owners(design: Design) -> dict[str, str]:
    """Return id -> word of its section, for everything an end can name."""
    owners: dict[str, str] = {}
    for word, section in (
        ("plug", design.plugs),
        ("device", design.devices),
        ("fuse", design.fuses),
        ("splice", design.splices),
        ("earth", design.earths),
        ("box", design.boxes),
    ):
        owners.update(dict.fromkeys(section, word))
    return owners


def has_face(scene: Scene, plug_id: str) -> bool:
    """Tell whether the arrangement of a plug is recorded, on it, on its mate or by a standard."""
    return scene.layouts[plug_id].origin != NOT_RECORDED


def cavities_of(scene: Scene, plug_id: str) -> tuple[str, ...]:
    """Return the cavities a plug is known to have: those of its face, else its and its mate's pins.

    Empty when the file says nothing.
    """
    if has_face(scene, plug_id):
        return tuple(scene.layouts[plug_id].cavities)
    mate = mate_of(scene.design, scene.network, plug_id)
    plug = scene.design.plugs[plug_id]
    return tuple(dict.fromkeys([*plug.pins, *(mate.pins if mate else ())]))


def mate_of(design: Design, network: Network, plug_id: str) -> Plug | None:
    """Return the record of the half a plug pushes into."""
    return design.plugs.get(network.mate(plug_id) or "")


def pin_at(design: Design, network: Network, node: str) -> Pin | None:
    """Return what is known of a pin: its own record, else the record of the pin it mates with."""
    owner, _, point = node.partition(":")
    plug = design.plugs.get(owner)
    if plug is None:
        return None
    own = plug.pins.get(point)
    if own is not None:
        return own
    mate = mate_of(design, network, owner)
    return mate.pins.get(point) if mate else None


def terminals(design: Design, device_id: str) -> tuple[str, ...]:
    """Return the terminals a device is known to have; empty when the file says nothing."""
    device = design.devices[device_id]
    names = terminals_of(device)
    return (*names, "case") if names and device.case else names


def nearest(name: str, known: Iterable[str]) -> str:
    """Return `; did you mean 'X2'?` for the nearest id.

    Nearest is what looks the same (I for 1, O for 0), what is alike in letters, or what has the
    nearest number.

    Example:
        >>> nearest("X3", ["F1", "X1", "X2"]), nearest("J7", ["X1"]), nearest("XI", ["X1", "X7"])
        ("; did you mean 'X2'?", '', "; did you mean 'X1'?")
    """
    names = list(known)
    for other in names:
        if other.upper().translate(_LOOKS_LIKE) == name.upper().translate(_LOOKS_LIKE):
            return f"; did you mean '{other}'?"
    near = did_you_mean(name, names)
    letters, number = _parted(name)
    if near or not number:
        return near
    alike = [
        (abs(int(n) - int(number)), other)
        for other in names
        for p, n in [_parted(other)]
        if p == letters and n
    ]
    return f"; did you mean '{min(alike)[1]}'?" if alike else ""


def _parted(name: str) -> tuple[str, str]:
    letters = name.rstrip("0123456789")
    return letters, name[len(letters) :]


def title(records: Mapping[str, object], name: str) -> str:
    """Return `X1 (Engine plug)`, or the bare id when there is no title."""
    words = getattr(records.get(name), "title", "")
    return f"{name} ({words})" if words else name
