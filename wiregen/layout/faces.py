"""Connector-face sheets: every plug seen from both sides, its other half, and its pin table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from wiregen.check import Report
from wiregen.connect import Network
from wiregen.layout.cavity_facts import WireEnds, plug_facts
from wiregen.layout.face_pages import compose
from wiregen.layout.face_subject import FacePage, FaceSubject
from wiregen.layout.kept import KeptFace
from wiregen.model import Design, in_order
from wiregen.model.faces import face_layouts
from wiregen.problems import Problem
from wiregen.sheet.items import Sheet

__all__ = ["FacePage", "face_pages", "face_sheets"]


def face_sheets(
    design: Design,
    network: Network,
    report: Report,
    *,
    plugs: Sequence[str] | None = None,
    mono: bool = False,
) -> list[Sheet]:
    """Return the face sheets of a design, numbered among themselves.

    Args:
        design: the design.
        network: from `connect`.
        report: from `check`; findings of a plug are marked on its sheet.
        plugs: ids of the plugs to draw; None for all.
        mono: for printing without colours: codes and greys only.
    """
    pages = face_pages(design, network, report, plugs=plugs, mono=mono)
    return [page.sheet(number, len(pages)) for number, page in enumerate(pages, start=1)]


def face_pages(
    design: Design,
    network: Network,
    report: Report,
    *,
    plugs: Sequence[str] | None = None,
    mono: bool = False,
    drawn: WireEnds | None = None,
    keep: Mapping[str, KeptFace] | None = None,
) -> tuple[FacePage, ...]:
    """Return the pages of the plugs, plugs in natural order; `FacePage.sheet` numbers one.

    Args:
        design: the design.
        network: from `connect`.
        report: from `check`.
        plugs: ids of the plugs to draw; None for all.
        mono: for printing without colours.
        drawn: the wire ends of the schematic, named in the pin tables; None without one.
        keep: the plugs as they were drawn before.
    """
    before = keep or {}
    layouts = face_layouts(design)
    facts_of = cache(
        lambda plug_id: plug_facts(design, network, plug_id, layouts[plug_id].names, drawn)
    )
    findings = _findings_by_plug(design, report)
    wanted = in_order(design.plugs if plugs is None else {p for p in plugs if p in design.plugs})
    pages: list[FacePage] = []
    for plug_id in wanted:
        old = before.get(plug_id)
        subject = FaceSubject(
            design,
            network,
            design.plugs[plug_id],
            layouts,
            tuple(findings[plug_id]),
            mono,
            facts_of,
            old.foot.numbers if old is not None else {},
        )
        pages.extend(compose(subject, old))
    return tuple(pages)


def _findings_by_plug(design: Design, report: Report) -> dict[str, list[Problem]]:
    """Findings about a plug or one of its pins, in the order of the report."""
    found: dict[str, list[Problem]] = {plug_id: [] for plug_id in design.plugs}
    for problem in report.findings:
        for plug_id in dict.fromkeys(subject.partition(":")[0] for subject in problem.subjects):
            if plug_id in found:
                found[plug_id].append(problem)
    return found
