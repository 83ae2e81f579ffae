"""Sample size, detectable difference and power of a comparison of two proportions, and of a trial before it is made."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, comb, sqrt
from statistics import NormalDist

from graftbook.errors import UsageProblem


def needed_per_group(p1: float, p2: float, power: float = 0.8, alpha: float = 0.05, correct: bool = True) -> int:
    """The sample size of each group with which a two-sided test at `alpha` detects `p1` against `p2` with probability `power`.

    With P the mean of the two proportions and Q = 1 - P,

        n = (z(1 - alpha/2) sqrt(2 P Q) + z(power) sqrt(p1 q1 + p2 q2))^2 / (p1 - p2)^2

    and with the continuity correction n/4 (1 + sqrt(1 + 4 / (n |p1 - p2|)))^2, rounded up.

    Raises UsageProblem for shares outside 0 to 1 or alike, and for a chance outside 0 to 1.

    Reference: Fleiss, J. L. (1981). Statistical Methods for Rates and Proportions, 2nd ed., chapter 3.
    """
    _check_shares(p1, p2)
    if p1 == p2:
        raise UsageProblem("two shares that differ", f"{p1} and {p2}")
    if not 0 < power < 1 or not 0 < alpha < 1:
        raise UsageProblem("a chance between 0 and 1, such as 0.8", repr(power if not 0 < power < 1 else alpha))
    z, middle = NormalDist().inv_cdf, (p1 + p2) / 2
    reach = z(1 - alpha / 2) * sqrt(2 * middle * (1 - middle)) + z(power) * sqrt(p1 * (1 - p1) + p2 * (1 - p2))
    plain = reach**2 / (p1 - p2) ** 2
    if not correct:
        return ceil(plain)
    return ceil(plain / 4 * (1 + sqrt(1 + 4 / (plain * abs(p1 - p2)))) ** 2)


def detectable_difference(n: int, p1: float, power: float = 0.8, alpha: float = 0.05) -> float | None:
    """The smallest difference down from `p1` that `n` in each group detect with probability `power`; None when none is.

    Found by bisection: the sample size falls as the difference grows. Raises as needed_a_side, and for n below 1.
    """
    if n < 1:
        raise UsageProblem("a number a side of 1 or more", str(n))
    if p1 == 0 or needed_per_group(p1, 0.0, power, alpha) > n:
        return None
    return _bisected(0.0, p1, lambda gap: not gap or needed_per_group(p1, p1 - gap, power, alpha) > n)[1]


def _bisected(low: float, high: float, is_low: Callable[[float], bool]) -> tuple[float, float]:
    """The ends about the place at which what is low ceases to be so."""
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if is_low(middle) else (low, middle)
    return low, high


def fisher_power(n: int, p1: float, p2: float, alpha: float = 0.05) -> float:
    """The power of Fisher's exact test, two-sided at `alpha`, with `n` in each group and proportions `p1` and `p2`; 0 to 1.

    The binomial probability of every outcome that the test rejects, summed (an outcome is rejected when all outcomes no likelier,
    the total held fixed, have a probability of `alpha` or less). Costs about n^2 steps; `n` from 1
    to some hundreds. Raises UsageProblem as needed_a_side does, but for shares that are alike.

    References: Fisher, R. A. (1935). The Design of Experiments, chapter 2, for the test; Agresti, A. (2002). Categorical Data
    Analysis, 2nd ed., 3.5 (from memory), for its power.
    """
    if n < 1:
        raise UsageProblem("a number a side of 1 or more", str(n))
    _check_shares(p1, p2)
    first, second = ([comb(n, k) * p**k * (1 - p) ** (n - k) for k in range(n + 1)] for p in (p1, p2))
    shown = 0.0
    for took in range(2 * n + 1):
        ways = {k: comb(n, k) * comb(n, took - k) for k in range(max(0, took - n), min(took, n) + 1)}
        room, ranked = alpha * sum(ways.values()), sorted(set(ways.values()))
        for number in ranked:
            alike = [k for k, held in ways.items() if held == number]
            room -= number * len(alike)
            if room < 0:
                break
            shown += sum(first[k] * second[took - k] for k in alike)
    return min(1.0, shown)


def _check_shares(*shares: float) -> None:
    for share in shares:
        if not 0 <= share <= 1:
            raise UsageProblem("a share from 0 to 1", repr(share))


# Above so many a group the exact sum gives way to the formula.
_EXACT = 80


@dataclass(frozen=True)
class TrialPower:
    """The power of a trial with `a_side` grafts in each group when the usual method takes at `rate` (0 to 1).

    `down_to` is the highest lower rate that would be detected with probability `power`, `up_to` the lowest higher one; None
    where not even 0 or 1 would. `needed` is the sample size of each group for `rate` against `rate` less `of_interest`;
    `chance` the power of this trial for that difference, by the exact sum where the groups are small; `alpha` the level of
    each pairwise test.
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


def trial_power(
    counts: Sequence[int], rate: float, of_interest: float = 0.2, power: float = 0.8, alpha: float = 0.05
) -> TrialPower:
    """The power of a trial with `counts` grafts in each of two groups or more, the smallest count deciding.

    `rate` is what the usual method takes, above 0 and at most 1; `of_interest` the difference, above 0, that would matter,
    cut at a rate of 0. With more than two groups each pair is tested at `alpha` divided by the number of pairs (Bonferroni).
    Raises UsageProblem for counts below 1, fewer than two, and rates out of range.

    Reference: Fleiss, J. L. (1981). Statistical Methods for Rates and Proportions, 2nd ed., chapter 3, with the
    continuity correction; for small groups the two-sided exact test of Fisher summed over every outcome.
    """
    if len(counts) < 2 or min(counts) < 1:
        raise UsageProblem("two ways or more with a graft each", ", ".join(map(str, counts)) or "none")
    if not 0 < rate <= 1 or not 0 < of_interest <= 1:
        raise UsageProblem("a rate and a difference above 0 and at most 1", f"{rate:g} and {of_interest:g}")
    ways = len(counts)
    strict = alpha / (ways * (ways - 1) / 2)
    side = min(counts)
    down = detectable_difference(side, rate, power, strict)
    up = detectable_difference(side, 1 - rate, power, strict)
    lower = max(0.0, rate - of_interest)
    chance = fisher_power(side, rate, lower, strict) if side <= _EXACT else _power(side, rate, lower, strict)
    return TrialPower(
        side, rate, None if down is None else rate - down, None if up is None else rate + up, rate - lower,
        needed_per_group(rate, lower, power, strict), chance, power, strict,
    )  # fmt: skip


def _power(side: int, p1: float, p2: float, alpha: float) -> float:
    """The power at which the sample size is what there is, found by bisection."""
    return _bisected(0.001, 0.999, lambda power: needed_per_group(p1, p2, power, alpha) <= side)[0]
