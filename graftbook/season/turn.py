"""Where a day stands in the grafter's year.

A grafting season is no calendar year: wood is cut in winter, grafted in spring, budded in summer and judged in the
autumn or the next spring. So a season runs from leaf fall to leaf fall: 1 November to 31 October in the north, 1 May to
30 April in the south, and is written by the two years it touches, `2026-27`. These dates are a rule of this book, not a
claim about any place; rest and growth below are rough dates from memory and only ever used to warn.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from types import MappingProxyType

from graftbook.errors import UsageProblem

_SEASON = re.compile(r"(\d{4})-(\d{2})$")

# Days from grafting to a season's end for that season to be the one in which the graft must grow (common practice:
# growth is judged three to four months on, so a bud of August is judged a year later).
GROWTH_DAYS = 120

# First and last day, (month, day), on which a deciduous tree is taken to be at rest: leaf fall to bud swell, from
# memory, for a temperate place.
REST = MappingProxyType({"north": ((11, 1), (3, 15)), "south": ((5, 1), (9, 15))})
"""A season begins where the rest does, on the first of that month."""


def season_of(on: date, hemisphere: str) -> str:
    """The season a day belongs to, such as `2026-27`. Raises UsageProblem for a hemisphere not `north` or `south`."""
    year = on.year if on.month >= _first_month(hemisphere) else on.year - 1
    return f"{year}-{(year + 1) % 100:02d}"


def season_bounds(season: str, hemisphere: str) -> tuple[date, date]:
    """The first and the last day of a season written as `2026-27`.

    Raises UsageProblem for another form, for two years that do not follow one another and for an unknown hemisphere.
    """
    match = _SEASON.match(season)
    year = int(match[1]) if match is not None else 0
    if match is None or (year + 1) % 100 != int(match[2]) or not 1 <= year < 9999:
        raise UsageProblem("a season written by its two years, such as 2026-27", repr(season))
    month = _first_month(hemisphere)
    return date(year, month, 1), date(year + 1, month, 1) - timedelta(days=1)


def season_end_after(on: date, hemisphere: str) -> date:
    """The last day of the season the day belongs to, that day included. Raises UsageProblem for an unknown hemisphere."""
    return season_bounds(season_of(on, hemisphere), hemisphere)[1]


def growth_deadline(made_on: date, hemisphere: str) -> date:
    """The season's end by which a graft must have grown: the first that lies at least 120 days after it was made.

    A spring graft is so judged at the end of its own season, a summer bud at the end of the next (common practice). Raises
    UsageProblem for an unknown hemisphere.
    """
    return season_end_after(made_on + timedelta(days=GROWTH_DAYS), hemisphere)


def dormant(on: date, hemisphere: str, deciduous: bool | None) -> bool | None:
    """Whether a tree is likely at rest on that day, by the calendar alone; good for a warning and no more.

    An evergreen never is. `deciduous` None, and then the answer too: it is not known whether the tree sheds its leaves.
    Raises UsageProblem for an unknown hemisphere.
    """
    first, last = _rest(hemisphere)
    if deciduous is None:
        return None
    day = (on.month, on.day)
    within = first <= day <= last if first <= last else day >= first or day <= last
    return deciduous and within


def growing_season(on: date, hemisphere: str) -> bool:
    """Whether trees in leaf are likely growing on that day: any day outside the rest of deciduous trees. Raises as
    `dormant`."""
    return not dormant(on, hemisphere, deciduous=True)


def next_day_of_year(after: date, month: int, day: int) -> date:
    """The first day with this month and day later than `after`; 29 February is 1 March in a year without one. Raises ValueError
    for a month and day that no year has."""
    this_year = _day_in(after.year, month, day)
    return this_year if this_year > after else _day_in(after.year + 1, month, day)


def spring_after(on: date, hemisphere: str) -> date:
    """The first day of growth of the season after the one the day belongs to.

    This is when a bud set in summer is looked at and its stock headed back (16 March north, 16 September south; from memory).
    Raises UsageProblem for an unknown hemisphere.
    """
    season_end = season_end_after(on, hemisphere)
    _, (month, day) = _rest(hemisphere)
    return next_day_of_year(season_end, month, day) + timedelta(days=1)


def _day_in(year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, month + 1, 1)


def _first_month(hemisphere: str) -> int:
    return _rest(hemisphere)[0][0]


def _rest(hemisphere: str) -> tuple[tuple[int, int], tuple[int, int]]:
    if hemisphere not in REST:
        raise UsageProblem("the hemisphere, north or south", repr(hemisphere))
    return REST[hemisphere]
