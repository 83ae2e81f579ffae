"""GHCN-Daily files: the fixed-width `.dly` of one station, and the CSV of a year with many stations.

Both are described in the readme of GHCN-Daily (National Centers for Environmental Information, doi 10.7289/V5D21VHZ).
Values are tenths of a degree C, which the form says, so that the unit is never asked about. A value whose quality flag is
not blank failed a check and is dropped.
"""

from __future__ import annotations

import csv
from calendar import monthrange
from collections.abc import Iterable
from datetime import date

from graftbook.errors import UsageProblem
from graftbook.season.weather_file import EARLIEST, Cell, FileOptions, FileReading, WeatherFile

FIELDS = (
    ("ID", 1, 11), ("YEAR", 12, 15), ("MONTH", 16, 17), ("ELEMENT", 18, 21), ("VALUE1", 22, 26), ("MFLAG1", 27, 27),
    ("QFLAG1", 28, 28), ("SFLAG1", 29, 29), ("VALUE2", 30, 34), ("VALUE31", 262, 266), ("SFLAG31", 269, 269),
)  # fmt: skip
"""The readme's own table: name, first and last column, counted from 1; VALUE2 to VALUE31 follow every eight columns."""
MISSING = "-9999"
_ELEMENTS = {"TMIN": True, "TMAX": False}
_FIRST, _STEP = 21, 8


def is_dly(line: str) -> bool:
    """Whether a first line is one of a `.dly` file."""
    return len(line) >= 26 and line[11:17].isdigit() and line[17:21].isalnum() and not set(",;\t") & set(line[:26])


def is_by_year(line: str) -> bool:
    """Whether a first line is one of a by-year CSV: station, day, element and value, with no line of headers."""
    cells = line.split(",")
    return len(cells) >= 4 and len(cells[1]) == 8 and cells[1].isdigit() and len(cells[2]) == 4 and cells[2].isalnum()


def read_dly(file: str, lines: Iterable[str], wanted: str | None) -> WeatherFile:
    """The days of a `.dly` file. Raises BadData with every problem, UsageProblem for several stations where none is
    `wanted`."""
    reading = FileReading(file, "GHCN-Daily .dly", options=FileOptions(station=wanted, sure=True))
    for number, line in enumerate(lines, start=1):
        line = line.rstrip("\r\n")
        if line[17:21] in _ELEMENTS:
            if reading.is_wanted(line[:11].strip()):
                _month(reading, line, number)
        elif line.strip() and not is_dly(line):
            accepted = "a line of a .dly file: station, year, month and element"
            reading.add_problem(Cell(number), repr(line[:30]), accepted)
    return reading.finish("tenths")


def _month(reading: FileReading, line: str, number: int) -> None:
    low = _ELEMENTS[line[17:21]]
    try:
        year, month = int(line[11:15]), int(line[15:17])
        first, days = date(year, month, 1).toordinal(), monthrange(year, month)[1]
    except ValueError:
        reading.add_problem(Cell(number, 12, "YEAR"), repr(line[11:17]), "a year and a month, such as 202703")
        return
    if first < EARLIEST:
        reading.early += days
        return
    for day in range(31):
        place = _FIRST + _STEP * day
        text, at = line[place : place + 5], Cell(number, place + 1, f"VALUE{day + 1}")
        if text == MISSING:
            reading.missing += day < days
        elif day >= days:
            if text.strip():
                reading.add_problem(at, repr(text), f"{MISSING}: there is no such day")
        elif line[place + 6 : place + 7].strip():
            reading.flagged += 1
        else:
            try:
                reading.add_value(low, first + day, float(int(text)), at)
            except ValueError:
                found = repr(text) if text.strip() else "nothing; the line may be cut short"
                reading.add_problem(at, found, f"a whole number of tenths of a degree C, or {MISSING}")


def read_by_year(file: str, lines: Iterable[str], wanted: str | None) -> WeatherFile:
    """The days of a by-year CSV: ID, YYYYMMDD, element, value, measurement, quality and source flags, time.

    Raises as `read_dly`.
    """
    reading = FileReading(file, "GHCN-Daily by year", options=FileOptions(station=wanted, sure=True))
    for number, cells in enumerate(csv.reader(lines, quoting=csv.QUOTE_NONE), start=1):
        if len(cells) < 4:
            if any(cells):
                reading.add_problem(Cell(number), f"{len(cells)} cells", "station, day, element, value and flags")
            continue
        low = _ELEMENTS.get(cells[2])
        if low is None or not reading.is_wanted(cells[0]):
            continue
        day = reading.day(cells[1], Cell(number, 2, "DATE"), _no_other)
        if day is None:
            continue
        if len(cells) > 5 and cells[5].strip():
            reading.flagged += 1
            continue
        value = reading.number(cells[3], Cell(number, 4, "VALUE"))
        if value is not None:
            reading.add_value(low, day, value, Cell(number, 4, "VALUE"))
    return reading.finish("tenths")


def _no_other(text: str) -> date:
    raise UsageProblem("a day that exists, as YYYYMMDD", repr(text))
