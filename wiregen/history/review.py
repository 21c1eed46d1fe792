"""What follows from a difference: findings, nets, feeds, faces."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal, Protocol

from wiregen.check import Report
from wiregen.connect import Net, Network
from wiregen.history.bench import Step, bench_steps
from wiregen.history.changes import Changed, Difference, PinMoved, difference
from wiregen.history.figures import NO_FIGURES, Figures, compare_figures
from wiregen.history.objects import Renamer
from wiregen.history.plain import wire_ends
from wiregen.model import Design, in_order, natural_key
from wiregen.problems import Problem

_SAMPLE = 4

Fate = Literal["new", "gone", "changed"]


class Side(Protocol):
    """One of two states of a design, with what was made of it."""

    @property
    def design(self) -> Design:
        """Its records."""

    @property
    def network(self) -> Network:
        """What hangs together."""

    @property
    def report(self) -> Report:
        """Its findings."""


@dataclass(frozen=True, slots=True)
class Refed:
    """A consumer that hangs on other fuses than before."""

    node: str
    title: str
    before: tuple[str, ...]
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Touched:
    """A sheet or a test that is not as it was.

    Attributes:
        fate: new, gone or changed.
        name: of a sheet its number, of a test its id.
        title: of a sheet; of a test what is measured.
    """

    fate: Fate
    name: str
    title: str


@dataclass(frozen=True, slots=True)
class Voided:
    """A measured value that counts no more.

    Attributes:
        test: that gave it.
        reading: as it was written.
        date: of the measurement.
        why: it is void.
    """

    test: str
    reading: str
    date: str
    why: str


@dataclass(frozen=True, slots=True)
class Review:
    """A change as the reviewer needs it.

    Attributes:
        difference: the changes themselves.
        appeared: findings that were not there before.
        altered: findings that are still there and now say something else.
        accepted: findings that are still there and are accepted now.
        gone: findings that are no longer there.
        joined: nets that became one: what was on each of them, in words.
        split: nets that fell apart, likewise.
        refed: what hangs on other fuses.
        faces: plugs whose face drawing shows something else, natural order.
        steps: what to do at the bench, in order.
        figures: currents, drops and fuse loads that changed.
        sheets: of the drawing that show something else; None when nobody looked.
        tests: of the loom that are new, gone, or ask for another reading; None likewise.
        void: measured values that count no more.
    """

    difference: Difference
    appeared: tuple[Problem, ...]
    altered: tuple[Problem, ...]
    accepted: tuple[Problem, ...]
    gone: tuple[Problem, ...]
    joined: tuple[tuple[str, ...], ...]
    split: tuple[tuple[str, ...], ...]
    refed: tuple[Refed, ...]
    faces: tuple[str, ...]
    steps: tuple[Step, ...]
    figures: Figures = NO_FIGURES
    sheets: tuple[Touched, ...] | None = None
    tests: tuple[Touched, ...] | None = None
    void: tuple[Voided, ...] = ()


def review(old: Side, new: Side) -> Review:
    """Compare two designs and say what follows for nets, feeds, currents and the bench."""
    found = difference(old.design, new.design)
    if not found.changes:
        return Review(found, (), (), (), (), (), (), (), (), ())
    renamer = Renamer(found.old, found.pairs)
    before, after = old.network, new.network
    joined, split = _nets(before, after, (old.design, new.design), renamer)
    figures = compare_figures((old.design, before), (new.design, after), found.pairs, renamer)
    refed = _refed(before, after, new.design, renamer)
    appeared, altered, accepted, gone = compare_findings(old.report, new.report, renamer)
    return Review(
        difference=found,
        appeared=appeared,
        altered=altered,
        accepted=accepted,
        gone=gone,
        joined=joined,
        split=split,
        refed=refed,
        faces=_faces(found, after),
        steps=bench_steps(found),
        figures=figures,
    )


def compare_findings(
    old: Report, new: Report, renamer: Renamer
) -> tuple[tuple[Problem, ...], tuple[Problem, ...], tuple[Problem, ...], tuple[Problem, ...]]:
    """Return the findings that appeared, say something else, are accepted now, and that went.

    A finding is known by its rule and its objects; one that shares some of its objects with a
    finding of the same rule in the old design has not appeared, it was altered.
    """

    def known(problem: Problem) -> tuple[object, ...]:
        return (problem.code, problem.severity, problem.variant, frozenset(problem.subjects))

    earlier = [replace(p, subjects=tuple(map(renamer.name, p.subjects))) for p in old.findings]
    before, after = set(map(known, earlier)), set(map(known, new.findings))
    came = [p for p in new.findings if known(p) not in before]
    went = [p for p in earlier if known(p) not in after]
    had, have = _about(went), _about(came)
    altered = {id(p) for p in came if not had.isdisjoint(_about([p]))}
    waived = {known(problem) for problem, _ in new.waived}
    return (
        tuple(p for p in came if id(p) not in altered),
        tuple(p for p in came if id(p) in altered),
        tuple(p for p in went if known(p) in waived),
        tuple(p for p in went if known(p) not in waived and have.isdisjoint(_about([p]))),
    )


def _about(findings: Iterable[Problem]) -> set[tuple[str, str]]:
    return {(problem.code, subject) for problem in findings for subject in problem.subjects}


def _elements(network: Network, design: Design, renamer: Renamer | None) -> dict[str, int]:
    """Return what stays itself when wires are moved -> its net: wires, terminals, unit pins."""
    found: dict[str, int] = {}
    for net in network.nets:
        for wire in net.wires:
            found[renamer.id(wire) if renamer else wire] = net.index
        for node in net.nodes:
            plug = design.plugs.get(node.partition(":")[0])
            if plug is None or plug.of:
                found[renamer.end(node) if renamer else node] = net.index
    return found


def _nets(
    old: Network, new: Network, designs: tuple[Design, Design], renamer: Renamer
) -> tuple[tuple[tuple[str, ...], ...], tuple[tuple[str, ...], ...]]:
    """Return the nets that were joined, and those that were split."""
    before = _elements(old, designs[0], renamer)
    after = _elements(new, designs[1], None)
    common = [name for name in in_order(before) if name in after]
    joined: dict[int, dict[int, list[str]]] = {}
    split: dict[int, dict[int, list[str]]] = {}
    for name in common:
        joined.setdefault(after[name], {}).setdefault(before[name], []).append(name)
        split.setdefault(before[name], {}).setdefault(after[name], []).append(name)
    return (
        _parts(joined, {net.index: net for net in old.nets}),
        _parts(split, {net.index: net for net in new.nets}),
    )


def _parts(
    groups: Mapping[int, Mapping[int, list[str]]], nets: Mapping[int, Net]
) -> tuple[tuple[str, ...], ...]:
    return tuple(
        tuple(_label(nets[index].name, names) for index, names in parts.items())
        for parts in groups.values()
        if len(parts) > 1
    )


def _label(name: str, elements: list[str]) -> str:
    shown = ", ".join(elements[:_SAMPLE])
    more = len(elements) - _SAMPLE
    rest = f" and {more} more" if more > 0 else ""
    return f"'{name}' ({shown}{rest})" if name else f"{shown}{rest}"


def _refed(old: Network, new: Network, design: Design, renamer: Renamer) -> tuple[Refed, ...]:
    found: dict[str, Refed] = {}
    before = {renamer.end(node): node for node in _consumers(old)}
    for node in _consumers(new):
        if node not in before or node in found:
            continue
        fuses = tuple(in_order(renamer.id(f) for f in old.protecting_fuses(before[node])))
        now = new.protecting_fuses(node)
        if fuses != now:
            owner = node.partition(":")[0]
            device = design.devices.get(owner)
            plug = design.plugs.get(owner)
            title = device.title if device else plug.title if plug else ""
            found[node] = Refed(node, title, fuses, now)
    return tuple(found[node] for node in in_order(found))


def _consumers(network: Network) -> Iterable[str]:
    """Yield the live terminals of everything that takes current."""
    for link in network.links:
        if link.kind != "load":
            continue
        for node in link.nodes:
            net = network.net_of(node)
            if net is not None and net.kind != "earth":
                yield node


def _faces(found: Difference, network: Network) -> tuple[str, ...]:
    """Return the plugs whose face shows something else, each with its mated half."""
    plugs = found.new["plugs"]
    touched: dict[str, None] = {}
    for change in found.changes:
        if isinstance(change, PinMoved):
            touched[change.plug] = None
        elif change.section == "plugs":
            touched[getattr(change, "new_id", change.id)] = None
        elif change.section == "wires":
            records = [found.new["wires"].get(change.id), found.old["wires"].get(change.id)]
            ends = [ref.id for record in records if record for ref in wire_ends(record)]
            if isinstance(change, Changed) and isinstance(change.before, tuple):
                ends += [end.id for end in change.before if hasattr(end, "id")]
            touched.update(dict.fromkeys(ends))
    shown = [plug for plug in touched if plug in plugs]
    mates = [mate for plug in shown if (mate := network.mate(plug))]
    return tuple(sorted(dict.fromkeys([*shown, *mates]), key=natural_key))
