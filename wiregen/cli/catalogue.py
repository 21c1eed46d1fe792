"""The commands `explain`, `colours` and `list`: what is built in."""

from __future__ import annotations

from collections.abc import Iterator

import typer

from wiregen.check.render_text import plain
from wiregen.cli.keys import NoSection, key_lines
from wiregen.cli.words import UNUSABLE, complain


def explain_code(code: str) -> int:
    """Print why a rule exists and what to do; return the exit code."""
    from wiregen.check.explain import UnknownCode, explain

    try:
        typer.echo(explain(code), nl=False)
    except UnknownCode as error:
        return complain(str(error))
    return 0


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
    return UNUSABLE if refused else 0


def list_entries(what: str, section: str = "", full: bool = False) -> int:
    """Print the rules, faces, colours, tables or keys; return the exit code.

    Args:
        what: `rules`, `faces`, `colours`, `tables` or `keys`.
        section: of the design file, with `keys`; empty for all sections.
        full: the page of all rules with why and what to do, in Markdown.
    """
    if full and what != "rules":
        return complain("--full is for 'list rules' only")
    if full:
        from wiregen.check.rule_page import rule_page

        typer.echo(rule_page(), nl=False)
        return 0
    if section and what != "keys":
        return complain(f"only 'list keys' takes a section; write 'wiregen list {what}'")
    try:
        for line in _keys(section) if what == "keys" else _LISTS[what]():
            typer.echo(plain(line))
    except NoSection as error:
        return complain(str(error))
    return 0


def _keys(section: str) -> Iterator[str]:
    yield from key_lines(section)
    if not section:
        yield "what stands in one of them: wiregen list keys fuses; inside it: list keys plugs.pins"


def _rules() -> Iterator[str]:
    from wiregen.check.explain import all_texts

    for texts in all_texts():
        yield f"{texts.code}  {texts.severity:7}  {texts.title}"


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
    yield "those a design may choose, as it writes them: wiregen list keys system.tables"


_LISTS = {"rules": _rules, "faces": _faces, "colours": _colours, "tables": _tables}
