"""What gives places their weather from a day on: a station, or a temperature or two they are kept at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from sqlmodel import Session

from graftbook import dates
from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report
from graftbook.actions.desk.typed import blank, read_latitude
from graftbook.actions.weather.weather_days import station_named
from graftbook.book import weather_queries
from graftbook.book.weather import PlaceWeather, WeatherStation
from graftbook.errors import NotFound, Refused, UsageProblem
from graftbook.units import show_temperature


@dataclass(frozen=True)
class PlaceWeatherRow:
    """What gives a place its weather from a day on: a station, or the lowest and highest it is kept at. `place` None is
    every place of which nothing else is said; `on` None means always."""

    place: str | None
    on: date | None
    station: str | None
    low_c: float | None
    high_c: float | None
    note: str | None
    headings: ClassVar = {"on": "from", "low_c": "lowest", "high_c": "highest"}


def use(
    desk: Desk, station: str, place: str | None = None, since: str | None = None, *, who: str | None = None,
    note: str | None = None,
) -> Recorded:  # fmt: skip
    """Give a place the weather of a station from a day on; `place` None is every place of which nothing else is said.

    Without a day it holds always where nothing was stated of the place yet, and from today on where something was.
    Raises NotFound for a station the book has not got.
    """
    return _record(desk, place, since, who, note, station=station)


def keep_at(
    desk: Desk, place: str, *, constant: str | None = None, low: str | None = None, high: str | None = None,
    since: str | None = None, who: str | None = None, note: str | None = None,
) -> Recorded:  # fmt: skip
    """Give a place under cover a temperature, or the lowest and the highest of its days, from a day on (as `use`).

    Raises UsageProblem unless it is either `constant` or both `low` and `high`, Refused for a lowest above the highest.
    """
    if (constant is None) == (low is None and high is None) or (constant is None and (low is None or high is None)):
        raise UsageProblem("--constant 20C, or both --min 8C and --max 22C", "neither or some of each")
    least = desk.temperature(constant if constant is not None else low or "")
    most = desk.temperature(constant if constant is not None else high or "")
    if least > most:
        raise Refused(f"the lowest, {least:.10g} C, is above the highest, {most:.10g} C")
    return _record(desk, place, since, who, note, low=least, high=most)


def list_places(desk: Desk, place: str | None = None) -> Report:
    """What gives places their weather, place by place, oldest first (None: every place)."""
    with desk.book.read() as session:
        names: dict[int | None, str] = {one.id: one.name for one in weather_queries.stations(session)}
        dated = [
            row
            for row in weather_queries.place_weather(session)
            if place is None or (row.place is not None and naming.key(row.place) == naming.key(place))
        ]
    dated.sort(key=lambda row: (row.place is not None, naming.key(row.place or ""), row.on))
    rows = tuple(
        PlaceWeatherRow(row.place, None if row.on == dates.EARLIEST else row.on, names.get(row.station_id), row.low_c,
                        row.high_c, row.note)
        for row in dated
    )  # fmt: skip
    notes = () if rows else (
        "Say it with graftbook weather use STATION, or graftbook weather place PLACE --constant 20C.",)  # fmt: skip
    if any(row.place is None for row in rows):
        notes = ("Where no place stands, every place is meant of which nothing else is said.",)
    return Report(PlaceWeatherRow, rows, notes, {"as_of": desk.today})


def describe(
    desk: Desk, station: str, *, latitude: str | None = None, rename: str | None = None, who: str | None = None,
    note: str | None = None,
) -> Recorded:  # fmt: skip
    """Say where a station lies, give it another name or a note. Raises NotFound for one the book has not got, Refused for a
    name that another has."""
    if latitude is None and rename is None and note is None:
        raise UsageProblem("something to say of the station: --latitude, --rename or --note", "nothing")
    with desk.book.write("weather", desk.person(who)) as unit:
        row = find_station(unit.session, station)
        values: dict[str, object] = {} if latitude is None else {"latitude": read_latitude(latitude)}
        if note is not None:
            values["note"] = blank(note)
        if rename is not None:
            held = station_named(weather_queries.stations(unit.session), rename)
            if blank(rename) is None:
                raise Refused(f"a station needs a name; {rename!r} is none")
            if held is not None and held.id != row.id:
                raise Refused(
                    f"another station is called {held.name!r} already", "", "Choose a name no other station has"
                )
            values["name"] = " ".join(rename.split())
        old = row.name
        unit.amend(row, **values)
        changes = ", ".join(f"{name} {'nothing' if value is None else value}" for name, value in values.items())
        entry = unit.commit(f"Weather station {old}: {changes}")
    return Recorded(f"{entry.summary}.", entry.id)


def find_station(session: Session, name: str) -> WeatherStation:
    """The station of a name. Raises NotFound naming those there are."""
    held = weather_queries.stations(session)
    found = station_named(held, name)
    if found is None:
        names = ", ".join(one.name for one in held) or "none yet"
        raise NotFound(
            f"no weather station {name!r}", "", f"The book has {names}; make one with graftbook weather import"
        )
    return found


def place_name(session: Session, text: str) -> tuple[str, bool]:
    """A place as the book spells it, and whether anything stands or is recorded there; a new one as typed."""
    named = [row.place for row in weather_queries.place_weather(session) if row.place is not None]
    for held in (*named, *weather_queries.places(session)):
        if naming.key(held) == naming.key(text):
            return held, True
    if not naming.key(text):
        raise UsageProblem("a place", repr(text))
    return " ".join(text.split()), False


def _record(
    desk: Desk, place: str | None, since: str | None, who: str | None, note: str | None, *, station: str | None = None,
    low: float | None = None, high: float | None = None,
) -> Recorded:  # fmt: skip
    with desk.book.write("weather", desk.person(who)) as unit:
        source = None if station is None else find_station(unit.session, station)
        name, known = (None, True) if place is None else place_name(unit.session, place)
        before = [row for row in weather_queries.place_weather(unit.session) if row.place == name]
        on = desk.day(since, future=True) if since is not None else desk.today if before else dates.EARLIEST
        values = {
            "station_id": None if source is None else source.id,
            "low_c": low,
            "high_c": high,
            "note": blank(note or ""),
        }
        same_day = next((row for row in before if row.on == on), None)
        if same_day is not None:
            unit.amend(same_day, **values)
        else:
            unit.add(PlaceWeather, place=name, on=on, **values)
        words = source.name if source is not None else _kept(low, high, desk.settings.temperature)
        start = "" if on == dates.EARLIEST else f" from {on.isoformat()}"
        entry = unit.commit(f"{'Every other place' if name is None else name}: weather {words}{start}")
    notes = () if known else (f"Nothing stands at {name} yet.",)
    if same_day is not None:
        notes = (*notes, "It takes the place of what was recorded for the same day.")
    return Recorded(f"{entry.summary}.", entry.id, (), notes)


def _kept(low: float | None, high: float | None, unit: str) -> str:
    if low == high:
        return f"kept at {show_temperature(low, unit)}"
    return f"kept between {show_temperature(low, unit)} and {show_temperature(high, unit)}"
