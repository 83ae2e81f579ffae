"""What a trial of so many grafts could show, told before the day it is made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb

from graftbook.errors import UsageProblem
from graftbook.stats.power import needed_a_side, shown_by

# From so many a side on the exact sum gives way to the formula.
_EXACT = 80


@dataclass(frozen=True)
class Showable:
    """What `a_side` grafts a way could show when a way that does no better takes at `rate` (0 to 1).

    `down_to` is the highest lower rate that would be told from it with chance `power`, `up_to` the lowest higher one; None
    where not even 0 or 1 would. `needed` is how many a way it takes to tell `rate` from `rate` less `of_interest`;
    `chance` how likely this trial is to tell those two apart, by the exact sum where the sides are small.
    """

    a_side: int
    rate: float
    down_to: float | None
    up_to: float | None
    of_interest: float
    needed: int
    chance: float
    power: float
    alpha: float


def could_show(
    counts: Sequence[int], rate: float, of_interest: float = 0.2, power: float = 0.8, alpha: float = 0.05
) -> Showable:
    """What a trial with `counts` grafts to each way (two ways or more) could show, the smallest two counts deciding.

    `rate` is what the usual way takes, above 0 and at most 1; `of_interest` the difference, above 0, that would matter,
    cut at a rate of 0. With more than two ways each pair is told at `alpha` divided by the number of pairs (Bonferroni),
    so that luck alone seldom finds any. Raises UsageProblem for counts below 1, fewer than two, and shares out of range.

    Reference: Fleiss, J. L. (1981). Statistical Methods for Rates and Proportions, 2nd ed., chapter 3, with the
    continuity correction; for small sides the two-sided exact test of Fisher summed over every outcome.
    """
    if len(counts) < 2 or min(counts) < 1:
        raise UsageProblem("two ways or more with a graft each", ", ".join(map(str, counts)) or "none")
    if not 0 < rate <= 1 or not 0 < of_interest <= 1:
        raise UsageProblem("a rate and a difference above 0 and at most 1", f"{rate:g} and {of_interest:g}")
    ways = len(counts)
    strict = alpha / (ways * (ways - 1) / 2)
    side = min(counts)
    down = shown_by(side, rate, power, strict)
    up = None if rate == 1 else shown_by(side, 1 - rate, power, strict)
    lower = max(0.0, rate - of_interest)
    return Showable(
        side,
        rate,
        None if down is None else rate - down,
        None if rate == 1 else _up_to(side, rate, power, strict) if up is None else rate + up,
        rate - lower,
        needed_a_side(rate, lower, power, strict),
        fisher_power(side, rate, lower, strict) if side <= _EXACT else _power(side, rate, lower, strict),
        power,
        strict,
    )


def _up_to(side: int, rate: float, power: float, alpha: float) -> float | None:
    return 1.0 if needed_a_side(rate, 1.0, power, alpha) <= side else None


def _power(side: int, p1: float, p2: float, alpha: float) -> float:
    """The chance at which the number needed is what there is, found by halving."""
    low, high = 0.001, 0.999
    for _ in range(40):
        middle = (low + high) / 2
        if needed_a_side(p1, p2, middle, alpha) <= side:
            low = middle
        else:
            high = middle
    return low


def fisher_power(side: int, p1: float, p2: float, alpha: float = 0.05) -> float:
    """The exact chance that `side` grafts a way (1 or more) tell shares `p1` and `p2` apart by Fisher's two-sided test.

    Every pair of counts is gone through; a pair counts when the chance of it and of all no likelier, the total held
    fixed, is `alpha` or less. Reference: Agresti, A. (2002). Categorical Data Analysis, 2nd ed., 3.5 (from memory).
    """
    first = [comb(side, k) * p1**k * (1 - p1) ** (side - k) for k in range(side + 1)]
    second = [comb(side, k) * p2**k * (1 - p2) ** (side - k) for k in range(side + 1)]
    total = 0.0
    for both in range(2 * side + 1):
        row = {k: comb(side, k) * comb(side, both - k) for k in range(max(0, both - side), min(side, both) + 1)}
        whole = sum(row.values())
        for k, ways in row.items():
            if sum(other for other in row.values() if other * 10**7 <= ways * (10**7 + 1)) <= alpha * whole:
                total += first[k] * second[both - k]
    return total
