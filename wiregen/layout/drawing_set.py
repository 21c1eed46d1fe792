"""Every sheet of a design in order: overview, schematic, connector faces; numbered as one set."""

from __future__ import annotations

from dataclasses import dataclass

from wiregen.check import Report
from wiregen.connect import Network
from wiregen.layout.faces import face_pages
from wiregen.layout.schematic.sheets import draw_pages, schematic_pages
from wiregen.model import Design
from wiregen.sheet.items import Sheet


@dataclass(frozen=True, slots=True)
class Options:
    """What to draw.

    Attributes:
        plug: only this plug: its wires and its face.
        circuit: only this circuit: its wires and the faces of the plugs it passes.
        loom: only this loom: its wires and the faces of its plugs.
        mono: for printing without colours.
    """

    plug: str | None = None
    circuit: str | None = None
    loom: str | None = None
    mono: bool = False


def drawing_set(
    design: Design, network: Network, report: Report, options: Options | None = None
) -> tuple[Sheet, ...]:
    """Return all sheets of a design, numbered "n of m", with references between them.

    Args:
        design: the design.
        network: from `connect`.
        report: from `check`; its findings are marked where they belong.
        options: one plug, circuit or loom; black and white.
    """
    asked = options or Options()
    wires, plugs, title = _chosen(design, network, asked)
    faces = face_pages(design, network, report, plugs=plugs, mono=asked.mono)
    pages, maker = schematic_pages(
        design, network, report.findings, wires=wires, title=title, mono=asked.mono
    )
    count = len(pages) + len(faces)
    sheets = draw_pages(pages, maker, 1, count)
    return (
        *sheets,
        *(page.sheet(len(pages) + index, count) for index, page in enumerate(faces, start=1)),
    )


def _chosen(
    design: Design, network: Network, options: Options
) -> tuple[tuple[str, ...] | None, list[str] | None, str]:
    """Return the wires and plugs that are wanted, None for all, and a heading."""
    wires: tuple[str, ...] | None = None
    plugs: list[str] | None = None
    words: list[str] = []
    if options.plug is not None:
        halves = [options.plug, network.mate(options.plug) or ""]
        plugs = [half for half in halves if half in design.plugs]
        wires = tuple(
            wire
            for wire, nodes in network.ends_of.items()
            if any(node.partition(":")[0] in plugs for node in nodes)
        )
        words.append(f"{options.plug} {design.plugs[options.plug].title}".strip())
    if options.circuit is not None:
        wires = _both(wires, network.circuit_wires(options.circuit))
        words.append(options.circuit[:1].upper() + options.circuit[1:])
    if options.loom is not None:
        mine = tuple(wire.id for wire in design.wires.values() if wire.loom == options.loom)
        wires = _both(wires, mine)
        words.append(design.looms[options.loom].title or options.loom)
    if wires is not None and options.plug is None:
        plugs = _plugs_of(design, network, wires, options.loom)
    return wires, plugs, ", ".join(words)


def _both(wires: tuple[str, ...] | None, more: tuple[str, ...]) -> tuple[str, ...]:
    if wires is None:
        return more
    kept = frozenset(more)
    return tuple(wire for wire in wires if wire in kept)


def _plugs_of(
    design: Design, network: Network, wires: tuple[str, ...], loom: str | None
) -> list[str]:
    """Return the plugs that some wires end on, and the plugs of a loom."""
    owners = {node.partition(":")[0] for wire in wires for node in network.ends_of[wire]}
    return [
        plug.id
        for plug in design.plugs.values()
        if plug.id in owners or (loom is not None and plug.loom == loom)
    ]
