"""Units in which weather files write temperatures, and whether figures can be in one of them.

A single freak value is a slip of one line; a season that tops sixty degrees is a file read in the wrong unit, and is asked
about before anything of it is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from statistics import median

from graftbook.errors import UsageProblem

UNITS = ("C", "F", "tenths", "tenths-F")
"""Degrees Celsius, degrees Fahrenheit, and tenths of either."""
COLDEST_C, HOTTEST_C = -90.0, 60.0
"""What the air near the ground has ever been, with room to spare (World Meteorological Organization: -89.2 and 56.7 C)."""
_SOME, _YEAR = 5, 270
_HOT_MEDIAN_C = 36.0
_COOL_SUMMER_C = 12.0
_WIDE_C = 28.0
_NAMES = (
    ("c", "C"), ("celsius", "C"), ("f", "F"), ("fahrenheit", "F"), ("tenths", "tenths"), ("tenths-c", "tenths"),
    ("tenths-f", "tenths-F"),
)  # fmt: skip


def celsius(value: float, unit: str) -> float:
    """A value in one of UNITS as C, to a hundredth of a degree."""
    if unit.startswith("tenths"):
        value /= 10
    return round((value - 32) / 1.8 if unit.endswith("F") else value, 2)


def read_unit(text: str) -> str:
    """The unit meant. Raises UsageProblem naming those there are."""
    plain = text.strip().casefold().replace("_", "-").lstrip("°")
    found = dict(_NAMES).get(plain)
    if found is None:
        raise UsageProblem(f"a unit of temperature: {', '.join(UNITS)} (tenths are tenths of a degree C)", repr(text))
    return found


def implausible(lows: Mapping[int, float], highs: Mapping[int, float], unit: str) -> str | None:
    """What no season has in daily extremes read in a unit, as a few words to ask by; None where they are plausible.

    Implausible are, in five days or more: one highest in twenty above 60 C; a median day above 36 C; a median daily range
    above 28 C; and in 270 days or more a warmest tenth that begins below 12 C. These bounds are a rule of this book, no
    source. `lows` and `highs` are the file's own figures by day, `unit` one of UNITS.
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


def plausible_units(lows: Mapping[int, float], highs: Mapping[int, float], unit: str) -> tuple[str, ...]:
    """The other UNITS in which the same figures are plausible, likeliest first."""
    return tuple(other for other in UNITS if other != unit and implausible(lows, highs, other) is None)
