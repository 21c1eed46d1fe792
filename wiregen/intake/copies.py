"""Plugs of other files copied into a new design, with what they need to stand there alone."""

from __future__ import annotations

from dataclasses import dataclass, field

from wiregen.edit.yaml_text import Value
from wiregen.facts.faces import list_faces, pinout
from wiregen.intake.half import Contact, Half
from wiregen.intake.number import Number
from wiregen.model import Design, Plug
from wiregen.model.faces import NOT_RECORDED, FaceLayout, face_layout
from wiregen.read.yaml_tree import Map, Node, Seq, Written, read_tree, text_of

_PLUG_KEYS = (
    "title",
    "contacts",
    "housing",
    "where",
    "keyed",
    "sealed",
    "standard",
    "side",
    "apart",
    "amps",
    "class",
    "note",
)
_ARRANGED = ("rows", "ring", "rings", "at")


@dataclass(slots=True)
class PlugCopy:
    """One plug as it stands in the new design.

    Attributes:
        id: in the new design.
        values: keys but `pins`.
        pins: cavity -> keys of the pin, or a bare word.
        half: contacts of the other half, `pins` or `sockets`; empty when not known.
        sealed: True for a sealed plug.
        own_keys: colour keys of its design that it needs.
    """

    id: str
    values: dict[str, Value]
    pins: dict[str, Value]
    half: str
    sealed: bool = False
    own_keys: dict[str, Value] = field(default_factory=dict)


def copy_plug(half: Half, new_id: str) -> PlugCopy:
    """Return a copy of one plug of a side, under the id the side gives it."""
    plug_id = half.own_ids.get(new_id, new_id)
    contacts = [contact for contact in half.contacts.values() if contact.plug == new_id]
    if half.design is None or half.network is None:
        return _standard(plug_id, new_id, contacts)
    plug = half.design.plugs[plug_id]
    mate = half.design.plugs.get(half.network.mate(plug_id) or "")
    trees = _Trees(half.design)
    raw = trees.plug(plug)
    values: dict[str, Value] = {key: value_of(raw[key]) for key in _PLUG_KEYS if key in raw}
    key = _colour_key(half.design, plug)
    own: dict[str, Value] = {}
    if key != "iec-60757":
        values["colour_key"] = key
        if key in half.design.colour_keys:
            own[key] = dict(half.design.colour_keys[key])
    face = _face(half.design, plug, raw)
    if face is not None:
        values["face"] = face
    pins = {}
    for contact in contacts:
        holder = plug if contact.cavity in plug.pins else mate
        pin = trees.plug(holder)["pins"][contact.cavity] if holder else None
        pins[contact.cavity] = _pin(value_of(pin))
    return PlugCopy(new_id, values, pins, _other(plug.contacts), plug.sealed, own)


def value_of(node: Node) -> Value:
    """Return what stands in a file as a value that is written the same again."""
    if isinstance(node, Map):
        return {key: value_of(inner) for key, inner in node.items()}
    if isinstance(node, Seq):
        return [value_of(inner) for inner in node]
    if isinstance(node, Written):
        return Number(node.text)
    if node is None or isinstance(node, bool | int):
        return node
    return text_of(node)


class _Trees:
    """The trees of the files of a design, each read once."""

    def __init__(self, design: Design) -> None:
        self.sources = design.sources
        self.read: dict[str, Map] = {}

    def plug(self, plug: Plug) -> Map:
        file = plug.origin.span.file
        if file not in self.read:
            self.read[file] = read_tree(self.sources[file], file)
        found: Map = self.read[file]["plugs"][plug.id]
        return found


def _standard(standard: str, new_id: str, contacts: list[Contact]) -> PlugCopy:
    pins: dict[str, Value] = {}
    for contact in contacts:
        said = pinout(standard)[contact.cavity]
        if contact.state != "used":
            pins[contact.cavity] = "reserved"
            continue
        value: dict[str, Value] = {"carries": said.function}
        if contact.kind == "earth":
            value["role"] = "earth"
        if said.colour:
            value["colour"] = said.colour
        if said.size:
            value["size"] = Number(said.size) if said.size.replace(".", "").isdigit() else said.size
        value["source"] = standard.replace("-", " ").upper()
        pins[contact.cavity] = value
    values: dict[str, Value] = {"title": f"Plug of {standard}", "standard": standard}
    if standard in list_faces():
        values["face"] = {"like": standard}
    return PlugCopy(new_id, values, pins, "")


def _pin(value: Value) -> Value:
    """Leave out what points at records that are not copied."""
    if not isinstance(value, dict):
        return value
    kept = dict(value)
    if kept.get("contact") not in (None, "none"):
        del kept["contact"]
    kept.pop("only", None)
    return kept


def _colour_key(design: Design, plug: Plug) -> str:
    """Return how the colours of a plug are written: as it says, its loom, or its file."""
    for pin in plug.pins.values():
        for colour in pin.colours:
            return colour.key
    loom = design.looms.get(plug.loom)
    return plug.colour_key or (loom.colour_key if loom else "") or design.colour_key


def _face(design: Design, plug: Plug, raw: Map) -> Value:
    """Return the face as stated where it stands alone, else the places of its cavities."""
    stated = value_of(raw.get("face"))
    if isinstance(stated, list):
        return stated
    if isinstance(stated, dict) and (
        any(key in stated for key in _ARRANGED) or stated.get("like") in list_faces()
    ):
        kept = dict(stated)
        kept.pop("cavity", None)
        return kept
    layout = face_layout(design, plug.id)
    return None if layout.origin == NOT_RECORDED or not layout.cavities else _places(layout)


def _places(layout: FaceLayout) -> Value:
    at: dict[str, Value] = {
        name: [round(cavity.x, 2) + 0.0, round(cavity.y, 2) + 0.0]
        for name, cavity in layout.cavities.items()
    }
    return {"at": at} if layout.to_scale else {"at": at, "unit": "none"}


def _other(contacts: str) -> str:
    return {"pins": "sockets", "sockets": "pins"}.get(contacts, "")
