"""Cells that a spreadsheet would run as a formula, made harmless and back."""

from __future__ import annotations

import re

_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_BEHIND = r"(?='*\s*[=+\-@＝＋－＠])"
_ARM = re.compile(rf"(;\s*){_BEHIND}")
_DISARM = re.compile(rf"(;\s*)'{_BEHIND}")


def armed(text: str) -> bool:
    """Tell whether a spreadsheet may take a text for a formula."""
    return text.startswith(_STARTS)


def harmless(text: str) -> str:
    """Return a text as it may stand in a cell: with `'` before what could be a formula.

    What follows a semicolon is treated likewise, because programs of some countries take it for
    the start of the next cell.

    Example:
        >>> harmless("=1+1"), harmless("BU/WH"), harmless("'=1"), harmless("a; =1")
        ("'=1+1", 'BU/WH', "''=1", "a; '=1")
    """
    inner = _ARM.sub(r"\1'", text)
    return f"'{inner}" if armed(text.lstrip("' ")) else inner


def disarmed(text: str) -> str:
    """Return a text without the `'` that `harmless` put into it.

    Example:
        >>> disarmed("'=1+1"), disarmed("'quoted'"), disarmed("a; '=1")
        ('=1+1', "'quoted'", 'a; =1')
    """
    bare = text[1:] if text.startswith("'") and armed(text.lstrip("' ")) else text
    return _DISARM.sub(r"\1", bare)
