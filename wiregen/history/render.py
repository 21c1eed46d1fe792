"""A review as text, as Markdown for a pull request, and as JSON."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from typing import Any

from wiregen.check.render_text import plain
from wiregen.history.changes import Added, Change, Changed, PinMoved, Removed, Renamed
from wiregen.history.follow_text import figures_data, follow_blocks, touched_data
from wiregen.history.plain import Leaf, Path, Ref, leaf_text
from wiregen.history.review import Refed, Review
from wiregen.history.words import change_lines, heading, listed_lines
from wiregen.problems import Problem

_MOST = 12
_MARKDOWN = re.compile(r"([\\`*_{}\[\]()<>#+!|~&@])")


@dataclass(frozen=True, slots=True)
class _Block:
    """A heading with lines; `numbered` ones are acts to tick off."""

    heading: str
    lines: tuple[str, ...]
    numbered: bool = False


def render_text(review: Review, old: str, new: str) -> str:
    """Return a review as text.

    Args:
        review: from `review`.
        old: what the old design is called.
        new: what the new design is called.
    """
    if not review.difference.changes:
        return f"{plain(old)} and {plain(new)} say the same\n"
    lines = [f"{plain(old)} -> {plain(new)}: {_count(review)}"]
    for block in _blocks(review):
        lines += ["", block.heading]
        for number, line in enumerate(block.lines, 1):
            lines.append(f"  [ ] {number:>2}. {line}" if block.numbered else f"  {line}")
    return "\n".join(line.rstrip() for line in lines) + "\n"


def render_markdown(review: Review, old: str, new: str) -> str:
    """Return a review as Markdown; nothing from the design acts as markup."""
    if not review.difference.changes:
        return f"{_escaped(old)} and {_escaped(new)} say the same.\n"
    lines = [f"**{_escaped(old)} → {_escaped(new)}**: {_count(review)}"]
    for block in _blocks(review):
        lines += ["", f"### {_escaped(block.heading)}", ""]
        mark = "- [ ]" if block.numbered else "-"
        lines += [f"{mark} {_escaped(re.sub(' +', ' ', line))}" for line in block.lines]
    return "\n".join(lines) + "\n"


def render_json(review: Review, old: str, new: str) -> str:
    """Return a review as one JSON object."""
    document = {
        "old": old,
        "new": new,
        "changes": [_change(change) for change in review.difference.changes],
        "findings": {
            "appeared": [_problem(problem) for problem in review.appeared],
            "altered": [_problem(problem) for problem in review.altered],
            "accepted": [_problem(problem) for problem in review.accepted],
            "gone": [_problem(problem) for problem in review.gone],
        },
        "nets": {"joined": list(review.joined), "split": list(review.split)},
        "refed": [
            {"at": r.node, "title": r.title, "before": list(r.before), "after": list(r.after)}
            for r in review.refed
        ],
        "figures": figures_data(review.figures),
        "faces": list(review.faces),
        "sheets": touched_data(review.sheets),
        "tests": touched_data(review.tests),
        "void": [asdict(one) for one in review.void],
        "steps": [{"part": s.part, "plug": s.where, "do": s.text} for s in review.steps],
    }
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def _count(review: Review) -> str:
    number = len(review.difference.changes)
    return f"{number} change{'' if number == 1 else 's'}"


def _blocks(review: Review) -> Iterator[_Block]:
    for section, lines in listed_lines(change_lines(review.difference)).items():
        width = max(len(plain(line.id)) for line in lines)
        rows = (f"{plain(line.id):<{width}}  {plain(line.text)}".strip() for line in lines)
        yield _Block(heading(section), tuple(rows))
    findings = [f"new:  {_finding(problem)}" for problem in review.appeared]
    findings += [f"now:  {_finding(problem)}" for problem in review.altered]
    findings += [f"accepted: {_finding(problem)}" for problem in review.accepted]
    findings += [f"gone: {_finding(problem)}" for problem in review.gone]
    if findings:
        yield _Block("findings", tuple(findings))
    nets = [f"joined: {' with '.join(map(plain, parts))}" for parts in review.joined]
    nets += [f"split: {' from '.join(map(plain, parts))}" for parts in review.split]
    if nets:
        yield _Block("nets", _first(nets))
    if review.refed:
        yield _Block("fed by other fuses", _first(_refed_lines(review.refed)))
    for title, follow in follow_blocks(review):
        yield _Block(title, _first(follow))
    if review.steps:
        steps = ["battery off; mark every wire before it is moved"]
        plugs: dict[str, None] = {}
        for step in review.steps:
            plug = f"{step.where}: " if step.part == "re-pin" else ""
            steps.append(plain(f"{plug}{step.text}"))
            if step.part == "re-pin":
                plugs[step.where] = None
        if plugs:
            steps.append(plain(f"push {', '.join(plugs)} in only now"))
        yield _Block("at the bench", tuple(steps), numbered=True)


def _first(lines: list[str]) -> tuple[str, ...]:
    more = len(lines) - _MOST
    return (*lines[:_MOST], *([f"and {more} more (see --format json)"] if more > 0 else []))


def _finding(problem: Problem) -> str:
    return plain(f"{problem.severity} {problem.code} line {problem.span.line}: {problem.message}")


def _refed_lines(refed: Iterable[Refed]) -> list[str]:
    groups: dict[tuple[str, str], list[str]] = {}
    for one in refed:
        key = (", ".join(one.before) or "no fuse", ", ".join(one.after) or "no fuse")
        groups.setdefault(key, []).append(one.node)
    return [plain(f"{a} -> {b}: {', '.join(nodes)}") for (a, b), nodes in groups.items()]


def _change(change: Change) -> dict[str, Any]:
    if isinstance(change, Renamed):
        return {
            "kind": "renamed",
            "section": change.section,
            "id": change.id,
            "new_id": change.new_id,
        }
    if isinstance(change, PinMoved):
        return {
            "kind": "pin moved",
            "section": "plugs",
            "id": change.plug,
            "cavity": change.cavity,
            "new_cavity": change.new_cavity,
        }
    if isinstance(change, Changed):
        return {
            "kind": "changed",
            "section": change.section,
            "id": change.id,
            "key": change.key,
            "before": _value(change.before),
            "after": _value(change.after),
        }
    kind = "added" if isinstance(change, Added) else "removed"
    return {"kind": kind, "section": change.section, "id": change.id, "facts": _facts(change)}


def _facts(change: Added | Removed) -> dict[str, Any]:
    return {_key(path): _value(leaf) for path, leaf in change.facts}


def _key(path: Path) -> str:
    return ".".join(map(str, path))


def _value(leaf: Leaf) -> Any:
    if isinstance(leaf, tuple) and not isinstance(leaf, Ref):
        return [_value(item) for item in leaf]
    return leaf if leaf is None or isinstance(leaf, bool) else leaf_text(leaf)


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "code": problem.code,
        "severity": problem.severity,
        "message": problem.message,
        "line": problem.span.line,
        "subjects": list(problem.subjects),
    }


def _escaped(text: str) -> str:
    return _MARKDOWN.sub(r"\\\1", plain(text))
