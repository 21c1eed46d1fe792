"""Every rule, in one explicit tuple."""

from __future__ import annotations

from wiregen.check.rule import Rule
from wiregen.check.rules import (
    bld,
    cav,
    col,
    con,
    cur,
    doc,
    fus,
    fus_rating,
    net_apart,
    net_drivers,
    net_ends,
    net_extra,
    net_feeds,
    net_groups,
    net_loads,
    net_names,
    old,
    ref,
    saf,
    sta_charge,
    sta_feed,
    sta_supply,
    sta_switch,
    wir,
)
from wiregen.check.rules.live_pins import LIVE_PIN
from wiregen.check.rules.standard import STANDARD_DIFFERS

RULES: tuple[Rule, ...] = (
    *ref.RULES,
    *cav.RULES,
    *con.RULES,
    LIVE_PIN,
    STANDARD_DIFFERS,
    *col.RULES,
    *wir.RULES,
    *old.RULES,
    *bld.RULES,
    *net_names.RULES,
    *net_loads.RULES,
    *net_ends.RULES,
    *net_feeds.RULES,
    *net_drivers.RULES,
    *net_groups.RULES,
    *net_apart.RULES,
    *net_extra.RULES,
    *fus.RULES,
    *fus_rating.RULES,
    *cur.RULES,
    *sta_supply.RULES,
    *sta_feed.RULES,
    *sta_charge.RULES,
    *sta_switch.RULES,
    *saf.RULES,
    *doc.RULES,
)
