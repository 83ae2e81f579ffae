"""The beta distribution, as far as intervals for a share need it: the standard library has none."""

from __future__ import annotations

from math import exp, lgamma, log, log1p

_TINY = 1e-300
_CLOSE = 1e-16


def below(x: float, a: float, b: float) -> float:
    """The chance, 0 to 1, that a beta quantity with `a` and `b` (both above 0) lies below `x`, 0 to 1.

    Source of the continued fraction: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.5.8, taken from the
    side on which it closes fast.
    """
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    if x < (a + 1) / (a + b + 2):
        return front * _fraction(x, a, b) / a
    return 1 - front * _fraction(1 - x, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    """The continued fraction by Lentz's method; it needs about the square root of the larger of `a` and `b` steps."""
    c, d = 1.0, 1 / _away(1 - (a + b) * x / (a + 1))
    value = d
    for m in range(1, 200 + int(8 * max(a, b) ** 0.5)):
        for part in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / _away(1 + part * d)
            c = _away(1 + part / c)
            value *= c * d
        if abs(c * d - 1) < 10 * _CLOSE:
            break
    return value


def _away(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


def quantile(chance: float, a: float, b: float) -> float:
    """The `x`, 0 to 1, below which a beta quantity with `a` and `b` (both above 0) lies with that chance, 0 to 1.

    Found by halving, to the last digits a float holds.
    """
    low, high = 0.0, 1.0
    while True:
        middle = (low + high) / 2
        if not low < middle < high or high - low < _CLOSE * middle:
            return middle
        low, high = (middle, high) if below(middle, a, b) < chance else (low, middle)
