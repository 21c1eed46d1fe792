"""The command `draw`."""

from __future__ import annotations

import re
import shutil
from collections import Counter
from collections.abc import Generator, Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from wiregen.check.render_text import plain, summary
from wiregen.cli.judged import refused
from wiregen.cli.output import done, put
from wiregen.cli.progress import shown, waiting
from wiregen.cli.words import complain, count
from wiregen.problems import Unreadable, nearest_or_all
from wiregen.publish import Document
from wiregen.publish.document import drawn
from wiregen.publish.layout_file import write_layout

if TYPE_CHECKING:
    from wiregen.layout.drawing_set import Options, PlannedSet

_LETTERS = 12
_PPI = 150


@dataclass(frozen=True)
class Wanted:
    """What to draw, and how."""

    plug: str | None = None
    circuit: str | None = None
    loom: str | None = None
    png: bool = False
    mono: bool = False
    dot: bool = False
    lint: bool = False
    state: str | None = None
    variant: str | None = None
    fresh: bool = False

    @property
    def whole(self) -> bool:
        """Whether every sheet of the design is drawn as it is; such a set is kept as it stands."""
        return not (self.part or self.state_part)

    @property
    def part(self) -> str:
        """The one plug, circuit or loom that is wanted, as a piece of a file name; or empty."""
        kinds = {"plug": self.plug, "circuit": self.circuit, "loom": self.loom}
        return _piece(f"{kind}-{name}" for kind, name in kinds.items() if name)

    @property
    def state_part(self) -> tuple[str, ...]:
        """The variant and operating state that are wanted, as a piece of a file name."""
        state = ("state", self.state) if self.state is not None else ()
        names = [name for name in (self.variant, *state) if name]
        return (_piece(names),) if names else ()


def _piece(names: Iterable[str]) -> str:
    return re.sub(r"[^\w.-]+", "-", "-".join(names))


def draw_design(path: Path, output: Path | None, wanted: Wanted) -> int:
    """Draw a design into a folder, print the files, and return the exit code."""
    try:
        document = Document(path)
    except Unreadable as error:
        return refused(error, path)
    unknown = _unknown(document, wanted)
    if unknown:
        return complain(unknown)
    if wanted.variant is not None:
        document = document.of_variant(wanted.variant)
    if wanted.dot and shutil.which("dot") is None:
        complain("dot is not installed here; the columns of the overview are our own")
    if document.kept_message and not wanted.fresh:
        complain(document.kept_message)
    with waiting("laying out"):
        planned = document.plan(_options(document, wanted), wanted.fresh)
    if not planned.count:
        return complain(f"{path}: there is nothing to draw")
    own = file_name(document.design.name)
    name = "-".join(part for part in (own, *wanted.state_part, wanted.part) if part)
    title = document.design.title_block.title or own
    letters: dict[str, None] = {}
    files = _files(name, title, planned, wanted, letters)
    written = put(output or Path("out", own), files, _own_names(name))
    if isinstance(written, int):
        return written
    if wanted.whole:
        kept, refusal = write_layout(path, planned.kept)
        written += [kept] if kept else []
        if refusal:
            complain(refusal)
    _print_letters(tuple(letters))
    said = f"{count(planned.count, 'sheet')}; {_said(document, path)}"
    flaws = _lint_words(planned) if wanted.lint else ()
    return done(written, chain(flaws, [said]), document.report)


def _options(document: Document, wanted: Wanted) -> Options:
    from wiregen.layout.drawing_set import Options

    return Options(
        plug=wanted.plug,
        circuit=wanted.circuit,
        loom=wanted.loom,
        mono=wanted.mono,
        dot=wanted.dot,
        state=document.state_view(wanted.state) if wanted.state is not None else None,
    )


def _print_letters(letters: tuple[str, ...]) -> None:
    """Say which letters the font of the drawings lacks."""
    if letters:
        some = " ".join(letters[:_LETTERS]) + (" …" if len(letters) > _LETTERS else "")
        complain(plain(f"the font has no {some}: PDF and PNG show ▯ there, SVG keeps the text"))


def _lint_words(planned: PlannedSet) -> Iterator[str]:
    """Yield what a careful reader would find wrong with the sheets."""
    from wiregen.layout.lint_set import lint_set

    for found in lint_set(tuple(planned.sheets())):
        counts = (
            count(found.wires, "wire"),
            count(found.crossings, "crossing"),
            count(found.bends, "bend"),
            count(len(found.flaws), "flaw"),
        )
        yield f"{found.sheet}: {', '.join(counts)}"
        yield from (plain(f"  {flaw}") for flaw in found.flaws)


def _said(document: Document, path: Path) -> str:
    said = summary(document.report)
    marked = f" (marked on the sheets; see: wiregen check {plain(str(path))})"
    return said + (marked if document.findings else "")


def _unknown(document: Document, wanted: Wanted) -> str:
    """Return why a plug, circuit or loom that was asked for cannot be drawn, or an empty text."""
    design = document.design
    asked: tuple[tuple[str, str | None, Iterable[str]], ...] = (
        ("plug", wanted.plug, design.plugs),
        ("circuit", wanted.circuit, document.network.circuit_names),
        ("loom", wanted.loom, design.looms),
        ("state", wanted.state, design.states),
        ("variant", wanted.variant, design.variants),
    )
    for what, name, known in asked:
        if name is not None and name not in known:
            return f"{design.path} has no {what} '{name}'{nearest_or_all(name, known)}"
    if wanted.state is not None and design.variants and wanted.variant is None:
        names = ", ".join(design.variants)
        return f"{design.path} has variants; choose one with --variant: {names}"
    return ""


def _files(
    name: str, title: str, planned: PlannedSet, wanted: Wanted, letters: dict[str, None]
) -> Generator[tuple[str, bytes]]:
    """Yield every file, SVG and PNG a sheet and one PDF; one sheet is held at a time.

    The letters the font lacks are added to `letters`.
    """
    from wiregen.draw.pdf import PdfPages
    from wiregen.layout.lint_set import letters_lacking
    from wiregen.publish.pack_links import page_links

    pages = PdfPages()
    taken: Counter[str] = Counter()
    drawings = shown(drawn(planned), planned.count, "drawing")
    for number, drawing in enumerate(drawings, start=1):
        stem = f"{name}-{_own_stem(drawing.name, taken)}"
        yield f"{stem}.svg", drawing.svg.encode()
        if wanted.png:
            yield f"{stem}.png", drawing.png(_PPI)
        pages.add(drawing.sheet, page_links(drawing.sheet, number))
        letters.update(dict.fromkeys(letters_lacking(drawing.sheet)))
    yield f"{name}.pdf", pages.finish(title)


def _own_stem(name: str, taken: Counter[str]) -> str:
    """Return the file stem of a sheet, apart from those before even where capitals do not count.

    Example:
        >>> taken = Counter()
        >>> [_own_stem(name, taken) for name in ("face-X1", "face-x1", "face-X2")]
        ['face-X1', 'face-x1~2', 'face-X2']
    """
    taken[name.casefold()] += 1
    again = taken[name.casefold()]
    return name if again == 1 else f"{name}~{again}"


def file_name(name: str) -> str:
    """Return a design's name as the base of file names, never a way out of the folder."""
    return re.sub(r"[/\\\0]", "-", name).lstrip(".-") or "design"


def _own_names(name: str) -> tuple[str, ...]:
    """Patterns of the sheets an earlier run may have left."""
    return (
        rf"{re.escape(name)}-(?:face-[\w.~-]+|sheet-\d+|overview|contents(?:-\d+)?)\.(?:svg|png)",
    )
