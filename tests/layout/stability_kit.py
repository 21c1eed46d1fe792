"""Drawing a design again after a change, and what then differs line by line."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from wiregen.connect import Network, connect
from wiregen.draw.svg import to_svg
from wiregen.layout.kept import KeptDrawing
from wiregen.layout.schematic.sheet_drawing import draw_pages
from wiregen.layout.schematic.sheet_page import Page
from wiregen.layout.schematic.sheets import keep_page, schematic_pages
from wiregen.model import Design
from wiregen.problems import Problem
from wiregen.publish.layout_file import layout_text, parse_layout

ON_SHEET = re.compile(r'data-([a-z]+)="([^"]*)"')
LEGEND = re.compile(
    r">(?:Colours|[A-Z]{2} [a-z ]+|base/tracer|(?:new|existing) wire|removed|[a-z, /]*)</text>"
)


@dataclass(frozen=True)
class Drawn:
    """The schematic sheets of a design, and what is kept of them.

    Attributes:
        network: from `connect`.
        svgs: key of a sheet -> its SVG.
        keep: the layout after it was written to its file and read again.
        pages: the sheets.
    """

    network: Network
    svgs: Mapping[str, str]
    keep: KeptDrawing
    pages: Sequence[Page]

    @property
    def boxes(self) -> dict[str, tuple[float, float]]:
        """Where every box stands, mm on its sheet; marks of wires that go on are no boxes."""
        return {
            f"{page.plan.key} {name}": (
                round(page.corner[0] + at.x * page.scale, 2),
                round(page.corner[1] + at.y * page.scale, 2),
            )
            for page in self.pages
            for name, at in page.laid.placement.boxes.items()
            if not name.startswith(("ref ", "earth ", "end "))
        }


def drawn(
    design: Design, keep: KeptDrawing | None = None, findings: Sequence[Problem] = ()
) -> Drawn:
    """Draw the schematic sheets of a design, over an earlier layout where there is one."""
    network = connect(design)
    pages, maker = schematic_pages(design, network, tuple(findings), keep=keep)
    kept = KeptDrawing(tuple(keep_page(maker, page) for page in pages))
    sheets = draw_pages(pages, maker, 1, len(pages), {})
    svgs = {page.plan.key: to_svg(sheet) for page, sheet in zip(pages, sheets, strict=True)}
    return Drawn(network, svgs, parse_layout(layout_text(kept)), pages)


def without(design: Design, wire: str) -> Design:
    """Return a design without a wire."""
    groups = {
        name: replace(
            group,
            screened=tuple(w for w in group.screened if w != wire),
            twisted=tuple(w for w in group.twisted if w != wire),
            multicore=tuple(w for w in group.multicore if w != wire),
        )
        for name, group in design.groups.items()
    }
    wires = {name: record for name, record in design.wires.items() if name != wire}
    return replace(design, wires=wires, groups=groups)


def with_wire(design: Design, wire: str, **changes: object) -> Design:
    """Return a design with something else said of one wire."""
    record = replace(design.wires[wire], **changes)  # type: ignore[arg-type]
    return replace(design, wires={**design.wires, wire: record})


def changed(old: str, new: str) -> Iterator[tuple[str, str]]:
    """Yield the lines of two SVGs that differ, each with the groups it stands in.

    A group is named by its class and data, as `wire[wire=W5]/...`.
    """
    one, other = _owned(old), _owned(new)
    matcher = difflib.SequenceMatcher(None, one, other, autojunk=False)
    for tag, i1, i2, j1, j2 in matcher.get_opcodes():
        if tag != "equal":
            yield from one[i1:i2]
            yield from other[j1:j2]


def _owned(svg: str) -> list[tuple[str, str]]:
    groups: list[str] = []
    lines = []
    for line in svg.splitlines():
        if line.startswith("<g"):
            cls = re.search(r'class="([^"]*)"', line)
            data = ",".join(f"{key}={value}" for key, value in ON_SHEET.findall(line))
            groups.append(f"{cls[1] if cls else ''}[{data}]")
        lines.append(("/".join(groups), line))
        if line.startswith("</g>"):
            groups.pop()
    return lines


def not_of(wire: str, before: Drawn, old: str, new: str) -> list[str]:
    """Return the changed lines of a sheet that have nothing to do with a wire.

    Its own are: its group, its references, the splice or earth point it ended on (their pins are
    listed in them), the marks of its screen or twist; and the legends and counts in the frame.
    """
    ends = before.network.ends_of.get(wire, ())
    own = [f"[wire={wire}]", f"[wire={wire},", *(f"[splice={end}]" for end in ends)]
    own += [f"[earth={end}]" for end in ends] + ["group-mark["]
    frame = []
    found = []
    for owner, line in changed(old, new):
        if any(mark in f"{owner}/" for mark in own) or "finding" in owner:
            continue
        if owner.startswith(("swatch[", "sample ")) or (not owner and LEGEND.search(line)):
            continue
        if not owner and re.match(r'<path d="M\S+ \S+ H\S+" fill="none"', line):
            continue  # the rule over the foot
        (found if owner else frame).append(f"{owner} {line}")
    return found + ([] if _counts_only(frame, before.network, ends) else frame)


def _counts_only(lines: Sequence[str], network: Network, ends: Sequence[str]) -> bool:
    """Tell whether lines of the frame differ in counts, or no longer name the wire's circuit."""
    nets = {network.net_index[end] for end in ends}
    circuits = [name for name, found in network.circuits.items() if nets & {*found}]
    plain = []
    for line in lines:
        words = re.sub(r" and \d+ more|\d+", "", line)
        plain.append("heading" if any(name in words.lower() for name in circuits) else words)
    return sorted(plain)[::2] == sorted(plain)[1::2] or "heading" in plain
