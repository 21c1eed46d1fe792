"""A kept drawing for a design whose objects have other ids."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from wiregen.connect import Network, split_node
from wiregen.layout.drawn_pairs import Renames, with_new_ids
from wiregen.layout.engine import KeptLayout
from wiregen.layout.finding_numbers import Key
from wiregen.layout.kept import KeptDrawing, KeptFoot, KeptMap, KeptSheet
from wiregen.layout.schematic.ends import find_ends
from wiregen.model import Design


def kept_renamed(kept: KeptDrawing, renames: Renames) -> KeptDrawing:
    """Return where everything stood, with the ids of the new design.

    Args:
        kept: of the old design.
        renames: id of an object in the old design -> its id in the new one.
    """
    if not renames:
        return kept
    overview = None if kept.overview is None else _map(kept.overview, renames)
    sheets = tuple(_sheet(sheet, renames) for sheet in kept.sheets)
    faces = {
        with_new_ids(plug, renames): replace(face, foot=_foot(face.foot, renames))
        for plug, face in kept.faces.items()
    }
    return KeptDrawing(sheets, overview, faces)


def renames_since(kept: KeptDrawing, design: Design, network: Network) -> dict[str, str]:
    """Return old id -> new id of the objects whose wires all end on an object not known before.

    Args:
        kept: of the design as it was.
        design: as it is now.
        network: from `connect`.
    """
    nodes = [*(node for sheet in kept.sheets for node in (*sheet.nodes.values(), *sheet.pins))]
    known = dict.fromkeys([*(split_node(node)[0] for node in nodes if node), *kept.faces])
    gone = [name for name in known if not _is_of(design, name)]
    if not gone:
        return {}
    now = {
        end.key: end.owner for pair in find_ends(design, network).of_wire.values() for end in pair
    }
    owners: dict[str, set[str]] = {name: set() for name in gone}
    for sheet in kept.sheets:
        for key, node in sheet.nodes.items():
            if split_node(node)[0] in owners and key in now:
                owners[split_node(node)[0]].add(now[key])
    found = {
        old: next(iter(new)) for old, new in owners.items() if len(new) == 1 and not new & {*known}
    }
    left = [plug for plug in kept.faces if plug in owners and plug not in found]
    new_plugs = [p for p in design.plugs if p not in kept.faces and p not in found.values()]
    if len(left) == len(new_plugs) == 1:  # it has no wires of its own
        found[left[0]] = new_plugs[0]
    return {} if len({*found.values()}) < len(found) else found


def _is_of(design: Design, name: str) -> bool:
    sections = (
        design.plugs,
        design.devices,
        design.splices,
        design.fuses,
        design.boxes,
        design.earths,
    )
    return any(name in section for section in sections)


def _map(kept: KeptMap, renames: Mapping[str, str]) -> KeptMap:
    members = {
        with_new_ids(name, renames): with_new_ids(place, renames)
        for name, place in kept.members.items()
    }
    return replace(
        kept,
        layout=_layout(kept.layout, renames),
        members=members,
        sizes={with_new_ids(name, renames): size for name, size in kept.sizes.items()},
        earths={with_new_ids(name, renames): lines for name, lines in kept.earths.items()},
    )


def _sheet(sheet: KeptSheet, renames: Mapping[str, str]) -> KeptSheet:
    nodes = {
        with_new_ids(end, renames): with_new_ids(node, renames) for end, node in sheet.nodes.items()
    }
    pins = {with_new_ids(node, renames): pin for node, pin in sheet.pins.items()}
    foot = None if sheet.foot is None else _foot(sheet.foot, renames)
    layout = _layout(sheet.layout, renames)
    sizes = {with_new_ids(name, renames): size for name, size in sheet.sizes.items()}
    return replace(sheet, layout=layout, nodes=nodes, pins=pins, foot=foot, sizes=sizes)


def _foot(foot: KeptFoot, renames: Mapping[str, str]) -> KeptFoot:
    def renamed(key: Key) -> Key:
        return key[0], with_new_ids(key[1], renames), key[2]

    numbers = {renamed(key): number for key, number in foot.numbers.items()}
    return replace(
        foot, numbers=numbers, steps={renamed(key): steps for key, steps in foot.steps.items()}
    )


def _layout(layout: KeptLayout, renames: Mapping[str, str]) -> KeptLayout:
    return KeptLayout(
        {with_new_ids(name, renames): box for name, box in layout.boxes.items()},
        {with_new_ids(name, renames): link for name, link in layout.links.items()},
    )
