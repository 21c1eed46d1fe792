"""Numbers as they are printed."""

from __future__ import annotations

CAUTION = (
    "Computed for the declared network in the declared states, steady direct current. "
    "Temperatures, times and voltages while cranking are estimates. Inrush, arcing, ageing and "
    "loose contacts are not in it. The cable and fuse maker's data prevail."
)


def shown(value: float, digits: int = 2) -> str:
    """Return a number without a negative zero.

    Example:
        >>> shown(-0.001), shown(12.345, 1)
        ('0.00', '12.3')
    """
    text = f"{value:.{digits}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text


def drop(value: float) -> str:
    """Return a voltage drop, three digits that mean something and never fewer than millivolts.

    Example:
        >>> drop(2.28812), drop(0.1664), drop(0.00441)
        ('2.288 V', '0.166 V', '0.00441 V')
    """
    return f"{shown(value, 3)} V" if abs(value) >= 0.1 else f"{value:.3g} V"


def small_volts(value: float) -> str:
    """Return a part of a drop: volts, or millivolts below a tenth of a volt.

    Example:
        >>> small_volts(0.114), small_volts(0.0032), small_volts(0.00004)
        ('0.11 V', '3.2 mV', '0.04 mV')
    """
    return f"{shown(value)} V" if abs(value) >= 0.0995 else f"{1000 * value:.2g} mV"


def amps(value: float) -> str:
    """Return a current with three digits that mean something.

    Example:
        >>> amps(0.01234), amps(123.4), amps(0)
        ('12.3 mA', '123 A', '0 A')
    """
    size = abs(value)
    if size < 1e-6:
        return "0 A"
    if size < 0.1:
        return f"{value * 1000:.3g} mA"
    return f"{value:.3g} A" if size < 1000 else f"{value:.0f} A"


def percent(part: float, whole: float) -> str:
    """Return a share in percent; a dash when the whole is not known.

    Example:
        >>> percent(3, 4), percent(1, 0)
        ('75 %', '-')
    """
    return f"{shown(100 * part / whole, 0)} %" if whole else "-"


def rounded(value: float, digits: int = 6) -> float:
    """Return a number rounded to significant digits, never a negative zero.

    Example:
        >>> rounded(-0.0), rounded(12.34567890)
        (0.0, 12.3457)
    """
    return float(f"{value:.{digits}g}") + 0.0 if abs(value) > 1e-9 else 0.0
