"""Whether proportions of several groups differ at all, within strata: a score test, and an exact one for small tables.

A group has k of n and one or more scores. With scores that only tell the groups apart this is the chi-square test for more than
two ways, in strata the generalised test of Cochran, Mantel and Haenszel; with a number and its square as scores it asks for any
rise, fall, or best place between; with the number alone it is the test for trend of Cochran and Armitage.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import comb, prod

from graftbook.errors import UsageProblem
from graftbook.stats.strata import Test, chi_square_tail

MOST_TABLES = 200_000
"""The exact test is given up where there are more tables with the same margins."""


@dataclass(frozen=True)
class Group:
    """`k` of `n` (whole numbers, k from 0 to n, n 1 or more), and the scores of the group, as many as every other has."""

    k: int
    n: int
    scores: tuple[float, ...]


def score_test(strata: Sequence[Sequence[Group]]) -> Test | None:
    """The test that within strata the proportion goes with none of the scores; None where nothing could show it: all or none
    succeeded in every stratum, or the scores do not vary in one.

    With N, K the totals of a stratum, p = K / N, and z the scores of a group,

        U = sum z (k - n p),   V = K (N - K) / (N (N - 1)) (sum n z z' - (sum n z)(sum n z)' / N)

    summed over strata, U' V^- U is chi-square with the rank of V as degrees of freedom. In one stratum, with scores that tell
    the groups apart, it is (N - 1) / N times Pearson's chi-square. Raises UsageProblem for a k above its n or below 0.

    References
    ----------
    1. Landis, J. R., Heyman, E. R. and Koch, G. G. (1978). Average partial association in three-way contingency tables.
       International Statistical Review 46:237-254.
    """
    import numpy as np

    total, spread = None, None
    for stratum in strata:
        _check(stratum)
        k, n = np.array([group.k for group in stratum], float), np.array([group.n for group in stratum], float)
        took, every = k.sum(), n.sum()
        if not 0 < took < every:
            continue
        z = np.array([group.scores for group in stratum], float)
        z = z - (n @ z) / every
        u, v = z.T @ (k - n * took / every), took * (every - took) / (every * (every - 1)) * (z.T * n) @ z
        total, spread = (u, v) if total is None or spread is None else (total + u, spread + v)
    if total is None or spread is None:
        return None
    scale = np.sqrt(np.diag(spread))
    used = scale > 1e-9 * max(float(scale.max()), 1e-300)
    if not used.any():
        return None
    scale = np.where(used, scale, 1)
    u, v = (total / scale)[used], (spread / np.outer(scale, scale))[used][:, used]
    df = int(np.linalg.matrix_rank(v, tol=1e-7))
    statistic = float(u @ np.linalg.pinv(v, rcond=1e-7, hermitian=True) @ u)
    return Test(statistic, df, chi_square_tail(statistic, df))


def _check(stratum: Sequence[Group]) -> None:
    for group in stratum:
        if not 0 <= group.k <= group.n or group.n < 1:
            raise UsageProblem("k of n with k from 0 to n and n 1 or more", f"{group.k} of {group.n}")


def ways(counts: Sequence[Sequence[tuple[int, int]]]) -> Test | None:
    """The test that several ways take alike, from k of n of each way in each stratum, in one order; n 0 where one was not used.

    None where nothing could show it. References as `score_test`.
    """
    strata = [
        [
            Group(k, n, tuple(float(place == other) for other in range(1, len(stratum))))
            for place, (k, n) in enumerate(stratum)
            if n
        ]
        for stratum in counts
    ]
    return score_test([stratum for stratum in strata if len(stratum) > 1])


def exact_ways(counts: Sequence[tuple[int, int]]) -> float | None:
    """The exact chance, 0 to 1, of a table at least as unlikely as the one seen, given its margins, from k of n of each way;
    None where nothing could show a difference, or there are more than MOST_TABLES such tables.

    Reference: Freeman, G. H. and Halton, J. H. (1951). Note on an exact treatment of contingency, goodness of fit and other
    problems of significance. Biometrika 38:141-149.
    """
    used = [(k, n) for k, n in counts if n]
    took, sizes = sum(k for k, _n in used), [n for _k, n in used]
    if len(used) < 2 or not 0 < took < sum(sizes) or prod(min(n, took) + 1 for n in sizes[:-1]) > MOST_TABLES:
        return None
    seen = prod(comb(n, k) for k, n in used)
    as_unlikely = sum(many for many in _tables(sizes, took) if many <= seen)
    return as_unlikely / comb(sum(sizes), took)


def _tables(sizes: Sequence[int], took: int) -> Iterator[int]:
    """In how many ways each table with these margins comes about."""
    first, *rest = sizes
    if not rest:
        yield comb(first, took)
        return
    for k in range(max(0, took - sum(rest)), min(first, took) + 1):
        for many in _tables(rest, took - k):
            yield comb(first, k) * many
