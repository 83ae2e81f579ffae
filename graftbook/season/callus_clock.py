"""How far a union has come by the warmth it has had, as a band and never as a day.

Only where the table of the trade has a heat sum for the kind is there a range of dates; for every other kind the clock
says how long the union has been inside its best band, below and above it. Cold stops the clock and kills nothing. The best
band is as wide as the sources together.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import TYPE_CHECKING

from graftbook.season import warmth
from graftbook.season.degree_days import hours_from
from graftbook.season.weather_days import DailySeries, Gap
from graftbook.trade.callus import CallusBand, CallusRow
from graftbook.units import show_temperature

if TYPE_CHECKING:
    from graftbook.season.weather_days import Floats

SETTLED_DAYS = 30
"""Warnings look at days after grafting no further than this: common practice holds a union warm for two to four weeks."""
FARTHEST_DAYS = 120
"""No date is extrapolated farther ahead than this, in days."""
LEAST_BAND_C = 4.0
"""A best band narrower than this, such as a list's single 16 C, is counted as this wide about its middle."""
_PAUSE_HOURS = 6.0
_PAUSE_DEGREE_DAYS = 0.5
_LATELY = 7


@dataclass(frozen=True)
class CallusClock:
    """What the warmth since grafting says of a union. Hours are those of days with a temperature; temperatures in C.

    `low_c` and `high_c` are the best band as it is counted, None where no source gives one. `degree_days` are above `base_c`,
    None where the table has no heat sum. `from_on` and `to_on` are the days by which the smaller and the larger heat sum
    were or will be reached; None where the table has no basis for dates, or where they cannot be computed yet. `extrapolated`
    says that one of them takes days to come to be as the mean of the last seven. `paused` says that the last known days did
    nothing for it. `known` and `missing` are days. `warnings` are whole sentences.
    """

    low_c: float | None
    high_c: float | None
    below: float | None
    inside: float | None
    above: float | None
    base_c: float | None
    degree_days: float | None
    heat_min: float | None
    heat_max: float | None
    from_on: date | None
    to_on: date | None
    extrapolated: bool
    paused: bool
    known: int
    missing: int
    gaps: tuple[Gap, ...]
    warnings: tuple[str, ...]

    @property
    def state(self) -> str:
        """The clock in a word or two: where the degree-days stand against the band, or that it is paused."""
        if not self.known:
            return "no temperatures"
        if self.heat_min is not None and self.heat_max is not None and self.degree_days is not None:
            if self.degree_days >= self.heat_max:
                return "past its band"
            if self.degree_days >= self.heat_min:
                return "within its band"
        return "paused by cold" if self.paused else "running"


def best_band(band: CallusBand) -> tuple[float, float] | None:
    """The best band of a kind in C as it is counted, at least LEAST_BAND_C wide; None where no source gives one."""
    if band.best_min is None or band.best_max is None:
        return None
    more = max(LEAST_BAND_C - (band.best_max - band.best_min), 0.0) / 2
    return band.best_min - more, band.best_max + more


def heat_row(band: CallusBand) -> CallusRow | None:
    """The row of the table that gives a heat sum on a basis good enough for dates; None where there is none."""
    return next((row for row in band.rows if row.kind == "heat sum" and row.basis != "from memory"), None)


def clock(band: CallusBand, days: DailySeries, made_on: date, on: date, unit: str = "C") -> CallusClock:
    """The clock of one union of a kind, made on a day, as of another.

    Parameters
    ----------
    band : what the table of the trade says of the kind.
    days : the daily series in C where the union stood and, after `on`, the forecast as far as there is one.
    made_on, on : the day of grafting, which counts, and the day the clock is read.
    unit : C or F, for the warnings only.

    Returns
    -------
    Hours by the sine wave of `degree_days`; degree-days by the single sine. Where a heat sum is not reached in the days known,
    its date is extrapolated from the mean of the last seven, up to FARTHEST_DAYS ahead: a rule of this book, no source.
    """
    best, heat = best_band(band), heat_row(band)
    hours = warmth.band_hours(days, made_on, on, *(best if best is not None else (0.0, 60.0)))
    below, inside, above = (None, None, None) if best is None else (hours.below, hours.inside, hours.above)
    so_far = from_on = to_on = None
    extrapolated = False
    if heat is not None and heat.base_c is not None:
        so_far = warmth.warmth(days, made_on, on, heat.base_c).degree_days
        (from_on, first), (to_on, second) = (
            _reached(days, made_on, on, heat, sum_) for sum_ in (heat.heat_min, heat.heat_max)
        )
        extrapolated = first or second
    low_c, high_c = best if best is not None else (None, None)
    base_c, heat_min, heat_max = (None, None, None) if heat is None else (heat.base_c, heat.heat_min, heat.heat_max)
    return CallusClock(
        low_c, high_c, below, inside, above, base_c, so_far, heat_min, heat_max, from_on, to_on, extrapolated,
        _paused(band, heat, days, made_on, on), hours.known, hours.missing, hours.gaps,
        _warnings(band, best, days, made_on, on, unit),
    )  # fmt: skip


def _reached(
    days: DailySeries, made_on: date, on: date, heat: CallusRow, amount: float | None
) -> tuple[date | None, bool]:
    """The day by which a heat sum is reached, and whether it is extrapolated from the last seven days."""
    if amount is None or heat.base_c is None:
        return None, False
    part = days.between(made_on, on + timedelta(days=FARTHEST_DAYS))
    sums = warmth.running(part, heat.base_c)
    found = sums.reached(made_on, amount)
    if found is not None:
        return found, False
    ahead = part.between(on + timedelta(days=1), on + timedelta(days=FARTHEST_DAYS)).trimmed()
    lately = warmth.warmth(days, max(made_on, on - timedelta(days=_LATELY - 1)), on, heat.base_c)
    rate = lately.degree_days / lately.known if lately.known >= 3 else 0.0
    if rate < _PAUSE_DEGREE_DAYS:
        return None, False
    left = amount - float(sums.total[-1])
    day = (ahead.last if len(ahead) else on) + timedelta(days=ceil(left / rate))
    return (day, True) if (day - on).days <= FARTHEST_DAYS else (None, False)


def _paused(band: CallusBand, heat: CallusRow | None, days: DailySeries, made_on: date, on: date) -> bool:
    """Whether the last three days, where known, gave it next to nothing: no degree-day, or hardly an hour warm enough."""
    import numpy as np

    start = max(made_on, on - timedelta(days=2))
    if heat is not None and heat.base_c is not None:
        lately = warmth.warmth(days, start, on, heat.base_c)
        return bool(lately.known) and lately.degree_days < lately.known * _PAUSE_DEGREE_DAYS
    floor = band.lowest if band.lowest is not None else band.best_min
    part = days.between(start, on)
    if floor is None or not part.known().any():
        return False
    return bool(np.nansum(hours_from(part.low, part.high, floor)) < part.known().sum() * _PAUSE_HOURS)


def _warnings(
    band: CallusBand, best: tuple[float, float] | None, days: DailySeries, made_on: date, on: date, unit: str
) -> tuple[str, ...]:
    """Days of the last week, or to come, that lie outside: too hot for the kind, or never up to its best band."""
    last = min(on + timedelta(days=_LATELY * 2), made_on + timedelta(days=SETTLED_DAYS))
    part = days.between(max(made_on, on - timedelta(days=_LATELY - 1)), last)
    known = part.known()
    found: list[str] = []
    limit = band.highest if band.highest is not None else None if best is None else best[1]
    if limit is not None:
        end = ", where harm is said to begin" if band.highest is not None else ", the end of the best band"
        found += _when(
            part, known & (part.high > limit), on, ("went", "will go"), f"above {show_temperature(limit, unit)}{end}."
        )
    if best is not None:
        wrong = known & (part.high < best[0])
        rest = f"below the best band, {show_temperature(best[0], unit)}, all day."
        found += _when(part, wrong, on, ("stayed", "will stay"), rest)
    return tuple(found)


def _when(part: DailySeries, wrong: Floats, on: date, verbs: tuple[str, str], rest: str) -> list[str]:
    """Days that went by, and days to come, as one sentence each."""
    import numpy as np

    at = [part.first + timedelta(days=int(place)) for place in np.flatnonzero(wrong)]
    past, ahead = [day for day in at if day <= on], [day for day in at if day > on]
    return [f"{_span(chosen)} {verb} {rest}" for chosen, verb in zip((past, ahead), verbs, strict=True) if chosen]


def _span(days: list[date]) -> str:
    if len(days) == 1:
        return days[0].isoformat()
    return f"{len(days)} days from {days[0].isoformat()} to {days[-1].isoformat()}"
