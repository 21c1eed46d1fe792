"""Every rule, in one explicit tuple."""

from __future__ import annotations

from wiregen.check.rule import Rule
from wiregen.check.rules import bld, cav, col, con, old, ref, wir

RULES: tuple[Rule, ...] = (
    *ref.RULES,
    *cav.RULES,
    *con.RULES,
    *col.RULES,
    *wir.RULES,
    *old.RULES,
    *bld.RULES,
)
