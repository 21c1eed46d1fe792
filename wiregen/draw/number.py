"""Numbers as they are written into drawings."""

from functools import lru_cache


@lru_cache(maxsize=1 << 16)
def number(value: float) -> str:
    """Return at most two decimals, no trailing zeros, no minus zero.

    Example:
        >>> number(12.50), number(-0.001), number(3)
        ('12.5', '0', '3')
    """
    out = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if out == "-0" else out
