"""How many tries it takes so that enough of them come off, all having one chance."""

from __future__ import annotations

from math import ceil

from graftbook.errors import UsageProblem


def at_least_of(count: int, tries: int, chance: float) -> float:
    """The chance that `count` or more of `tries` (0 or more) come off, each with `chance`, 0 to 1: the binomial tail

        P(X >= k) = I_p(k, n - k + 1), I being the regularised incomplete beta function.

    Raises UsageProblem for numbers out of range. Reference: Abramowitz and Stegun (1964), 26.5.24 (from memory).
    """
    if tries < 0 or not 0 <= chance <= 1:
        raise UsageProblem("tries of 0 or more with a chance from 0 to 1", f"{tries} with {chance:g}")
    if count <= 0:
        return 1.0
    if count > tries:
        return 0.0
    from scipy.special import betainc

    return float(betainc(count, tries - count + 1, chance))


def fewest(count: int, chance: float, sureness: float) -> int:
    """The fewest tries with which `count` or more come off with at least the chance `sureness`.

    `count` is 0 or more, `chance` of each try above 0 and at most 1, `sureness` above 0 and below 1. Found by halving, as
    the tail rises with every try. Raises UsageProblem for numbers out of range.
    """
    if count < 0 or not 0 < chance <= 1 or not 0 < sureness < 1:
        raise UsageProblem(
            "a count of 0 or more, a chance above 0 and a sureness between 0 and 1",
            f"{count}, {chance:g}, {sureness:g}",
        )
    low, high = count, max(count, 1)
    while at_least_of(count, high, chance) < sureness:
        low, high = high, ceil(high * 1.5) + 1
    while low < high:
        middle = (low + high) // 2
        if at_least_of(count, middle, chance) >= sureness:
            high = middle
        else:
            low = middle + 1
    return high
