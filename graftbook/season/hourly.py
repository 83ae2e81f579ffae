"""Hourly temperatures out of daily extremes: a sine by day, a slowing fall by night, with the length of the day by latitude.

The form is that of Linvill. Peach at three latitudes needed one common sum by such a curve, and no common one by
straight lines (Acta Horticulturae 315). A day has 24 hours by the sun: clocks put forward or back make no odds.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftbook.errors import UsageProblem
from graftbook.season.weather_days import DailySeries

if TYPE_CHECKING:
    from graftbook.season.weather_days import Floats

_TWILIGHT_DEG = 0.8333
_LATE_HOURS = 4.0


def daylength(latitude: float, day_of_year: Floats) -> Floats:
    """Hours from sunrise to sunset.

    Parameters
    ----------
    latitude : in degrees, -90 to 90, north above 0.
    day_of_year : days counted from 1, up to 366.

    Returns
    -------
    An array of the same length, 0 to 24 hours, with the usual 0.83 degrees for refraction and the sun's rim. Raises
    UsageProblem for a latitude outside -90 to 90.

    References
    ----------
    1. Spencer, J. W. (1971). Fourier series representation of the position of the sun. Search 2(5):172 (declination).
    """
    import numpy as np

    if not -90 <= latitude <= 90:
        raise UsageProblem("a latitude from -90 to 90 degrees", f"{latitude:.10g}")
    turn = 2 * np.pi / 365 * (np.asarray(day_of_year, float) - 1)
    tilt = (
        0.006918 - 0.399912 * np.cos(turn) + 0.070257 * np.sin(turn) - 0.006758 * np.cos(2 * turn)
        + 0.000907 * np.sin(2 * turn) - 0.002697 * np.cos(3 * turn) + 0.00148 * np.sin(3 * turn)
    )  # fmt: skip
    here = np.radians(latitude)
    cosine = (np.sin(-np.radians(_TWILIGHT_DEG)) - np.sin(here) * np.sin(tilt)) / (
        np.maximum(np.cos(here), 1e-9) * np.cos(tilt)
    )
    return 24 / np.pi * np.arccos(np.clip(cosine, -1, 1))


def hourly_temperatures(days: DailySeries, latitude: float) -> Floats:
    """Temperatures of the hours 0 to 23 of each day, one after another.

    The hours before sunrise fall from the evening before, those after sunset towards the lowest of the next day; where that
    day is not known, the day's own lowest stands in for it, so that a known day has all its hours.

    Parameters
    ----------
    days : the daily series, in C.
    latitude : of its station in degrees, -90 to 90, north above 0.

    Returns
    -------
    24 values a day in C, nan for the hours of a gap; empty for no days. Raises UsageProblem for a latitude outside -90 to
    90.

    References
    ----------
    1. Linvill, D. E. (1990). Calculating chilling hours and chill units from daily maximum and minimum temperature
       observations. HortScience 25:14-16.
    """
    import numpy as np

    size = len(days)
    if not size:
        return np.empty(0)
    number = (np.datetime64(days.first) + np.arange(size)).astype("datetime64[D]")
    of_year = (number - number.astype("datetime64[Y]")).astype(int) + 1
    light = np.clip(daylength(latitude, of_year), 0.5, 23.5)
    known = days.known()
    low, high = np.where(known, days.low, np.nan), np.where(known, days.high, np.nan)
    rise, dusk = 12 - light / 2, low + (high - low) * np.sin(np.pi * light / (light + _LATE_HOURS))
    before, after = _shifted(dusk, 1, dusk), _shifted(low, -1, low)
    light_before, light_after = _shifted(light, 1, light), _shifted(light, -1, light)
    hour = np.arange(24)[None, :]
    since_rise, since_set = hour - rise[:, None], hour - (12 + light / 2)[:, None]
    by_day = low[:, None] + (high - low)[:, None] * np.sin(np.pi * since_rise / (light + _LATE_HOURS)[:, None])
    night = 24 - light / 2 - light_after / 2
    evening = _falling(dusk, after, since_set, night)
    last_night = 24 - light / 2 - light_before / 2
    morning = _falling(before, low, hour + (12 - light_before / 2)[:, None], last_night)
    return np.where(since_rise < 0, morning, np.where(since_set > 0, evening, by_day)).ravel()


def _falling(start: Floats, end: Floats, hours: Floats, night: Floats) -> Floats:
    """From the temperature at sunset down to the next lowest, fast at first (logarithmic)."""
    import numpy as np

    share = np.log1p(np.maximum(hours, 0)) / np.log1p(night)[:, None]
    return start[:, None] - (start - end)[:, None] * np.minimum(share, 1)


def _shifted(values: Floats, by: int, own: Floats) -> Floats:
    """Values of the day before (1) or after (-1); a day's own where there is none."""
    import numpy as np

    moved = np.roll(values, by)
    moved[0 if by > 0 else -1] = np.nan
    return np.where(np.isnan(moved), own, moved)
