"""Chill: how much cold a winter had, counted in three ways from hourly temperatures.

Chilling hours and Utah units count each hour by itself and are known to mislead in mild winters; the Dynamic model of
Fishman, Erez and Couvillon lets warm hours undo what is not yet fixed and is the one to trust there. Requirements in the
trade's lists differ several-fold between authors, so a sum is one thing to weigh, not a gate.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from graftbook.errors import UsageProblem

if TYPE_CHECKING:
    import numpy as np

    Floats = np.ndarray

HOUR_COUNTS = MappingProxyType({
    "0-7.2": "hours from 0 to 7.2 C, both counted in (Weinberger 1950, Bennett 1949)",
    "below-7.2": "every hour below 7.2 C, frost counted in",
})  # fmt: skip
"""The two ways of counting chilling hours in use; they differ in cold winters."""
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


def chilling_hours(hourly_c: Floats, count: str = "0-7.2") -> Floats:
    """1 for each hour that chills, 0 for another, nan for a gap. Raises UsageProblem for a count there is not."""
    import numpy as np

    if count not in HOUR_COUNTS:
        raise UsageProblem(f"a count of chilling hours: {', '.join(HOUR_COUNTS)}", repr(count))
    cold = (hourly_c >= 0) & (hourly_c <= 7.2) if count == "0-7.2" else hourly_c < 7.2
    return np.where(np.isnan(hourly_c), np.nan, cold.astype(float))


def utah_units(hourly_c: Floats, table: str = "C") -> Floats:
    """Utah chill units of each hour, -1 to 1, nan for a gap; a bin is open below and closed above.

    Raises UsageProblem for a table there is not.
    """
    import numpy as np

    if table not in UTAH_TABLES:
        raise UsageProblem(f"a Utah table: {', '.join(UTAH_TABLES)}", repr(table))
    at = np.searchsorted(np.asarray(UTAH_TABLES[table][0]) + 1e-9, np.nan_to_num(hourly_c), side="left")
    return np.where(np.isnan(hourly_c), np.nan, np.asarray(_UTAH_UNITS)[at])


def portions(hourly_c: Floats) -> Floats:
    """Chill portions of the Dynamic model gained in each hour, nan for a gap, over which the model stands still.

    Hours follow one another. What is not yet fixed is carried from hour to hour, so a stretch cannot be counted by parts.
    """
    import numpy as np

    known = ~np.isnan(hourly_c)
    kelvin = np.where(known, hourly_c, 0.0) + KELVIN
    above = np.exp(SLOPE * TETMLT_K * (kelvin - TETMLT_K) / kelvin)
    fixed = (above / (1 + above)).tolist()
    target = (A0 / A1 * np.exp((E1 - E0) / kelvin)).tolist()
    left = np.exp(-A1 * np.exp(-E1 / kelvin)).tolist()
    gained = np.full(len(kelvin), np.nan)
    held = 0.0
    for hour in np.flatnonzero(known).tolist():
        held = target[hour] - (target[hour] - held) * left[hour]
        if held < 1:
            gained[hour] = 0.0
        else:
            gained[hour] = held * fixed[hour]
            held -= gained[hour]
    return gained


def growing_degree_hours(hourly_c: Floats, low_c: float = 4.0, best_c: float = 25.0, high_c: float = 36.0) -> Floats:
    """Growing degree hours of each hour, nan for a gap: none at `low_c`, most at `best_c`, none again from `high_c` on.

    The two cosines of Anderson, Richardson and Kesner 1986.
    """
    import numpy as np

    rising = (best_c - low_c) / 2 * (1 + np.cos(np.pi + np.pi * (hourly_c - low_c) / (best_c - low_c)))
    falling = (best_c - low_c) * (1 + np.cos(np.pi / 2 + np.pi / 2 * (hourly_c - best_c) / (high_c - best_c)))
    warm = np.where(hourly_c <= best_c, rising, falling)
    outside = (hourly_c < low_c) | (hourly_c > high_c)
    return np.where(np.isnan(hourly_c), np.nan, np.where(outside, 0.0, warm))
