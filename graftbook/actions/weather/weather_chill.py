"""Chill counted three ways, for plants, wood, places and stations."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, Usual
from graftbook.actions.desk.typed import read_latitude
from graftbook.actions.weather import weather_subjects
from graftbook.actions.weather.subject_places import PlaceStay
from graftbook.actions.weather.weather_days import PlaceSeries, gap_words, need_weather
from graftbook.actions.weather.weather_subjects import Subject, SubjectWeather
from graftbook.errors import UsageProblem
from graftbook.season import chill as season_chill
from graftbook.season import hourly, turn
from graftbook.season.weather_days import DailySeries


@dataclass(frozen=True)
class ChillRow:
    """The chill of one thing from `since` to `until`, both counted in: chill hours, Utah units, portions of the Dynamic
    model, and the growing degree hours (C) of the same days. `missing` days add nothing."""

    what: str
    since: date
    until: date
    chilling_hours: int
    utah_units: float
    portions: float
    growing_degree_hours: int
    days: int
    missing: int
    weather: str
    shown: ClassVar = ("what", "since", "until", "chilling_hours", "utah_units", "portions", "days", "missing")
    headings: ClassVar = {
        "what": "of", "chilling_hours": "chilling hours", "utah_units": "Utah units", "missing": "days missing",
    }  # fmt: skip


def chill(
    desk: Desk, codes: str | None = None, *, place: str | None = None, station: str | None = None, since: str | None = None,
    until: str | None = None, latitude: str | None = None, hours: str | None = None, utah: str | None = None,
) -> Report:  # fmt: skip
    """The chill of plants, grafts or wood by codes, of a place or of a station (none of them: every other place).

    `since` None is the first day of the season, 1 November in the north and 1 May in the south; `hours` and `utah` name the
    count and the table. Wood has the chill of its tree until it was cut, then that of its store. Raises UsageProblem where
    the length of day is not known, NotFound for what the book has not got.
    """
    last = desk.today if until is None else desk.day(until, future=True)
    hemisphere = desk.settings.hemisphere
    start = turn.season_bounds(turn.season_of(last, hemisphere), hemisphere)[0]
    first = start if since is None else desk.day(since, future=True)
    weather_subjects.refuse_backwards(first, last)
    count, table = hours or "0-7.2", (utah or "C").upper()
    notes: list[str] = [
        Usual(f"Chilling hours: {season_chill.hour_count(count)}."),
        Usual(f"Utah units: {season_chill.utah_table(table)[1]}. Portions: the Dynamic model."),
    ]
    with desk.book.read() as session:
        need_weather(session)
        named = weather_subjects.of(session, codes, place, station)
        weather = PlaceSeries(session, first, last + timedelta(days=1), desk.settings.temperature)
        subject_weather, rows = SubjectWeather(session), []
        for one in named:
            stays = subject_weather.stays(one, first)
            days = subject_weather.days(one, weather, first, last + timedelta(days=1))
            lying, basis = _latitude(weather, one, stays, days, latitude), subject_weather.basis(one, weather, stays)
            rows.append(_row(one.name, days, lying, first, last, count, table, basis))
            gaps = days.between(first, last).gaps()
            if gaps and len(named) <= 5:
                notes.append(f"{one.name}: {gap_words(gaps)} without a temperature, which add nothing to the sums.")
    if since is None:
        notes.append(f"Counted from {first.isoformat()}; portions are often counted from two months earlier (--since).")
    notes.append("Lists differ widely in what a cultivar needs: weigh a sum, do not obey it.")
    facts = {"as_of": desk.today, "hours": count, "utah_table": table}
    return Report(ChillRow, tuple(rows), tuple(notes), facts)


def _row(
    name: str, days: DailySeries, latitude: float, first: date, last: date, count: str, table: str, basis: str
) -> ChillRow:  # fmt: skip
    import math

    warm = hourly.hourly_temperatures(days, latitude)[: 24 * ((last - first).days + 1)]
    part = days.between(first, last)
    known = int(part.known().sum())
    total = [
        math.fsum(value for value in found.tolist() if value == value)
        for found in (
            season_chill.chilling_hours(warm, count), season_chill.utah_units(warm, table), season_chill.chill_portions(warm),
            season_chill.growing_degree_hours(warm),
        )
    ]  # fmt: skip
    return ChillRow(
        name, first, last, round(total[0]), round(total[1], 1), round(total[2], 1), round(total[3]), known,
        len(part) - known, basis,
    )  # fmt: skip


def _latitude(
    weather: PlaceSeries, one: Subject, stays: tuple[PlaceStay, ...], days: DailySeries, typed: str | None
) -> float:
    """The latitude typed, else that of the station; any will do where the days have no rise and fall."""
    if typed is not None:
        return read_latitude(typed)
    if one.station_id is not None:
        found = weather.stations[one.station_id].latitude
    else:
        found = next((at for at in (weather.latitude(stay.place) for stay in stays) if at is not None), None)
    if found is None:
        swings = days.known() & (days.low != days.high)
        if swings.any():
            raise UsageProblem(
                f"a latitude for {one.name}, for the length of its days", "none",
                "Say --latitude 52.3, or give it to the station once: graftbook weather station NAME --latitude 52.3",
            )  # fmt: skip
        return 0.0
    return found
