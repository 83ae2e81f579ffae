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

    The three arrays have one length. `dispersion` (1 or more) is the variance over that of the binomial, by which the
    likelihood is divided (quasi-likelihood). There must be successes and failures, not completely separated by any x (see
    `curve`).
    """
    import numpy as np

    splines, penalty_base = basis(x), penalty_matrix()
    overall = successes.sum() / trials.sum()
    information = (splines.T * (trials * overall * (1 - overall) / dispersion)) @ splines
    scale = np.trace(information) / np.trace(penalty_base)
    fits: list[PenalisedFit] = []
    start = np.full(splines.shape[1], np.log(overall / (1 - overall)))
    for smoothing in reversed(SMOOTHING_PARAMETERS):
        fits.append(penalised_fit(splines, successes, trials, smoothing * scale * penalty_base, dispersion, start))
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


def penalised_fit(
    splines: NDArray[Any],
    successes: NDArray[Any],
    trials: NDArray[Any],
    penalty: NDArray[Any],
    dispersion: float = 1.0,
    start: NDArray[Any] | None = None,
) -> PenalisedFit:
    """Penalised maximum likelihood by Newton's method with step halving.

    `splines` is the basis (len(x) x m), `penalty` m x m with its smoothing parameter in it; `start` None begins at 0.
    """
    import numpy as np

    weights = np.zeros(splines.shape[1]) if start is None else start
    value = _penalised_likelihood(splines, successes, trials, penalty, dispersion, weights)
    for _ in range(MOST_STEPS):
        chance = _chance(splines @ weights)
        slope = splines.T @ ((successes - trials * chance) / dispersion) - penalty @ weights
        information = (splines.T * (trials * chance * (1 - chance) / dispersion)) @ splines
        step = np.linalg.solve(information + penalty + NEAR_ENOUGH * np.eye(len(weights)), slope)
        for _half in range(30):
            after = _penalised_likelihood(splines, successes, trials, penalty, dispersion, weights + step)
            if after >= value:
                break
            step = step / 2
        weights, gained, value = weights + step, after - value, after
        if abs(gained) < NEAR_ENOUGH * (1 + abs(value)):
            break
    return _evaluated(splines, trials, penalty, dispersion, weights, value)


def _evaluated(
    splines: NDArray[Any],
    trials: NDArray[Any],
    penalty: NDArray[Any],
    dispersion: float,
    weights: NDArray[Any],
    value: float,
) -> PenalisedFit:
    import numpy as np

    chance = _chance(splines @ weights)
    information = (splines.T * (trials * chance * (1 - chance) / dispersion)) @ splines
    whole = information + penalty + NEAR_ENOUGH * np.eye(len(weights))
    covariance = np.linalg.inv(whole)
    roots = np.linalg.eigvalsh(penalty)[PENALTY_ORDER:]
    reml = value + np.log(roots).sum() / 2 - np.linalg.slogdet(whole)[1] / 2
    return PenalisedFit(weights, covariance, float(reml), float(np.trace(covariance @ information)))


def _penalised_likelihood(
    splines: NDArray[Any],
    successes: NDArray[Any],
    trials: NDArray[Any],
    penalty: NDArray[Any],
    dispersion: float,
    weights: NDArray[Any],
) -> float:
    """The log likelihood less half the penalty."""
    import numpy as np

    logit = splines @ weights
    return float(
        (successes * logit - trials * np.logaddexp(0, logit)).sum() / dispersion - weights @ penalty @ weights / 2
    )


def _chance(logit: NDArray[Any]) -> NDArray[Any]:
    from scipy.special import expit

    return expit(logit)
