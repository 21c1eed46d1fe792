"""One design with everything made from it, each part made when first asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from wiregen.model import natural_key
from wiregen.problems import SEVERITIES
from wiregen.publish.files import write_files
from wiregen.read import Loaded, load

if TYPE_CHECKING:
    from wiregen.check import Report
    from wiregen.connect import Net, Network
    from wiregen.layout.drawing_set import Options, PlannedSet
    from wiregen.layout.kept import KeptDrawing
    from wiregen.layout.schematic.state_view import StateView
    from wiregen.model import Design
    from wiregen.problems import Problem
    from wiregen.sheet.items import Sheet

_LARGE = 2_000
"""A design with more wires than this is worth a second process."""


@dataclass(frozen=True)
class Drawing:
    """One sheet; shows itself in a notebook.

    Attributes:
        name: file part such as `face-X1`.
        title: heading of the sheet.
        sheet: what stands on it, in mm.
    """

    name: str
    title: str
    sheet: Sheet

    @property
    def svg(self) -> str:
        """The sheet as SVG text, written anew each time."""
        from wiregen.draw.svg import to_svg

        return to_svg(self.sheet)

    def png(self, ppi: float = 96) -> bytes:
        """Return the sheet as PNG at `ppi` pixels per inch."""
        from wiregen.draw.png import to_png

        return to_png(self.sheet, ppi)

    def save(self, path: str | Path) -> Path:
        """Write the sheet as SVG or, where the name ends in `.png` or `.pdf`, as that.

        Raises:
            CannotWrite: the folder or the file cannot be written.
        """
        target = Path(path)
        ending = target.suffix.lower()
        if ending == ".png":
            content = self.png()
        elif ending == ".pdf":
            from wiregen.draw.pdf import to_pdf

            content = to_pdf((self.sheet,), self.title)
        else:
            content = self.svg.encode()
        return write_files(target.parent, {target.name: content})[0]

    def _repr_svg_(self) -> str:
        return self.svg

    def __repr__(self) -> str:
        return f"Drawing({self.name!r}, {self.title!r})"


class Document:
    """A design that was read, and what is made from it.

    Example:
        >>> Document("designs/wiper-pinout.yaml").design.plugs["X1"].title
        'Wiper motor plug'
    """

    def __init__(
        self,
        path: str | Path,
        loaded: Loaded | None = None,
        variant: str = "",
        whole: Document | None = None,
    ) -> None:
        self.loaded: Loaded = loaded or load(path)
        self.variant = variant
        self._whole = whole
        self._checked: Callable[[], Report] | None = None

    def of_variant(self, variant: str) -> Document:
        """Return the design as one variant has it."""
        from wiregen.check.variants import in_variant

        reduced = replace(self.loaded, design=in_variant(self.design, variant))
        return Document(self.design.path, reduced, variant, self)

    @property
    def design(self) -> Design:
        """The records of the file."""
        return self.loaded.design

    @cached_property
    def network(self) -> Network:
        """What hangs together."""
        from wiregen.connect import connect

        return connect(self.design)

    @property
    def nets(self) -> tuple[Net, ...]:
        """The nets: everything that is one piece of metal."""
        return self.network.nets

    @cached_property
    def report(self) -> Report:
        """Findings, accepted findings, and what could not be checked; those of a variant only."""
        return (self._checked or self._check)()

    @contextmanager
    def checking(self) -> Iterator[Document]:
        """Check a large design in a second process meanwhile; `report` waits for it."""
        if len(self.design.wires) <= _LARGE:
            yield self
            return
        from wiregen.history.beside import beside

        with beside(self._check) as self._checked:
            yield self
        self._checked = None

    def _check(self) -> Report:
        from wiregen.check import check
        from wiregen.publish.proving.proven import with_measured

        if self._whole is None:
            measured = with_measured(self.loaded)
            return check(measured, self.network if measured is self.loaded else None)
        found = self._whole.report
        mine = (p for p in found.findings if not p.variant or self.variant in p.variant.split(", "))
        return replace(found, findings=tuple(mine))

    @property
    def findings(self) -> tuple[Problem, ...]:
        """The findings, most dangerous first."""
        return self.report.findings

    @cached_property
    def drawings(self) -> tuple[Drawing, ...]:
        """Every sheet of the design."""
        return self.draw()

    def draw(
        self,
        plug: str | None = None,
        circuit: str | None = None,
        loom: str | None = None,
        mono: bool = False,
        dot: bool = False,
        *,
        state: str | None = None,
    ) -> tuple[Drawing, ...]:
        """Return the sheets, or only those of one plug, circuit or loom.

        The layout kept beside the design is repeated where there is one, see `kept`.

        Args:
            plug: id of a plug.
            circuit: name of a circuit.
            loom: id of a loom.
            mono: draw in black and white.
            dot: let Graphviz's `dot` choose the columns of the overview, where it is installed.
            state: the schematic alone, as this operating state has it; of a design with variants
                only after `of_variant`.
        """
        from wiregen.layout.drawing_set import Options

        asked = Options(
            plug=plug,
            circuit=circuit,
            loom=loom,
            mono=mono,
            dot=dot,
            state=self.state_view(state) if state is not None else None,
        )
        return tuple(drawn(self.plan(asked)))

    def plan(self, options: Options | None = None, fresh: bool = False) -> PlannedSet:
        """Return the sheets laid out but not drawn, to be numbered and drawn.

        Args:
            options: what to draw; everything when None.
            fresh: lay out anew, whatever is kept beside the design.
        """
        return self.plan_from(None if fresh else self.kept, options)

    def plan_from(self, keep: KeptDrawing | None, options: Options | None = None) -> PlannedSet:
        """Return the sheets laid out from a layout that is kept elsewhere, as `plan` does.

        Args:
            keep: where everything stood before; None to lay out anew.
            options: what to draw; everything when None.
        """
        from wiregen.layout.drawing_set import plan_set

        design = self._drawn_design
        return plan_set(design, self.network, by_subject(self.report), options, keep)

    @property
    def _drawn_design(self) -> Design:
        """The design as the sheets show it: proven pins are measured, one variant has no marks."""
        from wiregen.publish.proving.proven import proven_design

        design = proven_design(self.titled, self.network, self.variant)
        return replace(design, variants={}) if self.variant else design

    @property
    def titled(self) -> Design:
        """The design with the variant in its title block, where it was reduced to one."""
        if not self.variant:
            return self.design
        block = self.design.title_block
        title = f"{block.title or self.design.name} · variant {self.variant}"
        return replace(self.design, title_block=replace(block, title=title))

    @cached_property
    def kept(self) -> KeptDrawing | None:
        """The layout kept beside the design file; None where there is none that can be used."""
        return self._layout[0]

    @property
    def kept_message(self) -> str:
        """Why the layout beside the design cannot be used, as one line; empty when all is well."""
        return self._layout[1]

    @cached_property
    def _layout(self) -> tuple[KeptDrawing | None, str]:
        from wiregen.publish.layout_file import of_this_design, read_layout

        return of_this_design(self.design, *read_layout(self.design.path))

    def state_view(self, state: str) -> StateView:
        """Return what an operating state does to the things on the sheets."""
        from wiregen.compute.study import Study
        from wiregen.layout.schematic.state_view import state_view

        study = Study(self.design, self.network)
        return state_view(study, state, by_subject(self.report).findings)

    def __repr__(self) -> str:
        return f"Document({self.design.path!r})"


def drawn(planned: PlannedSet) -> Iterator[Drawing]:
    """Yield planned sheets as drawings, each drawn when it is asked for."""
    return (Drawing(sheet.name, sheet.title, sheet) for sheet in planned.sheets())


def by_subject(report: Report) -> Report:
    """Return a report ordered by what its findings are about, not by where a line stands.

    So that moving a line in the file moves no mark on a drawing.
    """

    def key(problem: Problem) -> tuple[object, ...]:
        subjects = [natural_key(subject) for subject in problem.subjects]
        return SEVERITIES.index(problem.severity), subjects, problem.code, problem.message

    return replace(report, findings=tuple(sorted(report.findings, key=key)))
