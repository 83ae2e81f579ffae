"""The subjects of warmth and chill: plants, grafts and wood by their codes, a place, a station; and their daily series."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.weather import graft_warmth
from graftbook.actions.weather.subject_places import PlaceStay, Stays
from graftbook.actions.weather.weather_days import PlaceSeries
from graftbook.actions.weather.weather_places import find_station, place_name
from graftbook.book import find, weather_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.codes import read_many
from graftbook.errors import Refused, UsageProblem
from graftbook.season.weather_days import DailySeries, constant_series, joined
from graftbook.units import show_temperature

EVENTS = MappingProxyType({
    "grafting": "made_on", "tied": "tied_on", "stage": "stage_on", "planted": "acquired_on", "cut": "cut_on",
    "stored": "stored_on", "received": "received_on",
})  # fmt: skip
"""Events that a sum can be counted from, and the field of a plant, a graft or a bundle that holds their day."""


@dataclass(frozen=True)
class Subject:
    """One thing asked about. `row` is the plant, graft or bundle; None for a place (`place`) or a station (`station_id`)."""

    name: str
    row: Any = None
    place: str | None = None
    station_id: int | None = None

    def event(self, word: str) -> date | None:
        """The day of an event; None where the thing has none."""
        return getattr(self.row, EVENTS[word], None)


def of(session: Session, codes: str | None, place: str | None, station: str | None) -> tuple[Subject, ...]:
    """The things named: by codes, or a place, or a station; for none of them every place of which nothing else is said.

    Raises UsageProblem for more than one of the three, NotFound for what the book has not got.
    """
    if sum(word is not None for word in (codes, place, station)) > 1:
        raise UsageProblem("codes, --place or --station", "more than one of them")
    if codes is not None:
        return tuple(Subject(row.code, row) for row in find.many(session, read_many(codes)))
    if station is not None:
        row = find_station(session, station)
        return (Subject(row.name, None, None, row.id),)
    name = None if place is None else place_name(session, place)[0]
    return (Subject(name or "every other place", None, name),)


class SubjectWeather:
    """Where subjects stood, and the daily series they had there."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._stays = Stays(session)

    def stays(self, subject: Subject, since: date) -> tuple[PlaceStay, ...]:
        """Where a plant, a graft or a place stood from a day on; a graft not before it was made."""
        row = subject.row
        if isinstance(row, Graft):
            (one,) = weather_queries.standers(self._session, [row.id or 0])
            return tuple(_from(self._stays.of_graft(one), since))
        if isinstance(row, Plant):
            return self._stays.of_plant(row.id or 0, since)
        if isinstance(row, Bundle):
            return tuple(self._wood(row, since))
        return (PlaceStay(since, subject.place),)

    def _wood(self, bundle: Bundle, since: date) -> Iterator[PlaceStay]:
        """On its tree until it was cut, then in its store."""
        came = bundle.cut_on or bundle.received_on or since
        if bundle.cut_on is not None and bundle.cut_plant_id is not None and since < bundle.cut_on:
            yield from (stay for stay in self._stays.of_plant(bundle.cut_plant_id, since) if stay.on < bundle.cut_on)
        yield PlaceStay(max(came, since), bundle.store)

    def basis(self, subject: Subject, weather: PlaceSeries, stays: Sequence[PlaceStay]) -> str:
        """Where the temperatures of a thing come from, in a few words."""
        if subject.station_id is not None:
            return subject.name
        if not isinstance(subject.row, Bundle) or (stays[-1].place and weather.has_own_weather(stays[-1].place)):
            return weather.basis_along(stays)
        kept = subject.row.temperature_c
        store = "store not known" if kept is None else f"stored at {show_temperature(kept, weather.unit)}"
        return "; ".join([*([weather.basis_along(stays[:-1])] if stays[:-1] else []), store])

    def days(self, subject: Subject, weather: PlaceSeries, since: date, until: date) -> DailySeries:
        """The series a subject had; gaps where nothing is known of a place."""
        if subject.station_id is not None:
            return weather.station_days(subject.station_id).between(since, until)
        stays = self.stays(subject, since)
        if isinstance(subject.row, Bundle):
            return _wood_days(subject.row, weather, stays, until).between(since, until)
        return graft_warmth.days_along(weather, stays, until).between(since, until)


def _wood_days(bundle: Bundle, weather: PlaceSeries, stays: Sequence[PlaceStay], until: date) -> DailySeries:
    """Wood in store has the temperature it is stored at, unless its place has weather of its own; never that of the open
    air."""
    *before, store = stays
    own = store.place is not None and weather.has_own_weather(store.place)
    stored = (
        weather.days(store.place).between(store.on, until) if own
        else constant_series(store.on, until, bundle.temperature_c, bundle.temperature_c) if bundle.temperature_c is not None
        else weather.days(None).between(until, until - timedelta(days=1))
    )  # fmt: skip
    parts = [stored] if len(stored) else []
    if before:
        parts.append(graft_warmth.days_along(weather, before, store.on - timedelta(days=1)))
    return joined(parts) if parts else stored


def _from(stays: Sequence[PlaceStay], since: date) -> Iterator[PlaceStay]:
    """Stays cut off before a day."""
    for at, stay in enumerate(stays):
        later = stays[at + 1].on if at + 1 < len(stays) else None
        if later is None or later > since:
            yield stay._replace(on=max(stay.on, since))


def event_word(text: str | None) -> str | None:
    """An event as one of EVENTS, None for a text that is none."""
    plain = naming.key(text or "")
    names = {"made": "grafting", "graft": "grafting", "grafted": "grafting", "acquired": "planted"}
    return next((word for word in EVENTS if plain == word), names.get(plain))


def refuse_backwards(since: date, until: date) -> None:
    """Raise Refused for an end before the beginning."""
    if until < since:
        raise Refused(f"--until {until.isoformat()} lies before the beginning, {since.isoformat()}")
