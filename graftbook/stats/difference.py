"""How far apart two shares counted on a few may be."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from graftbook.stats.interval import LEVEL, wilson


@dataclass(frozen=True)
class Difference:
    """First share less second, -1 to 1, with a range and the counts it rests on; all None when either n is 0."""

    k1: int
    n1: int
    k2: int
    n2: int
    difference: float | None
    low: float | None
    high: float | None
    level: float
    method: str = "newcombe"


def newcombe(k1: int, n1: int, k2: int, n2: int, level: float = LEVEL) -> Difference:
    """The hybrid score interval for the difference of two independent shares, without continuity correction.

    With (l, u) the Wilson interval of each share p, the ends are

        p1 - p2 - sqrt((p1 - l1)^2 + (u2 - p2)^2)   and   p1 - p2 + sqrt((u1 - p1)^2 + (p2 - l2)^2)

    Parameters
    ----------
    k1, k2 : whole numbers, 0 to n1 and n2.
    n1, n2 : whole numbers, 0 or more.
    level : more than 0 and less than 1.

    Notes
    -----
    It stays within -1 and 1 and does not collapse for 0 of n or n of n.

    References
    ----------
    1. Newcombe, R. G. (1998). Interval estimation for the difference between independent proportions: comparison of eleven
       methods. Statistics in Medicine 17:873-890 (method 10).
    """
    first, second = wilson(k1, n1, level), wilson(k2, n2, level)
    if n1 == 0 or n2 == 0:
        return Difference(k1, n1, k2, n2, None, None, None, level)
    p1, p2 = k1 / n1, k2 / n2
    down = sqrt((p1 - first.low) ** 2 + (second.high - p2) ** 2)
    up = sqrt((first.high - p1) ** 2 + (p2 - second.low) ** 2)
    return Difference(k1, n1, k2, n2, p1 - p2, max(-1.0, p1 - p2 - down), min(1.0, p1 - p2 + up), level)
