"""Drawing a design again after a change, and what then differs line by line."""

from __future__ import annotations

import difflib
import re
import subprocess
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from wiregen.connect import Network, connect
from wiregen.draw.svg import to_svg
from wiregen.layout.cavity_facts import CavityFacts, plug_facts
from wiregen.layout.drawing_set import Options, plan_set
from wiregen.layout.kept import KeptDrawing
from wiregen.layout.schematic.sheet_drawing import draw_pages
from wiregen.layout.schematic.sheet_page import Page
from wiregen.layout.schematic.sheets import keep_page, schematic_pages
from wiregen.model import Design
from wiregen.model.faces import face_layout
from wiregen.problems import Problem
from wiregen.publish import Document
from wiregen.publish.document import by_subject
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


_PLACE = re.compile(r'(?<= )(?:x|y|cx|cy|d|data-x|data-y|width|height)="[^"]*"')
_GROUP_PLACE = re.compile(r",?\b(?:x|y)=-?[0-9.]+")


@dataclass(frozen=True)
class Difference:
    """How two drawings of one sheet differ.

    Attributes:
        moved: (group, line) of what says the same in another place.
        other: (group, line) of what says something else, came or went.
    """

    moved: tuple[tuple[str, str], ...]
    other: tuple[tuple[str, str], ...]


def difference(old: str, new: str) -> Difference:
    """Return how two SVGs of one sheet differ; the order of their lines does not matter."""
    gone, come = Counter(_owned(old)), Counter(_owned(new))
    gone, come = gone - come, come - gone
    elsewhere = Counter(map(_without_place, come.elements()))
    moved, other = [], []
    for item in gone.elements():
        key = _without_place(item)
        (moved if elsewhere[key] else other).append(item)
        elsewhere[key] -= 1
    other += [item for item in come.elements() if elsewhere[_without_place(item)] > 0]
    return Difference(tuple(moved), tuple(other))


def _without_place(item: tuple[str, str]) -> tuple[str, str]:
    return _GROUP_PLACE.sub("", item[0]), _PLACE.sub("", item[1])


@dataclass(frozen=True)
class DrawnSet:
    """All sheets of a design, findings marked, and what is kept of them.

    Attributes:
        document: the design.
        svgs: name of a sheet -> its SVG.
        text: of the layout file.
    """

    document: Document
    svgs: Mapping[str, str]
    text: str

    @property
    def keep(self) -> KeptDrawing:
        """The layout as it is read from its file."""
        return parse_layout(self.text)

    @cached_property
    def facts(self) -> Mapping[str, CavityFacts]:
        """Pin -> what a face says of it, but for the sheets it names."""
        design, network = self.document.design, self.document.network
        found = {}
        for plug in design.plugs:
            names = face_layout(design, plug).names
            for facts in plug_facts(design, network, plug, names).values():
                found[facts.node] = facts
        return found

    def again(self, design: Design) -> DrawnSet:
        """Draw a design that was changed over the layout of this one."""
        loaded = replace(self.document.loaded, design=design)
        return drawn_set(Document(self.document.design.path, loaded), self.keep)


def drawn_set(document: Document, keep: KeptDrawing | None = None) -> DrawnSet:
    """Draw every sheet of a design, over an earlier layout where there is one."""
    report = by_subject(document.report)
    planned = plan_set(document.design, document.network, report, Options(), keep)
    svgs = {sheet.name: to_svg(sheet) for sheet in planned.sheets()}
    return DrawnSet(document, svgs, layout_text(planned.kept))


FOOT = re.compile(
    r'<path d="M\S+ \S+ H\S+" fill="none" stroke="#c9cfd6"|'
    r">(?:(?:[A-Z]{2}|GNYE)(?: [a-z -]+)?|base/tracer|(?:new|existing) wire|removed|Pins|measured"
    r"|sources disagree: measure|from a source or unknown: not measured"
    r"|(?:and )?[0-9]+ (?:findings?|more) on this sheet: wiregen check)</text>"
)
"""The rule over a foot, words of its legends, and a count of findings."""


def stirred(before: DrawnSet, after: DrawnSet, ids: Sequence[str]) -> list[str]:
    """Return what moved on any sheet though it has nothing to do with what was changed.

    Legends may move; a finding that says something else may be marked elsewhere; the list of
    findings may as a whole, when it got longer.

    Args:
        before: the set.
        after: the set drawn again after a change.
        ids: of what was changed.
    """
    found = []
    for name, old in before.svgs.items():
        new = after.svgs[name]
        if old == new:
            continue
        differs = difference(old, new)
        said = {owner for owner, _ in differs.other}
        longer = _highest(new) > _highest(old)
        for owner, line in differs.moved:
            legend = owner.startswith(("swatch[", "sample ", "standing[")) or (
                not owner and FOOT.search(line)
            )
            finding = owner.startswith("finding-row") and longer
            ring = owner.startswith("finding[") and _row_of(owner) in said
            pin = re.search(r"pin-row\[pin=([^\],]+)", owner)
            row = pin and before.facts.get(pin[1]) != after.facts.get(pin[1])
            if not (legend or finding or ring or row or owner in said or _is_of(owner, ids)):
                found.append(f"{name} {owner} {line}")
    return found


def _row_of(ring: str) -> str:
    return f"finding-row{ring.removeprefix('finding')}"


def _highest(svg: str) -> int:
    numbers = re.findall(r'class="finding-row" data-number="(\d+)"', svg)
    return max(map(int, numbers), default=0)


def _is_of(owner: str, ids: Sequence[str]) -> bool:
    return "group-mark" in owner or any(
        re.search(rf"=(?:{re.escape(one)})[,\]]", owner) for one in ids
    )


def retold(before: DrawnSet, after: DrawnSet, wire: str) -> list[str]:
    """Return what says something else though it has nothing to do with a wire that changed.

    Rows and cavities of pins may where a fact of the pin did; findings, and counts and names in
    headings, contents and overview may.
    """
    ends = before.document.network.ends_of.get(wire, ())
    found = []
    for name, old in before.svgs.items():
        if old == after.svgs[name] or name in ("contents", "overview"):
            continue
        for owner, line in difference(old, after.svgs[name]).other:
            pin = re.search(r"(?:pin-row|cavity)\[pin=([^\],]+)", owner)
            if pin and "finding" not in owner:
                plug, cavity = pin[1].split(":")
                other = f"{before.document.network.mate(plug)}:{cavity}"
                own = pin[1] in ends or other in ends
                fine = own or before.facts.get(pin[1]) != after.facts.get(pin[1])
            else:
                fine = "finding" in owner or _is_of(owner, (wire, *ends)) or (
                    not owner and ("<title>" in line or 'class="heading"' in line
                                   or FOOT.search(line))
                ) or owner.startswith(("swatch[", "sample ", "standing["))  # fmt: skip
            if not fine:
                found.append(f"{name} {owner} {line}")
    return found


def merged(base: str, ours: str, theirs: str, folder: Path) -> str:
    """Merge three texts as git does; a conflict is an error."""
    names = []
    for name, text in (("ours", ours), ("base", base), ("theirs", theirs)):
        (folder / name).write_text(text, encoding="utf-8")
        names.append(str(folder / name))
    done = subprocess.run(["git", "merge-file", "-p", *names], capture_output=True, check=False)
    assert done.returncode == 0, done.stdout.decode()
    return done.stdout.decode()


def renumbered(before: DrawnSet, after: DrawnSet) -> list[str]:
    """Return findings that say the same on a sheet as before under another number."""
    found = []
    for name, old in before.svgs.items():
        now = _numbers(after.svgs[name])
        was = _numbers(old)
        found += [f"{name} {words}" for words in was if now.get(words, was[words]) != was[words]]
    return found


def _numbers(svg: str) -> dict[str, str]:
    """Return sentence -> number of the findings listed on a sheet."""
    words: dict[str, str] = {}
    for owner, line in _owned(svg):
        number = re.fullmatch(r"finding-row\[number=(\d+),code=\w+\]", owner)
        if number and "<text" in line:
            words[number[1]] = words.get(number[1], "") + re.sub(r"<[^>]*>", " ", line)
    return {said: number for number, said in words.items()}
