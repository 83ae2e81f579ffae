"""Degree-days and hours of a day from its lowest and highest temperature.

A day is taken as one wave between its extremes. The degree-days above a base are the area under that wave above the
base, and an upper threshold cuts the wave off flat (horizontal cut-off): warmth above it counts as warmth at it.

Everything is vectorised: `low` and `high` are arrays of the same length, one value a day, nan for a day without one;
what comes back has that length and is nan where either is. Temperatures may be in C or in F, all in one of them; the
answer is in the same.
"""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType
from typing import TYPE_CHECKING

from graftbook.errors import UsageProblem

if TYPE_CHECKING:
    from graftbook.season.weather_days import Floats

METHODS = ("sine", "triangle", "average", "clamped-average", "four-case")
HOURS = 24.0


def daily(low: Floats, high: Floats, base: float, upper: float | None = None, method: str = "sine") -> Floats:
    """The degree-days of each day.

    Parameters
    ----------
    low, high : daily lowest and highest temperature, arrays of one length; nan for a gap.
    base : the base temperature, above which warmth counts.
    upper : the upper threshold, above the base, warmth above which counts as warmth at it; None for no threshold.
    method : one of METHODS. `sine`: single sine [1]. `triangle`: single triangle [2]. `average`: the mean of the extremes
        less the base, never below 0 (the first method of [3]). `clamped-average`: each extreme is first brought between
        base and upper (the second method of [3]). `four-case`: the rule of the British and Irish weather services.

    Returns
    -------
    An array of the same length, 0 or more, nan for a gap. Raises UsageProblem for a method that is none of METHODS, and for
    an upper threshold that is not above the base.

    References
    ----------
    1. Baskerville, G. L. and Emin, P. (1969). Rapid estimation of heat accumulation from maximum and minimum temperatures.
       Ecology 50:514-517.
    2. Zalom, F. G. and others (1983). Degree-days: the calculation and use of heat units in pest management. University of
       California, leaflet 21373.
    3. McMaster, G. S. and Wilhelm, W. W. (1997). Growing degree-days: one equation, two interpretations. Agricultural and
       Forest Meteorology 87:291-300.
    """
    import numpy as np

    check(base, upper, method)
    low, high = np.asarray(low, float), np.asarray(high, float)
    if method == "clamped-average":
        least, most = np.maximum(low, base), np.maximum(high, base)
        if upper is not None:
            least, most = np.minimum(least, upper), np.minimum(most, upper)
        return (least + most) / 2 - base
    above = _ABOVE[method]
    warm = above(low, high, base)
    return warm if upper is None else warm - above(low, high, upper)


def check(base: float, upper: float | None, method: str) -> None:
    """Raise UsageProblem for a method that is none of METHODS, or an upper threshold that is not above the base."""
    if method not in METHODS:
        raise UsageProblem(f"a way to count degree-days: {', '.join(METHODS)}", repr(method))
    if upper is not None and not upper > base:
        raise UsageProblem(f"an upper threshold above the base of {base:.10g}", f"{upper:.10g}")


def _sine(low: Floats, high: Floats, level: float) -> Floats:
    """The area between a sine wave and a level under it, as degree-days."""
    import numpy as np

    mean, swing = (low + high) / 2, (high - low) / 2
    crosses = (low < level) & (high > level)
    angle = np.arcsin(np.clip(np.divide(level - mean, swing, out=np.zeros_like(mean), where=crosses), -1, 1))
    part = ((mean - level) * (np.pi / 2 - angle) + swing * np.cos(angle)) / np.pi
    return np.where(crosses, part, np.maximum(mean - level, 0))


def _triangle(low: Floats, high: Floats, level: float) -> Floats:
    import numpy as np

    crosses = (low < level) & (high > level)
    part = np.divide((high - level) ** 2, 2 * (high - low), out=np.zeros_like(low), where=crosses)
    return np.where(crosses, part, np.maximum((low + high) / 2 - level, 0))


def _average(low: Floats, high: Floats, level: float) -> Floats:
    import numpy as np

    return np.maximum((low + high) / 2 - level, 0)


def _four_case(low: Floats, high: Floats, level: float) -> Floats:
    import numpy as np

    mean = (low + high) / 2
    more = (high - level) / 2 - (level - low) / 4
    part = np.where(mean > level, more, (high - level) / 4)
    known = np.where(low >= level, mean - level, np.where(high <= level, 0.0, part))
    return np.where(np.isnan(mean), np.nan, known)


_ABOVE: MappingProxyType[str, Callable[[Floats, Floats, float], Floats]] = MappingProxyType({
    "sine": _sine, "triangle": _triangle, "average": _average, "four-case": _four_case,
})  # fmt: skip


def hours_over(low: Floats, high: Floats, level: float) -> Floats:
    """The hours of each day, 0 to 24, that a sine wave between the extremes spends above a level; nan for a gap."""
    import numpy as np

    return HOURS * _share(low, high, level, np.asarray(low, float) > level)


def hours_from(low: Floats, high: Floats, level: float) -> Floats:
    """The hours of each day, 0 to 24, that a sine wave between the extremes spends at a level or above it; nan for a gap."""
    import numpy as np

    return HOURS * _share(low, high, level, np.asarray(low, float) >= level)


def hours_inside(low: Floats, high: Floats, from_: float, to: float) -> Floats:
    """The hours of each day, 0 to 24, from one temperature up to another (not below it), both ends counted in; nan for a
    gap."""
    return hours_from(low, high, from_) - hours_over(low, high, to)


def _share(low: Floats, high: Floats, level: float, wholly: Floats) -> Floats:
    import numpy as np

    low, high = np.asarray(low, float), np.asarray(high, float)
    mean, swing = (low + high) / 2, (high - low) / 2
    crosses = ~wholly & (high > level) & (swing > 0)
    angle = np.arcsin(np.clip(np.divide(level - mean, swing, out=np.zeros_like(mean), where=crosses), -1, 1))
    share = np.where(crosses, 0.5 - angle / np.pi, np.where(wholly, 1.0, 0.0))
    return np.where(np.isnan(mean), np.nan, share)
