"""weather: days in from files and thermometers, and what they say of grafts: warmth, callus, chill."""

from pathlib import Path
from typing import Annotated

from graftbook.cli.grouping import group
from graftbook.cli.options import AsOf, Limit, Note, Who, argument, option
from graftbook.cli.shared import progress
from graftbook.cli.verb import Desk, Recorded, Report, verb

Station = Annotated[str | None, option("--station", "A weather station.", "NAME")]
AtPlace = Annotated[str | None, option("--place", "A place, such as a tunnel.", "PLACE")]
Since = Annotated[str | None, option("--since", "The first day.", "DATE")]
Until = Annotated[str | None, option("--until", "The last day (default: today).", "DATE")]
From = Annotated[str | None, option("--from", "From which day on it holds.", "DATE")]
Latitude = Annotated[str | None, option("--latitude", "Such as 52.3 or 33.9S.", "DEGREES")]
Codes = Annotated[str | None, argument("CODES", "Plants, grafts or wood, such as G1-G9.")]

verbs = group(
    "weather", "Daily weather and what it means: import, day, list, show, use, place, station, since, callus, chill."
)


@verb(verbs)
def import_(
    at: Desk,
    files: Annotated[list[Path], argument("FILE…", "GHCN-Daily .dly or by-year CSV, or any CSV; .gz too.")],
    station: Annotated[str, option("--station", "What you call the station.", "NAME")],
    unit: Annotated[str | None, option("--unit", "Unit of a CSV file.", "C|F|tenths")] = None,
    column: Annotated[
        list[str] | None, option("--column", 'Columns of a CSV file, such as min="Air min"; repeat it.', "PART=NAME")
    ] = None,
    known_as: Annotated[str | None, option("--id", "The station to read, where the file has several.", "ID")] = None,
    latitude: Latitude = None,
    dates: Annotated[str | None, option("--dates", "day-first or month-first, in these files.", "ORDER")] = None,
    replace: Annotated[bool, option("--replace", "Put these values in the place of the book's.")] = False,
    sure: Annotated[bool, option("--sure", "The unit is right, odd as the figures are.")] = False,
    dry_run: Annotated[bool, option("--dry-run", "Say what would be done, and do nothing.")] = False,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Take daily lowest and highest temperatures from files. Importing again adds nothing.

    Example:

        graftbook weather import USW00014735.dly --station Kilbride --latitude 52.3

        graftbook weather import logger.csv --station tunnel --unit F --column date=Day --column min=Low --column max=High
    """
    from graftbook.actions.weather import weather_import

    stated = weather_import.FileWords(unit, column or (), known_as, latitude, dates, sure)
    size = sum(path.stat().st_size for path in files if path.is_file() and path.suffix != ".gz")
    with progress("Reading", size or None) as done:
        return weather_import.import_weather(
            at, files, station, stated, replace=replace, dry_run=dry_run, who=who, note=note, progress=done
        )


@verb(verbs)
def day(
    at: Desk,
    on: Annotated[str, argument("DATE", "The day; one to come is taken as a forecast.")],
    low: Annotated[str, option("--min", "Its lowest, such as 3C or 38F.", "T")],
    high: Annotated[str, option("--max", "Its highest.", "T")],
    station: Annotated[
        str | None, option("--station", "Whose day it is (default: the book's only one).", "NAME")
    ] = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Type one day, read off a thermometer or a forecast. It takes the place of what the book has for it.

    Example:

        graftbook weather day yesterday --min 4C --max 13C --station Kilbride
    """
    from graftbook.actions.weather import weather_import

    return weather_import.add_day(at, on, low, high, station, who=who, note=note)


@verb(verbs)
def list_(at: Desk) -> Report:
    """List the stations, the days they have and their gaps.

    Example:

        graftbook weather list
    """
    from graftbook.actions.weather import weather_lists

    return weather_lists.list_stations(at)


@verb(verbs)
def show_(
    at: Desk,
    since: Since = None,
    until: Until = None,
    place: AtPlace = None,
    station: Station = None,
    limit: Limit = 400,
) -> Report:
    """Show days one by one, of a place or a station, gaps as gaps.

    Example:

        graftbook weather show --since 2027-03-01 --place "back room"
    """
    from graftbook.actions.weather import weather_lists

    return weather_lists.show_days(at, since=since, until=until, place=place, station=station, limit=limit)


@verb(verbs)
def use(
    at: Desk,
    station: Annotated[str, argument("STATION", "A station of the book.")],
    place: Annotated[str | None, option("--place", "Where it holds (default: everywhere else).", "PLACE")] = None,
    since: From = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Say which station's weather a place has.

    Example:

        graftbook weather use Kilbride --place "top field"
    """
    from graftbook.actions.weather import weather_places

    return weather_places.use(at, station, place, since, who=who, note=note)


@verb(verbs)
def place_(
    at: Desk,
    place: Annotated[str | None, argument("PLACE", "A place (default: list them all).")] = None,
    constant: Annotated[str | None, option("--constant", "Always so warm, such as 20C.", "T")] = None,
    low: Annotated[str | None, option("--min", "The lowest of each day.", "T")] = None,
    high: Annotated[str | None, option("--max", "The highest of each day.", "T")] = None,
    since: From = None,
    who: Who = None,
    note: Note = None,
) -> Recorded | Report:
    """Say how warm a place under cover is kept, from a day on; or list what is stated of places.

    Example:

        graftbook weather place "back room" --constant 20C

        graftbook weather place tunnel --min 8C --max 22C --from 2027-03-20
    """
    from graftbook.actions.weather import weather_places

    if place is None or (constant, low, high) == (None, None, None):
        return weather_places.list_places(at, place)
    return weather_places.keep_at(at, place, constant=constant, low=low, high=high, since=since, who=who, note=note)


@verb(verbs)
def station_(
    at: Desk,
    station: Annotated[str, argument("STATION", "A station of the book.")],
    latitude: Latitude = None,
    rename: Annotated[str | None, option("--rename", "Another name for it.", "NAME")] = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Say where a station lies, or give it another name.

    Example:

        graftbook weather station Kilbride --latitude 52.3
    """
    from graftbook.actions.weather import weather_places

    return weather_places.describe(at, station, latitude=latitude, rename=rename, who=who, note=note)


@verb(verbs)
def since_(
    at: Desk,
    when: Annotated[str, argument("DATE|EVENT", "A day, or grafting, tied, stage, planted, cut, stored, received.")],
    codes: Codes = None,
    place: AtPlace = None,
    station: Station = None,
    until: Until = None,
    base: Annotated[str | None, option("--base", "Counted above this (default: 5C).", "T")] = None,
    upper: Annotated[str | None, option("--upper", "Warmer counts as this.", "T")] = None,
    method: Annotated[
        str | None, option("--method", "sine (default), triangle, average, clamped-average, four-case.", "NAME")
    ] = None,
    limit: Limit = 200,
) -> Report:
    """Show the warmth since a day or an event, in degree-days, with the days that are missing from it.

    Example:

        graftbook weather since grafting G1-G9

        graftbook weather since 2027-01-01 --place "top field" --base 6C
    """
    from graftbook.actions.weather import warmth_since

    how = warmth_since.How(base, upper, method)
    return warmth_since.since(at, when, codes, place=place, station=station, until=until, how=how, limit=limit)


@verb(verbs)
def callus(
    at: Desk,
    codes: Annotated[
        str | None, argument("CODES", "Grafts, or plants for their only open one (default: the new ones).")
    ] = None,
    as_of: AsOf = None,
    limit: Limit = 200,
) -> Report:
    """Show how far unions have come by the warmth where they stand, as a band with its basis.

    Example:

        graftbook weather callus G1-G9
    """
    from graftbook.actions.weather import weather_callus

    return weather_callus.callus_clock_of(at, codes, as_of=as_of, limit=limit)


@verb(verbs)
def chill(
    at: Desk,
    codes: Codes = None,
    place: AtPlace = None,
    station: Station = None,
    since: Annotated[str | None, option("--since", "The first day (default: of the season).", "DATE")] = None,
    until: Until = None,
    latitude: Latitude = None,
    hours: Annotated[str | None, option("--hours", "0-7.2 (default) or below-7.2, in C.", "COUNT")] = None,
    utah: Annotated[str | None, option("--utah", "C (default) or F.", "TABLE")] = None,
) -> Report:
    """Show how much chill plants or wood have had, counted three ways.

    Example:

        graftbook weather chill P3,W7

        graftbook weather chill --station Kilbride --since 2026-09-01 --until 2027-02-28
    """
    from graftbook.actions.weather import weather_chill

    return weather_chill.chill(
        at, codes, place=place, station=station, since=since, until=until, latitude=latitude, hours=hours, utah=utah
    )
