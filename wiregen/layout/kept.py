"""What is kept of a drawing between two runs: which wire end is on which sheet, and where."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from wiregen.layout.engine import KeptLayout
from wiregen.layout.engine.graph import Point, Side
from wiregen.layout.finding_numbers import Key
from wiregen.sheet.frame import FootPlace

WHOLE = "schematic"
"""Key of the sheet of a design that needs no other."""


@dataclass(frozen=True, slots=True)
class KeptPin:
    """A pin that keeps its place on a sheet though fewer wires reach it there than did.

    Attributes:
        side: edge of its box.
        row: its height, in the lengths of the layout engine.
        lines: heights of the wire lines kept free for it; none for a pin only its box needs.
    """

    side: Side
    row: float
    lines: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptSize:
    """The size of the box of a plug, device or fuse, in the lengths of the drawing, mm.

    Attributes:
        width: of the box.
        left: what stays in its place when the words get longer, from the left of the block.
        top: the first row, from the top of the block.
    """

    width: float
    left: float = 0.0
    top: float = 0.0


@dataclass(frozen=True, slots=True)
class KeptMark:
    """A mark of a screen or twist as it stood.

    Attributes:
        at: the middle of its first stroke.
        name: base line of its name; None where it had no room.
    """

    at: Point
    name: Point | None = None

    def moved(self, place: Callable[[Point], Point]) -> KeptMark:
        """Return the mark with its places as a function gives them."""
        return KeptMark(place(self.at), None if self.name is None else place(self.name))


Steps = tuple[int, int]
"""How far a ring stands from its place, to the right and downwards, in steps of the drawing."""


@dataclass(frozen=True, slots=True)
class KeptFoot:
    """The findings of a sheet as they were listed and marked.

    Attributes:
        place: where the foot stood.
        numbers: of the findings listed.
        steps: how far from its place the ring of each stood, where it has one.
    """

    place: FootPlace
    numbers: Mapping[Key, int]
    steps: Mapping[Key, Steps]


@dataclass(frozen=True, slots=True)
class KeptSheet:
    """One schematic sheet as it was drawn.

    Attributes:
        key: its name among the sheets; the same sheet has the same key before and after a change.
        title: heading.
        paper: `A4`, `A3`, `A2` or `A1`.
        corner: where the top left corner of the layout stood on the page, mm.
        scale: at which the layout was drawn.
        layout: places of boxes and runs of links, in the lengths of the layout engine.
        nodes: wire end on this sheet (`W12:0`) -> the pin it was drawn to, empty for no pin.
        pins: pins that have a place though no wire reaches them here.
        foot: its findings; None where it is not known.
        sizes: plug, device or fuse -> the size of its box.
        marks: screen or twist -> its marks, mm on the page.
    """

    key: str
    title: str
    paper: str
    corner: Point
    scale: float
    layout: KeptLayout
    nodes: Mapping[str, str]
    pins: Mapping[str, KeptPin]
    foot: KeptFoot | None = None
    sizes: Mapping[str, KeptSize] = field(default_factory=dict)
    marks: Mapping[str, tuple[KeptMark, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class KeptMap:
    """The overview map as it was drawn.

    Attributes:
        paper: `A3`, `A2` or `A1`.
        corner: where the top left corner of the layout stood on the page, mm.
        scale: at which the layout was drawn.
        layout: places of boxes and runs of bundles (`X1 X2`), in the lengths of the layout engine.
        members: splice or small device -> the place it was counted into.
        sizes: box -> its width and height, in the lengths of the layout engine.
        earths: earth point -> lines of its users in the list, where there are several.
    """

    paper: str
    corner: Point
    scale: float
    layout: KeptLayout
    members: Mapping[str, str]
    sizes: Mapping[str, tuple[float, float]]
    earths: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class FaceBox:
    """The room of a picture of a face at text of 1.8 mm.

    Attributes:
        scale: mm per unit of its layout.
        half_width: mm.
        above: from the middle to the top, mm.
        below: from the middle to the bottom, mm.
        aside: height of the rows of cavities without a place, mm.
    """

    scale: float
    half_width: float
    above: float
    below: float
    aside: float


@dataclass(frozen=True, slots=True)
class KeptFace:
    """The face sheets of a plug as they were drawn.

    Attributes:
        paper: `A4`, `A3`, `A2` or `A1`.
        kind: `shared` where the table begins below the pictures, `together` where it has pages of
            its own, `apart` where every picture has too.
        columns: pictures side by side.
        grown: how much larger than at 1.8 mm text they are drawn.
        way: how closely: place among the ways of drawing a face, plain rows last.
        density: of the table: place among its densities.
        top: where the pictures begin, mm.
        table: where the table begins below them, mm.
        boxes: of the plug, and of its other half where it is drawn.
        widths: heading of a column of the table -> its width, mm.
        lines: cavity -> lines of its row, where it has several.
        foot: its findings.
    """

    paper: str
    kind: str
    columns: int
    grown: float
    way: int
    density: int
    top: float
    table: float
    boxes: tuple[FaceBox, ...]
    widths: Mapping[str, float]
    lines: Mapping[str, int]
    foot: KeptFoot


@dataclass(frozen=True, slots=True)
class KeptDrawing:
    """The sheets of a design as they were drawn.

    Attributes:
        sheets: of the schematic, in their order.
        overview: None where there is none.
        faces: of every plug.
    """

    sheets: tuple[KeptSheet, ...] = ()
    overview: KeptMap | None = None
    faces: Mapping[str, KeptFace] = field(default_factory=dict)
