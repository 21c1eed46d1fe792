"""The schematic sheets of a design: planned and laid out."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace

from wiregen.connect import Network
from wiregen.layout.kept import WHOLE, KeptDrawing, KeptFoot, KeptSheet
from wiregen.layout.schematic.ends import Ends, find_ends, gathered
from wiregen.layout.schematic.flow import EARTH_FLOW, find_flow
from wiregen.layout.schematic.keeping import kept_pins
from wiregen.layout.schematic.kept_split import kept_clusters, parted_atoms
from wiregen.layout.schematic.narrowed import index_findings
from wiregen.layout.schematic.page import LEAST_SCALE
from wiregen.layout.schematic.plans import Subjects, find_subjects, plan_for
from wiregen.layout.schematic.scene import Plan
from wiregen.layout.schematic.sheet_page import Maker, Page, papers_for
from wiregen.layout.schematic.split import (
    FEW,
    KINDS,
    MOST_ON_A3,
    ONE_SHEET,
    PER_SHEET,
    Cluster,
    merged,
    new_clusters,
    smaller_clusters,
    with_own_earths,
)
from wiregen.layout.schematic.state_view import StateView
from wiregen.model import Design
from wiregen.model.order import in_order, natural_key
from wiregen.problems import Problem
from wiregen.sheet.frame import (
    A1,
    A2,
)


def schematic_pages(
    design: Design,
    network: Network,
    findings: tuple[Problem, ...] = (),
    *,
    wires: Sequence[str] | None = None,
    title: str = "",
    mono: bool = False,
    state: StateView | None = None,
    keep: KeptDrawing | None = None,
) -> tuple[tuple[Page, ...], Maker]:
    """Return the laid out sheets that show every wire, and what draws them.

    Args:
        design: the design.
        network: from `connect`.
        findings: marked where they belong.
        wires: only these wires; None for all.
        title: heading of a sheet that shows only some wires.
        mono: ink patterns in place of colours.
        state: draw this operating state, with its own findings; None draws all at rest.
        keep: the sheets as they were drawn before.
    """
    ends = find_ends(design, network)
    chosen = tuple(design.wires) if wires is None else tuple(in_order(wires))
    kept = Ends({w: ends.of_wire[w] for w in chosen}, ends.block_of, ends.fitted)
    shown = findings if state is None else state.findings
    flow = find_flow(design, ends, network)
    maker = Maker(design, network, kept, flow, index_findings(shown), mono, state)
    if not chosen:
        return (), maker
    before = keep if keep is not None and wires is None else KeptDrawing()
    if not before.sheets or any(sheet.key == WHOLE for sheet in before.sheets):
        page = _whole(maker, chosen, title, before)
        if page is not None:
            return _finished(maker, (page,), before), maker
        before = KeptDrawing()
    several, subjects = _split(maker)
    if before.sheets:
        return _finished(several, kept_pages(several, subjects, before), before), several
    return _finished(several, _fitting(several, subjects), before), several


def _finished(maker: Maker, pages: Sequence[Page], keep: KeptDrawing) -> tuple[Page, ...]:
    before = {sheet.key: sheet for sheet in keep.sheets}
    return tuple(maker.finished(page, before.get(page.plan.key)) for page in pages)


def _split(maker: Maker) -> tuple[Maker, Subjects]:
    """Return what draws and plans several sheets: every earth point is one block of its own."""
    ends = gathered(maker.design, maker.ends)
    places = {**maker.flow.of_block, **dict.fromkeys(maker.design.earths, EARTH_FLOW)}
    flow = replace(maker.flow, of_block=places)
    subjects = find_subjects(maker.design, maker.network, ends)
    return replace(maker, ends=ends, flow=flow), subjects


def _fitting(maker: Maker, subjects: Subjects) -> tuple[Page, ...]:
    """Return a page for every cluster, clusters parted until each fits its paper."""
    atoms = subjects.atoms
    found: list[tuple[Cluster, Page]] = []
    first = new_clusters(atoms, in_order(atoms.wires), PER_SHEET)
    todo = with_own_earths(atoms, first, PER_SHEET)[::-1]
    while todo:
        cluster = todo.pop()
        plan = plan_for(subjects, cluster)
        page = maker.page(plan)
        parts = [] if page else smaller_clusters(atoms, cluster)
        if len(parts) > 1:
            todo.extend(reversed(parts))
        else:
            found.append((cluster, page or _large(maker, plan)))
    found = _together(maker, subjects, found)
    found.sort(key=lambda item: (KINDS.index(item[0].kind), natural_key(min_wire(item[0]))))
    return _distinct([page for _, page in found])


def kept_pages(maker: Maker, subjects: Subjects, keep: KeptDrawing) -> tuple[Page, ...]:
    """Return a page for every sheet of a kept drawing that still shows something, and new ones."""
    subjects = replace(subjects, atoms=parted_atoms(subjects.ends, subjects.atoms, keep))
    split = kept_clusters(subjects.ends, subjects.atoms, keep)
    pages: list[Page] = []
    for sheet, cluster in zip(keep.sheets, split.kept, strict=True):
        if not cluster.wires:
            continue
        plan = replace(plan_for(subjects, cluster, sheet.title), key=sheet.key)
        papers = (*papers_for(plan), A2)
        page = maker.repeated(plan, sheet) or maker.page(plan, papers, before=sheet.foot)
        pages.append(page or _large(maker, plan, sheet.foot))
    for cluster in split.new:
        plan = plan_for(subjects, cluster)
        pages.append(maker.page(plan) or _large(maker, plan))
    return _distinct(pages)


def _whole(maker: Maker, chosen: Sequence[str], title: str, keep: KeptDrawing) -> Page | None:
    """Return the one sheet of a design that fits on one; None for a larger design."""
    heading = title or (maker.design.title_block.title or maker.design.name)
    plan = Plan(heading, "schematic · supplies left, loads right", tuple(chosen), key=WHOLE)
    before = next((sheet for sheet in keep.sheets if sheet.key == WHOLE), None)
    page = maker.repeated(plan, before) if before is not None else None
    if page is None and (len(chosen) <= ONE_SHEET or before is not None):
        papers = (*papers_for(plan), A2) if len(chosen) <= MOST_ON_A3 else (A2,)
        page = maker.page(plan, papers, before=before.foot if before is not None else None)
    return page


def _distinct(pages: Sequence[Page]) -> tuple[Page, ...]:
    """Number the pages that would have the same heading, and give each a key of its own."""
    seen: dict[str, int] = {}
    keys = {page.plan.key for page in pages}
    out = []
    for page in pages:
        title = page.plan.title
        seen[title] = seen.get(title, 0) + 1
        name = f"{title} ({seen[title]})" if seen[title] > 1 else title
        key = page.plan.key or _new_key(title, keys)
        keys.add(key)
        out.append(replace(page, plan=replace(page.plan, title=name, name=title, key=key)))
    return tuple(out)


def _new_key(title: str, taken: AbstractSet[str]) -> str:
    """Return a key for a sheet: the words of its heading.

    Example:
        >>> _new_key("Glow command, charge", {"schematic"}), _new_key("°", {"sheet"})
        ('glow-command-charge', 'sheet-2')
    """
    words = re.sub(r"[^a-z0-9]+", "-", title.lower())[:40].strip("-") or "sheet"
    numbered = (f"{words}-{number}" for number in itertools.count(2))
    return next(key for key in itertools.chain((words,), numbered) if key not in taken)


def keep_page(maker: Maker, page: Page) -> KeptSheet:
    """Return what is kept of a page."""
    scene = page.laid.scene
    nodes = {key: end.node for key, end in scene.ends_here.items()}
    boxes = page.laid.placement.kept.boxes
    blocks = [(block, boxes[block.id].y) for block in page.laid.blocks]
    pins = kept_pins(maker.design, maker.network, blocks, scene.at, LEAST_SCALE)
    return KeptSheet(
        page.plan.key,
        page.plan.name or page.plan.title,
        page.paper.name,
        page.corner,
        page.scale,
        page.laid.placement.kept,
        nodes,
        pins,
        _keep_foot(page),
        {owner: size for block in page.laid.blocks for owner, size in block.sizes},
        {
            bundle.group: tuple(m.moved(page.on_page) for m in bundle.marks)
            for bundle in page.bundles
        },
    )


def _keep_foot(page: Page) -> KeptFoot | None:
    """Return what is kept of the findings of a page; those beyond the list may take any number."""
    if page.foot is None:
        return None
    pairs = zip(page.marks.keys, page.marks.foot, strict=True)
    numbers = {key: line.number for key, line in pairs if line.number <= page.foot.cells.count}
    return KeptFoot(page.foot, numbers, {ring.key: ring.steps for ring in page.rings})


def min_wire(cluster: Cluster) -> str:
    """Return the first wire of a cluster in natural order."""
    return min(cluster.wires, key=natural_key)


def _together(
    maker: Maker, subjects: Subjects, found: list[tuple[Cluster, Page]]
) -> list[tuple[Cluster, Page]]:
    """Put sheets with few wires onto one sheet with a neighbour where both fit."""
    kept: list[tuple[Cluster, Page]] = []
    for cluster, page in sorted(found, key=lambda item: -len(item[0].wires)):
        if len(cluster.wires) < FEW:
            shares = [
                (len(other.wires & cluster.wires), -index)
                for index, (other, _) in enumerate(kept)
                if other.kind == cluster.kind and len(other.wires | cluster.wires) <= PER_SHEET
            ]
            for _, index in sorted(shares, reverse=True)[:2]:
                joined = merged(subjects.atoms, kept[-index][0], cluster)
                plan = plan_for(subjects, joined)
                both = maker.page(plan)
                if both is not None:
                    kept[-index] = joined, both
                    break
            else:
                kept.append((cluster, page))
        else:
            kept.append((cluster, page))
    return kept


def _large(maker: Maker, plan: Plan, before: KeptFoot | None = None) -> Page:
    """A sheet that cannot be parted: on larger paper; drawn small where none is large enough."""
    for paper, least in ((A2, LEAST_SCALE), (A1, LEAST_SCALE), (A1, 0.0)):
        page = maker.page(plan, (paper,), least, before)
        if page is not None:
            return page
    raise AssertionError("every drawing fits its paper at some scale")
