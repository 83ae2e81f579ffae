"""A file of daily extremes as it is read: what is collected from its lines, and what comes out when all is well.

Every reader puts values through `FileReading`, so that a day given twice, a lowest above its highest and a temperature
that cannot be are found alike in all of them, each with its line.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from graftbook.errors import BadData, Problem, Refused, UsageProblem
from graftbook.season.weather_units import COLDEST_C, HOTTEST_C, celsius, implausible, plausible_units

EARLIEST, LATEST = date(1900, 1, 1).toordinal(), date(2200, 12, 31).toordinal()
"""The days a book can hold weather of."""
_MISSING = frozenset({"", "---", "M", "m", "NA", "na", "nan", "NaN", "null", "NULL", "-"})
_MISSING_NUMBERS = frozenset({-9999.0, -999.0, 9999.0, 9999.9, -9999.9, 99999.0})


@dataclass(frozen=True)
class FileOptions:
    """What the person stated of a file: its unit (one of UNITS) and columns (part and header), which of its stations to read;
    None or empty where not stated. `sure` lets implausible seasons pass."""

    unit: str | None = None
    columns: tuple[tuple[str, str], ...] = ()
    station: str | None = None
    sure: bool = False


class Cell(NamedTuple):
    """Where something stands in a file: its line and column, counted from 1 (column 0: the whole line), and its header."""

    line: int
    column: int = 0
    header: str = ""


@dataclass
class WeatherFile:
    """The days of one station out of one file: lowest and highest in C by the day's proleptic ordinal.

    `unit` is that of the file, `line_of` the line each day was read from. `station` is the name in the file, `latitude` in
    degrees; None where the file has none. `flagged` values failed the quality check of who published them and were left out,
    `missing` were marked as missing, `early` days lie before 1900 and were left out.
    """

    file: str
    form: str
    unit: str = "C"
    station: str | None = None
    latitude: float | None = None
    lows: dict[int, float] = field(default_factory=dict)
    highs: dict[int, float] = field(default_factory=dict)
    line_of: dict[int, int] = field(default_factory=dict)
    flagged: int = 0
    missing: int = 0
    early: int = 0


@dataclass
class FileReading(WeatherFile):
    """A file being read; values are kept in the file's own unit until it is finished."""

    options: FileOptions = FileOptions()
    problems: list[Problem] = field(default_factory=list)
    others: dict[str, None] = field(default_factory=dict)
    decimals: bool = False
    _days: dict[str, int] = field(default_factory=dict)

    def add_problem(self, at: Cell, found: str, accepted: str) -> None:
        """Note a problem with a cell or a whole line."""
        self.problems.append(Problem(self.file, *at, found, accepted))

    def is_wanted(self, station: str) -> bool:
        """Whether a line of this station is to be read: the one stated, else the first the file has."""
        wanted = self.options.station
        if wanted is not None:
            mine = station.casefold() == wanted.casefold()
        else:
            mine = self.station is None or station == self.station
        if mine:
            self.station = station
        else:
            self.others[station] = None
        return mine

    def number(self, text: str, at: Cell) -> float | None:
        """A temperature as written, None where it is marked as missing or is none; then it is counted or objected to."""
        text = text.strip()
        if text in _MISSING:
            self.missing += 1
            return None
        try:
            value = float(text.replace(",", ".").replace("−", "-"))
        except ValueError:
            self.add_problem(at, repr(text), "a temperature, or one of -9999, -999, 9999.9, ---, M or nothing")
            return None
        if value in _MISSING_NUMBERS or value != value:
            self.missing += 1
            return None
        self.decimals = self.decimals or "." in text or "," in text
        return value

    def day(self, text: str, at: Cell, read_day: Callable[[str], date]) -> int | None:
        """The ordinal of a day as written; None for one before 1900, which is counted, or for none, which is objected to."""
        held = self._days.get(text)
        if held is None:
            held = self._read_day(text.strip(), at, read_day)
            if held is None:
                return None
            self._days[text] = held
        if held < EARLIEST:
            self.early += 1
            return None
        if held > LATEST:
            self.add_problem(at, repr(text.strip()), f"a day up to {date.fromordinal(LATEST)}")
            return None
        return held

    def _read_day(self, text: str, at: Cell, read_day: Callable[[str], date]) -> int | None:
        plain, clock = text[:10], text[10:].lstrip("T ").rstrip("Zz ")
        if clock and len(text) > 10 and text[4] == "-":
            if clock.strip("0:."):
                self.add_problem(at, repr(text), "one line a day, without the time of day; hourly files are not read")
                return None
            text = plain
        try:
            return date.fromisoformat(text).toordinal()
        except ValueError:
            pass
        try:
            return read_day(text).toordinal()
        except UsageProblem as error:
            self.add_problem(at, repr(text), error.expected)
            return None

    def add_value(self, low: bool, day: int, value: float, at: Cell) -> None:
        """Keep a lowest or a highest; a day given twice with different values is objected to."""
        before = (self.lows if low else self.highs).setdefault(day, value)
        if before != value:
            accepted = f"one {'lowest' if low else 'highest'} a day; line {self.line_of[day]} says {before:.10g}"
            self.add_problem(at, f"{value:.10g} for {date.fromordinal(day)}", accepted)
        self.line_of.setdefault(day, at.line)

    def finish(self, unit: str) -> WeatherFile:
        """The file with its days in C. Raises BadData with every problem, UsageProblem where the file holds several stations
        and none was chosen, Refused with a question where the temperatures of the whole cannot be in this unit."""
        self._only_one_station()
        self._refuse_implausible(unit)
        if not self.problems and not self.lows and not self.highs:
            self.add_problem(Cell(0), self._nothing(), "days with a lowest or a highest temperature")
        self.unit, warmth = unit, {value: celsius(value, unit) for value in {*self.lows.values(), *self.highs.values()}}
        self.lows = {day: warmth[value] for day, value in self.lows.items()}
        self.highs = {day: warmth[value] for day, value in self.highs.items()}
        self._find_impossible()
        if self.problems:
            raise BadData(self.problems, self.file)
        return self

    def _refuse_implausible(self, unit: str) -> None:
        """A season that cannot be is asked about before the lines that are wrong one by one."""
        odd = None if self.options.sure else implausible(self.lows, self.highs, unit)
        if odd is not None:
            others = plausible_units(self.lows, self.highs, unit)
            step = f"They would do as {' or '.join(others)}: say --unit {others[0]}. " if others else ""
            raise Refused(
                f"these can hardly be temperatures in {unit}, in {self.file}: {odd}",
                next_step=f"Is the unit right? {step}If they are right as they are, say --sure",
            )

    def _only_one_station(self) -> None:
        if self.options.station is None and self.others:
            names = [str(self.station), *self.others]
            shown = ", ".join(names[:8]) + (f" and {len(names) - 8:,} more" if len(names) > 8 else "")
            raise UsageProblem("a file of one station, or --id with the one to read", shown, "Nothing was recorded")

    def _nothing(self) -> str:
        if self.options.station is not None and self.station is None:
            others = ", ".join(list(self.others)[:8]) or "none"
            return f"no line of station {self.options.station} (the file has {others})"
        if self.early:
            return f"no day from 1900 on; {self.early:,} values are older"
        return "no temperature"

    def _find_impossible(self) -> None:
        accepted = f"{COLDEST_C:.0f} to {HOTTEST_C:.0f} C, read as {self.unit}"
        for name, held in (("lowest", self.lows), ("highest", self.highs)):
            for day, value in held.items():
                if not COLDEST_C <= value <= HOTTEST_C:
                    found = f"a {name} of {value:.10g} C on {date.fromordinal(day)}"
                    self.add_problem(Cell(self.line_of[day]), found, accepted)
        for day in self.lows.keys() & self.highs.keys():
            low, high = self.lows[day], self.highs[day]
            if low > high:
                found = f"a lowest of {low:.10g} C and a highest of {high:.10g} C on {date.fromordinal(day)}"
                self.add_problem(Cell(self.line_of[day]), found, "a lowest that is not above the highest of the day")
