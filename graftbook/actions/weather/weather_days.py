"""The daily series of places: what gives each its weather, a station or a temperature it is kept at, put end to end."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.results import count
from graftbook.actions.weather.subject_places import PlaceStay
from graftbook.book import weather_queries
from graftbook.book.weather import PlaceWeather, WeatherStation
from graftbook.errors import NotFound
from graftbook.season.weather_days import DailySeries, constant_series, empty_series, joined, year_series
from graftbook.units import show_temperature

MOST_GAPS = 4

DatedWeather = tuple[date, PlaceWeather]
"""What gives a place its weather, and the day from which it does."""


class PlaceSeries:
    """The daily series of every place from `first` to `last`, read from the book once and put together as needed; words are in
    `unit`, C or F."""

    def __init__(self, session: Session, first: date, last: date, unit: str = "C") -> None:
        self.first, self.last = first, max(first, last)
        self.unit = unit
        self._session = session
        self.stations = {station.id: station for station in weather_queries.stations(session)}
        self._by_place: dict[str | None, list[PlaceWeather]] = {}
        for row in weather_queries.place_weather(session):
            self._by_place.setdefault(None if row.place is None else naming.key(row.place), []).append(row)
        self._of_station: dict[int, DailySeries] = {}
        self._of_place: dict[str | None, DailySeries] = {}

    def days(self, place: str | None) -> DailySeries:
        """The series of a place (None: one not recorded, which has the weather of every other place), gaps where nothing is
        known."""
        key = None if place is None else naming.key(place)
        if key not in self._of_place:
            self._of_place[key] = self._put_together(key)
        return self._of_place[key]

    def station_days(self, station_id: int) -> DailySeries:
        """The series of a station from `first` to `last`."""
        if station_id not in self._of_station:
            texts = weather_queries.year_texts(self._session, [station_id], self.first.year, self.last.year)
            parts = [year_series(year, lows, highs) for _, year, lows, highs in texts]
            held = joined(parts) if parts else empty_series(self.first)
            self._of_station[station_id] = held.between(self.first, self.last)
        return self._of_station[station_id]

    def sources_of(self, place: str | None) -> tuple[DatedWeather, ...]:
        """What gives a place its weather, each with the day from which it does between `first` and `last`, in order."""
        own = self._by_place.get(naming.key(place), []) if place is not None else []
        shared = self._by_place.get(None, [])
        before = [row for row in shared if not own or row.on < own[0].on]
        chosen = [*before, *own]
        ends = [*(row.on - timedelta(days=1) for row in chosen[1:]), self.last]
        return tuple(
            (max(row.on, self.first), row)
            for row, end in zip(chosen, ends, strict=False)
            if row.on <= self.last and end >= max(row.on, self.first)
        )

    def has_own_weather(self, place: str) -> bool:
        """Whether weather is recorded for the place itself, so that it has not that of every other place."""
        return bool(self._by_place.get(naming.key(place)))

    def basis(self, place: str | None) -> str:
        """Where the weather of a place comes from, in a few words; '' where none is known."""
        dated = [(on, self._words(row)) for on, row in self.sources_of(place)]
        return dated[0][1] if len(dated) == 1 else ", then ".join(f"{word} from {on.isoformat()}" for on, word in dated)

    def basis_along(self, stays: Iterable[PlaceStay]) -> str:
        """Where the weather of the places a thing stood at comes from, in a few words."""
        return "; ".join(dict.fromkeys(self.basis(stay.place) or "none known" for stay in stays))

    def _words(self, row: PlaceWeather) -> str:
        if row.station_id is not None:
            return self.stations[row.station_id].name
        low, high = show_temperature(row.low_c, self.unit), show_temperature(row.high_c, self.unit)
        return f"kept at {low}" if low == high else f"kept at {low} to {high}"

    def latitude(self, place: str | None) -> float | None:
        """The latitude of the station of a place, else of the book's; None where none was stated."""
        rows: Sequence[DatedWeather] = (*self.sources_of(place), *self.sources_of(None))
        at = [self.stations[row.station_id].latitude for _, row in reversed(rows) if row.station_id is not None]
        return next((found for found in at if found is not None), None)

    def _put_together(self, key: str | None) -> DailySeries:
        dated = self.sources_of(key)
        ends = [*(on - timedelta(days=1) for on, _ in dated[1:]), self.last]
        parts = [self._part(on, end, row) for (on, row), end in zip(dated, ends, strict=False)]
        return (joined(parts) if parts else empty_series(self.first)).between(self.first, self.last)

    def _part(self, on: date, end: date, row: PlaceWeather) -> DailySeries:
        if row.station_id is not None:
            return self.station_days(row.station_id).between(on, end)
        return constant_series(on, end, float(row.low_c or 0.0), float(row.high_c or 0.0))


def need_weather(session: Session) -> None:
    """Raise NotFound where the book has no weather at all."""
    if not weather_queries.any_weather(session):
        raise NotFound(
            "no weather in this book", "", "Bring it in: graftbook weather import FILE --station NAME, or graftbook weather "
            "place PLACE --constant 20C",
        )  # fmt: skip


def known_days(session: Session, stations: Iterable[WeatherStation]) -> dict[int, DailySeries]:
    """The series of stations from the first to the last day each has, by id; none for one without days."""
    parts: dict[int, list[DailySeries]] = {}
    for station_id, year, lows, highs in weather_queries.year_texts(
        session, [one.id or 0 for one in stations], 1900, 2200
    ):
        parts.setdefault(station_id, []).append(year_series(year, lows, highs))
    return {station_id: joined(years).trimmed() for station_id, years in parts.items()}


def gap_notes(name: str, days: DailySeries) -> tuple[str, ...]:
    """The days without a temperature in a station's series, as one note; none where there are none."""
    words = gap_words(days.gaps())
    return (f"{name} has gaps, which are never filled: {words}.",) if words else ()


def newest_notes(limit: int, total: int, what: str) -> tuple[str, ...]:
    """How to see more of a list of which only the newest are shown; nothing where all are."""
    return (f"The newest {limit:,} of {count(total, what)}; --limit N shows more.",) if total > limit else ()


def sources_named(rows: Iterable[Any]) -> tuple[str, ...]:
    """What gave rows their `weather`, each named once."""
    return tuple(dict.fromkeys(part for row in rows for part in row.weather.split("; ")))


def gap_words(gaps: Sequence[tuple[date, date]]) -> str:
    """Periods without a temperature in a few words, with the number of their days; '' for none."""
    if not gaps:
        return ""
    days = sum((last - first).days + 1 for first, last in gaps)
    periods = [a.isoformat() if a == b else f"{a.isoformat()} to {b.isoformat()}" for a, b in gaps[:MOST_GAPS]]
    more = f" and {len(gaps) - MOST_GAPS} more stretches" if len(gaps) > MOST_GAPS else ""
    return f"{count(days, 'day')} ({', '.join(periods)}{more})"


def station_named(stations: Sequence[WeatherStation], name: str) -> WeatherStation | None:
    """The station of this name, however it is spelled; None when there is none."""
    wanted = naming.key(name)
    return next((station for station in stations if naming.key(station.name) == wanted), None)
