"""Every rule, in one explicit tuple."""

from __future__ import annotations

from wiregen.check.rule import Rule
from wiregen.check.rules import cav, ref

RULES: tuple[Rule, ...] = (
    *ref.RULES,
    *cav.RULES,
)
