"""The rows of take: the factors asked for, the promised counts and range, and beside them what more was asked to be shown."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, make_dataclass
from functools import lru_cache
from typing import Any, ClassVar

from graftbook.actions.desk.results import count
from graftbook.actions.outcome.endpoints import BLAMES, COUNTED_AS_KNOWN, Fate
from graftbook.actions.takes import factors
from graftbook.stats.interval import Interval

_COUNTS = ("made", "took", "failed", "lost_otherwise", "waiting", "unknown", "k", "n")
LOSSES = ("died", "died_union", "died_not_union", "died_unsure", "false_takes", "late_takes")
BOUNDS = ("rate_if_unknown_died", "rate_if_unknown_lived")
SHRUNK = ("shrunk_rate", "shrunk_low", "shrunk_high")
_HEADINGS = {
    "counted": "made", "rate_and_range": "rate (range)", "waiting": "not yet", "unknown": "not known", "lost_otherwise": "lost",
    "died_union": "union", "died_not_union": "not the union", "died_unsure": "unsure",
    "bounds": "if died or lived", "shrunk_and_range": "shrunk (range)",
}  # fmt: skip


@dataclass(frozen=True)
class ExtraColumns:
    """What more is shown: losses by cause with false and late takes, bounds for what is not known, shrunk rates."""

    losses: bool = False
    bounds: bool = False
    shrink: bool = False


class TakeRowText:
    """What people read of a row: k of n before any percentage. The fields are those `row_type` makes."""

    unit: str
    made: int
    unknown: int
    k: int
    n: int
    rate: float | None
    low: float | None
    high: float | None
    rate_if_unknown_died: float
    rate_if_unknown_lived: float
    shrunk_rate: float | None
    shrunk_low: float | None
    shrunk_high: float | None

    @property
    def counted(self) -> str:
        """`12 grafts`: how many were made, with what was counted."""
        return count(self.made, self.unit)

    @property
    def k_of_n(self) -> str:
        """`11 of 15`; says so where nothing is decided."""
        return f"{self.k} of {self.n}" if self.n else "none yet"

    @property
    def rate_and_range(self) -> str:
        """`73% (48-89)`, empty where nothing is decided."""
        if self.rate is None or self.low is None or self.high is None:
            return ""
        return f"{self.rate * 100:.0f}% ({self.low * 100:.0f}-{self.high * 100:.0f})"

    @property
    def bounds(self) -> str:
        """`11 or 13 of 17 (65-76%)`, empty where nothing is decided or all is known."""
        every = self.n + self.unknown
        if not every or not self.unknown:
            return ""
        low, high = self.rate_if_unknown_died, self.rate_if_unknown_lived
        return f"{self.k} or {self.k + self.unknown} of {every} ({low * 100:.0f}-{high * 100:.0f}%)"

    @property
    def shrunk_and_range(self) -> str:
        """`71% (52-86)`, empty where it cannot be computed."""
        if self.shrunk_rate is None or self.shrunk_low is None or self.shrunk_high is None:
            return ""
        return f"{self.shrunk_rate * 100:.0f}% ({self.shrunk_low * 100:.0f}-{self.shrunk_high * 100:.0f})"


@lru_cache(maxsize=64)
def row_type(by: tuple[str, ...], endpoint: str, extra: ExtraColumns = ExtraColumns()) -> type:
    """The class of a take row: a field a factor, then the promised ones, then what more was asked for."""
    fields: list[Any] = [(factors.field_name(name), "str | None") for name in by]
    fields += [("unit", str), *((name, int) for name in _COUNTS)]
    fields += [(name, "float | None", field(default=None)) for name in ("rate", "low", "high")]
    fields.append(("level", float, field(default=0.95)))
    fields += [(name, int, field(default=0)) for name in (LOSSES if extra.losses else ())]
    more = (*(BOUNDS if extra.bounds else ()), *(SHRUNK if extra.shrink else ()))
    fields += [(name, "float | None", field(default=None)) for name in more]
    shown = (*(factors.field_name(name) for name in by), *_columns(extra))
    headings = {**_HEADINGS, "k_of_n": endpoint}
    namespace = {"shown": shown, "headings": headings, "__annotations__": {"shown": ClassVar, "headings": ClassVar}}
    return make_dataclass("TakeRow", fields, bases=(TakeRowText,), frozen=True, namespace=namespace)


def _columns(extra: ExtraColumns) -> tuple[str, ...]:
    """The columns people see; 80 characters hold only so many."""
    if extra.losses:
        bounds = ("bounds",) if extra.bounds else ()
        return ("counted", "k_of_n", *LOSSES, *bounds, *(("shrunk_and_range",) if extra.shrink else ()))
    if extra.bounds or extra.shrink:
        shrunk = ("shrunk_and_range",) if extra.shrink else ()
        return ("counted", "k_of_n", "rate_and_range", *shrunk, *(("unknown", "bounds") if extra.bounds else ()))
    return ("counted", "k_of_n", "rate_and_range", "waiting", "unknown", "lost_otherwise")


def row_of(
    kind: type, group: tuple[Any, ...], cell: Counter[Fate], endpoint: str, interval_of: Callable[[int, int], Interval],
    extra: ExtraColumns,
) -> Any:  # fmt: skip
    """One row from the fates counted in its cell; the shrunk rate is put in later."""
    outcomes: Counter[str] = Counter()
    for one, number in cell.items():
        outcomes[one.outcome] += number
    yes, failed, lost, unknown = (outcomes[word] for word in ("yes", "failed", "lost", "unknown"))
    n = yes + failed + (lost if endpoint in COUNTED_AS_KNOWN else 0)
    made = cell.total()
    if made != yes + failed + lost + outcomes["waiting"] + unknown:
        raise AssertionError(f"take does not add up for {group}: {dict(outcomes)}")
    found = interval_of(yes, n)
    more: dict[str, Any] = _losses(cell) if extra.losses else {}
    if extra.bounds and n + unknown:
        more |= dict(zip(BOUNDS, (yes / (n + unknown), (yes + unknown) / (n + unknown)), strict=True))
    return kind(*group, made, yes, failed, lost, outcomes["waiting"], unknown, yes, n, found.rate, found.low, found.high,
                found.level, **more)  # fmt: skip


def _losses(cell: Counter[Fate]) -> dict[str, int]:
    blamed = {word: sum(number for one, number in cell.items() if one.loss == word) for word in BLAMES}
    early, late = (
        sum(number for one, number in cell.items() if getattr(one, name)) for name in ("false_take", "late_take")
    )
    return dict(zip(LOSSES, (sum(blamed.values()), *blamed.values(), early, late), strict=True))
