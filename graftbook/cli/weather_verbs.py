"""weather: days in from files and thermometers, and what they say of grafts: warmth, callus, chill."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import AsOf, Limit, Note, Who
from graftbook.cli.shared import progress
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

Station = Annotated[str | None, typer.Option("--station", metavar="NAME", help="A weather station.")]
AtPlace = Annotated[str | None, typer.Option("--place", metavar="PLACE", help="A place, such as a tunnel.")]
Since = Annotated[str | None, typer.Option("--since", metavar="DATE", help="The first day.")]
Until = Annotated[str | None, typer.Option("--until", metavar="DATE", help="The last day (default: today).")]
From = Annotated[str | None, typer.Option("--from", metavar="DATE", help="From which day on it holds.")]
Latitude = Annotated[str | None, typer.Option("--latitude", metavar="DEGREES", help="Such as 52.3 or 33.9S.")]
Codes = Annotated[str | None, typer.Argument(metavar="CODES", help="Plants, grafts or wood, such as G1-G9.")]


def add_to(app: typer.Typer) -> None:
    """Hang weather on the app."""
    group = typer.Typer(
        rich_markup_mode=None, no_args_is_help=True,
        help="Daily weather and what it means: import, day, list, show, use, place, station, since, callus, chill.",
    )  # fmt: skip
    for name, command in (
        ("import", import_), ("day", day), ("list", list_), ("show", show_), ("use", use), ("place", place_),
        ("station", station_), ("since", since_), ("callus", callus), ("chill", chill),
    ):  # fmt: skip
        group.command(name)(command)
    app.add_typer(group, name="weather")


@verb
def import_(
    at: "Desk",
    files: Annotated[
        list[Path], typer.Argument(metavar="FILE…", help="GHCN-Daily .dly or by-year CSV, or any CSV; .gz too.")
    ],
    station: Annotated[str, typer.Option("--station", metavar="NAME", help="What you call the station.")],
    unit: Annotated[str | None, typer.Option("--unit", metavar="C|F|tenths", help="Unit of a CSV file.")] = None,
    column: Annotated[
        list[str] | None,
        typer.Option("--column", metavar="PART=NAME", help='Columns of a CSV file, such as min="Air min"; repeat it.'),
    ] = None,
    known_as: Annotated[
        str | None, typer.Option("--id", metavar="ID", help="The station to read, where the file has several.")
    ] = None,
    latitude: Latitude = None,
    dates: Annotated[
        str | None, typer.Option("--dates", metavar="ORDER", help="day-first or month-first, in these files.")
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Put these values in the place of the book's.")] = False,
    sure: Annotated[bool, typer.Option("--sure", help="The unit is right, odd as the figures are.")] = False,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Say what would be done, and do nothing.")] = False,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Take daily lowest and highest temperatures from files. Importing again adds nothing.

    Example:

        graftbook weather import USW00014735.dly --station Kilbride --latitude 52.3

        graftbook weather import logger.csv --station tunnel --unit F --column date=Day --column min=Low --column max=High
    """
    from graftbook.actions.weather import weather_import

    said = weather_import.FileWords(
        unit=unit, columns=tuple(column or ()), known_as=known_as, latitude=latitude, dates=dates, sure=sure
    )
    size = sum(path.stat().st_size for path in files if path.is_file() and path.suffix != ".gz")
    with progress("Reading", size or None) as done:
        return weather_import.import_weather(
            at, files, station, said, replace=replace, dry_run=dry_run, who=who, note=note, progress=done
        )


@verb
def day(
    at: "Desk",
    on: Annotated[str, typer.Argument(metavar="DATE", help="The day; one to come is taken as a forecast.")],
    low: Annotated[str, typer.Option("--min", metavar="T", help="Its lowest, such as 3C or 38F.")],
    high: Annotated[str, typer.Option("--max", metavar="T", help="Its highest.")],
    station: Annotated[
        str | None, typer.Option("--station", metavar="NAME", help="Whose day it is (default: the book's only one).")
    ] = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Type one day, read off a thermometer or a forecast. It takes the place of what the book has for it.

    Example:

        graftbook weather day yesterday --min 4C --max 13C --station Kilbride
    """
    from graftbook.actions.weather import weather_import

    return weather_import.add_day(at, on, low, high, station, who=who, note=note)


@verb
def list_(at: "Desk") -> "Report":
    """List the stations, the days they have and their gaps.

    Example:

        graftbook weather list
    """
    from graftbook.actions.weather import weather_lists

    return weather_lists.list_stations(at)


@verb
def show_(
    at: "Desk",
    since: Since = None,
    until: Until = None,
    place: AtPlace = None,
    station: Station = None,
    limit: Limit = 400,
) -> "Report":
    """Show days one by one, of a place or a station, gaps as gaps.

    Example:

        graftbook weather show --since 2027-03-01 --place "back room"
    """
    from graftbook.actions.weather import weather_lists

    report = weather_lists.show_days(at, since=since, until=until, place=place, station=station, limit=limit)
    return report


@verb
def use(
    at: "Desk",
    station: Annotated[str, typer.Argument(metavar="STATION", help="A station of the book.")],
    place: Annotated[
        str | None, typer.Option("--place", metavar="PLACE", help="Where it holds (default: everywhere else).")
    ] = None,
    since: From = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Say which station's weather a place has.

    Example:

        graftbook weather use Kilbride --place "top field"
    """
    from graftbook.actions.weather import weather_places

    return weather_places.use(at, station, place, since, who=who, note=note)


@verb
def place_(
    at: "Desk",
    place: Annotated[str | None, typer.Argument(metavar="PLACE", help="A place (default: list them all).")] = None,
    constant: Annotated[
        str | None, typer.Option("--constant", metavar="T", help="Always so warm, such as 20C.")
    ] = None,
    low: Annotated[str | None, typer.Option("--min", metavar="T", help="The lowest of each day.")] = None,
    high: Annotated[str | None, typer.Option("--max", metavar="T", help="The highest of each day.")] = None,
    since: From = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded | Report":
    """Say how warm a place under cover is kept, from a day on; or list what places were told.

    Example:

        graftbook weather place "back room" --constant 20C

        graftbook weather place tunnel --min 8C --max 22C --from 2027-03-20
    """
    from graftbook.actions.weather import weather_places

    if place is None or (constant, low, high) == (None, None, None):
        return weather_places.list_places(at, place)
    else:
        recorded = weather_places.keep_at(
            at, place, constant=constant, low=low, high=high, since=since, who=who, note=note
        )
        return recorded


@verb
def station_(
    at: "Desk",
    station: Annotated[str, typer.Argument(metavar="STATION", help="A station of the book.")],
    latitude: Latitude = None,
    rename: Annotated[str | None, typer.Option("--rename", metavar="NAME", help="Another name for it.")] = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Say where a station lies, or give it another name.

    Example:

        graftbook weather station Kilbride --latitude 52.3
    """
    from graftbook.actions.weather import weather_places

    return weather_places.describe(at, station, latitude=latitude, rename=rename, who=who, note=note)


@verb
def since_(
    at: "Desk",
    when: Annotated[
        str,
        typer.Argument(metavar="DATE|EVENT", help="A day, or grafting, tied, stage, planted, cut, stored, received."),
    ],
    codes: Codes = None,
    place: AtPlace = None,
    station: Station = None,
    until: Until = None,
    base: Annotated[str | None, typer.Option("--base", metavar="T", help="Counted above this (default: 5C).")] = None,
    upper: Annotated[str | None, typer.Option("--upper", metavar="T", help="Warmer counts as this.")] = None,
    method: Annotated[
        str | None,
        typer.Option("--method", metavar="NAME", help="sine (default), triangle, average, clamped-average, four-case."),
    ] = None,
    limit: Limit = 200,
) -> "Report":
    """Show the warmth since a day or an event, in degree-days, with the days that are missing from it.

    Example:

        graftbook weather since grafting G1-G9

        graftbook weather since 2027-01-01 --place "top field" --base 6C
    """
    from graftbook.actions.weather import warmth_since

    report = warmth_since.since(
        at, when, codes, place=place, station=station, until=until, limit=limit,
        how=warmth_since.How(base, upper, method),
    )  # fmt: skip
    return report


@verb
def callus(
    at: "Desk",
    codes: Annotated[
        str | None,
        typer.Argument(metavar="CODES", help="Grafts, or plants for their only open one (default: the new ones)."),
    ] = None,
    as_of: AsOf = None,
    limit: Limit = 200,
) -> "Report":
    """Show how far unions have come by the warmth where they stand, as a band with its basis.

    Example:

        graftbook weather callus G1-G9
    """
    from graftbook.actions.weather import weather_callus

    return weather_callus.callus_clock_of(at, codes, as_of=as_of, limit=limit)


@verb
def chill(
    at: "Desk",
    codes: Codes = None,
    place: AtPlace = None,
    station: Station = None,
    since: Annotated[
        str | None, typer.Option("--since", metavar="DATE", help="The first day (default: of the season).")
    ] = None,
    until: Until = None,
    latitude: Latitude = None,
    hours: Annotated[
        str | None, typer.Option("--hours", metavar="COUNT", help="0-7.2 (default) or below-7.2, in C.")
    ] = None,
    utah: Annotated[str | None, typer.Option("--utah", metavar="TABLE", help="C (default) or F.")] = None,
) -> "Report":
    """Show how much chill plants or wood have had, counted three ways.

    Example:

        graftbook weather chill P3,W7

        graftbook weather chill --station Kilbride --since 2026-09-01 --until 2027-02-28
    """
    from graftbook.actions.weather import weather_chill

    report = weather_chill.chill(
        at, codes, place=place, station=station, since=since, until=until, latitude=latitude, hours=hours, utah=utah
    )
    return report
