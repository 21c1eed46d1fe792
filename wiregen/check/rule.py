"""What a rule is, what its function gets to see and what it hands back."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from wiregen.check.feeds import Feeds
from wiregen.compute.study import Study
from wiregen.connect import Network
from wiregen.model import Design, End
from wiregen.model.faces import FaceLayout
from wiregen.problems import Note, Problem, Severity
from wiregen.source import Span

Stage = Literal["read", "structure", "connectivity", "states", "waivers"]


@dataclass(frozen=True, slots=True)
class Scene:
    """What a rule's function sees.

    Attributes:
        design: the design, reduced to one variant where the file has variants.
        network: its nets and links.
        whole: the design with all variants.
        read: what the reader found.
        layouts: plug -> its face as seen from the mating side.
        feeds: where supply and earth can get to.
        ends: wire id and end, for every written end of every wire in natural order.
        with_role: role -> pins that say it, in natural order.
        study: operating states and what follows from them, computed when first asked for.
    """

    design: Design
    network: Network
    whole: Design
    layouts: Mapping[str, FaceLayout]
    feeds: Feeds
    ends: tuple[tuple[str, End], ...]
    with_role: Mapping[str, tuple[str, ...]]
    study: Study
    read: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Found:
    """One fault, before the catalogue gives it its code.

    Attributes:
        message: names the object, what was found, what is allowed.
        span: the place to look at first.
        subjects: ids or pins it is about, most important first; waivers name them.
        notes: further places.
        help: what to do; the rule's `fix` when empty.
        severity: only where a rule grades its findings.
        group: findings of a rule with the same group are printed as one.
        summary: message of the group, with `{count}` and `{members}`.
        member: how this finding is listed in the group.
    """

    message: str
    span: Span
    subjects: tuple[str, ...]
    notes: tuple[Note, ...] = ()
    help: str = ""
    severity: Severity | None = None
    group: str = ""
    summary: str = ""
    member: str = ""


@dataclass(frozen=True, slots=True)
class Missing:
    """An object the rule could not judge, and the fact that would unlock it."""

    needs: str
    object: str = ""


Run = Callable[[Scene], Iterator[Found | Missing]]


@dataclass(frozen=True, slots=True)
class Rule:
    """One entry of the catalogue.

    Attributes:
        code: group letters + 3 digits; never renumbered or reused.
        name: short name, a few words.
        title: one line: what is found.
        severity: of its findings, unless the rule grades them.
        why: what happens to the vehicle or the fitter if it is ignored.
        fix: what to do.
        source: where the rule comes from.
        needs: facts it works on, in words; empty when the bare structure is enough.
        since: version it came with.
        run: its function.
        stage: `structure` rules always run; `connectivity` and `states` only when every reference
            can be resolved; `read` findings come from the reader; `waivers` runs last.
    """

    code: str
    name: str
    title: str
    severity: Severity
    why: str
    fix: str
    source: str
    needs: str
    since: str
    run: Run
    stage: Stage = "connectivity"


def nothing(scene: Scene) -> Iterator[Found | Missing]:
    """Run of a rule whose findings another stage makes (the reader, the waivers)."""
    del scene
    return iter(())
