"""Run the catalogue over a design: variants, stages, waivers, groups, order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from wiregen.check.feeds import find_feeds
from wiregen.check.report import NotChecked, Report
from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.check.variants import in_variant
from wiregen.check.words import listed
from wiregen.compute.study import Study
from wiregen.connect import Network, connect
from wiregen.model import Design, Waiver, in_order
from wiregen.model.faces import face_layouts
from wiregen.problems import SEVERITIES, Member, Note, Problem
from wiregen.read import Loaded

_BLOCKING = ("FMT", "REF")
_MEMBERS = 32
_DANGEROUS = ("SAF", "FUS", "NET", "STA")


@dataclass(slots=True)
class _Hits:
    """Findings of all variants, each with the variants it was found in."""

    found: dict[tuple[Rule, Found], list[str]] = field(default_factory=dict)
    missing: dict[tuple[str, str], dict[str, None]] = field(default_factory=dict)
    skipped: dict[str, None] = field(default_factory=dict)


def run_rules(loaded: Loaded, rules: Sequence[Rule], network: Network | None = None) -> Report:
    """Apply rules to a design.

    Args:
        loaded: from `wiregen.read.load`.
        rules: the catalogue, or a part of it in tests.
        network: of the whole design, where it is there already.

    Returns:
        Findings most dangerous first, then in order of the file; accepted ones apart.
    """
    design = loaded.design
    hits = _Hits()
    names = tuple(design.variants)
    for variant in names or ("",):
        part = in_variant(design, variant) if variant else design
        joined = network if network and not variant else connect(part)
        _run_once(scene_of(part, joined, design, loaded.problems), rules, variant, hits)
    waivers = _Waivers(design)
    kept = [
        (found, _problem(rule, found, variants, names))
        for (rule, found), variants in hits.found.items()
    ]
    open_ones = [(f, p) for f, p in kept if not waivers.take(p)]
    fixes = {rule.code: rule.fix for rule in rules}
    read = [replace(p, help=p.help or fixes.get(p.code, "")) for p in loaded.problems]
    reader = [p for p in read if not waivers.take(p)]
    merged = [*reader, *_merge(open_ones)]
    merged += waivers.unused({rule.code: rule for rule in rules})
    missing = [
        NotChecked(code, needs, tuple(in_order(name for name in objects if name)))
        for (code, needs), objects in hits.missing.items()
    ]
    order = _order(design)
    return Report(
        findings=tuple(sorted(merged, key=order)),
        waived=tuple(sorted(waivers.waived, key=lambda pair: order(pair[0]))),
        not_checked=tuple(sorted(missing, key=lambda n: (n.code, n.needs))),
        skipped=tuple(sorted(hits.skipped)),
    )


def scene_of(
    design: Design, network: Network, whole: Design, read: tuple[Problem, ...] = ()
) -> Scene:
    """Return what the rules see of a design, or of one variant of it.

    Args:
        design: the design, reduced to the variant.
        network: from `connect`, of the reduced design.
        whole: the design with all variants.
        read: what the reader found.
    """
    with_role: dict[str, list[str]] = {}
    for plug in design.plugs.values():
        for pin in plug.pins.values():
            if pin.role and pin.state == "used":
                with_role.setdefault(pin.role, []).append(f"{plug.id}:{pin.name}")
    return Scene(
        design=design,
        network=network,
        whole=whole,
        layouts=face_layouts(design),
        feeds=find_feeds(design, network),
        ends=tuple((wire.id, end) for wire in design.wires.values() for end in wire.ends),
        with_role={role: tuple(nodes) for role, nodes in with_role.items()},
        study=Study(design, network),
        read=read,
    )


def _run_once(scene: Scene, rules: Sequence[Rule], variant: str, hits: _Hits) -> None:
    accepted = {(w.rule, w.object) for w in scene.design.waivers}
    blocked = any(_blocks(p.code, p.severity, p.subjects, accepted) for p in scene.read)
    for rule in sorted(rules, key=lambda r: r.stage not in ("read", "structure")):
        if blocked and rule.stage in ("connectivity", "states"):
            hits.skipped[rule.code] = None
            continue
        for item in rule.run(scene):
            if isinstance(item, Missing):
                hits.missing.setdefault((rule.code, item.needs), {})[item.object] = None
                continue
            hits.found.setdefault((rule, item), []).append(variant)
            severity = item.severity or rule.severity
            blocked = blocked or _blocks(rule.code, severity, item.subjects, accepted)


def _blocks(
    code: str, severity: str, subjects: Iterable[str], accepted: set[tuple[str, str]]
) -> bool:
    """Tell whether a finding makes the later stages meaningless."""
    open_one = not any((code, subject) in accepted for subject in subjects)
    return severity == "error" and code[:3] in _BLOCKING and open_one


def _problem(rule: Rule, found: Found, variants: Sequence[str], names: Sequence[str]) -> Problem:
    everywhere = len(variants) == max(len(names), 1)
    return Problem(
        code=rule.code,
        severity=found.severity or rule.severity,
        message=found.message,
        span=found.span,
        notes=found.notes,
        help=found.help or rule.fix,
        subjects=found.subjects,
        variant="" if everywhere else ", ".join(variants),
    )


def _merge(findings: Iterable[tuple[Found, Problem]]) -> list[Problem]:
    """Print findings of one group as one: the first place, every member, every note."""
    groups: dict[tuple[str, str, str, str], list[tuple[Found, Problem]]] = {}
    single: list[Problem] = []
    for found, problem in findings:
        if found.group:
            key = (problem.code, problem.severity, problem.variant, found.group)
            groups.setdefault(key, []).append((found, problem))
        else:
            single.append(problem)
    for members in groups.values():
        found, first = members[0]
        if len(members) > 1:
            words = listed(list(dict.fromkeys(f.member for f, _ in members)), _MEMBERS)
            first = replace(
                first,
                message=_filled(found.summary, len(members), words),
                notes=_unique(note for _, p in members for note in p.notes),
                subjects=tuple(dict.fromkeys(s for _, p in members for s in p.subjects)),
                members=tuple(Member(p.message, f.member, p.subjects) for f, p in members),
                summary=found.summary,
            )
        single.append(first)
    return single


def _filled(summary: str, count: int, members: str) -> str:
    return summary.replace("{count}", str(count)).replace("{members}", members)


def _unique(notes: Iterable[Note]) -> tuple[Note, ...]:
    return tuple(dict.fromkeys(notes))


def _order(design: Design) -> Callable[[Problem], tuple[object, ...]]:
    """Return the sort key: severity, fire before paper, file, place."""
    files = {name: place for place, name in enumerate(design.sources)}

    def key(problem: Problem) -> tuple[object, ...]:
        span = problem.span
        return (
            SEVERITIES.index(problem.severity),
            problem.code[:3] not in _DANGEROUS,
            files.get(span.file, len(files)),
            span.file,
            span.line,
            span.column,
            problem.code,
            problem.message,
            problem.variant,
        )

    return key


class _Waivers:
    """The waivers of a design, and what each of them took."""

    def __init__(self, design: Design) -> None:
        self.by_key: dict[tuple[str, str], Waiver] = {}
        for waiver in design.waivers:
            self.by_key.setdefault((waiver.rule, waiver.object), waiver)
        self.all = design.waivers
        self.used: set[tuple[str, str]] = set()
        self.waived: list[tuple[Problem, Waiver]] = []

    def take(self, problem: Problem) -> bool:
        """Move a problem to the waived ones if a waiver names its rule and one of its subjects."""
        for subject in problem.subjects:
            waiver = self.by_key.get((problem.code, subject))
            if waiver is not None:
                self.used.add((waiver.rule, waiver.object))
                self.waived.append((problem, waiver))
                return True
        return False

    def unused(self, rules: dict[str, Rule]) -> list[Problem]:
        """Return a finding for each waiver that took nothing."""
        rule = rules.get("DOC101")
        if rule is None:
            return []
        problems = []
        for waiver in self.all:
            if (waiver.rule, waiver.object) not in self.used:
                message = f"nothing is waived by '{waiver.rule}' on '{waiver.object}'"
                if waiver.rule not in rules:
                    message = f"'{waiver.rule}' is not a rule"
                span = waiver.origin.at("rule")
                problems.append(
                    Problem(rule.code, rule.severity, message, span, (), rule.fix, (waiver.object,))
                )
        return problems
