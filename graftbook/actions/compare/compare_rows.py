"""The rows of a comparison: each stratum, all strata, and the crude (pooled) counts beside them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import ClassVar

from graftbook.stats.difference import newcombe
from graftbook.stats.strata import OddsRatio, TwoByTwo, cmh, exact_conditional

ALL, CRUDE = "all strata", "crude (pooled)"
SELDOM = 0.05
"""A p-value below this is called seldom done by luck alone."""
EXACT_UP_TO = 3_000
"""The exact test is used for so many decided grafts in informative strata: beyond it costs too much."""


@dataclass(frozen=True)
class CompareRow:
    """One stratum, or all of them: k of n on each side, the difference of the rates with its range (first less second).

    On the row of all strata only: the common odds ratio (None also where it has no limit), the Holm-adjusted `p`, the
    chance that luck alone does as much, `test`, by what it was computed (`exact` or `cmh`), and `p_strata_alike`, the
    chance of strata differing so much if they do not. None where a side has nothing decided.
    """

    first: str
    second: str
    stratum: str
    k_first: int
    n_first: int
    k_second: int
    n_second: int
    difference: float | None
    low: float | None
    high: float | None
    odds_ratio: float | None = None
    odds_low: float | None = None
    odds_high: float | None = None
    p: float | None = None
    level: float = 0.95
    rate_first: float | None = None
    rate_second: float | None = None
    test: str | None = None
    p_strata_alike: float | None = None
    shown: ClassVar = ("stratum", "side_one", "side_two", "gap")
    headings: ClassVar = {"side_one": "first", "side_two": "second", "gap": "difference, in points (range)"}

    @property
    def pair(self) -> str:
        """`cleft (first) and bark (second)`, where several are compared."""
        return f"{self.first} (first) and {self.second} (second)"

    @property
    def aside(self) -> bool:
        """Whether it is a stratum in which one side has nothing decided, which says nothing of the difference."""
        return self.stratum not in (ALL, CRUDE) and not (self.n_first and self.n_second)

    @property
    def side_one(self) -> str:
        """`11 of 15`, the first side."""
        return f"{self.k_first} of {self.n_first}"

    @property
    def side_two(self) -> str:
        """`3 of 14`, the second side."""
        return f"{self.k_second} of {self.n_second}"

    @property
    def gap(self) -> str:
        """`+52 (+18 to +73)`; over several strata the common odds ratio; empty where a side has nothing decided."""
        if self.difference is not None and self.low is not None and self.high is not None:
            return f"{self.difference * 100:+.0f} ({self.low * 100:+.0f} to {self.high * 100:+.0f})"
        if self.odds_ratio is None:
            return "odds ratio without limit" if self.p is not None else ""
        ends = f" ({self.odds_low:.2g}-{self.odds_high:.2g})" if self.odds_low and self.odds_high is not None else ""
        return f"odds ratio {self.odds_ratio:.2g}{ends}"


@dataclass(frozen=True)
class PairComparison:
    """One pair of sides: its strata, their common odds ratio, and `p`, Holm-adjusted once several pairs are compared;
    `differ` is the p-value of Breslow and Day for strata that differ; `early` says of each side that is too early for a rate
    how it stands."""

    first: str
    second: str
    strata: tuple[tuple[str, TwoByTwo], ...]
    odds: OddsRatio
    p: float | None
    test: str
    differ: float | None
    early: tuple[str, ...] = ()

    @property
    def crude(self) -> TwoByTwo:
        """All strata pooled."""
        return pooled([pair for _label, pair in self.strata])

    @property
    def both_decided(self) -> bool:
        """Whether both sides have something decided."""
        return min(self.crude.n1, self.crude.n2) > 0

    @property
    def both(self) -> TwoByTwo:
        """The strata in which both sides were used, pooled."""
        return pooled([pair for _label, pair in self.strata if min(pair.n1, pair.n2)])

    @property
    def unmatched(self) -> int:
        """Decided in strata in which only one side was used."""
        return self.crude.total - self.both.total

    @property
    def sure(self) -> bool:
        """Whether luck alone would seldom do it."""
        return self.p is not None and self.p < SELDOM

    @property
    def points_to(self) -> str | None:
        """The side that did better within strata; None when neither."""
        value = self.odds.value
        return None if value is None or value == 1 else self.first if value > 1 else self.second

    def ahead(self, pair: TwoByTwo) -> str | None:
        """The side that did better in one table; None when neither."""
        gap = pair.k1 * pair.n2 - pair.k2 * pair.n1
        return None if gap == 0 else self.first if gap > 0 else self.second

    @property
    def is_reversed(self) -> bool:
        """Whether the strata point one way and the pooled counts the other (Simpson's paradox)."""
        ways = (self.points_to, self.ahead(self.crude))
        return len(self.strata) > 1 and None not in ways and ways[0] != ways[1]

    @property
    def only_when_pooled(self) -> bool:
        """Whether the pooled counts show a difference that the strata do not."""
        if len(self.strata) < 2 or self.sure:
            return False
        found = chance([self.crude])[0]
        return found is not None and found < SELDOM

    @property
    def close(self) -> bool:
        """Whether p-value and range of a single stratum disagree, as they may when it is close."""
        pair = self.crude
        gap = newcombe(pair.k1, pair.n1, pair.k2, pair.n2)
        if len(self.strata) != 1 or gap.low is None or gap.high is None:
            return False
        return self.sure != (gap.low > 0 or gap.high < 0)


def chance(pairs: Sequence[TwoByTwo]) -> tuple[float | None, str]:
    """The two-sided p-value over strata, and the test it comes from: `exact` up to EXACT_UP_TO, else `cmh`."""
    if sum(pair.total for pair in pairs if pair.informative) <= EXACT_UP_TO:
        return exact_conditional(pairs), "exact"
    test = cmh(pairs)
    return (None if test is None else test.p), "cmh"


def pooled(pairs: Sequence[TwoByTwo]) -> TwoByTwo:
    """Strata pooled into one two-by-two table."""
    return TwoByTwo(*(sum(getattr(pair, name) for pair in pairs) for name in ("k1", "n1", "k2", "n2")))


def rows(found: PairComparison, level: float) -> Iterator[CompareRow]:
    """A row a stratum, one for all that both sides were used in, and where there are several one for everything."""
    for label, pair in found.strata:
        yield _row(found, label, pair, level)
    odds = found.odds
    both = sum(min(pair.n1, pair.n2) > 0 for _label, pair in found.strata)
    whole = _row(found, ALL, found.both if len(found.strata) > 1 else found.crude, level)
    if both > 1:
        whole = replace(whole, difference=None, low=None, high=None)
    yield replace(
        whole, odds_ratio=_finite(odds.value), odds_low=_finite(odds.low), odds_high=_finite(odds.high), p=found.p,
        test=found.test if found.p is not None else None, p_strata_alike=found.differ,
    )  # fmt: skip
    if len(found.strata) > 1:
        yield _row(found, CRUDE, found.crude, level)


def _finite(value: float | None) -> float | None:
    return None if value is None or value == inf else value


def _row(found: PairComparison, label: str, pair: TwoByTwo, level: float) -> CompareRow:
    gap = newcombe(pair.k1, pair.n1, pair.k2, pair.n2, level)
    rates = (pair.k1 / pair.n1 if pair.n1 else None, pair.k2 / pair.n2 if pair.n2 else None)
    return CompareRow(found.first, found.second, label, pair.k1, pair.n1, pair.k2, pair.n2, gap.difference, gap.low, gap.high,
                      level=level, rate_first=rates[0], rate_second=rates[1])  # fmt: skip
