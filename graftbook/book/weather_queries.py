"""Weather read in bulk: stations, their years, what gives places their weather, and moves from place to place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from sqlalchemy import Select, select
from sqlmodel import Session

from graftbook.book.asking import columns_of, held_in, lines, rows, things
from graftbook.book.grafts import Care, Graft
from graftbook.book.plants import Plant
from graftbook.book.weather import PlaceWeather, WeatherStation, WeatherYear
from graftbook.book.wood import Bundle


class Move(NamedTuple):
    """One thing moved on a day, from one place to another (None: not said)."""

    plant_id: int | None
    graft_id: int | None
    on: date
    before: str | None
    place: str | None


class Stander(NamedTuple):
    """One graft as its warmth asks for it; `taxon` is that of its wood."""

    id: int
    code: str
    made_on: date
    place: str | None
    host_plant_id: int | None
    host_graft_id: int | None
    taxon: str | None


def stations(session: Session) -> tuple[WeatherStation, ...]:
    """Every station, by the order in which they came into the book."""
    return tuple(things(session, WeatherStation))


def any_weather(session: Session) -> bool:
    """Whether the book knows any weather at all."""
    return any(session.execute(select(table.id).limit(1)).first() for table in (WeatherStation, PlaceWeather))


def years(session: Session, station_ids: Iterable[int], first: int, last: int) -> list[WeatherYear]:
    """The rows of some stations from one year to another, by station and year."""
    return list(session.execute(_years_of(select(WeatherYear), station_ids, first, last)).scalars())


def _years_of(query: Select, station_ids: Iterable[int], first: int, last: int) -> Select:
    of_stations = WeatherYear.station_id.in_(sorted(set(station_ids)))
    query = query.where(of_stations, WeatherYear.year.between(first, last))
    return query.order_by(WeatherYear.station_id, WeatherYear.year)


def year_texts(session: Session, station_ids: Iterable[int], first: int, last: int) -> list[tuple[int, int, str, str]]:
    """Station id, year, lows and highs of some stations from one year to another, by station and year."""
    query = select(WeatherYear.station_id, WeatherYear.year, WeatherYear.lows, WeatherYear.highs)
    return [tuple(row) for row in rows(session, _years_of(query, station_ids, first, last))]


def year_keys(session: Session) -> list[tuple[int, int]]:
    """Station id and year of every year of weather in the book."""
    return [tuple(row) for row in rows(session, select(WeatherYear.station_id, WeatherYear.year))]


def place_weather(session: Session) -> tuple[PlaceWeather, ...]:
    """What gives places their weather, by day from which it holds and then as it was recorded."""
    return tuple(things(session, PlaceWeather))


def moves(session: Session) -> list[Move]:
    """Every move of a plant or a graft that says where to, by day and then as it was recorded."""
    query = select(Care.plant_id, Care.graft_id, Care.on, Care.place_before, Care.place)
    return lines(session, Move, query.where(Care.place.is_not(None)).order_by(Care.on, Care.id))


def standers(session: Session, graft_ids: Sequence[int] | None = None) -> list[Stander]:
    """Grafts by number; None means every graft."""
    query = select(*columns_of(Stander, Graft), Bundle.taxon).outerjoin(Bundle, Graft.bundle_id == Bundle.id)
    return lines(session, Stander, query.order_by(Graft.number), Graft.id, graft_ids)


def plant_places(session: Session) -> dict[int, str | None]:
    """Where every plant stands now, by id."""
    return dict(rows(session, select(Plant.id, Plant.place)))


def hosts(session: Session) -> dict[int, tuple[int | None, int | None]]:
    """What every graft stands on, by id: a plant's id or a graft's."""
    query = select(Graft.id, Graft.host_plant_id, Graft.host_graft_id)
    return {number: (plant, graft) for number, plant, graft in rows(session, query)}


def places(session: Session) -> tuple[str, ...]:
    """Every place where a plant, a graft or wood is or was, as the book spells it, in order."""
    return tuple(sorted(held_in(session, Graft.place, Plant.place, Bundle.store, Care.place, Care.place_before)))


def plant_taxa(session: Session, plant_ids: Iterable[int]) -> dict[int, str | None]:
    """The kinds of some plants, by id."""
    return dict(rows(session, select(Plant.id, Plant.taxon), Plant.id, plant_ids))
