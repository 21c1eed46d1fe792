"""Numbers that are written as they stood: 1.50 stays 1.50."""

from __future__ import annotations


class Number(float):
    """A decimal number that remembers its text.

    Example:
        >>> from wiregen.edit import yaml_text
        >>> yaml_text({"size": Number("1.50")})
        '{size: 1.50}'
    """

    text: str

    def __new__(cls, text: str) -> Number:
        """Read a number from its text."""
        number = super().__new__(cls, text)
        number.text = text
        return number

    def __repr__(self) -> str:
        return self.text
