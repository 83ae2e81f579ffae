"""CSV files of daily extremes with a line of headers: the daily summaries of NCEI, and any whose columns are named.

Nothing is guessed: which columns hold the day, the lowest and the highest is read from their headers where exactly one
fits each, otherwise it must be stated; so must the unit, unless the headers name it or the figures allow only one.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import chain

from graftbook.errors import Refused, UsageProblem
from graftbook.season.weather_file import Cell, FileOptions, FileReading, WeatherFile
from graftbook.season.weather_units import implausible, read_unit

_NAMES: Mapping[str, frozenset[str]] = {
    "date": frozenset({"date", "on", "datetime", "messdatum", "datum", "time"}),
    "min": frozenset({"min", "tmin", "low", "lowest", "minimum", "airmin", "mintemp", "tnk", "tn", "minimumtemperature",
                      "mintemperature", "temperaturemin", "lowtemp"}),
    "max": frozenset({"max", "tmax", "high", "highest", "maximum", "airmax", "maxtemp", "txk", "tx", "maximumtemperature",
                      "maxtemperature", "temperaturemax", "hightemp"}),
    "year": frozenset({"year"}), "month": frozenset({"month"}), "day": frozenset({"day"}),
    "station": frozenset({"station", "stationsid", "stationid"}), "latitude": frozenset({"latitude"}),
    "min-flag": frozenset({"tminattributes"}), "max-flag": frozenset({"tmaxattributes"}),
}  # fmt: skip
PARTS = tuple(_NAMES)
LARGEST_CELL = 100_000
"""Signs in a cell of a weather file, at most; the csv module has one limit for the whole process, so each reading sets it."""
_UNIT = re.compile(r"(?:[(\[_ ]|\bdeg(?:rees?)?\s*)°?\s*(c|f|celsius|fahrenheit)\s*[)\]]?\s*$", re.I)
_PROVES_TENTHS = 140.0
"""Degrees beyond this are neither C nor F anywhere on earth, so the figures are tenths."""


@dataclass(frozen=True)
class _Columns:
    """Where each part stands, from 0, and the headers of all columns."""

    at: Mapping[str, int]
    headers: tuple[str, ...]

    def cell(self, cells: list[str], part: str) -> str:
        place = self.at.get(part)
        return cells[place].strip() if place is not None and place < len(cells) else ""

    def where(self, part: str, line: int) -> Cell:
        place = self.at[part]
        return line, place + 1, self.headers[place]


def read_named(
    file: str, header: str, lines: Iterable[str], number: int, read_day: Callable[[str], date], options: FileOptions
) -> WeatherFile:
    """The days of a CSV with headers: the line of them, which is line `number` of the file, and the lines after it.

    `read_day` reads days that are not written as ISO; `options.unit` None is read from the headers or proven by the figures;
    `options.columns` names columns by part, header or place from 1. Raises BadData with every problem, UsageProblem for
    columns or a unit that must be stated, or for several stations, Refused with a question for temperatures that cannot be in
    the unit, unless `options.sure`.
    """
    csv.field_size_limit(LARGEST_CELL)
    rows = csv.reader(chain([header], lines), delimiter=_delimiter(header), skipinitialspace=True)
    found = _columns(file, tuple(cell.strip() for cell in next(rows)), dict(options.columns))
    if options.station is not None and "station" not in found.at:
        asked = f"a column of stations in {file}, to find --id in"
        raise UsageProblem(asked, "none", "Leave --id out, or name the column")
    form = "daily summaries" if {"min-flag", "max-flag"} & found.at.keys() else "CSV"
    reading = FileReading(file, form, options=options)
    try:
        for cells in rows:
            if any(cells):
                _row(reading, found, cells, rows.line_num + number - 1, read_day)
    except csv.Error as error:
        accepted = "lines that end in a line feed, and quotes that are closed"
        reading.add_problem((rows.line_num + number - 1, 0, ""), f"a line that cannot be read ({error})", accepted)
    return reading.finish(_unit(reading, found) if not reading.problems else options.unit or "C")


def _delimiter(line: str) -> str:
    bare = re.sub(r'"[^"]*"', "", line)
    return max(",;\t", key=lambda sign: (bare.count(sign), sign == ","))


def _plain(header: str) -> str:
    return re.sub(r"[^a-z0-9]", "", re.sub(_UNIT, "", header.strip()).casefold())


def _columns(file: str, headers: tuple[str, ...], named: Mapping[str, str]) -> _Columns:
    at = {part: _named(headers, part, name) for part, name in named.items()}
    for part, names in _NAMES.items():
        fitting = [place for place, header in enumerate(headers) if _plain(header) in names]
        if part not in at and len(fitting) == 1:
            at[part] = fitting[0]
        elif part not in at and len(fitting) > 1 and part in ("date", "min", "max"):
            shown = ", ".join(headers[place] for place in fitting)
            raise UsageProblem(f"one column for the {part} in {file}", shown, f"Say which with --column {part}=NAME")
    if "date" not in at and "day" in at and not {"year", "month"} & at.keys():
        at["date"] = at.pop("day")
    dated = "date" in at or {"year", "month", "day"} <= at.keys()
    if not dated or not ("min" in at or "max" in at):
        lacking = ", ".join(part for part in ("date", "min", "max") if part not in at)
        raise UsageProblem(
            f"columns for the {lacking} in {file}", f"the headers {', '.join(headers)}",
            'Name them, such as --column date=Day --column min="Air min" --column max="Air max"',
        )  # fmt: skip
    return _Columns(at, headers)


def _named(headers: tuple[str, ...], part: str, name: str) -> int:
    plain = [header.casefold() for header in headers]
    if name.strip().casefold() in plain:
        return plain.index(name.strip().casefold())
    if name.strip().isdigit() and 1 <= int(name) <= len(headers):
        return int(name) - 1
    raise UsageProblem(f"a column for the {part}: {', '.join(headers)}, or its place from 1", repr(name))


def _row(reading: FileReading, columns: _Columns, cells: list[str], line: int, read_day: Callable[[str], date]) -> None:
    if "station" in columns.at and not reading.is_wanted(columns.cell(cells, "station")):
        return
    if "latitude" in columns.at and reading.latitude is None:
        reading.latitude = _latitude(columns.cell(cells, "latitude"))
    part = "date" if "date" in columns.at else "day"
    text = columns.cell(cells, part)
    if part == "day":
        text = "-".join(columns.cell(cells, name).zfill(2) for name in ("year", "month", "day"))
    last = max(columns.at[name] for name in ("min", "max", part) if name in columns.at)
    if last >= len(cells):
        accepted = f"{len(columns.headers)}; the line may be cut short"
        reading.add_problem((line, 0, ""), f"{len(cells)} cells", accepted)
        return
    day = reading.day(text, columns.where(part, line), read_day)
    if day is None:
        return
    for name in [name for name in ("min", "max") if name in columns.at]:
        flags = columns.cell(cells, f"{name}-flag").split(",")
        if len(flags) > 1 and flags[1].strip():
            reading.flagged += 1
            continue
        at = columns.where(name, line)
        value = reading.number(columns.cell(cells, name), at)
        if value is not None:
            reading.add_value(name == "min", day, value, at)


def _latitude(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if -90 <= value <= 90 else None


def _unit(reading: FileReading, columns: _Columns) -> str:
    headers = [columns.headers[columns.at[part]] for part in ("min", "max") if part in columns.at]
    named = {read_unit(match[1]) for match in map(_UNIT.search, headers) if match is not None}
    unit = reading.options.unit
    if unit is not None:
        if len(named) == 1 and unit not in named and not reading.options.sure:
            raise Refused(
                f"the headers of {reading.file} name the unit {named.pop()}, but --unit says {unit}",
                next_step="Leave --unit out, or say --sure if the headers are wrong",
            )
        return unit
    if len(named) == 1:
        return named.pop()
    values = [*reading.lows.values(), *reading.highs.values()]
    if not reading.decimals and any(abs(value) > _PROVES_TENTHS for value in values):
        return "tenths"
    likely = [one for one in ("C", "F") if implausible(reading.lows, reading.highs, one) is None]
    hint = f"The figures could be {' or '.join(likely)}" if likely else "The figures fit neither C nor F"
    raise UsageProblem(
        f"{reading.file} does not name the unit of its temperatures", "",
        f"Say --unit C, --unit F or --unit tenths (of a degree C). {hint}",
    )  # fmt: skip
