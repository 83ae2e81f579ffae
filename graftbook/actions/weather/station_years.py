"""The years of one station while days are merged into them: what is new, what is there already, what differs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from graftbook.book import weather_queries
from graftbook.book.unit import Unit
from graftbook.book.weather import WeatherStation, WeatherYear
from graftbook.errors import Problem
from graftbook.season.weather_days import series_text
from graftbook.season.weather_file import WeatherFile


@dataclass
class StationYears:
    """The years of one station as they will be: lowest and highest of each day in C by year, None for none.

    `days` are those in the files, `filled` those of which the book had nothing, `changed` those whose value is replaced, all as
    ordinals; `touched` are the years to write; `problems` what differs from the book.
    """

    rows: dict[int, WeatherYear] = field(default_factory=dict)
    lows: dict[int, list[float | None]] = field(default_factory=dict)
    highs: dict[int, list[float | None]] = field(default_factory=dict)
    touched: set[int] = field(default_factory=set)
    days: set[int] = field(default_factory=set)
    filled: set[int] = field(default_factory=set)
    changed: set[int] = field(default_factory=set)
    problems: list[Problem] = field(default_factory=list)

    def at(self, on: date) -> tuple[float | None, float | None]:
        """The lowest and the highest of a day as they will be."""
        if on.year not in self.lows:
            return None, None
        place = on.timetuple().tm_yday - 1
        return self.lows[on.year][place], self.highs[on.year][place]

    def year(self, day: int) -> tuple[int, int]:
        """The year a day lies in, made ready for values, and the ordinal of its first day."""
        year = date.fromordinal(day).year
        first = date(year, 1, 1).toordinal()
        for series in (self.lows, self.highs):
            series.setdefault(year, [None] * (date(year + 1, 1, 1).toordinal() - first))
        return year, first


def stored_years(unit: Unit, row: WeatherStation, files: Sequence[WeatherFile]) -> StationYears:
    """What the book has of a station in the years that files cover."""
    years = StationYears()
    ends = [end(held) for one in files for held in (one.lows, one.highs) if held for end in (min, max)]
    first, last = date.fromordinal(min(ends)).year, date.fromordinal(max(ends)).year
    for held in weather_queries.years(unit.session, [row.id or 0], first, last):
        years.rows[held.year] = held
        years.lows[held.year], years.highs[held.year] = _values(held.lows), _values(held.highs)
    return years


def _values(text: str) -> list[float | None]:
    return [None if word == "." else float(word) for word in text.split()]


def merge_days(years: StationYears, one: WeatherFile, replace: bool) -> None:
    """Put the days of a file where there is nothing yet; a day that differs is a problem, unless `replace`."""
    for held, new, name in ((years.lows, one.lows, "lowest"), (years.highs, one.highs, "highest")):
        year, first = 0, 0
        values: list[float | None] = []
        for day in sorted(new):
            if not values or not first <= day < first + len(values):
                year, first = years.year(day)
                values = held[year]
            before, value = values[day - first], new[day]
            if before is None:
                years.filled.add(day)
            elif before != value and replace:
                years.changed.add(day)
            elif before != value:
                accepted = f"{before:.10g} C, which the book or an earlier line has for that day"
                found = f"a {name} of {value:.10g} C on {date.fromordinal(day)}"
                years.problems.append(Problem(one.file, one.line_of[day], 0, "", found, accepted))
            if before != value:
                values[day - first] = value
                years.touched.add(year)
        years.days.update(new)
    _check_extremes(years, one)


def _check_extremes(years: StationYears, one: WeatherFile) -> None:
    """A lowest without a highest in the file, or the other way round, must agree with what the book has of the day."""
    for day in one.lows.keys() ^ one.highs.keys():
        on = date.fromordinal(day)
        low, high = years.at(on)
        if low is not None and high is not None and low > high:
            years.problems.append(
                Problem(one.file, one.line_of[day], 0, "", f"a lowest of {low:.10g} C and a highest of {high:.10g} C on {on}",
                        "a lowest that is not above the highest, the other of the two being in the book")
            )  # fmt: skip


def save_years(unit: Unit, row: WeatherStation, years: StationYears) -> None:
    """Write the years that were touched."""
    new = []
    for year in sorted(years.touched):
        texts = {"lows": series_text(years.lows[year]), "highs": series_text(years.highs[year])}
        if year in years.rows:
            unit.amend(years.rows[year], **texts)
        else:
            new.append({"station_id": row.id, "year": year, **texts})
    unit.add_many(WeatherYear, new)
