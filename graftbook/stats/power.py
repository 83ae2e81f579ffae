"""How many it takes to tell two shares apart, and how far apart shares must be for so many to tell."""

from __future__ import annotations

from math import ceil, comb, sqrt
from statistics import NormalDist

from graftbook.errors import UsageProblem


def needed_a_side(p1: float, p2: float, power: float = 0.8, alpha: float = 0.05, correct: bool = True) -> int:
    """How many a side are needed for a two-sided test at `alpha` to show shares `p1` and `p2` apart with chance `power`.

    With P the mean of the two shares and Q = 1 - P,

        n = (z(1 - alpha/2) sqrt(2 P Q) + z(power) sqrt(p1 q1 + p2 q2))^2 / (p1 - p2)^2

    and with the continuity correction n/4 (1 + sqrt(1 + 4 / (n |p1 - p2|)))^2, rounded up.

    Raises UsageProblem for shares outside 0 to 1 or alike, and for a chance outside 0 to 1.

    Reference: Fleiss, J. L. (1981). Statistical Methods for Rates and Proportions, 2nd ed., chapter 3.
    """
    for name, value in (("a share", p1), ("a share", p2)):
        if not 0 <= value <= 1:
            raise UsageProblem(f"{name} from 0 to 1", repr(value))
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


def shown_by(n: int, p1: float, power: float = 0.8, alpha: float = 0.05) -> float | None:
    """The smallest difference down from share `p1` that `n` a side would show with chance `power`; None when none would.

    Found by halving: the number needed falls as the difference grows. Raises as needed_a_side, and for n below 1.
    """
    if n < 1:
        raise UsageProblem("a number a side of 1 or more", str(n))
    if p1 == 0 or needed_a_side(p1, 0.0, power, alpha) > n:
        return None
    low, high = 0.0, p1
    for _ in range(40):
        middle = (low + high) / 2
        if middle and needed_a_side(p1, p1 - middle, power, alpha) <= n:
            high = middle
        else:
            low = middle
    return high


def shown_chance(n: int, p1: float, p2: float, alpha: float = 0.05) -> float:
    """The chance that `n` a side show shares `p1` and `p2` apart by Fisher's exact test, two-sided at `alpha`; 0 to 1.

    Every split of both sides is added up by its binomial chance where the test rejects it. Costs about n^2 steps; `n` from 1
    to some hundreds. Raises UsageProblem as needed_a_side does, but for shares that are alike.

    Reference: Fisher, R. A. (1935). The Design of Experiments, chapter 2, for the test.
    """
    if n < 1:
        raise UsageProblem("a number a side of 1 or more", str(n))
    for value in (p1, p2):
        if not 0 <= value <= 1:
            raise UsageProblem("a share from 0 to 1", repr(value))
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
