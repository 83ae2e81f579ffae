"""What a graft or bud wants after it is made, and when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables
from graftbook.trade.words import parted, whole


@dataclass(frozen=True)
class Rule:
    """One piece of aftercare and when it falls due.

    It falls due `after_from` to `after_to` days after grafting (both None: not by days), or at the growth named in
    `growth`, and again every `repeat_days` (None: once) until what `until` names. Empty `methods`, `tie`, `season` or
    `taxon` mean any. `is_default` marks the reminders given without being asked for; the others are what one source or
    practice says, kept for comparison.
    """

    key: str
    rule: str
    is_default: bool
    unit: str
    methods: tuple[str, ...]
    tie: str
    season: str
    taxon: str
    after_from: int | None
    after_to: int | None
    growth: str
    until: str
    repeat_days: int | None
    words: str
    basis: str
    source: str


def from_row(row: Mapping[str, str]) -> Rule:
    """A rule from a checked row of the table, one of the trade's or a person's own."""
    cells = {name: text for name, text in row.items() if name != "default"}
    return Rule(**{
        **cells,
        "is_default": row["default"] == "yes",
        "methods": parted(row["methods"]),
        "after_from": whole(row["after_from"]),
        "after_to": whole(row["after_to"]),
        "repeat_days": whole(row["repeat_days"]),
    })  # fmt: skip


@lru_cache(maxsize=1)
def rules() -> tuple[Rule, ...]:
    """Every rule, in file order: the default reminders first, then what single sources say."""
    return tuple(from_row(row) for row in tables.rows("aftercare"))


def defaults(unit: str) -> tuple[Rule, ...]:
    """The reminders given without being asked for, for a `graft` or a `bud`."""
    return tuple(rule for rule in rules() if rule.is_default and rule.unit in (unit, "any"))
