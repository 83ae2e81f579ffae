"""How far two proportions differ, and p-values when several differences are looked at together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from graftbook.stats.interval import LEVEL, wilson


@dataclass(frozen=True)
class Difference:
    """First proportion minus second, -1 to 1, with its confidence interval; all None when either n is 0."""

    difference: float | None
    low: float | None
    high: float | None


def newcombe(k1: int, n1: int, k2: int, n2: int, level: float = LEVEL) -> Difference:
    """The hybrid score interval for the difference of two independent proportions, without continuity correction.

    With (l, u) the Wilson interval of each proportion p, the ends are

        p1 - p2 - sqrt((p1 - l1)^2 + (u2 - p2)^2)   and   p1 - p2 + sqrt((u1 - p1)^2 + (p2 - l2)^2)

    Parameters
    ----------
    k1, k2 : whole numbers, 0 to n1 and n2.
    n1, n2 : whole numbers, 0 or more.
    level : more than 0 and less than 1.

    Notes
    -----
    It stays within -1 and 1 and does not collapse for 0 of n or n of n.

    Raises
    ------
    UsageProblem as wilson does.

    References
    ----------
    1. Newcombe, R. G. (1998). Interval estimation for the difference between independent proportions: comparison of eleven
       methods. Statistics in Medicine 17:873-890 (method 10).
    """
    first, second = wilson(k1, n1, level), wilson(k2, n2, level)
    if first.low is None or first.high is None or second.low is None or second.high is None:
        return Difference(None, None, None)
    p1, p2 = k1 / n1, k2 / n2
    down = sqrt((p1 - first.low) ** 2 + (second.high - p2) ** 2)
    up = sqrt((first.high - p1) ** 2 + (p2 - second.low) ** 2)
    return Difference(p1 - p2, max(-1.0, p1 - p2 - down), min(1.0, p1 - p2 + up))


def holm(p_values: Sequence[float]) -> tuple[float, ...]:
    """Holm-adjusted p-values, in the order given; the more comparisons, the likelier luck alone shows one.

    With p(1) <= ... <= p(m), the adjusted value is max over j <= i of min(1, (m - j + 1) p(j)).

    Parameters
    ----------
    p_values : each from 0 to 1; none gives none.

    References
    ----------
    1. Holm, S. (1979). A simple sequentially rejective multiple test procedure. Scandinavian Journal of Statistics 6:65-70.
    """
    adjusted = [0.0] * len(p_values)
    largest = 0.0
    for rank, place in enumerate(sorted(range(len(p_values)), key=lambda at: p_values[at])):
        largest = max(largest, min(1.0, p_values[place] * (len(p_values) - rank)))
        adjusted[place] = largest
    return tuple(adjusted)
