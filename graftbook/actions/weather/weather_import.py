"""Weather into the book: from files and as typed, a day at most once, and never over another value unasked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from graftbook import dates
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, count
from graftbook.actions.desk.typed import blank, read_latitude
from graftbook.actions.weather.station_years import StationYears, merge_days, save_years, stored_years
from graftbook.actions.weather.weather_days import gap_notes, known_days, station_named
from graftbook.actions.weather.weather_files import Progress, files_named, order_of, read_all
from graftbook.book import weather_queries
from graftbook.book.unit import Unit
from graftbook.book.weather import PlaceWeather, WeatherStation
from graftbook.errors import BadData, Refused, UsageProblem
from graftbook.season import weather_reading, weather_units
from graftbook.season.weather_file import LATEST, WeatherFile
from graftbook.units import show_temperature


@dataclass(frozen=True)
class FileWords:
    """What was stated of weather files on the command line; None or empty where it was not."""

    unit: str | None = None
    columns: Sequence[str] = ()
    known_as: str | None = None
    latitude: str | None = None
    dates: str | None = None
    sure: bool = False


def import_weather(
    desk: Desk, paths: Sequence[Path], station: str, stated: FileWords, *, replace: bool = False, dry_run: bool = False,
    who: str | None = None, note: str | None = None, progress: Progress = None,
) -> Recorded:  # fmt: skip
    """Take the days of files into the book under a station's name, as one entry; days the book has already are passed over.

    With `replace` a day that differs from the book takes its place, otherwise it is a problem. The first
    station becomes the weather of every place. `progress` is called with the bytes read.

    Raises BadData with every problem of every file, NotFound for a file that is not there, UsageProblem for what must be
    stated of a file, Refused for a unit that cannot be right and for a file of another station.
    """
    name = _name(station)
    options = weather_reading.FileOptions(
        None if stated.unit is None else weather_units.read_unit(stated.unit),
        weather_reading.named_columns(stated.columns), blank(stated.known_as), stated.sure,
    )  # fmt: skip
    latitude = None if stated.latitude is None else read_latitude(stated.latitude)
    files = read_all(desk, paths, options, order_of(desk, stated.dates), progress)
    with desk.book.write("weather", desk.person(who)) as unit:
        row, notes = _station(unit, name, files, latitude)
        years = stored_years(unit, row, files)
        for one in files:
            merge_days(years, one, replace)
        if years.problems:
            raise BadData(
                years.problems, files_named(paths), "Mend the file, or take its days over the book's with --replace"
            )
        line = _line(row.name, files, years)
        if not years.touched and not notes:
            return Recorded(f"Nothing new: {_all_there(years, row.name)}.", notes=_left_out(files))
        if dry_run:
            return Recorded(
                f"Nothing was recorded (--dry-run). It would have recorded: {line}.", notes=_left_out(files)
            )
        save_years(unit, row, years)
        gaps = [note for days in known_days(unit.session, [row]).values() for note in gap_notes(row.name, days)]
        entry = unit.commit(line + (f" ({note})" if blank(note) else ""))
    return Recorded(f"{line}.", entry.id, (), (*notes, *_left_out(files), *gaps, *_ahead(files, desk.today)))


def add_day(
    desk: Desk, day: str, low: str, high: str, station: str | None = None, *, who: str | None = None,
    note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record the lowest and highest of one day as read off a thermometer or a forecast; a day to come may be typed too.

    It takes the place of what the book has for that day. `station` None means the book's only one; a new name makes a
    station. Raises UsageProblem and Refused for a day or temperatures that cannot be.
    """
    on = desk.day(day, future=True)
    if on.toordinal() > LATEST:
        raise UsageProblem(f"a day up to {date.fromordinal(LATEST)}", day)
    lowest, highest = desk.temperature(low), desk.temperature(high)
    if lowest > highest:
        raise Refused(f"the lowest, {lowest:.10g} C, is above the highest, {highest:.10g} C")
    with desk.book.write("weather", desk.person(who)) as unit:
        name = _only(unit, station)
        number = on.toordinal()
        file = WeatherFile("typed", "typed", lows={number: lowest}, highs={number: highest}, line_of={number: 0})
        row, notes = _station(unit, name, [file], None)
        years = stored_years(unit, row, [file])
        before = years.at(on)
        merge_days(years, file, replace=True)
        if not years.touched:
            return Recorded(
                f"Nothing new: the book has {_range(desk, lowest, highest)} for {row.name} on {on.isoformat()}."
            )
        save_years(unit, row, years)
        line = f"Weather of {row.name}: {_range(desk, lowest, highest)} on {on.isoformat()}"
        entry = unit.commit(line + (f" ({note})" if blank(note) else ""))
    if years.changed:
        notes = (*notes, f"It takes the place of {_range(desk, *before)}.")
    ahead = ("That day is to come: it is taken as a forecast.",) if on > desk.today else ()
    return Recorded(f"{line}.", entry.id, (), (*notes, *ahead))


def _range(desk: Desk, low: float | None, high: float | None) -> str:
    shown = [show_temperature(value, desk.settings.temperature) or "unknown" for value in (low, high)]
    return " to ".join(shown)


def _name(station: str) -> str:
    name = " ".join(station.split())
    if not name or len(name) > 200:
        raise UsageProblem("a name for the station, such as --station Kilbride", repr(station))
    return name


def _only(unit: Unit, station: str | None) -> str:
    if station is not None:
        return _name(station)
    held = weather_queries.stations(unit.session)
    if len(held) != 1:
        names = ", ".join(one.name for one in held) or "none yet"
        raise UsageProblem("--station with the name of a station", f"none named; the book has {names}")
    return held[0].name


def _station(
    unit: Unit, name: str, files: Sequence[WeatherFile], latitude: float | None
) -> tuple[WeatherStation, tuple[str, ...]]:
    """The station of this name, made if need be, with what the files say of it; and notes on what was changed."""
    held = weather_queries.stations(unit.session)
    row = station_named(held, name)
    known_as = next((one.station for one in files if one.station is not None), None)
    lying = (
        latitude if latitude is not None else next((one.latitude for one in files if one.latitude is not None), None)
    )
    strange = {one.station for one in files if one.station is not None and one.station != known_as}
    if row is not None and row.known_as is not None and known_as is not None and row.known_as != known_as:
        strange = {known_as}
        known_as = row.known_as
    if strange:
        raise Refused(
            f"{name} is station {known_as}, and these files are of {', '.join(sorted(map(str, strange)))}",
            next_step="Two stations do not make one: give the other a name of its own with --station",
        )
    if row is None:
        row = unit.add(WeatherStation, name=name, known_as=known_as, latitude=lying)
        return row, _everywhere(unit, row)
    changes: dict[str, str | float | None] = {"known_as": known_as if row.known_as is None else row.known_as}
    changes |= {"latitude": lying} if lying is not None and (row.latitude is None or latitude is not None) else {}
    changes = {key: value for key, value in changes.items() if value != getattr(row, key)}
    if changes:
        unit.amend(row, **changes)
    return row, tuple(f"Its latitude is {value:.10g}." for key, value in changes.items() if key == "latitude")


def _everywhere(unit: Unit, row: WeatherStation) -> tuple[str, ...]:
    """The first station gives its weather to every place that is not given another."""
    if any(one.place is None for one in weather_queries.place_weather(unit.session)):
        return ()
    unit.add(PlaceWeather, place=None, on=dates.EARLIEST, station_id=row.id)
    return (f"Every place now has the weather of {row.name}, unless it is given another with graftbook weather use or "
            "graftbook weather place.",)  # fmt: skip


def _all_there(years: StationYears, name: str) -> str:
    number = len(years.days)
    return f"the book has all {number:,} days of {name} already" if number > 1 else f"the book has that day of {name}"


def _line(name: str, files: Sequence[WeatherFile], years: StationYears) -> str:
    span = f"{date.fromordinal(min(years.days)).isoformat()} to {date.fromordinal(max(years.days)).isoformat()}"
    changed, there = len(years.changed - years.filled), len(years.days - years.filled - years.changed)
    parts = [count(len(years.filled), "new day")]
    parts += [f"{count(changed, 'day')} replaced"] if changed else []
    parts += [f"{count(there, 'day')} already there"] if there else []
    form = ", ".join(dict.fromkeys(f"{one.form}, {one.unit}" for one in files))
    return f"Weather of {name}: {', '.join(parts)}, {span} ({form})"


def _left_out(files: Sequence[WeatherFile]) -> tuple[str, ...]:
    flagged, missing, early = (sum(getattr(one, name) for one in files) for name in ("flagged", "missing", "early"))
    notes = []
    if flagged:
        notes.append(
            f"{count(flagged, 'value')} had failed a check of the publisher and {'was' if flagged == 1 else 'were'} left out."
        )
    if missing:
        notes.append(f"{count(missing, 'value')} {'is' if missing == 1 else 'are'} marked as missing.")
    if early:
        notes.append(f"{count(early, 'value')} from before 1900 {'was' if early == 1 else 'were'} left out.")
    return tuple(notes)


def _ahead(files: Sequence[WeatherFile], today: date) -> tuple[str, ...]:
    number = len({day for one in files for day in one.line_of if day > today.toordinal()})
    if not number:
        return ()
    return (f"{count(number, 'day')} {'is' if number == 1 else 'are'} to come, and taken as a forecast; when the days were "
            "measured, import them with --replace.",)  # fmt: skip
