"""The rows of take: the factors asked for, the promised counts and range, and beside them what more was asked to be shown."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, make_dataclass
from functools import lru_cache
from typing import Any, ClassVar

from graftbook.actions.desk.results import count
from graftbook.actions.outcome.endpoints import BLAMES, Fate
from graftbook.actions.takes import factors
from graftbook.actions.takes.early import Waits, too_early
from graftbook.actions.takes.judging import NOT_SAID
from graftbook.actions.takes.question import TakeQuestion
from graftbook.stats.interval import Interval

_COUNTS = ("made", "took", "failed", "lost_otherwise", "waiting", "unknown", "k", "n")
LOSSES = ("died", "died_union", "died_not_union", "died_unsure", "false_takes", "late_takes")
BOUNDS = ("rate_if_unknown_died", "rate_if_unknown_lived")
SHRUNK = ("shrunk_rate", "shrunk_low", "shrunk_high")
SHARE = "float | None"
TOO_EARLY = "too early"
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


class CountedRow:
    """What people read of a row of any kind that counts k of n: that before any percentage. The fields are those that
    `row_class` makes."""

    factors: ClassVar[tuple[str, ...]]
    unit: str
    k: int
    n: int
    low: float | None
    high: float | None

    @property
    def key(self) -> tuple[Any, ...]:
        """The factors' values, then the unit."""
        return (*(getattr(self, name) for name in self.factors), self.unit)

    @property
    def kind(self) -> str:
        """`apple`, or `apple, cleft (buds)`."""
        return name_of(self.key)

    @property
    def k_of_n(self) -> str:
        """`11 of 15`; says so where nothing is decided."""
        return f"{self.k} of {self.n}" if self.n else "none yet"


class TakeRowText(CountedRow):
    """What people read of a row of take."""

    made: int
    unknown: int
    rate: float | None
    rate_if_unknown_died: float | None
    rate_if_unknown_lived: float | None
    shrunk_rate: float | None
    shrunk_low: float | None
    shrunk_high: float | None

    @property
    def counted(self) -> str:
        """`12 grafts`: how many were made, with what was counted."""
        return count(self.made, self.unit)

    @property
    def rate_and_range(self) -> str:
        """`73% (48-89)`, empty where nothing is decided; says so where it is too early for a rate."""
        return percent_and_range(self.rate, self.low, self.high) if self.rate is not None or not self.n else TOO_EARLY

    @property
    def bounds(self) -> str:
        """`11 or 13 of 17 (65-76%)`, empty where nothing is decided or all is known."""
        every = self.n + self.unknown
        if not every or not self.unknown or self.rate_if_unknown_died is None:
            return ""
        low, high = self.rate_if_unknown_died, self.rate_if_unknown_lived or 0.0
        return f"{self.k} or {self.k + self.unknown} of {every} ({low * 100:.0f}-{high * 100:.0f}%)"

    @property
    def shrunk_and_range(self) -> str:
        """`71% (52-86)`, empty where it cannot be computed."""
        return percent_and_range(self.shrunk_rate, self.shrunk_low, self.shrunk_high)


def name_of(key: Sequence[Any]) -> str:
    """`apple`, or `apple, cleft`: the factors' values of a kind, its unit last; buds say so."""
    words = ", ".join(str(part) if part is not None else "not recorded" for part in key[:-1]) or "all kinds"
    return f"{words} (buds)" if key[-1] == "bud" else words


def percent_and_range(share: float | None, low: float | None, high: float | None) -> str:
    """`73% (48-89)`; empty where any is None."""
    if share is None or low is None or high is None:
        return ""
    return f"{share * 100:.0f}% ({low * 100:.0f}-{high * 100:.0f})"


def row_class(
    base: type[CountedRow], by: Sequence[str], fields: Mapping[str, Any], shown: Sequence[str], headings: Mapping[str, str],
    **more: Any,
) -> type:  # fmt: skip
    """A frozen dataclass of rows, named as `base` without its `Text`: the factors, the unit, then `fields` by type. `more` are
    further members. A factor named as one of the fields is is written `by_method`."""
    names = tuple(name if name not in fields else f"by_{name}" for name in map(factors.field_name, by))
    columns = {**dict.fromkeys(names, "str | None"), "unit": str, **fields}
    members = {"shown": tuple(shown), "headings": headings, "factors": names}
    namespace = {**members, "__annotations__": dict.fromkeys(members, ClassVar), **more}
    name = base.__name__.removesuffix("Text")
    return make_dataclass(name, columns.items(), bases=(base,), frozen=True, namespace=namespace)


@lru_cache(maxsize=64)
def row_type(by: tuple[str, ...], counted: str, extra: ExtraColumns = ExtraColumns()) -> type:
    """The class of a take row: a field a factor, then the promised ones, then what more was asked for. `counted` heads k of
    n."""
    more = (*(BOUNDS if extra.bounds else ()), *(SHRUNK if extra.shrink else ()))
    fields = {
        **dict.fromkeys(_COUNTS, int), **dict.fromkeys(("rate", "low", "high"), SHARE), "level": float,
        **dict.fromkeys(LOSSES if extra.losses else (), int), **dict.fromkeys(more, SHARE),
    }  # fmt: skip
    shown = (*map(factors.field_name, by), *_columns(extra))
    return row_class(TakeRowText, by, fields, shown, {**_HEADINGS, "k_of_n": counted})


def _columns(extra: ExtraColumns) -> tuple[str, ...]:
    """The columns people see; 80 characters hold only so many."""
    if extra.losses:
        bounds = ("bounds",) if extra.bounds else ()
        return ("counted", "k_of_n", *LOSSES, *bounds, *(("shrunk_and_range",) if extra.shrink else ()))
    if extra.bounds or extra.shrink:
        shrunk = ("shrunk_and_range",) if extra.shrink else ()
        return (
            "counted",
            "k_of_n",
            "rate_and_range",
            *shrunk,
            *(("waiting", "unknown", "bounds") if extra.bounds else ()),
        )
    return ("counted", "k_of_n", "rate_and_range", "waiting", "unknown", "lost_otherwise")


def row_of(
    kind: type, group: tuple[Any, ...], cell: Counter[Fate], asked: TakeQuestion, interval_of: Callable[[int, int], Interval],
    extra: ExtraColumns,
) -> Any:  # fmt: skip
    """One row from the fates counted in its cell; the shrunk rate is put in later."""
    outcomes: Counter[str] = Counter()
    for one, number in cell.items():
        outcomes[one.outcome] += number
    yes, failed, lost, unknown = (outcomes[word] for word in ("yes", "failed", "lost", "unknown"))
    n = sum(outcomes[word] for word in asked.decided)
    made = cell.total()
    if made != yes + failed + lost + outcomes["waiting"] + unknown:
        raise AssertionError(f"take does not add up for {group}: {dict(outcomes)}")
    found = interval_of(yes, n)
    early = (
        too_early(yes, n, waits_of(cell), found.high) if asked.of == "decided" else not yes and outcomes["waiting"] > 0
    )
    rate, low, high = (None, None, None) if early else (found.rate, found.low, found.high)
    more: dict[str, Any] = _losses(cell) if extra.losses else {}
    if extra.bounds:
        every = 0 if early else n + unknown
        least, most = (yes / every, (yes + unknown) / every) if every else (None, None)
        more |= dict(zip(BOUNDS, (least, most), strict=True))
    more |= dict.fromkeys(SHRUNK if extra.shrink else ())
    return kind(*group, made, yes, failed, lost, outcomes["waiting"], unknown, yes, n, rate, low, high, found.level,
                **more)  # fmt: skip


def cause_words(causes: Mapping[str, int]) -> str:
    """`drought 4, wind 1, not said 6`: the most frequent first, what was not said last."""
    held = sorted(causes.items(), key=lambda one: (one[0] == NOT_SAID, -one[1], one[0]))
    return ", ".join(f"{cause} {many}" for cause, many in held)


def waits_of(cell: Counter[Fate]) -> Waits:
    """How many of a cell wait, by what they were last seen as."""
    held: Waits = Counter()
    for one, number in cell.items():
        if one.outcome == "waiting":
            held[one.waits] += number
    return held


def _losses(cell: Counter[Fate]) -> dict[str, int]:
    blamed = {word: sum(number for one, number in cell.items() if one.loss == word) for word in BLAMES}
    early, late = (
        sum(getattr(one, name) * number for one, number in cell.items()) for name in ("false_take", "late_take")
    )
    return dict(zip(LOSSES, (sum(blamed.values()), *blamed.values(), early, late), strict=True))
