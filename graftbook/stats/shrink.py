"""Partial pooling of many small counts of one kind: a hierarchical beta-binomial model.

Cells of a few grafts make the highest and the lowest rates by luck alone. If the rates of the cells are drawn from one beta
distribution, whose two hyperparameters are not known either, each cell's estimate shrinks towards the rest, that of a small
cell far and that of a large one hardly at all. It is shown beside the counts and never instead of them.

The posterior of the hyperparameters is computed on a grid and integrated over, so the same counts always give the same answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftbook.stats.interval import LEVEL, wilson

if TYPE_CHECKING:
    import numpy as np

LEAST_CELLS = 3
"""With fewer cells than this the hyperparameters are hardly identified: a rule of this book."""
WIDE = ((-9.0, 9.0), (-3.0, 20.0))
"""The range of the grid, in log(alpha / beta) and log(alpha + beta)."""
_STEPS = (97, 70)
_STRETCH = 7.0
_DROPPED = 1e-4
_FAR = 4


@dataclass(frozen=True)
class Shrunk:
    """The posterior mean of a cell's share, 0 to 1, with its equal-tailed credible interval."""

    rate: float
    low: float
    high: float


@dataclass(frozen=True)
class Hyperparameters:
    """The posterior of the hyperparameters: points (`alpha`, `beta`), both above 0, with their `weight`; the three arrays have
    one length and the weights sum to 1."""

    alpha: np.ndarray
    beta: np.ndarray
    weight: np.ndarray

    @property
    def mean(self) -> tuple[float, float]:
        """The posterior means of alpha and beta."""
        return float(self.weight @ self.alpha), float(self.weight @ self.beta)

    @property
    def mode(self) -> tuple[float, float]:
        """The point of the grid with the most weight, as (log(alpha / beta), log(alpha + beta))."""
        import numpy as np

        at = int(self.weight.argmax())
        return float(np.log(self.alpha[at] / self.beta[at])), float(np.log(self.alpha[at] + self.beta[at]))


def shrink(counts: Sequence[tuple[int, int]], level: float = LEVEL) -> tuple[Shrunk, ...] | None:
    """The posterior of each cell `(k, n)`, in the order given; that of a cell of n = 0 is the prediction for a new one.

    Returns None where the hyperparameters are not identified: fewer than LEAST_CELLS cells with anything in them, or none
    with both successes and failures.

    Raises UsageProblem for counts or a level as `wilson` does.

    References
    ----------
    1. Gelman, A., Carlin, J. B., Stern, H. S., Dunson, D. B., Vehtari, A. and Rubin, D. B. (2013). Bayesian Data Analysis,
       3rd ed., section 5.3 (model, prior and grid).
    """
    for k, n in counts:
        wilson(k, n, level)
    counted = [(k, n) for k, n in counts if n]
    if len(counted) < LEAST_CELLS or not any(0 < k < n for k, n in counted):
        return None
    posterior = hyperparameters(counted)
    known = {(k, n): _cell(posterior, k, n, level) for k, n in set(counts)}
    return tuple(known[cell] for cell in counts)


def hyperparameters(
    counts: Sequence[tuple[int, int]],
    grid: tuple[tuple[float, float], tuple[float, float]] | None = None,
    steps: tuple[int, int] = _STEPS,
) -> Hyperparameters:
    """The posterior of alpha and beta on a grid in x = log(alpha / beta) and y = log(alpha + beta).

    The prior is proportional to (alpha + beta)^(-5/2), which in x and y is alpha beta (alpha + beta)^(-5/2); each cell gives
    B(alpha + k, beta + n - k) / B(alpha, beta). `counts` holds (k, n) with n above 0; `grid` is the range of x and of y, None
    taking WIDE with the points of x the denser the closer they are to the mode, since equal cells leave x a ridge much narrower
    than the grid; `steps` is the number of points in x and y. Points of hardly any weight are left out.
    """
    import numpy as np

    ends = WIDE if grid is None else grid
    x, y = (np.linspace(*pair, number) for pair, number in zip(ends, steps, strict=True))
    if grid is not None:
        return _trimmed(*_posterior_grid(counts, x, y), np.ones_like(x))
    counted = sum(k for k, _n in counts) + 0.5, sum(n - k for k, n in counts) + 0.5
    centre, stretched = float(np.log(counted[0] / counted[1])), np.linspace(-_STRETCH, _STRETCH, steps[0])
    for _ in range(2):
        x = centre + WIDE[0][1] * np.sinh(stretched) / np.sinh(_STRETCH)
        found = _posterior_grid(counts, x, y)
        centre = float(x[np.unravel_index(found[2].argmax(), found[2].shape)[0]])
    return _trimmed(*found, np.cosh(stretched))


def _trimmed(alpha: np.ndarray, beta: np.ndarray, weight: np.ndarray, widths: np.ndarray) -> Hyperparameters:
    """The points that hold all but a ten-thousandth of the weight."""
    weight = weight * widths[:, None]
    ranked = weight.ravel()[weight.argsort(axis=None)]
    least = ranked[ranked.cumsum() > _DROPPED * ranked.sum()][0]
    kept = weight >= least
    return Hyperparameters(alpha[kept], beta[kept], weight[kept] / weight[kept].sum())


def _posterior_grid(
    counts: Sequence[tuple[int, int]], x: np.ndarray, y: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Alpha, beta and the weight at every point, the largest 1."""
    import numpy as np

    total = np.exp(y)[None, :]
    share = (1 / (1 + np.exp(-x)))[:, None]
    alpha, beta = share * total, (1 - share) * total
    logs = np.log(alpha) + np.log(beta) - 2.5 * np.log(alpha + beta) + _likelihood(counts, alpha, beta)
    return alpha, beta, np.exp(logs - logs.max())


def _likelihood(counts: Sequence[tuple[int, int]], alpha: np.ndarray, beta: np.ndarray) -> np.ndarray:
    """The log likelihood of every cell at every point; equal cells are computed once."""
    from collections import Counter

    from scipy.special import betaln

    whole: Any = 0.0
    for (k, n), number in sorted(Counter(counts).items()):
        whole = whole + number * (betaln(alpha + k, beta + n - k) - betaln(alpha, beta))
    return whole


def _cell(posterior: Hyperparameters, k: int, n: int, level: float) -> Shrunk:
    """The mean and the equal-tailed range of one cell's share, a mixture of beta distributions over the points."""
    a, b = posterior.alpha + k, posterior.beta + n - k
    means = a / (a + b)
    rate = float(posterior.weight @ means)
    far = _FAR * float(posterior.weight @ (means * (1 - means) / (a + b + 1) + (means - rate) ** 2)) ** 0.5
    ends = max(0.0, rate - far), min(1.0, rate + far)
    low, high = (_quantile(posterior.weight, a, b, chance, ends) for chance in ((1 - level) / 2, (1 + level) / 2))
    return Shrunk(rate, low, high)


def _quantile(weight: np.ndarray, a: np.ndarray, b: np.ndarray, chance: float, ends: tuple[float, float]) -> float:
    """The share below which the mixture lies with a chance, to a hundred-thousandth; looked for between `ends` first."""
    from scipy.optimize import brentq
    from scipy.special import betainc

    def gap(share: float) -> float:
        return float(weight @ betainc(a, b, share)) - chance

    if not gap(ends[0]) < 0 < gap(ends[1]):
        ends = 0.0, 1.0
    return float(brentq(gap, *ends, xtol=1e-5))
