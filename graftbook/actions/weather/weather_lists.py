"""The weather in the book, read: stations with their gaps, and days one by one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report
from graftbook.actions.weather.weather_days import PlaceSeries, gap_notes, gap_words, known_days, newest_notes
from graftbook.actions.weather.weather_places import find_station, place_name
from graftbook.book import weather_queries
from graftbook.errors import UsageProblem
from graftbook.season.weather_days import DailySeries, empty_series


@dataclass(frozen=True)
class StationRow:
    """One station: the first and the last day it has, its days with both extremes and those without between them."""

    station: str
    known_as: str | None
    latitude: float | None
    first: date | None
    last: date | None
    days: int
    missing: int
    note: str | None
    shown: ClassVar = ("station", "known_as", "latitude", "first", "last", "days", "missing")
    headings: ClassVar = {"known_as": "in its files", "missing": "gaps, days"}


@dataclass(frozen=True)
class DayRow:
    """One day: lowest and highest in C, None where it is a gap."""

    on: date
    low_c: float | None
    high_c: float | None
    headings: ClassVar = {"on": "day", "low_c": "lowest", "high_c": "highest"}


def list_stations(desk: Desk) -> Report:
    """Every station, with how many days it has and how many are missing between its first and its last."""
    rows: list[StationRow] = []
    notes: list[str] = []
    with desk.book.read() as session:
        stations = weather_queries.stations(session)
        series = known_days(session, stations)
    for one in stations:
        days = series.get(one.id or 0, empty_series(desk.today))
        known = int(days.known().sum())
        first, last = (days.first, days.first + timedelta(days=len(days) - 1)) if known else (None, None)
        rows.append(StationRow(one.name, one.known_as, one.latitude, first, last, known, len(days) - known, one.note))
        notes += gap_notes(one.name, days)
    if not rows:
        notes.append(
            "Bring days in with graftbook weather import FILE --station NAME, or type one with graftbook weather day."
        )
    return Report(StationRow, tuple(rows), tuple(notes), {"as_of": desk.today})


def show_days(
    desk: Desk, *, since: str | None = None, until: str | None = None, place: str | None = None,
    station: str | None = None, limit: int = 400,
) -> Report:  # fmt: skip
    """Day by day, of a place or of a station (neither: of every place of which nothing else is said).

    `since` None means the last 30 days, `until` None the last day known, forecasts among them, up to today and two weeks.
    Raises UsageProblem for both a place and a station, or an `until` before `since`.
    """
    if place is not None and station is not None:
        raise UsageProblem("--place or --station", "both")
    last = desk.day(until, future=True) if until is not None else desk.today + timedelta(days=14)
    first = desk.day(since, future=True) if since is not None else min(desk.today, last) - timedelta(days=29)
    if last < first:
        raise UsageProblem(f"an --until from {first.isoformat()} on", last.isoformat())
    with desk.book.read() as session:
        weather = PlaceSeries(session, first, last, desk.settings.temperature)
        if station is not None:
            row = find_station(session, station)
            days, title = weather.station_days(row.id or 0), f"Weather of {row.name}"
        else:
            name = None if place is None else place_name(session, place)[0]
            days = weather.days(name)
            title = f"Weather at {name or 'every other place'}: {weather.basis(name) or 'none is known'}"
    days = days if until is not None else _to_last(days, desk.today)
    values = zip(days.low.tolist(), days.high.tolist(), strict=True)
    rows = [DayRow(first + timedelta(days=at), _none(low), _none(high)) for at, (low, high) in enumerate(values)]
    words = gap_words(days.gaps())
    notes = (*([f"Without a temperature: {words}."] if words else []), *newest_notes(limit, len(rows), "day"))
    return Report(DayRow, tuple(rows[-limit:]), notes, {"as_of": desk.today}, title=title)


def _to_last(days: DailySeries, today: date) -> DailySeries:
    """Days up to today, and on to the last that is known to come."""
    trimmed = days.trimmed()
    last = trimmed.first + timedelta(days=len(trimmed) - 1) if len(trimmed) else today
    return days.between(days.first, max(last, min(today, days.first + timedelta(days=len(days) - 1))))


def _none(value: float) -> float | None:
    return None if value != value else value
