"""Warmth between two days: degree-days above a base temperature, or hours inside a band, and the days missing from them.

A sum never hides a gap: every result carries the days known, the days missing and where they lie.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from graftbook.season import degree_days
from graftbook.season.weather_days import DailySeries, Gap, RunningSums, running_sums

BASE_C = 5.0
"""The base where nobody names one: 5 C, common practice for fruit of temperate places."""


@dataclass(frozen=True)
class Warmth:
    """Degree-days in C of a period; `known` and `missing` are its days, `gaps` where the missing ones lie. A missing day adds
    nothing, so with any of them the true sum is higher or the same."""

    degree_days: float
    known: int
    missing: int
    gaps: tuple[Gap, ...]


@dataclass(frozen=True)
class BandHours:
    """Hours below, inside and above a band of temperatures in C, both ends of the band inside; days as in Warmth."""

    below: float
    inside: float
    above: float
    known: int
    missing: int
    gaps: tuple[Gap, ...]


def warmth(
    days: DailySeries,
    since: date,
    until: date,
    base_c: float = BASE_C,
    upper_c: float | None = None,
    method: str = "sine",
) -> Warmth:
    """The sum of degree-days from one day to another, both counted in.

    Parameters
    ----------
    days : the daily series, in C; days asked for that lie outside it are missing.
    base_c, upper_c : base temperature and upper threshold in C (None: no threshold).
    method : one of degree_days.METHODS.

    Raises as `degree_days.daily`.
    """
    import numpy as np

    part = days.between(since, until)
    total = float(np.nansum(degree_days.daily(part.low, part.high, base_c, upper_c, method)))
    known = int(part.known().sum())
    return Warmth(total, known, len(part) - known, part.gaps())


def running(
    days: DailySeries, base_c: float = BASE_C, upper_c: float | None = None, method: str = "sine"
) -> RunningSums:
    """Running sums of degree-days, from which the warmth of many periods comes at once. Takes and raises as `warmth`."""
    return running_sums(days.first, degree_days.daily(days.low, days.high, base_c, upper_c, method))


def band_hours(days: DailySeries, since: date, until: date, band_low_c: float, band_high_c: float) -> BandHours:
    """The hours spent below, inside and above a band of temperatures in C, from one day to another, both counted in."""
    import numpy as np

    part = days.between(since, until)
    above = float(np.nansum(degree_days.hours_over(part.low, part.high, band_high_c)))
    inside = float(np.nansum(degree_days.hours_inside(part.low, part.high, band_low_c, band_high_c)))
    known = int(part.known().sum())
    below = max(known * degree_days.HOURS - above - inside, 0.0)
    return BandHours(below, inside, above, known, len(part) - known, part.gaps())
