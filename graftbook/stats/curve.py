"""The chance of success as a smooth curve over something measured, with its bands, or the reason why none can be drawn.

A line is drawn from k of n at each value of x when there is enough to draw it from: DECIDED counted, EACH of both
outcomes, VALUES different x, and no complete separation: no x with all successes on one side of it and all failures on the
other. Smoothing parameters are weighed by REML (see `spline`). Two bands go with it: the pointwise band `low` to `high` holds
the chance at any one x with the probability `level`; the simultaneous band `low_whole` to `high_whole` holds the whole curve.

Things done on one day share the luck of that day. Where `day` is given, and DAYS more days than effective degrees of freedom,
the dispersion of the days about the curve is estimated (Pearson's chi-square over its degrees of freedom), and the bands are
widened by it.

A best window is stated only where the counts carry one. Rule: no level line fits within the simultaneous band; then
the window is every x whose chance may be within CLOSE of the best: its distance in the logit from the highest point of the
line, less what CLOSE makes there, is no more than its standard error times the normal quantile of the level. A window that
runs on to the first or last value of x is open at that end; one that is everywhere, or in several pieces, is no window.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, isfinite, pi
from statistics import NormalDist
from typing import TYPE_CHECKING, Any

from graftbook.errors import UsageProblem
from graftbook.stats.interval import check_level

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from graftbook.stats.spline import SmoothFit

DECIDED = 20
EACH = 5
VALUES = 5
DAYS = 5
POINTS = 201
CLOSE = 0.05
"""A chance so little below the best is as good as the best to a grower."""
REACH = 0.1
"""Share of the range of x: further than this from any value counted the line is not drawn."""


@dataclass(frozen=True)
class CurveCount:
    """`k` of `n` at one value `x`, on one `day` (any whole number that distinguishes days; None: not known)."""

    x: float
    k: int
    n: int
    day: int | None = None


@dataclass(frozen=True)
class Point:
    """The curve at one `x`: chance, pointwise band, simultaneous band, all from 0 to 1. `counted` is False where no value
    counted is near (REACH)."""

    x: float
    chance: float
    low: float
    high: float
    low_whole: float
    high_whole: float
    counted: bool


@dataclass(frozen=True)
class Window:
    """The stretch of x in which the best chance may lie. `open_before`, `open_after`: it runs on to the first or last value
    counted, so that where it begins or ends is not shown. `k` of `n` lie in it, `k_rest` of `n_rest` outside."""

    first: float
    last: float
    open_before: bool
    open_after: bool
    k: int
    n: int
    k_rest: int
    n_rest: int


@dataclass(frozen=True)
class Curve:
    """A line with its bands, and what it rests on.

    `edf` are its effective degrees of freedom (2: straight in the logit); `dispersion` that of the days (1: binomial; None: not
    estimated). `level_fits` says that a chance that is the same everywhere lies within the simultaneous band. `window` is
    None where the counts carry none; `no_window` is then `level` or `unclear`.
    """

    points: tuple[Point, ...]
    k: int
    n: int
    level: float
    edf: float
    dispersion: float | None
    level_fits: bool
    window: Window | None
    no_window: str | None


@dataclass(frozen=True)
class NoCurve:
    """Why no line is drawn, in one of a few words, with what was counted.

    `early`: what still waits may change everything, which is the caller's to say; `few`: fewer than DECIDED; `all` or `none`:
    every one or none succeeded; `few-each`: fewer than EACH of one outcome; `same`: fewer than VALUES different x; `parted`:
    one x parts successes from failures, `at` that value and `better` the side (`before` or `after`) of the successes.
    """

    why: str
    k: int
    n: int
    values: int
    at: float | None = None
    better: str | None = None


def curve(counts: Sequence[CurveCount], level: float = 0.95) -> Curve | NoCurve:
    """The chance over x with its bands, or why none is estimated.

    `level` is more than 0 and less than 1. Raises UsageProblem for another level, for a k above its n or below 0, and for an
    x that is not finite.
    """
    import numpy as np

    _check(counts, level)
    counted = [count for count in counts if count.n]
    barred = _barred(counted)
    if barred is not None:
        return barred
    from graftbook.stats import spline

    xs = np.array(sorted({count.x for count in counted}))
    at = {x: number for number, x in enumerate(xs.tolist())}
    took, of = np.zeros(len(xs)), np.zeros(len(xs))
    for count in counted:
        took[at[count.x]] += count.k
        of[at[count.x]] += count.n
    inside = (xs - xs[0]) / (xs[-1] - xs[0])
    line, dispersion = spline.smooth(inside, took, of), None
    for _ in range(3):
        estimated = _dispersion(counted, at, spline.basis(inside), line)
        settled = estimated == 1 if dispersion is None else estimated is not None and abs(estimated - dispersion) < 0.01
        dispersion = estimated
        if estimated is None or settled:
            break
        line = spline.smooth(inside, took, of, estimated)
    points, level_with_best = _points(line, inside, float(xs[0]), float(xs[-1]), level)
    fits = max(point.low_whole for point in points) <= min(point.high_whole for point in points)
    window, why = (None, "level") if fits else _window(points, level_with_best, counted)
    return Curve(points, int(took.sum()), int(of.sum()), level, line.edf, dispersion, fits, window, why)


def _check(counts: Sequence[CurveCount], level: float) -> None:
    check_level(level)
    for count in counts:
        if not 0 <= count.k <= count.n:
            raise UsageProblem("no more taken than counted (k at most n)", f"k = {count.k}, n = {count.n}")
        if not isfinite(count.x):
            raise UsageProblem("an x that is a number", repr(count.x))


def _barred(counts: Sequence[CurveCount]) -> NoCurve | None:
    """The reason why no line can be drawn, None where one can."""
    k, n = sum(count.k for count in counts), sum(count.n for count in counts)
    values = len({count.x for count in counts})
    for why, bars in (
        ("few", n < DECIDED), ("all", k == n), ("none", k == 0), ("few-each", min(k, n - k) < EACH),
        ("same", values < VALUES),
    ):  # fmt: skip
        if bars:
            return NoCurve(why, k, n, values)
    good = [count.x for count in counts if count.k]
    bad = [count.x for count in counts if count.k < count.n]
    if max(good) <= min(bad):
        return NoCurve("parted", k, n, values, min(bad), "before")
    if max(bad) <= min(good):
        return NoCurve("parted", k, n, values, max(bad), "after")
    return None


def _dispersion(
    counts: Sequence[CurveCount], at: dict[float, int], splines: NDArray[Any], line: SmoothFit
) -> float | None:
    """Pearson's dispersion of the days about the curve, 1 or more; None where days are not known or too few."""
    import numpy as np
    from scipy.special import expit

    chance = expit(splines @ line.weights)
    seen: dict[int, list[float]] = defaultdict(lambda: [0.0, 0.0, 0.0])
    for count in counts:
        if count.day is None:
            return None
        p = float(chance[at[count.x]])
        sums = seen[count.day]
        sums[0] += count.k
        sums[1] += count.n * p
        sums[2] += count.n * p * (1 - p)
    free = len(seen) - line.edf
    if free < DAYS:
        return None
    square = np.array([(took - due) ** 2 / variance for took, due, variance in seen.values()])
    return max(1.0, float(square.sum() / free))


def _points(
    line: SmoothFit, inside: NDArray[Any], first: float, last: float, level: float
) -> tuple[tuple[Point, ...], tuple[bool, ...]]:
    """The curve on even steps, and of each step whether its chance may be as high as the best."""
    import numpy as np
    from scipy.special import expit
    from scipy.special import logit as scipy_logit

    from graftbook.stats import spline

    even = np.linspace(0, 1, POINTS)
    splines = spline.basis(even)
    logit = splines @ line.weights
    error = _standard_errors(splines, line.covariance)
    one, whole = NormalDist().inv_cdf((1 + level) / 2), simultaneous_factor(splines, line.covariance, level)
    near = np.abs(even[:, None] - inside[None, :]).min(axis=1) <= REACH
    best = int(np.argmax(np.where(near, logit, -np.inf)))
    good = scipy_logit(max(float(expit(logit[best])) - CLOSE, 1e-6))
    behind = good - logit <= one * _standard_errors(splines - splines[best], line.covariance)
    columns = (first + even * (last - first), expit(logit), expit(logit - one * error), expit(logit + one * error),
               expit(logit - whole * error), expit(logit + whole * error))  # fmt: skip
    x, chance, low, high, low_whole, high_whole = (column.tolist() for column in columns)
    rows = zip(x, chance, low, high, low_whole, high_whole, near.tolist(), strict=True)
    points = tuple(Point(*row) for row in rows)
    return points, tuple(map(bool, behind))


def _standard_errors(splines: NDArray[Any], covariance: NDArray[Any]) -> NDArray[Any]:
    import numpy as np

    return np.sqrt(np.maximum(np.einsum("ij,jk,ik->i", splines, covariance, splines), 0.0))


def simultaneous_factor(splines: NDArray[Any], covariance: NDArray[Any], level: float) -> float:
    """The critical value of a simultaneous band, in standard errors: the tube formula for one dimension.

    With k the length of the path of the standardised curve on the unit sphere, the chance to leave the band of c errors is
    k/pi exp(-c^2/2) + 2 (1 - F(c)); c is where that is 1 - level. `splines` (points x m) has a row a point, close together;
    `covariance` is m x m; `level` above 0 and below 1. 0 where any band holds it.

    References
    ----------
    1. Sun, J. and Loader, C. R. (1994). Simultaneous confidence bands for linear regression and smoothing. Annals of
       Statistics 22:1328-1345.
    """
    import numpy as np
    from scipy.optimize import brentq

    root = np.linalg.cholesky(covariance + 1e-12 * np.trace(covariance) * np.eye(len(covariance)))
    walk = splines @ root
    walk = walk / np.linalg.norm(walk, axis=1)[:, None]
    length = float(np.linalg.norm(np.diff(walk, axis=0), axis=1).sum())
    normal = NormalDist()

    def outside(c: float) -> float:
        return length / pi * exp(-c * c / 2) + 2 * (1 - normal.cdf(c)) - (1 - level)

    return float(brentq(outside, normal.inv_cdf((1 + level) / 2) * 0.999999, 12.0)) if outside(0.0) > 0 else 0.0


def _window(
    points: Sequence[Point], level_with_best: Sequence[bool], counts: Sequence[CurveCount]
) -> tuple[Window | None, str | None]:
    """The stretch in which the best may lie, or `unclear` when that is everywhere or in several pieces."""
    drawn = [(point.x, level) for point, level in zip(points, level_with_best, strict=True) if point.counted]
    inside = [number for number, (_x, level) in enumerate(drawn) if level]
    if len(inside) == len(drawn) or inside[-1] - inside[0] + 1 != len(inside):
        return None, "unclear"
    first, last = drawn[inside[0]][0], drawn[inside[-1]][0]
    within = [count for count in counts if first <= count.x <= last]
    k, n = sum(count.k for count in within), sum(count.n for count in within)
    rest = sum(count.k for count in counts) - k, sum(count.n for count in counts) - n
    return Window(first, last, inside[0] == 0, inside[-1] == len(drawn) - 1, k, n, *rest), None
