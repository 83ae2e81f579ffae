"""How many of several independent trials succeed: the Poisson binomial distribution (a probability for each) and the binomial.

The distribution is computed exactly by convolution; every step adds and multiplies numbers that are not negative, so nothing
is lost by cancellation and small tails keep their digits.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from math import ceil
from typing import TYPE_CHECKING, Any

from graftbook.errors import UsageProblem
from graftbook.stats.beta import below

if TYPE_CHECKING:
    from numpy.typing import NDArray

# From so many trials on, whole rows are added by numpy.
_MANY = 200


def chances(each: Sequence[float]) -> tuple[float, ...]:
    """The probability of exactly 0, 1, … n successes in n trials, n + 1 numbers.

    `each` holds the probability of each trial, 0 to 1, in any order; none at all gives (1.0,). Built up trial by trial:

        P_j(k) = (1 - p_j) P_{j-1}(k) + p_j P_{j-1}(k - 1)

    Raises UsageProblem for a chance outside 0 to 1.

    Reference: Hong, Y. (2013). On computing the distribution function for the Poisson binomial distribution.
    Computational Statistics & Data Analysis 59:41-51 (from memory).
    """
    _check(each)
    return _upto(len(each), each, keep=False)


def at_least(count: int, each: Sequence[float]) -> float:
    """The probability of `count` or more successes; 1 for a count of 0 or below, 0 above the number of trials.

    `each` as in `chances`, with all numbers of `count` and more taken together. Raises UsageProblem as it does.
    """
    _check(each)
    if count <= 0:
        return 1.0
    if count > len(each):
        return 0.0
    return min(1.0, _upto(count, each, keep=True)[count])


def table(count: int, kinds: Sequence[float], most: Sequence[int]) -> NDArray[Any]:
    """The probability of `count` or more successes, for every mix of trials of a few kinds.

    Cell (a, b, …) of the array is for `a` trials of probability kinds[0], `b` of kinds[1], …; axis i has most[i] + 1 cells.
    `count` is 0 or more. Raises UsageProblem for a chance outside 0 to 1, a most below 0, or unlike lengths.
    """
    import numpy as np

    _check(kinds)
    if len(kinds) != len(most) or any(each < 0 for each in most):
        raise UsageProblem("a greatest number of tries, 0 or more, for each chance", f"{list(most)} for {list(kinds)}")
    state: NDArray[Any] = np.zeros(count + 1)
    state[0] = 1.0
    for chance, top in zip(kinds, most, strict=True):
        whole = np.empty((*state.shape[:-1], top + 1, count + 1))
        whole[..., 0, :] = state
        for tries in range(1, top + 1):
            whole[..., tries, :] = _step(whole[..., tries - 1, :], chance, keep=True)
        state = whole
    return np.minimum(state[..., count], 1.0)


def binomial_at_least(count: int, trials: int, chance: float) -> float:
    """The probability that `count` or more of `trials` (0 or more) succeed, each with `chance`, 0 to 1: the binomial tail

        P(X >= k) = I_p(k, n - k + 1), I being the regularised incomplete beta function.

    Raises UsageProblem for numbers out of range. Reference: Abramowitz and Stegun (1964), 26.5.24 (from memory).
    """
    if trials < 0 or not 0 <= chance <= 1:
        raise UsageProblem("tries of 0 or more with a chance from 0 to 1", f"{trials} with {chance:g}")
    if count <= 0:
        return 1.0
    if count > trials:
        return 0.0
    return below(chance, count, trials - count + 1)


def fewest_trials(count: int, chance: float, sureness: float) -> int:
    """The fewest trials with which `count` or more succeed with at least the chance `sureness`.

    `count` is 0 or more, `chance` of each trial above 0 and at most 1, `sureness` above 0 and below 1. Found by bisection, as
    the tail rises with every trial. Raises UsageProblem for numbers out of range.
    """
    if count < 0 or not 0 < chance <= 1 or not 0 < sureness < 1:
        raise UsageProblem(
            "a count of 0 or more, a chance above 0 and a sureness between 0 and 1",
            f"{count}, {chance:g}, {sureness:g}",
        )
    low, high = count, max(count, 1)
    while binomial_at_least(count, high, chance) < sureness:
        low, high = high, ceil(high * 1.5) + 1
    return low + bisect_left(range(low, high), sureness, key=lambda trials: binomial_at_least(count, trials, chance))


def _check(each: Sequence[float]) -> None:
    wrong = [chance for chance in each if not 0 <= chance <= 1]
    if wrong:
        raise UsageProblem("chances from 0 to 1", ", ".join(f"{chance:g}" for chance in wrong[:5]))


def _upto(top: int, each: Sequence[float], keep: bool) -> tuple[float, ...]:
    """The probabilities of 0 to `top`; with `keep` the last cell holds all that is `top` or more."""
    if len(each) >= _MANY:
        import numpy as np

        row: NDArray[Any] = np.zeros(top + 1)
        row[0] = 1.0
        for chance in each:
            row = _step(row, chance, keep)
        return tuple(row.tolist())
    plain = [1.0] + [0.0] * top
    for chance in each:
        last = plain[top] if keep else plain[top] * (1 - chance)
        for at in range(top, 0, -1):
            stays = last if at == top else plain[at] * (1 - chance)
            plain[at] = stays + plain[at - 1] * chance
        plain[0] = plain[0] * (1 - chance) if top else last
    return tuple(plain)


def _step(state: NDArray[Any], chance: float, keep: bool) -> NDArray[Any]:
    after = state * (1 - chance)
    if keep:
        after[..., -1] = state[..., -1]
    after[..., 1:] += state[..., :-1] * chance
    return after
