"""How far a share counted on a few can be from the truth.

Eight of ten took: the share in a long run of such grafts may well be anything from a half to nearly all. The interval
that says so must stay honest for tens, not thousands, and for none or all of a few. The score interval of Wilson does;
the textbook one (share plus or minus two standard errors) does not, and gives "100 %, give or take nothing" for 3 of 3.

Two more are there for who asks: the exact one, which never holds the truth less often than it says and is wider for it,
and that of Jeffreys, close to Wilson's. Only the standard library is used, so that no question loads anything heavy.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

from graftbook.errors import UsageProblem
from graftbook.stats.beta import quantile

LEVEL = 0.95


@dataclass(frozen=True)
class Interval:
    """A range for a share, with the counts it rests on.

    `k` of `n` is what was counted; `level` is the share of such ranges that hold the truth, 0 to 1, ends excluded;
    `low` and `high` are shares from 0 to 1, both None when `n` is 0; `method` names the interval.
    """

    k: int
    n: int
    level: float
    low: float | None
    high: float | None
    method: str

    @property
    def rate(self) -> float | None:
        """The share counted, `k / n`, 0 to 1; None when `n` is 0."""
        return None if self.n == 0 else self.k / self.n


def wilson(k: int, n: int, level: float = LEVEL) -> Interval:
    """The score interval for a share of which `k` of `n` were counted, without continuity correction.

    With p = k / n and z the two-sided normal quantile of `level`, the ends are

        (p + z^2 / 2n  -+  z * sqrt(p (1 - p) / n + z^2 / 4n^2)) / (1 + z^2 / n)

    Parameters
    ----------
    k : whole number, 0 to n.
    n : whole number, 0 or more.
    level : more than 0 and less than 1.

    Returns
    -------
    Interval with `method` "wilson". The lower end is exactly 0.0 when k is 0, the upper exactly 1.0 when k is n. With
    n = 0 nothing is known and both ends are None.

    Raises
    ------
    UsageProblem for a count that is no whole number, is negative or larger than `n`, and for a level outside (0, 1).

    Notes
    -----
    It takes the n counted as n independent tries with one chance. Several scions on one stock, or one hot afternoon,
    make the truth less certain than the interval says.

    References
    ----------
    1. Wilson, E. B. (1927). Probable inference, the law of succession, and statistical inference. Journal of the
       American Statistical Association 22:209-212.
    2. Newcombe, R. G. (1998). Two-sided confidence intervals for the single proportion: comparison of seven methods.
       Statistics in Medicine 17:857-872 (method 3).
    """
    _check(k, n, level)
    if n == 0:
        return Interval(k, n, level, None, None, "wilson")
    z = NormalDist().inv_cdf((1 + level) / 2)
    share = k / n
    middle = share + z * z / (2 * n)
    reach = z * sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    whole = 1 + z * z / n
    low = 0.0 if k == 0 else max(0.0, (middle - reach) / whole)
    high = 1.0 if k == n else min(1.0, (middle + reach) / whole)
    return Interval(k, n, level, low, high, "wilson")


def exact(k: int, n: int, level: float = LEVEL) -> Interval:
    """The exact interval of Clopper and Pearson for a share of which `k` of `n` were counted.

    With a = 1 - level and B(q; x, y) the quantile of the beta distribution, the ends are

        B(a/2; k, n - k + 1)   and   B(1 - a/2; k + 1, n - k)

    Parameters
    ----------
    k : whole number, 0 to n.
    n : whole number, 0 or more.
    level : more than 0 and less than 1.

    Returns
    -------
    Interval with `method` "exact". The lower end is exactly 0.0 when k is 0, the upper exactly 1.0 when k is n. With
    n = 0 both ends are None.

    Raises
    ------
    UsageProblem as wilson does.

    Notes
    -----
    It holds the truth at least as often as `level` says, mostly oftener, and so is wide for a few.

    References
    ----------
    1. Clopper, C. J. and Pearson, E. S. (1934). The use of confidence or fiducial limits illustrated in the case of the
       binomial. Biometrika 26:404-413.
    """
    return _by_beta(k, n, level, 0.0, "exact")


def jeffreys(k: int, n: int, level: float = LEVEL) -> Interval:
    """The equal-tailed interval of Jeffreys' prior for a share of which `k` of `n` were counted.

    With a = 1 - level and B(q; x, y) the quantile of the beta distribution, the ends are

        B(a/2; k + 1/2, n - k + 1/2)   and   B(1 - a/2; k + 1/2, n - k + 1/2)

    Parameters
    ----------
    k : whole number, 0 to n.
    n : whole number, 0 or more.
    level : more than 0 and less than 1.

    Returns
    -------
    Interval with `method` "jeffreys". The lower end is set to 0.0 when k is 0 and the upper to 1.0 when k is n, as the
    authors below do. With n = 0 both ends are None.

    Raises
    ------
    UsageProblem as wilson does.

    Notes
    -----
    On the average it holds the truth about as often as `level` says; for a given share it may do so less often.

    References
    ----------
    1. Brown, L. D., Cai, T. T. and DasGupta, A. (2001). Interval estimation for a binomial proportion. Statistical Science
       16:101-133.
    """
    return _by_beta(k, n, level, 0.5, "jeffreys")


def _by_beta(k: int, n: int, level: float, prior: float, method: str) -> Interval:
    """Ends by quantiles of beta(k + prior, n - k + 1 - prior) and of beta(k + 1 - prior, n - k + prior)."""
    _check(k, n, level)
    if n == 0:
        return Interval(k, n, level, None, None, method)
    tail = (1 - level) / 2
    low = 0.0 if k == 0 else quantile(tail, k + prior, n - k + 1 - prior)
    high = 1.0 if k == n else 1 - quantile(tail, n - k + prior, k + 1 - prior)
    return Interval(k, n, level, low, high, method)


INTERVALS: tuple[tuple[str, str, Callable[..., Interval]], ...] = (
    ("wilson", "Wilson", wilson),
    ("exact", "exact (Clopper-Pearson)", exact),
    ("jeffreys", "Jeffreys", jeffreys),
)
"""Each interval by the word it is asked for with, and its name for people."""


def _check(k: int, n: int, level: float) -> None:
    for name, value in (("k", k), ("n", n)):
        if isinstance(value, bool) or not isinstance(value, int):
            raise UsageProblem(f"a whole number for {name}, the count", repr(value))
        if value < 0:
            raise UsageProblem(f"a count {name} of 0 or more", str(value))
    if k > n:
        raise UsageProblem("no more taken than counted (k at most n)", f"k = {k}, n = {n}")
    check_level(level)


def check_level(level: float) -> None:
    """Raise UsageProblem unless the level of an interval is more than 0 and less than 1."""
    if not isinstance(level, (int, float)) or isinstance(level, bool) or not 0 < level < 1:
        raise UsageProblem("a level between 0 and 1, such as 0.95", repr(level), "Write 95 % as 0.95")
