"""Every sheet of a design in order: overview, schematic, connector faces; numbered as one set."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wiregen.check import Report
from wiregen.connect import Network
from wiregen.layout.contents import MANY_SHEETS, Listing, contents_count, contents_sheets
from wiregen.layout.drawn_renames import kept_renamed, renames_since
from wiregen.layout.faces import FacePage, face_pages
from wiregen.layout.kept import KeptDrawing
from wiregen.layout.overview import MapPage, lay_overview, overview_sheet
from wiregen.layout.schematic.places import wire_ends
from wiregen.layout.schematic.sheet_drawing import draw_pages
from wiregen.layout.schematic.sheet_page import Maker, Page
from wiregen.layout.schematic.sheets import keep_page, schematic_pages
from wiregen.layout.schematic.state_view import StateView
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
        dot: let Graphviz's `dot` choose the columns of the overview, where it is installed.
        state: the schematic alone, in one operating state.
        contents: put contents behind the overview of a set with many sheets.
    """

    plug: str | None = None
    circuit: str | None = None
    loom: str | None = None
    mono: bool = False
    dot: bool = False
    state: StateView | None = None
    contents: bool = True


@dataclass(frozen=True, slots=True)
class PlannedSet:
    """The sheets of a design before they are numbered: overview, schematic, connector faces.

    Attributes:
        overview: the overview map; None where there is none.
        pages: of the schematic.
        maker: that draws them.
        faces: pages of the connector faces.
        options: what was asked for.
        contents: number of pages of the contents.
    """

    design: Design
    network: Network
    overview: MapPage | None
    pages: Sequence[Page]
    maker: Maker
    faces: Sequence[FacePage]
    options: Options
    contents: int = 0

    @property
    def kept(self) -> KeptDrawing:
        """Where everything stands, to be repeated after a change of the design."""
        overview = self.overview.kept if self.overview is not None else None
        faces = {page.plug: page.kept for page in self.faces}
        return replace(_kept(self.maker, self.pages), overview=overview, faces=faces)

    @property
    def maps(self) -> int:
        """How many overview sheets there are."""
        return 0 if self.overview is None else 1

    @property
    def count(self) -> int:
        """How many sheets there are."""
        return self.maps + self.contents + len(self.pages) + len(self.faces)

    @property
    def titles(self) -> tuple[str, ...]:
        """The title of each sheet."""
        pages = (page.plan.title for page in self.pages)
        front = ("Overview",) * self.maps + ("Contents",) * self.contents
        return (*front, *pages, *(face.title for face in self.faces))

    @property
    def listing(self) -> Listing:
        """What contents are made from."""
        asked = self.options
        whole = asked.plug is None and asked.circuit is None and asked.loom is None
        mono = asked.mono
        return Listing(self.design, self.maps, self.pages, self.faces, mono, whole)

    def sheets(self, before: int = 0, count: int = 0) -> Iterator[Sheet]:
        """Yield the sheets, with references between them, each drawn when it is asked for.

        Args:
            before: how many pages of a larger document come first.
            count: of all its pages; 0 when these are all.
        """
        whole = count or before + self.count
        first = before + self.maps + self.contents + 1
        first_face = first + len(self.pages)
        if self.overview is not None:
            shown = _shown_on(self.pages, first)
            number_of = (before + 1, whole)
            mono = self.options.mono
            yield overview_sheet(self.design, self.overview, shown, number_of, mono=mono)
        if self.contents:
            yield from contents_sheets(self.listing, self.contents, whole)
        numbers = _face_numbers(self.faces, first_face - 1)
        yield from draw_pages(self.pages, self.maker, first, whole, numbers)
        for number, page in enumerate(self.faces, start=first_face):
            yield page.sheet(number, whole, first)


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
    return tuple(plan_set(design, network, report, options).sheets())


def plan_set(
    design: Design,
    network: Network,
    report: Report,
    options: Options | None = None,
    keep: KeptDrawing | None = None,
) -> PlannedSet:
    """Return all sheets of a design laid out, to be numbered as part of a larger document.

    Args:
        design: the design.
        network: from `connect`.
        report: from `check`; its findings are marked where they belong.
        options: one plug, circuit or loom; black and white.
        keep: the layout drawn before; used where the whole design is drawn.
    """
    asked = options or Options()
    if keep is not None:
        keep = kept_renamed(keep, renames_since(keep, design, network))
    wires, plugs, title = _chosen(design, network, asked)
    if keep is None and asked.state is not None and wires is None:
        # The sheets of a state lie as the plain ones do, though their foot is higher.
        plain, drawer = schematic_pages(design, network, report.findings, mono=asked.mono)
        keep = _kept(drawer, plain)
    pages, maker = schematic_pages(
        design,
        network,
        report.findings,
        wires=wires,
        title=title,
        mono=asked.mono,
        state=asked.state,
        keep=keep,
    )
    drawn = wire_ends(pages) if pages else None
    faces: Sequence[FacePage] = ()
    if asked.state is None:
        faces = face_pages(
            design,
            network,
            report,
            plugs=plugs,
            mono=asked.mono,
            drawn=drawn,
            keep=keep.faces if keep is not None else None,
        )
    overview = None
    if wires is None and len(pages) > 1 and asked.state is None:
        counts = {name: len(on) for name, on in _shown_on(pages, 1).items()}
        before = keep.overview if keep is not None else None
        overview = lay_overview(design, network, counts, dot=asked.dot, keep=before)
    planned = PlannedSet(design, network, overview, pages, maker, faces, asked)
    if asked.contents and planned.count > MANY_SHEETS:
        return replace(planned, contents=contents_count(planned.listing))
    return planned


def _kept(maker: Maker, pages: Sequence[Page]) -> KeptDrawing:
    return KeptDrawing(tuple(keep_page(maker, page) for page in pages))


def _face_numbers(faces: Sequence[FacePage], before: int) -> dict[str, int]:
    """Return plug -> number of its first face sheet."""
    numbers: dict[str, int] = {}
    for index, page in enumerate(faces, start=before + 1):
        numbers.setdefault(page.plug, index)
    return numbers


def _shown_on(pages: Sequence[Page], first: int) -> dict[str, tuple[int, ...]]:
    """Return block -> numbers of the schematic sheets that show it."""
    shown: dict[str, dict[int, None]] = {}
    for index, page in enumerate(pages, start=first):
        for block in page.laid.blocks:
            shown.setdefault(block.id, {})[index] = None
    return {name: tuple(numbers) for name, numbers in shown.items()}


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
