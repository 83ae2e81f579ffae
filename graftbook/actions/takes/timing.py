"""Whether the date, or another measure, goes with take at all: one test, in one wording, for every verb that speaks of it.

The test asks for a rise, a fall, or a best place between (the measure and its square as scores, within strata); of two values
alone it is Fisher's exact test. Things done on one day share the luck of that day: where there are days enough, what is left of
the differences between days beyond luck is measured, and the test is made weaker by as much.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from graftbook.season import turn
from graftbook.stats.score_test import Group, score_test
from graftbook.stats.strata import TwoByTwo, chi_square_tail, exact_conditional

COMMON_YEAR = 2022
"""A year without 29 February, followed by another."""
SELDOM = 0.05
"""A p-value below this is called seldom done by luck alone."""
DAYS = 5
"""So many days more than the test uses up are needed to measure how far days differ: as for curves."""

ByValue = Mapping[float, tuple[int, int]]
"""k of n decided at each value."""


@dataclass(frozen=True)
class EffectTest:
    """`p` from 0 to 1; `dispersion` of the days about what the test asks for (1: as luck makes it; None: not measured)."""

    p: float
    dispersion: float | None

    @property
    def shown(self) -> bool:
        """Whether luck alone would seldom do as much."""
        return self.p < SELDOM


def any_effect(strata: Sequence[ByValue], shared_luck: bool) -> EffectTest | None:
    """The test over strata of k of n by value; None where nothing could show an effect. `shared_luck`: whether what has one
    value was done on one day."""
    held = [[(x, k, n) for x, (k, n) in sorted(one.items()) if n] for one in strata]
    if all(len(one) <= 2 for one in held):
        tables = [TwoByTwo(*one[0][1:], *one[1][1:]) for one in held if len(one) == 2]
        p = exact_conditional(tables) if tables else None
        return None if p is None else EffectTest(p, None)
    test = score_test([[Group(k, n, (x, x * x)) for x, k, n in _centred(one)] for one in held])
    if test is None:
        return None
    dispersion = _dispersion(held, test.statistic, test.df) if shared_luck else None
    return EffectTest(chi_square_tail(test.statistic / (dispersion or 1.0), test.df), dispersion)


def _centred(one: Sequence[tuple[float, int, int]]) -> list[tuple[float, int, int]]:
    every = sum(n for _x, _k, n in one) or 1
    middle = sum(x * n for x, _k, n in one) / every
    return [(x - middle, k, n) for x, k, n in one]


def _dispersion(held: Sequence[Sequence[tuple[float, int, int]]], asked: float, used: int) -> float | None:
    """What is left of Pearson's chi-square of the days, over its degrees of freedom, 1 or more."""
    square, free = -asked, -used
    for one in held:
        took, every = sum(k for _x, k, _n in one), sum(n for _x, _k, n in one)
        if not 0 < took < every:
            continue
        p = took / every
        square += sum((k - n * p) ** 2 / (n * p * (1 - p)) for _x, k, n in one)
        free += len(one) - 1
    return max(1.0, square / free) if free >= DAYS else None


def p_words(p: float) -> str:
    """`p = 0.031`, `p < 0.001`."""
    return f"p = {p:.3f}" if p >= 0.001 else "p < 0.001"


def sentence(found: EffectTest | None, word: str) -> str:
    """What the test says of a measure, in the words of every verb; nothing where there is none."""
    if found is None:
        return ""
    said = "take differed with it, which luck alone would seldom do" if found.shown else "none shown"
    return f"Any effect of {word} (a rise, a fall, or a best between): {said} ({p_words(found.p)})."


def day_number(on: date, hemisphere: str) -> int:
    """Days since the season began, as in a year without 29 February, which counts as the 28th."""
    month, day = on.month, min(on.day, 28) if on.month == 2 else on.day
    start = season_start(hemisphere)
    same = date(COMMON_YEAR, month, day)
    return ((same if same >= start else date(COMMON_YEAR + 1, month, day)) - start).days


def season_start(hemisphere: str) -> date:
    """The first day of the season that begins in COMMON_YEAR."""
    first, _ = turn.season_bounds(f"{COMMON_YEAR}-{(COMMON_YEAR + 1) % 100}", hemisphere)
    return first


def by_x(counts: Mapping[Any, Sequence[int]]) -> dict[float, tuple[int, int]]:
    """k of n by value, from counts by value and day."""
    held: dict[float, tuple[int, int]] = {}
    for (x, _day), (k, n) in counts.items():
        before = held.get(x, (0, 0))
        held[x] = before[0] + k, before[1] + n
    return held
