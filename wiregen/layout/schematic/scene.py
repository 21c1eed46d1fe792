"""What one sheet shows, and what its blocks need to know to draw themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wiregen.connect import Network
from wiregen.layout.engine.graph import Side
from wiregen.layout.kept import KeptSize
from wiregen.layout.schematic.ends import Ends, WireEnd
from wiregen.layout.schematic.flow import Flow
from wiregen.layout.schematic.half_lines import HalfLine
from wiregen.layout.schematic.keeping_rows import Before
from wiregen.layout.schematic.state_view import StateView
from wiregen.model import Design


@dataclass(frozen=True, slots=True)
class Cut:
    """A wire that goes on elsewhere: only the end `here` is on this sheet."""

    here: WireEnd
    there: WireEnd


@dataclass(frozen=True, slots=True)
class Plan:
    """One sheet before it is laid out.

    Attributes:
        title: heading.
        subtitle: grey line below it.
        wires: drawn whole, natural order.
        cuts: drawn to a reference, natural order.
        key: names the sheet for as long as it exists, whatever its heading and number.
        name: heading before sheets of one heading are numbered; the heading where empty.
    """

    title: str
    subtitle: str
    wires: tuple[str, ...]
    cuts: tuple[Cut, ...] = ()
    key: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True)
class Scene:
    """The design as the blocks of one sheet see it.

    Attributes:
        at: node -> wire ends that land there on this sheet, natural order.
        row_mm: distance of pin rows, mm.
        grouped: wire -> of how many screens, twists and cables it is.
        fitted: metal under fuses that is on the sheet, see `Ends.fitted`.
        state: what is going on, on a sheet drawn for one operating state.
        halves: key of a wire end -> the wire end of its pin that it stands half a row below.
        before: how the pins stood when the sheet was drawn before.
        sizes: plug, device or fuse -> the size its box had then.
        spill: those of them whose words may reach over the edge of their box.
        facing: key of a wire end -> edge it leaves by, of blocks that are settled already.
        rows: key of a wire end -> its block and its height there, of blocks settled already, mm.
    """

    design: Design
    network: Network
    ends: Ends
    flow: Flow
    plan: Plan
    at: Mapping[str, tuple[WireEnd, ...]] = field(default_factory=dict)
    row_mm: float = 5.0
    grouped: Mapping[str, int] = field(default_factory=dict)
    fitted: tuple[str, ...] = ()
    state: StateView | None = None
    before: Before = field(default_factory=Before)
    sizes: Mapping[str, KeptSize] = field(default_factory=dict)
    spill: frozenset[str] = frozenset()
    halves: Mapping[str, HalfLine] = field(default_factory=dict)
    facing: Mapping[str, Side] = field(default_factory=dict)
    rows: Mapping[str, tuple[str, float]] = field(default_factory=dict)

    @property
    def ends_here(self) -> dict[str, WireEnd]:
        """The wire ends on the sheet by their keys; metal under fuses has ends too."""
        names = (*self.plan.wires, *self.fitted)
        whole = {end.key: end for name in names for end in self.ends.pair(name)}
        return whole | {cut.here.key: cut.here for cut in self.plan.cuts}

    def shown(self, device: str, kind: str) -> str:
        """Return the symbol of a bare device: a contact in the position of the drawn state."""
        return kind if self.state is None else self.state.in_this_state(device, kind)

    def is_new(self, loom: str) -> bool:
        """Whether things of this loom are to be built."""
        record = self.design.looms.get(loom)
        return record is not None and record.status == "new"

    def loom_title(self, loom: str) -> str:
        """Return what a loom is called."""
        record = self.design.looms.get(loom)
        return (record.title or loom) if record else loom
