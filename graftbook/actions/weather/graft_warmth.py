"""The degree-days that places and grafts have had, computed from the book: for verbs that show them and clocks that go by
them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlmodel import Session

from graftbook.actions.weather.subject_places import PlaceStay, Stays
from graftbook.actions.weather.weather_days import PlaceSeries
from graftbook.book import weather_queries
from graftbook.book.weather_queries import Stander
from graftbook.season import warmth as season_warmth
from graftbook.season.warmth import BASE_C
from graftbook.season.weather_days import DailySeries, RunningSums, empty_series, joined


def days_along(weather: PlaceSeries, stays: Sequence[PlaceStay], until: date) -> DailySeries:
    """The days a thing had as it went from place to place, from its first stay to `until`."""
    parts = [weather.days(stay.place).between(stay.on, end) for stay, end in stay_periods(stays, until)]
    return joined(parts) if parts else empty_series(stays[0].on)


@dataclass(frozen=True)
class SumReached:
    """When a sum was reached: `on` None while it was not. `missing` days of those up to then have no temperature, so that it
    may have been earlier."""

    on: date | None
    missing: int


def stay_periods(stays: Sequence[PlaceStay], last: date) -> list[tuple[PlaceStay, date]]:
    """Each stay with its last day, up to a last day; stays that begin later are left out."""
    ends = [*(stay.on - timedelta(days=1) for stay in stays[1:]), last]
    return [(stay, min(end, last)) for stay, end in zip(stays, ends, strict=True) if stay.on <= last]


class GraftWarmth:
    """The warmth of many grafts since each was made, from running sums by place and base that are each computed once.

    `last` is the last day counted; `upper_c` and `method` as season.warmth takes them; words of places are in `unit`, C or F.
    """

    def __init__(
        self, session: Session, grafts: Sequence[Stander], last: date, upper_c: float | None = None, method: str = "sine",
        unit: str = "C",
    ) -> None:  # fmt: skip
        self.last, self.grafts, self._how = last, tuple(grafts), (upper_c, method)
        self.weather = PlaceSeries(session, min((graft.made_on for graft in grafts), default=last), last, unit)
        self._stays = Stays(session)
        self._grafts = {graft.id: graft for graft in grafts}
        self._sums: dict[tuple[str | None, float], RunningSums] = {}

    @classmethod
    def of(cls, session: Session, graft_ids: Sequence[int] | None, last: date) -> GraftWarmth:
        """Of grafts by their ids; None means every graft."""
        return cls(session, weather_queries.standers(session, graft_ids), last)

    def stays(self, graft_id: int) -> tuple[PlaceStay, ...]:
        """Where a graft stood since it was made. Raises KeyError for one that is not among them."""
        return self._stays.of_graft(self._grafts[graft_id])

    def _at(self, place: str | None, base_c: float) -> RunningSums:
        if (place, base_c) not in self._sums:
            self._sums[place, base_c] = season_warmth.running(self.weather.days(place), base_c, *self._how)
        return self._sums[place, base_c]

    def reached(self, graft_id: int, base_c: float, amount: float) -> SumReached:
        """When a graft had had so many degree-days in C above a base since it was made, counting the day it was made.

        Raises KeyError for a graft that is not among those this was made for.
        """
        left, missing = amount, 0
        for stay, end in stay_periods(self.stays(graft_id), self.last):
            sums = self._at(stay.place, base_c)
            on = sums.reached(stay.on, left)
            if on is not None and on <= end:
                return SumReached(on, missing + sums.one(stay.on, on)[1])
            part, gaps = sums.one(stay.on, end)
            left, missing = left - part, missing + gaps
        return SumReached(None, missing)

    def since_made(self, base_c: float = BASE_C, days: int | None = None) -> dict[int, tuple[float, int]]:
        """Degree-days in C above a base that each graft had since it was made, and the days missing from them, by id.

        `days` counts that many days from the one it was made on (None: up to the last day); one that is not so old yet has
        what it has had so far.
        """
        alike: dict[str | None, tuple[list[int], list[int]]] = {}
        found: dict[int, tuple[float, int]] = {}
        end = self.last.toordinal()
        for graft in self.grafts:
            stays = self._stays.of_graft(graft)
            if len(stays) == 1:
                ids, made = alike.setdefault(stays[0].place, ([], []))
                ids.append(graft.id)
                made.append(graft.made_on.toordinal())
            else:
                last = self.last if days is None else min(self.last, graft.made_on + timedelta(days=days - 1))
                parts = [self._at(stay.place, base_c).one(stay.on, to) for stay, to in stay_periods(stays, last)]
                found[graft.id] = sum(total for total, _ in parts), sum(missing for _, missing in parts)
        for place, (ids, made) in alike.items():
            last_days = [end if days is None else min(first + days - 1, end) for first in made]
            found.update(zip(ids, self._at(place, base_c).many(made, last_days), strict=True))
        return found


FIRST_DAYS = 14
"""The days after grafting that count: common practice holds unions warm for about two weeks."""


def warmth_of_first_days(session: Session, as_of: date) -> dict[int, float | None]:
    """Degree-days in C above BASE_C in the first FIRST_DAYS days of every graft, the day it was made among them, by its id.

    None where one of those days has no temperature or is not over by `as_of`: part of a sum would sort a graft wrongly.
    """
    every = GraftWarmth.of(session, None, as_of)
    young = {graft.id for graft in every.grafts if (as_of - graft.made_on).days + 1 < FIRST_DAYS}
    return {
        number: None if missing or number in young else round(total, 1)
        for number, (total, missing) in every.since_made(days=FIRST_DAYS).items()
    }
