"""Weather: stations, their days a year at a time, and which weather a place has.

The days of one station and year stand in one row, as text, so that sixty years of twenty stations are twelve hundred rows:
an entry that brings them in keeps twelve hundred changes, and is shown and undone like any other.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated

from annotated_types import Ge, Le
from pydantic import AllowInfNan, StringConstraints
from sqlalchemy import CheckConstraint, Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from graftbook.book._base import NO_REUSE, LongText, Row, ShortText
from graftbook.book.limits import constraints

AirCelsius = Annotated[float, Ge(-90), Le(60), AllowInfNan(False)]
DayText = Annotated[str, StringConstraints(min_length=1, max_length=4000)]


class WeatherStationFields(SQLModel):
    """Where temperatures were read: a weather station or the grower's own thermometer. `known_as` is the name in its files;
    `latitude` in degrees, north of the equator above 0, None when not said."""

    name: ShortText
    known_as: ShortText | None = None
    latitude: float | None = Field(default=None, ge=-90, le=90)
    note: LongText | None = None


class WeatherStation(Row, WeatherStationFields, table=True):
    """A station in the book."""

    __tablename__ = "weather_station"
    __table_args__ = (*constraints(WeatherStationFields, "latitude_range"), NO_REUSE)
    name: str = Field(unique=True, max_length=200)


class WeatherYearFields(SQLModel):
    """The days of one station and year: the lowest and the highest temperature of each day in C from 1 January on, with
    blanks between them and a full stop for a day without one."""

    year: int = Field(ge=1900, le=2200)
    lows: DayText
    highs: DayText


class WeatherYear(Row, WeatherYearFields, table=True):
    """A year of a station in the book."""

    __tablename__ = "weather_year"
    __table_args__ = (
        UniqueConstraint("station_id", "year", name="uq_weather_year_station_id_year"),
        *constraints(WeatherYearFields, "year_range"),
        NO_REUSE,
    )
    station_id: int = Field(foreign_key="weather_station.id")


class PlaceWeatherFields(SQLModel):
    """Which weather a place has from a day on: that of a station, or one it is kept at, between `low_c` and `high_c` each day.

    `place` None stands for every place of which nothing else is said.
    """

    place: ShortText | None = None
    on: date
    low_c: AirCelsius | None = None
    high_c: AirCelsius | None = None
    note: LongText | None = None


class PlaceWeather(Row, PlaceWeatherFields, table=True):
    """What was stated of the weather of a place."""

    __tablename__ = "place_weather"
    __table_args__ = (
        CheckConstraint(
            "(station_id IS NOT NULL AND low_c IS NULL AND high_c IS NULL)"
            " OR (station_id IS NULL AND low_c IS NOT NULL AND high_c IS NOT NULL)",
            name="station_or_kept",
        ),
        CheckConstraint("low_c <= high_c", name="low_high_order"),
        Index("ix_place_weather_station_id", "station_id"),
        NO_REUSE,
    )
    station_id: int | None = Field(default=None, foreign_key="weather_station.id")
