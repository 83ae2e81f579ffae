"""A weather file of any form that is known, recognised by its first line."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from itertools import chain

from graftbook.errors import BadData, Problem, UsageProblem
from graftbook.season import weather_csv, weather_dly
from graftbook.season.weather_file import FileOptions, WeatherFile


def read(file: str, lines: Iterable[str], read_day: Callable[[str], date], options: FileOptions) -> WeatherFile:
    """The days of a file given as its lines. `read_day` reads days that are not written as ISO.

    Raises BadData with every problem of it, UsageProblem for what must be stated, Refused with a question for temperatures
    that cannot be in their unit.
    """
    held: list[str] = []
    rest = iter(lines)
    for line in rest:
        held.append(line)
        if line.strip():
            break
    first = held[-1].rstrip("\r\n") if held else ""
    if not first.strip():
        raise BadData([Problem(file, 0, 0, "", "an empty file", "a file of daily temperatures")], file)
    every = chain(held, rest)
    if weather_dly.is_dly(first) or weather_dly.is_by_year(first):
        _refuse_options(options)
        reader = weather_dly.read_dly if weather_dly.is_dly(first) else weather_dly.read_by_year
        return reader(file, every, options.station)
    return weather_csv.read_named(file, every, read_day, options)


def named_columns(words: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Columns as typed, `min=Air min`, also several parted by commas. Raises UsageProblem for what is no such pair."""
    found: dict[str, str] = {}
    for word in words:
        for piece in word.split(",") if word.count("=") > 1 else [word]:
            part, sign, name = piece.partition("=")
            if not sign or not name.strip() or part.strip().lower() not in weather_csv.PARTS:
                raise UsageProblem(f"PART=COLUMN, the part one of {', '.join(weather_csv.PARTS)}", repr(piece))
            found[part.strip().lower()] = name.strip()
    return tuple(found.items())


def _refuse_options(options: FileOptions) -> None:
    if options.columns:
        raise UsageProblem("--column for a CSV file with headers", "a file whose columns are fixed", "Leave it out")
    if options.unit not in (None, "tenths"):
        raise UsageProblem(
            "tenths of a degree C, which GHCN-Daily files are in", f"--unit {options.unit}", "Leave --unit out"
        )
