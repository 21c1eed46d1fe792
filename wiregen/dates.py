"""Days as they are written: year-month-day."""

from __future__ import annotations

import datetime
import re

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def is_day(text: str) -> bool:
    """Tell whether a text is a day of the calendar after ISO 8601, year-month-day.

    Example:
        >>> is_day("2026-11-20"), is_day("2026-11-31"), is_day("20.11.2026")
        (True, False, False)
    """
    if not _DAY.fullmatch(text):
        return False
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        return False
    return True
