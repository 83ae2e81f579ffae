"""A weather file of any form that is known, told from its first line."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import chain

from graftbook.errors import BadData, Problem, UsageProblem
from graftbook.season import weather_csv, weather_dly
from graftbook.season.weather_file import WeatherFile


@dataclass(frozen=True)
class Asked:
    """What the person said of a file: its unit and columns, which of its stations to read; None or empty where not said.
    `sure` lets odd seasons pass."""

    unit: str | None = None
    columns: tuple[tuple[str, str], ...] = ()
    station: str | None = None
    sure: bool = False


def read(file: str, lines: Iterable[str], read_day: Callable[[str], date], asked: Asked) -> WeatherFile:
    """The days of a file. Raises BadData with every problem of it, UsageProblem for what must be said, Refused with a
    question for temperatures that cannot be in the unit they are in."""
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
    for is_one, reader in (
        (weather_dly.is_dly, weather_dly.read_dly),
        (weather_dly.is_by_year, weather_dly.read_by_year),
    ):
        if is_one(first):
            _nothing_to_say(asked)
            return reader(file, every, asked.station)
    return weather_csv.read_named(file, every, read_day, asked.unit, dict(asked.columns), asked.station, asked.sure)


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


def _nothing_to_say(asked: Asked) -> None:
    if asked.columns:
        raise UsageProblem("--column for a CSV file with headers", "a file whose columns are fixed", "Leave it out")
    if asked.unit not in (None, "tenths"):
        raise UsageProblem(
            "tenths of a degree C, which GHCN-Daily files are in", f"--unit {asked.unit}", "Leave --unit out"
        )


def mapping(found: WeatherFile) -> Mapping[int, tuple[float | None, float | None]]:
    """Lowest and highest by day, in order of days; None where the file has no such one."""
    return {
        day: (found.lows.get(day), found.highs.get(day)) for day in sorted(found.lows.keys() | found.highs.keys())
    }  # fmt: skip
