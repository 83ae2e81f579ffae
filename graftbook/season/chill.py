"""Chill: how much cold a winter had, counted in three ways from hourly temperatures.

Chill hours and Utah units count each hour by itself and are known to mislead in mild winters; the Dynamic model of
Fishman, Erez and Couvillon lets warm hours undo what is not yet fixed and is the one to trust there. Requirements in the
trade's lists differ several-fold between authors, so a sum is one thing to weigh, not a gate.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from graftbook.errors import UsageProblem

if TYPE_CHECKING:
    from graftbook.season.weather_days import Floats

HOUR_COUNTS = MappingProxyType({
    "0-7.2": "hours from 0 to 7.2 C, both counted in (Weinberger 1950, Bennett 1949)",
    "below-7.2": "every hour below 7.2 C, frost counted in",
})  # fmt: skip
"""The two ways of counting chill hours in use; they differ in cold winters."""
UTAH_TABLES = MappingProxyType({
    "C": ((1.4, 2.4, 9.1, 12.4, 15.9, 18.0), "Richardson, Seeley and Walker 1974, the table in C"),
    "F": (tuple((f - 32) / 1.8 for f in (34.0, 36.0, 48.0, 54.0, 60.0, 65.0)), "the table in whole degrees F"),
})  # fmt: skip
"""Two published tables of Utah units; they are not the same when converted."""
_UTAH_UNITS = (0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0)

E0, E1, A0, A1, SLOPE, TETMLT_K = 4153.5, 12888.8, 139500.0, 2.567e18, 1.6, 277.0
KELVIN = 273.0
"""Constants of the Dynamic model (Fishman, Erez and Couvillon 1987; Erez and others 1990); with 273, not 273.15, as they
are published and used."""


def hour_count(name: str) -> str:
    """A way of counting chill hours in words. Raises UsageProblem for one that HOUR_COUNTS does not have."""
    if name not in HOUR_COUNTS:
        raise UsageProblem(f"a count of chilling hours: {', '.join(HOUR_COUNTS)}", repr(name))
    return HOUR_COUNTS[name]


def utah_table(name: str) -> tuple[tuple[float, ...], str]:
    """The bounds of a Utah table in C, and what it is. Raises UsageProblem for one that UTAH_TABLES does not have."""
    if name not in UTAH_TABLES:
        raise UsageProblem(f"a Utah table: {', '.join(UTAH_TABLES)}", repr(name))
    return UTAH_TABLES[name]


def chilling_hours(hourly_c: Floats, count: str = "0-7.2") -> Floats:
    """Which hours count as chill hours.

    Parameters
    ----------
    hourly_c : one temperature an hour in C, any number of hours; nan for a gap.
    count : a key of HOUR_COUNTS, which name their sources.

    Returns
    -------
    An array of the same length: 1 for an hour that chills, 0 for another, nan for a gap. Raises UsageProblem for a count
    that HOUR_COUNTS does not have.
    """
    import numpy as np

    hour_count(count)
    cold = (hourly_c >= 0) & (hourly_c <= 7.2) if count == "0-7.2" else hourly_c < 7.2
    return np.where(np.isnan(hourly_c), np.nan, cold.astype(float))


def utah_units(hourly_c: Floats, table: str = "C") -> Floats:
    """Utah chill units of each hour.

    Parameters
    ----------
    hourly_c : one temperature an hour in C, any number of hours; nan for a gap.
    table : a key of UTAH_TABLES, which name their sources. A bin is open below and closed above.

    Returns
    -------
    An array of the same length, each value one of -1, -0.5, 0, 0.5 and 1, nan for a gap. Raises UsageProblem for a table
    that UTAH_TABLES does not have.
    """
    import numpy as np

    at = np.searchsorted(np.asarray(utah_table(table)[0]) + 1e-9, np.nan_to_num(hourly_c), side="left")
    return np.where(np.isnan(hourly_c), np.nan, np.asarray(_UTAH_UNITS)[at])


def chill_portions(hourly_c: Floats) -> Floats:
    """Chill portions of the Dynamic model gained in each hour.

    Parameters
    ----------
    hourly_c : one temperature an hour in C, hours following one another; nan for a gap, over which the model stands still.

    Returns
    -------
    An array of the same length, 0 or more, nan for a gap. The intermediate product that is not yet fixed is carried from
    hour to hour, so the sum of a period is not the sum of its parts computed one by one.

    References
    ----------
    1. Fishman, S., Erez, A. and Couvillon, G. A. (1987). The temperature dependence of dormancy breaking in plants. Journal
       of Theoretical Biology 124:473-483, 126:309-321.
    2. Erez, A. and others (1990). The Dynamic model for rest completion in peach buds. Acta Horticulturae 276:165-174.
    """
    import numpy as np

    known = ~np.isnan(hourly_c)
    kelvin = np.where(known, hourly_c, 0.0) + KELVIN
    above = np.exp(SLOPE * TETMLT_K * (kelvin - TETMLT_K) / kelvin)
    fixed = (above / (1 + above)).tolist()
    target = (A0 / A1 * np.exp((E1 - E0) / kelvin)).tolist()
    left = np.exp(-A1 * np.exp(-E1 / kelvin)).tolist()
    gained = np.full(len(kelvin), np.nan)
    intermediate = 0.0
    for hour in np.flatnonzero(known).tolist():
        intermediate = target[hour] - (target[hour] - intermediate) * left[hour]
        if intermediate < 1:
            gained[hour] = 0.0
        else:
            gained[hour] = intermediate * fixed[hour]
            intermediate -= gained[hour]
    return gained


def growing_degree_hours(hourly_c: Floats, low_c: float = 4.0, best_c: float = 25.0, high_c: float = 36.0) -> Floats:
    """Growing degree hours of each hour, by two cosines that meet at the best temperature.

    Parameters
    ----------
    hourly_c : one temperature an hour in C, any number of hours; nan for a gap.
    low_c, best_c, high_c : rising, in C: nothing at the first and below, most at the second, nothing from the third on.

    Returns
    -------
    An array of the same length, 0 to `best_c - low_c`, nan for a gap.

    References
    ----------
    1. Anderson, J. L., Richardson, E. A. and Kesner, C. D. (1986). Validation of chill unit and flower bud phenology models
       for Montmorency sour cherry. Acta Horticulturae 184:71-78.
    """
    import numpy as np

    rising = (best_c - low_c) / 2 * (1 + np.cos(np.pi + np.pi * (hourly_c - low_c) / (best_c - low_c)))
    falling = (best_c - low_c) * (1 + np.cos(np.pi / 2 + np.pi / 2 * (hourly_c - best_c) / (high_c - best_c)))
    warm = np.where(hourly_c <= best_c, rising, falling)
    outside = (hourly_c < low_c) | (hourly_c > high_c)
    return np.where(np.isnan(hourly_c), np.nan, np.where(outside, 0.0, warm))
