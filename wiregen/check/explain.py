"""What a code means: why the rule exists, what happens if it is ignored, how to fix it."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import fill

from wiregen.check.catalogue import RULES
from wiregen.problems import did_you_mean
from wiregen.read.codes import FORMAT_CODES


@dataclass(frozen=True, slots=True)
class Texts:
    """The texts of a rule of the catalogue, or of a message of the reader."""

    code: str
    name: str
    title: str
    severity: str
    why: str
    fix: str
    source: str = ""
    needs: str = ""
    since: str = ""


class UnknownCode(ValueError):
    """No rule has this code; the text names the nearest one."""


def all_texts() -> tuple[Texts, ...]:
    """Return the texts of every code: the reader's first, then the catalogue."""
    known = {rule.code for rule in RULES}
    reader = [
        Texts(c.code, c.name, c.title, "error", c.why, c.fix)
        for c in FORMAT_CODES
        if c.code not in known
    ]
    rules = [
        Texts(r.code, r.name, r.title, r.severity, r.why, r.fix, r.source, r.needs, r.since)
        for r in RULES
    ]
    return (*reader, *rules)


def texts_of(code: str) -> Texts | None:
    """Return the texts of one code, None when there is no such code."""
    return next((texts for texts in all_texts() if texts.code == code), None)


def explain(code: str) -> str:
    """Return the explanation of a code as text for a terminal.

    Args:
        code: such as `CAV102`; lower case is read.

    Raises:
        UnknownCode: no rule has this code.
    """
    texts = texts_of(code.upper())
    if texts is None:
        near = did_you_mean(code.upper(), [t.code for t in all_texts()])
        raise UnknownCode(f"'{code}' is not a rule{near or '; see: wiregen list rules'}")
    parts = [f"{texts.code} {texts.name} ({texts.severity})", fill(texts.title, 100)]
    for heading, text in (
        ("Why", texts.why),
        ("What to do", texts.fix),
        ("Needs", texts.needs),
        ("Source", texts.source),
        ("Since", texts.since),
    ):
        if text:
            parts.append(fill(f"{heading}: {text}", 100, subsequent_indent="  "))
    return "\n".join(parts) + "\n"
