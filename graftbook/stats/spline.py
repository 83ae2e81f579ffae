"""Penalised B-splines (P-splines) for a binomial proportion over x, on the logit scale.

The data at each x are k of n. The logit is a sum of cubic B-splines on even knots; their squared second differences are
penalised, times a smoothing parameter. A large one leaves a straight line, a small one a line that follows every x. The
smoothing parameter is weighed by restricted maximum likelihood (REML, Laplace approximation): the fits at a fixed list of
smoothing parameters are averaged with their REML as weight, so that not knowing it widens the band as it should. Nothing is
random: the same counts give the same line.

`curve` says when such a line may be drawn at all.

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
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from numpy.typing import NDArray

SEGMENTS = 10
DEGREE = 3
PENALTY_ORDER = 2
SMOOTHING_PARAMETERS = tuple(10 ** (step / 2) for step in range(-6, 7))
"""Relative smoothing parameters: at 1 the penalty has the trace of the information of the data."""
MOST_STEPS = 60
NEAR_ENOUGH = 1e-9


@dataclass(frozen=True)
class BinomialCounts:
    """What is fitted: the basis `splines` (len(x) x m), and `successes` of `trials` at each x. `dispersion` (1 or more) is the
    variance over that of the binomial, by which the likelihood is divided (quasi-likelihood)."""

    splines: NDArray[Any]
    successes: NDArray[Any]
    trials: NDArray[Any]
    dispersion: float = 1.0

    def chance(self, weights: NDArray[Any]) -> NDArray[Any]:
        """The chance at each x, 0 to 1, with coefficients `weights` (m)."""
        from scipy.special import expit

        return expit(self.splines @ weights)

    def information(self, chance: NDArray[Any] | float) -> NDArray[Any]:
        """The information on the coefficients at a chance, m x m."""
        return (self.splines.T * (self.trials * chance * (1 - chance) / self.dispersion)) @ self.splines

    def penalised_likelihood(self, weights: NDArray[Any], penalty: NDArray[Any]) -> float:
        """The log likelihood less half the penalty (m x m)."""
        import numpy as np

        logit = self.splines @ weights
        likelihood = (self.successes * logit - self.trials * np.logaddexp(0, logit)).sum() / self.dispersion
        return float(likelihood - weights @ penalty @ weights / 2)


@dataclass(frozen=True)
class PenalisedFit:
    """The fit at one smoothing parameter, for m = SEGMENTS + DEGREE basis functions: coefficients `weights` (m), their
    posterior covariance (m x m), the restricted log likelihood and the effective degrees of freedom."""

    weights: NDArray[Any]
    covariance: NDArray[Any]
    reml: float
    edf: float


@dataclass(frozen=True)
class SmoothFit:
    """A smooth curve on the logit scale: coefficients (m) and covariance (m x m) averaged over the smoothing parameters, and the
    effective degrees of freedom."""

    weights: NDArray[Any]
    covariance: NDArray[Any]
    edf: float


def basis(x: NDArray[Any]) -> NDArray[Any]:
    """The B-spline basis (len(x) x m) at `x` from 0 to 1; values outside are taken as the nearer end."""
    import numpy as np
    from scipy.interpolate import BSpline

    knots = np.arange(-DEGREE, SEGMENTS + DEGREE + 1) / SEGMENTS
    inside = np.clip(x, 0.0, 1.0)
    return BSpline.design_matrix(inside, knots, DEGREE, extrapolate=False).toarray()


def penalty_matrix() -> NDArray[Any]:
    """The penalty on squared second differences of the coefficients, m x m (Eilers and Marx 1996, formula 3)."""
    import numpy as np

    steps = np.diff(np.eye(SEGMENTS + DEGREE), n=PENALTY_ORDER, axis=0)
    return steps.T @ steps


def smooth(x: NDArray[Any], successes: NDArray[Any], trials: NDArray[Any], dispersion: float = 1.0) -> SmoothFit:
    """The curve through `successes` of `trials` at `x` from 0 to 1, averaged over SMOOTHING_PARAMETERS.

    The three arrays have one length; `dispersion` as in BinomialCounts. There must be successes and failures, not completely
    separated by any x (see `curve`).
    """
    import numpy as np

    counts, penalty_base = BinomialCounts(basis(x), successes, trials, dispersion), penalty_matrix()
    overall = successes.sum() / trials.sum()
    scale = np.trace(counts.information(overall)) / np.trace(penalty_base)
    fits: list[PenalisedFit] = []
    start = np.full(len(penalty_base), np.log(overall / (1 - overall)))
    for smoothing in reversed(SMOOTHING_PARAMETERS):
        fits.append(penalised_fit(counts, smoothing * scale * penalty_base, start))
        start = fits[-1].weights
    share = np.exp([one.reml - max(other.reml for other in fits) for one in fits])
    share /= share.sum()
    middle = sum(part * one.weights for part, one in zip(share, fits, strict=True))
    covariance = sum(
        part * (one.covariance + np.outer(one.weights - middle, one.weights - middle))
        for part, one in zip(share, fits, strict=True)
    )
    edf = float(sum(part * one.edf for part, one in zip(share, fits, strict=True)))
    return SmoothFit(middle, covariance, edf)


def penalised_fit(counts: BinomialCounts, penalty: NDArray[Any], start: NDArray[Any] | None = None) -> PenalisedFit:
    """Penalised maximum likelihood by Newton's method with step halving.

    `penalty` is m x m with its smoothing parameter in it; `start` None begins at 0.
    """
    import numpy as np

    weights = np.zeros(len(penalty)) if start is None else start
    ridge = NEAR_ENOUGH * np.eye(len(weights))
    value = counts.penalised_likelihood(weights, penalty)
    for _ in range(MOST_STEPS):
        chance = counts.chance(weights)
        slope = counts.splines.T @ ((counts.successes - counts.trials * chance) / counts.dispersion) - penalty @ weights
        step = np.linalg.solve(counts.information(chance) + penalty + ridge, slope)
        for _half in range(30):
            after = counts.penalised_likelihood(weights + step, penalty)
            if after >= value:
                break
            step = step / 2
        weights, gained, value = weights + step, after - value, after
        if abs(gained) < NEAR_ENOUGH * (1 + abs(value)):
            break
    information = counts.information(counts.chance(weights))
    whole = information + penalty + ridge
    covariance = np.linalg.inv(whole)
    roots = np.linalg.eigvalsh(penalty)[PENALTY_ORDER:]
    reml = value + np.log(roots).sum() / 2 - np.linalg.slogdet(whole)[1] / 2
    return PenalisedFit(weights, covariance, float(reml), float(np.trace(covariance @ information)))
