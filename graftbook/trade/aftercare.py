"""What a graft or bud wants after it is made, and when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables
from graftbook.trade.words import typed


@dataclass(frozen=True)
class Rule:
    """One piece of aftercare and when it falls due.

    It falls due `after_from` to `after_to` days after grafting (both None: not by days); or where the warmth is known, once
    it has had `warmth_from` to `warmth_to` degree-days in C above `warmth_base_c`, which then goes before the days; or at a
    shoot of `shoot_mm`, where that comes first; or at the growth named in `growth`; and again every `repeat_days` (None:
    once) until what `until` names. Empty `methods`, `tie`, `season`, `taxon` or `wood` mean any. `is_default` marks the
    reminders given without being asked for; the others are what one source or practice says, kept for comparison. `is_off`
    is a row of the grower's own that wants nothing, and so takes a reminder away.
    """

    key: str
    rule: str
    is_default: bool
    unit: str
    methods: tuple[str, ...]
    tie: str
    season: str
    taxon: str
    wood: str
    after_from: int | None
    after_to: int | None
    warmth_from: float | None
    warmth_to: float | None
    warmth_base_c: float | None
    shoot_mm: int | None
    growth: str
    until: str
    repeat_days: int | None
    words: str
    basis: str
    source: str
    is_off: bool = False


def from_row(row: Mapping[str, str]) -> Rule:
    """A rule from a checked row of the table, one of the trade's or a person's own."""
    return typed(Rule, row, is_default=row["default"] == "yes", is_off=row["default"] == "no")


@lru_cache(maxsize=1)
def rules() -> tuple[Rule, ...]:
    """Every rule, in file order: the default reminders first, then what single sources say."""
    return tuple(from_row(row) for row in tables.rows("aftercare"))
