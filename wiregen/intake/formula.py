"""Cells that a spreadsheet would run as a formula, made harmless and back."""

from __future__ import annotations

_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def armed(text: str) -> bool:
    """Tell whether a spreadsheet may take a text for a formula."""
    return text.startswith(_STARTS)


def harmless(text: str) -> str:
    """Return a text as it may stand in a cell: with `'` before what could be a formula.

    Example:
        >>> harmless("=1+1"), harmless("BU/WH"), harmless("'=1")
        ("'=1+1", 'BU/WH', "''=1")
    """
    return f"'{text}" if armed(text.lstrip("' ")) else text


def disarmed(text: str) -> str:
    """Return a text without the `'` that `harmless` put before it.

    Example:
        >>> disarmed("'=1+1"), disarmed("'quoted'")
        ('=1+1', "'quoted'")
    """
    return text[1:] if text.startswith("'") and armed(text.lstrip("' ")) else text
