"""Whether temperatures can be in the unit they were read in, told by what seasons can be.

A single freak value is a slip of one line; a season that tops sixty degrees is a file read in the wrong unit, and is asked
about before anything of it is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from statistics import median

from graftbook.season.weather_units import HOTTEST_C, UNITS, celsius

_SOME, _YEAR = 5, 270
_HOT_MEDIAN_C = 36.0
_COOL_SUMMER_C = 12.0
_WIDE_C = 28.0


def question(lows: Mapping[int, float], highs: Mapping[int, float], unit: str) -> str | None:
    """What is odd about daily extremes (in the file's own figures, by day) read in a unit, as a question; None for nothing.

    Odd are, in five days or more: one highest in twenty above 60 C; a median day above 36 C; days that for the most part
    swing by more than 28 C; and in 270 days or more a warmest tenth that begins below 12 C.
    """
    warm = sorted(highs.values())
    both = [(lows[day], highs[day]) for day in lows.keys() & highs.keys()]
    if len(warm) >= _SOME and celsius(warm[int(len(warm) * 0.95)], unit) > HOTTEST_C:
        return f"highs up to {celsius(warm[-1], unit):.10g} C, which no season has"
    if (
        len(both) >= _SOME
        and (middle := celsius(median([(low + high) / 2 for low, high in both]), unit)) > _HOT_MEDIAN_C
    ):
        return f"a middle day of {middle:.1f} C"
    swing = median([high - low for low, high in both]) if both else 0.0
    if len(both) >= _SOME and (wide := celsius(swing, unit) - celsius(0, unit)) > _WIDE_C:
        return f"days that swing by {wide:.1f} C for the most part"
    if len(warm) >= _YEAR and (tenth := celsius(warm[int(len(warm) * 0.9)], unit)) < _COOL_SUMMER_C:
        return f"a year whose warmest tenth begins at {tenth:.1f} C"
    return None


def likelier(lows: Mapping[int, float], highs: Mapping[int, float], unit: str) -> tuple[str, ...]:
    """The other units in which nothing is odd about the same figures, likeliest first."""
    return tuple(other for other in UNITS if other != unit and question(lows, highs, other) is None)
