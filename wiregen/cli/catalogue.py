"""The commands `explain`, `colours` and `list`: what is built in."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass

import typer

from wiregen.cli.words import complain, plain
from wiregen.problems import did_you_mean

_WIDTH = 90


@dataclass(frozen=True)
class Entry:
    """What is said about a code, whether a rule or the reader uses it."""

    code: str
    severity: str
    title: str
    why: str
    fix: str
    source: str = ""
    needs: str = ""
    since: str = ""


def entries() -> dict[str, Entry]:
    """Return every code, in order."""
    from wiregen.check import RULES
    from wiregen.read.codes import FORMAT_CODES

    reader = (Entry(f.code, "error", f.title, f.why, f.fix) for f in FORMAT_CODES)
    rules = (
        Entry(r.code, r.severity, r.title, r.why, r.fix, r.source, r.needs, r.since) for r in RULES
    )
    found = {entry.code: entry for entry in (*reader, *rules)}
    return dict(sorted(found.items()))


def entry_of(code: str) -> Entry | None:
    """Return what is said about a code, None for one that does not exist."""
    return entries().get(code)


def explain_code(code: str) -> int:
    """Print why a rule exists and what to do; return the exit code."""
    known = entries()
    entry = known.get(code.upper())
    if entry is None:
        return complain(f"'{code}' is not a rule{did_you_mean(code.upper(), known)}")
    typer.echo(f"{entry.code} {entry.severity}: {entry.title}")
    parts = (
        ("Why", entry.why),
        ("What to do", entry.fix),
        ("Needs", entry.needs),
        ("Source", entry.source),
        ("Since", entry.since and f"version {entry.since}"),
    )
    for name, text in parts:
        if text:
            typer.echo(f"\n{name}:\n{_paragraph(text)}")
    return 0


def _paragraph(text: str) -> str:
    return textwrap.fill(text, _WIDTH, initial_indent="  ", subsequent_indent="  ")


def explain_marking(marking: str, key: str) -> int:
    """Print what a colour marking means under its key and under every other; return the code."""
    from wiregen.facts.colours import ColourError, explain, parse_colour

    try:
        parse_colour(marking, key)
        refused = ""
    except ColourError as error:
        refused = str(error)
    try:
        meanings = explain(marking, key)
    except ColourError as error:
        return complain(str(error))
    if refused:
        complain(refused)
    if meanings:
        width = max(len(one.key) for one in meanings)
        for one in meanings:
            note = f" ({one.note})" if one.note else ""
            sure = "" if one.status == "confirmed" else f", {one.status}"
            said = f"{one.colour.iec}, {one.colour.name}{note}{sure}"
            typer.echo(plain(f"{one.key.ljust(width)}  {said}"))
    return 2 if refused else 0


def list_entries(what: str) -> int:
    """Print the rules, faces, colours or tables; return the exit code."""
    for line in _LISTS[what]():
        typer.echo(plain(line))
    return 0


def _rules() -> Iterator[str]:
    for entry in entries().values():
        yield f"{entry.code}  {entry.severity:7}  {entry.title}"


def _faces() -> Iterator[str]:
    from wiregen.facts.faces import face, list_faces

    names = list_faces()
    width = max(map(len, names))
    for name in names:
        one = face(name)
        status = "" if one.status == "confirmed" else f" [{one.status}]"
        yield f"{name.ljust(width)}  {len(one.cavities):2} cavities  {one.title}{status}"


def _colours() -> Iterator[str]:
    from wiregen.facts.colours import COLOUR_KEYS
    from wiregen.facts.tables import rows

    for row in rows("colours"):
        outside = "" if row["order"] else "  (not in IEC 60757, kept by name)"
        yield f"{row['code']:8} {row['name']}{outside}"
    yield f"colour keys: {', '.join(COLOUR_KEYS)}"


def _tables() -> Iterator[str]:
    from wiregen.facts.tables import list_tables, table

    names = list_tables()
    width = max(map(len, names))
    for name in names:
        one = table(name)
        yield f"{name.ljust(width)}  {one.title} [{one.status}]"


_LISTS = {"rules": _rules, "faces": _faces, "colours": _colours, "tables": _tables}
