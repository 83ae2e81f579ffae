"""Two groups compared within strata: the Mantel-Haenszel odds ratio, tests of no difference, and of homogeneity.

Each stratum is a two-by-two table: k1 of n1 in one group, k2 of n2 in the other. A stratum in which one group is empty, or
in which all or none succeeded, is uninformative and drops out of every formula below by itself.

Only the standard library is used.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, copysign, erfc, exp, inf, lgamma, log, sqrt
from statistics import NormalDist

from graftbook.stats.interval import LEVEL, wilson


@dataclass(frozen=True)
class TwoByTwo:
    """One stratum: `k1` of `n1` in the first group, `k2` of `n2` in the second; whole numbers, k from 0 to n, else UsageProblem."""

    k1: int
    n1: int
    k2: int
    n2: int

    def __post_init__(self) -> None:
        wilson(self.k1, self.n1)
        wilson(self.k2, self.n2)

    @property
    def total(self) -> int:
        """Everything counted in the stratum."""
        return self.n1 + self.n2

    @property
    def informative(self) -> bool:
        """Whether the stratum holds any information on the difference."""
        return min(self.n1, self.n2) > 0 and 0 < self.k1 + self.k2 < self.total


@dataclass(frozen=True)
class OddsRatio:
    """Odds in the first group over odds in the second, 0 to infinity, with a confidence interval; None without an informative
    stratum.

    `n` is how many were counted in the informative strata; `uninformative` how many strata dropped out.
    """

    value: float | None
    low: float | None
    high: float | None
    level: float
    n: int = 0
    uninformative: int = 0


@dataclass(frozen=True)
class Test:
    """A statistic, its degrees of freedom, and the chance that luck alone gives one at least so far out, 0 to 1."""

    __test__ = False
    statistic: float
    df: int
    p: float


def chi_square_tail(x: float, df: int) -> float:
    """The chance that chi-square with `df` (1 or more) degrees of freedom exceeds `x` (0 or more).

    Closed forms for whole df: a Poisson sum for even df, the complementary error function and a like sum for odd df.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 and 26.4.5.
    """
    if x <= 0:
        return 1.0
    half = x / 2
    if df % 2 == 0:
        return min(1.0, sum(_poisson(i, half) for i in range(df // 2)))
    return min(1.0, erfc(sqrt(half)) + sum(_poisson(i + 0.5, half) for i in range((df - 1) // 2)))


def _poisson(i: float, half: float) -> float:
    """exp(-half) half^i / gamma(i + 1), by logarithms, since the parts outgrow a float where strata are many."""
    return exp(i * log(half) - half - lgamma(i + 1))


def mantel_haenszel(pairs: Sequence[TwoByTwo], level: float = LEVEL) -> OddsRatio:
    """The common odds ratio over strata, with the Robins-Breslow-Greenland interval.

    With r = k1 (n2 - k2) / n and s = (n1 - k1) k2 / n in a stratum of n, the ratio is sum(r) / sum(s).

    Parameters
    ----------
    pairs : strata; those that are uninformative drop out and are counted as such.
    level : more than 0 and less than 1.

    Notes
    -----
    Where sum(s) or sum(r) is 0 the ratio has no bound on that side, and no range is given: the end is None. It speaks for
    all strata only if they agree; ask breslow_day.

    References
    ----------
    1. Mantel, N. and Haenszel, W. (1959). Journal of the National Cancer Institute 22:719-748.
    2. Robins, J., Breslow, N. and Greenland, S. (1986). Biometrics 42:311-323.
    """
    used = [pair for pair in pairs if pair.informative]
    n, dropped = sum(pair.total for pair in used), len(pairs) - len(used)
    r = [(p.k1 * (p.n2 - p.k2)) / p.total for p in used]
    s = [((p.n1 - p.k1) * p.k2) / p.total for p in used]
    if not used or (sum(r) == 0 and sum(s) == 0):
        return OddsRatio(None, None, None, level, n, dropped)
    if sum(s) == 0:
        return OddsRatio(inf, None, inf, level, n, dropped)
    if sum(r) == 0:
        return OddsRatio(0.0, 0.0, None, level, n, dropped)
    error = _log_error(used, r, s)
    value, z = sum(r) / sum(s), NormalDist().inv_cdf((1 + level) / 2)
    return OddsRatio(value, exp(log(value) - z * error), exp(log(value) + z * error), level, n, dropped)


def _log_error(used: Sequence[TwoByTwo], r: Sequence[float], s: Sequence[float]) -> float:
    """The standard error of the log common odds ratio (Robins, Breslow and Greenland)."""
    p = [(t.k1 + t.n2 - t.k2) / t.total for t in used]
    q = [1 - each for each in p]
    rr = sum(a * b for a, b in zip(p, r, strict=True)) / (2 * sum(r) ** 2)
    rs = sum(a * c + b * d for a, b, c, d in zip(p, q, s, r, strict=True)) / (2 * sum(r) * sum(s))
    ss = sum(b * c for b, c in zip(q, s, strict=True)) / (2 * sum(s) ** 2)
    return sqrt(rr + rs + ss)


def cmh(pairs: Sequence[TwoByTwo], correct: bool = False) -> Test | None:
    """Cochran's, Mantel's and Haenszel's test that the odds ratio is 1 in every stratum; None without an informative
    stratum.

    `correct` takes the continuity correction of one half. The approximation wants an expected count of about five in all.
    References: Cochran (1954), Biometrics 10:417-451; Mantel and Haenszel (1959) as above.
    """
    used = [pair for pair in pairs if pair.informative]
    if not used:
        return None
    gap = sum(p.k1 - p.n1 * (p.k1 + p.k2) / p.total for p in used)
    error = sum(_variance(p) for p in used)
    statistic = max(abs(gap) - (0.5 if correct else 0.0), 0.0) ** 2 / error
    return Test(statistic, 1, chi_square_tail(statistic, 1))


def _variance(pair: TwoByTwo) -> float:
    took = pair.k1 + pair.k2
    return pair.n1 * pair.n2 * took * (pair.total - took) / (pair.total**2 * (pair.total - 1))


def exact_conditional(pairs: Sequence[TwoByTwo]) -> float | None:
    """The exact chance, 0 to 1, of a split at least as unlikely as the one seen, given the margins of every stratum.

    With one stratum it is Fisher's exact test, two-sided by summing all splits no likelier than the observed. None without an
    informative stratum. Costs about the square of the number that took; meant for some thousands at most.
    Reference: Fisher, R. A. (1935). The Design of Experiments, chapter 2; for strata, Mehta, Patel and Gray (1985),
    Journal of the American Statistical Association 80:969-973.
    """
    used = [pair for pair in pairs if pair.informative]
    if not used:
        return None
    chances, start = [1.0], 0
    for pair in used:
        took = pair.k1 + pair.k2
        low, high = max(0, took - pair.n2), min(took, pair.n1)
        whole = comb(pair.total, took)
        each = [comb(pair.n1, x) * comb(pair.n2, took - x) / whole for x in range(low, high + 1)]
        start += low
        joined = [0.0] * (len(chances) + len(each) - 1)
        for at, chance in enumerate(chances):
            for more, other in enumerate(each):
                joined[at + more] += chance * other
        chances = joined
    seen = chances[sum(pair.k1 for pair in used) - start]
    return min(1.0, sum(chance for chance in chances if chance <= seen * (1 + 1e-7)))


def breslow_day(pairs: Sequence[TwoByTwo], tarone: bool = True) -> Test | None:
    """Breslow's and Day's test that the odds ratio is the same in every stratum, with Tarone's correction unless refused.

    None with fewer than two informative strata, or a common odds ratio of 0 or infinity. References: Breslow and Day (1980),
    Statistical Methods in Cancer Research 1:142; Tarone (1985), Biometrika 72:91-95.
    """
    used = [pair for pair in pairs if pair.informative]
    common = mantel_haenszel(used).value
    if len(used) < 2 or common is None or common in (0.0, inf):
        return None
    gaps = [(p.k1 - _expected(p, common), _expected_variance(p, common)) for p in used]
    statistic = sum(gap * gap / variance for gap, variance in gaps)
    if tarone:
        statistic -= sum(gap for gap, _ in gaps) ** 2 / sum(variance for _, variance in gaps)
    return Test(statistic, len(used) - 1, chi_square_tail(statistic, len(used) - 1))


def _expected(pair: TwoByTwo, odds: float) -> float:
    """Expected k1 under a common odds ratio: the root within the margins of

        (1 - odds) x^2 + (n2 - took + odds (n1 + took)) x - odds n1 took = 0

    taken in the form that loses no digits when the odds ratio is close to 1.
    """
    took = pair.k1 + pair.k2
    a, b, c = 1 - odds, pair.n2 - took + odds * (pair.n1 + took), -odds * pair.n1 * took
    q = -(b + copysign(sqrt(max(0.0, b * b - 4 * a * c)), b)) / 2
    roots = [c / q] if a == 0 else [c / q, q / a]
    low, high = max(0, took - pair.n2), min(pair.n1, took)
    return min(roots, key=lambda x: max(low - x, x - high, 0.0))


def _expected_variance(pair: TwoByTwo, odds: float) -> float:
    x, took = _expected(pair, odds), pair.k1 + pair.k2
    return 1 / (1 / x + 1 / (pair.n1 - x) + 1 / (took - x) + 1 / (pair.n2 - took + x))
