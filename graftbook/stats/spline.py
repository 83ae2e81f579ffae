"""A smooth line through shares counted at many places: cubic B-splines in the logit, with a price on bends.

What is known of each place x is k of n. The logit of the chance is a sum of B-splines on even knots, and the squared
second differences of their weights are charged for, at a price. A high price leaves a straight line, a low one a line that
follows every place. Which price the counts speak for is reckoned by the likelihood left when the weights are averaged out
(restricted maximum likelihood, by Laplace's method); the fits at all prices of a fixed list are then averaged by it, so
that not knowing the price widens the band as it should. Nothing is drawn at random: the same counts give the same line.

Kept apart from `curve`, which says when such a line may be drawn at all.

References
----------
1. Eilers, P. H. C. and Marx, B. D. (1996). Flexible smoothing with B-splines and penalties. Statistical Science 11:89-121.
2. Wood, S. N. (2011). Fast stable restricted maximum likelihood and marginal likelihood estimation of semiparametric
   generalized linear models. Journal of the Royal Statistical Society B 73:3-36.
3. Marra, G. and Wood, S. N. (2012). Coverage properties of confidence intervals for generalized additive model components.
   Scandinavian Journal of Statistics 39:53-74.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from numpy.typing import NDArray

SEGMENTS = 10
DEGREE = 3
BENDS = 2
PRICES = tuple(10 ** (step / 2) for step in range(-6, 7))
"""Prices of bends, on the scale on which 1 weighs the bends as much as the counts."""
MOST_STEPS = 60
NEAR_ENOUGH = 1e-9


@dataclass(frozen=True)
class Fit:
    """The weights of the splines at one price, their covariance, how well the counts speak for the price (a logarithm), and
    how many free numbers the line uses."""

    weights: NDArray
    covariance: NDArray
    evidence: float
    freedom: float


@dataclass(frozen=True)
class Line:
    """A smooth line in the logit: weights and covariance averaged over the prices, and the free numbers it uses."""

    weights: NDArray
    covariance: NDArray
    freedom: float


def basis(places: NDArray) -> NDArray:
    """The splines at places from 0 to 1, a row a place."""
    import numpy as np
    from scipy.interpolate import BSpline

    knots = np.arange(-DEGREE, SEGMENTS + DEGREE + 1) / SEGMENTS
    inside = np.clip(places, 0.0, 1.0)
    return BSpline.design_matrix(inside, knots, DEGREE, extrapolate=False).toarray()


def bends() -> NDArray:
    """What a bend costs: the squared second differences of the weights, as a matrix."""
    import numpy as np

    steps = np.diff(np.eye(SEGMENTS + DEGREE), n=BENDS, axis=0)
    return steps.T @ steps


def line(places: NDArray, took: NDArray, of: NDArray, spread: float = 1.0) -> Line:
    """The line through `took` of `of` at places from 0 to 1, averaged over PRICES.

    `spread` (1 or more) is by how much places differ among themselves beyond luck; what the counts say is divided by it.
    There must be takes and failures, not parted by any one place (see `curve`).
    """
    import numpy as np

    splines, cost = basis(places), bends()
    flat = took.sum() / of.sum()
    told = (splines.T * (of * flat * (1 - flat) / spread)) @ splines
    scale = np.trace(told) / np.trace(cost)
    fits: list[Fit] = []
    start = np.full(splines.shape[1], np.log(flat / (1 - flat)))
    for price in reversed(PRICES):
        fits.append(fit(splines, took, of, price * scale * cost, spread, start))
        start = fits[-1].weights
    share = np.exp([one.evidence - max(other.evidence for other in fits) for one in fits])
    share /= share.sum()
    middle = sum(part * one.weights for part, one in zip(share, fits, strict=True))
    covariance = sum(
        part * (one.covariance + np.outer(one.weights - middle, one.weights - middle))
        for part, one in zip(share, fits, strict=True)
    )
    freedom = float(sum(part * one.freedom for part, one in zip(share, fits, strict=True)))
    return Line(middle, covariance, freedom)


def fit(
    splines: NDArray, took: NDArray, of: NDArray, penalty: NDArray, spread: float = 1.0, start: NDArray | None = None
) -> Fit:
    """The weights that make the counts likeliest, less the price of bends: Newton's steps, halved where they overshoot."""
    import numpy as np

    weights = np.zeros(splines.shape[1]) if start is None else start
    value = _worth(splines, took, of, penalty, spread, weights)
    for _ in range(MOST_STEPS):
        chance = _chance(splines @ weights)
        slope = splines.T @ ((took - of * chance) / spread) - penalty @ weights
        told = (splines.T * (of * chance * (1 - chance) / spread)) @ splines
        step = np.linalg.solve(told + penalty + NEAR_ENOUGH * np.eye(len(weights)), slope)
        for _half in range(30):
            after = _worth(splines, took, of, penalty, spread, weights + step)
            if after >= value:
                break
            step = step / 2
        weights, gained, value = weights + step, after - value, after
        if abs(gained) < NEAR_ENOUGH * (1 + abs(value)):
            break
    return _judged(splines, of, penalty, spread, weights, value)


def _judged(splines: NDArray, of: NDArray, penalty: NDArray, spread: float, weights: NDArray, value: float) -> Fit:
    import numpy as np

    chance = _chance(splines @ weights)
    told = (splines.T * (of * chance * (1 - chance) / spread)) @ splines
    whole = told + penalty + NEAR_ENOUGH * np.eye(len(weights))
    covariance = np.linalg.inv(whole)
    roots = np.linalg.eigvalsh(penalty)[BENDS:]
    evidence = value + np.log(roots).sum() / 2 - np.linalg.slogdet(whole)[1] / 2
    return Fit(weights, covariance, float(evidence), float(np.trace(covariance @ told)))


def _worth(splines: NDArray, took: NDArray, of: NDArray, penalty: NDArray, spread: float, weights: NDArray) -> float:
    """The logarithm of the likelihood, less half the price of bends."""
    import numpy as np

    logit = splines @ weights
    return float((took * logit - of * np.logaddexp(0, logit)).sum() / spread - weights @ penalty @ weights / 2)


def _chance(logit: NDArray) -> NDArray:
    from scipy.special import expit

    return expit(logit)
