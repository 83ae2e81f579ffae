"""Days in growers' cells: true dates, numbers of days, and dates in any style, the order of day and month never guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from graftbook import dates
from graftbook.errors import GraftbookError
from graftbook.sheets.doubt import Doubt
from graftbook.sheets.grid import CellValue, written

SERIALS = range(10_000, 80_000)
"""Numbers of days that are read as days: 1927 to 2119 in the 1900 system."""
_SLASHED = re.compile(r"\s*(\d{1,2})([-/. ])(\d{1,2})\2(\d{4}|\d{2})\b")
_CLOCK = re.compile(r"[T\s]+\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?\s*([ap]m)?\s*Z?$", re.I)
_WEEKDAY = re.compile(r"^(mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.I)
_ORDINAL = re.compile(r"(?<=\d)(st|nd|rd|th)\b", re.I)
_NUMBER = re.compile(r"\d{5}(?:[.,]\d+)?$")
_START = {1900: date(1899, 12, 30), 1904: date(1904, 1, 1)}


def of_serial(number: float, epoch: int) -> date:
    """The day of a spreadsheet's number: 45387 is 5 April 2024 counted from 1900, as 43925 is counted from 1904.

    Both count as ECMA-376 Part 1, 18.17.4.1 says; before 1 March 1900 the 1900 system is a day off, and nothing is so old.
    """
    return _START[epoch] + timedelta(days=int(number))


def read_day(value: CellValue, order: str | None, epoch: int, today: date) -> date | Doubt:
    """The day a cell means."""
    if isinstance(value, datetime):
        return _not_ahead(value.date(), written(value), today)
    if isinstance(value, date):
        return _not_ahead(value, written(value), today)
    if isinstance(value, int | float) and not isinstance(value, bool):
        return _of_number(float(value), epoch, today)
    text = written(value).strip()
    if _NUMBER.match(text):
        return _of_number(float(text.replace(",", ".")), epoch, today)
    cleaned = _ORDINAL.sub("", _WEEKDAY.sub("", _CLOCK.sub("", text)))
    try:
        return _not_ahead(dates.read_date(cleaned, today, order), text, today)
    except GraftbookError:
        if order is None and ambiguous(cleaned):
            return Doubt(text, "a date that can mean one day only, or --dates day-first or month-first")
        return Doubt(text, "a day such as 2026-04-05 or 5 Apr 2026")


def _of_number(number: float, epoch: int, today: date) -> date | Doubt:
    text = written(number if not number.is_integer() else int(number))
    if int(number) in SERIALS:
        return _not_ahead(of_serial(number, epoch), text, today)
    if re.fullmatch(r"(19|20)\d{6}", text):
        return read_day(text, None, epoch, today)
    return Doubt(text, "a day such as 2026-04-05 or 5 Apr 2026")


def _not_ahead(day: date, text: str, today: date) -> date | Doubt:
    if day > today:
        return Doubt(text, f"a day up to today, {today.isoformat()}")
    return day


def ambiguous(text: str) -> bool:
    """Whether a date may be read in two orders."""
    match = _SLASHED.match(text)
    return match is not None and match[1] != match[3] and int(match[1]) <= 12 and int(match[3]) <= 12


@dataclass(frozen=True)
class OrderSeen:
    """What the dates of a file say of their order: lines that can only be day first, only month first, and either."""

    day_first: tuple[int, ...] = ()
    month_first: tuple[int, ...] = ()
    either: tuple[int, ...] = ()

    @property
    def proven(self) -> str | None:
        """The order the lines prove: that of all, or of five times as many as speak against it; None where they prove none."""
        day, month = len(self.day_first), len(self.month_first)
        if day and day >= 5 * month:
            return "day-first"
        return "month-first" if month and month >= 5 * day else None

    @property
    def against(self) -> tuple[int, ...]:
        """The lines that contradict the order proven."""
        return {"day-first": self.month_first, "month-first": self.day_first}.get(self.proven or "", ())


def order_seen(cells: Iterable[tuple[int, CellValue]]) -> OrderSeen:
    """What these cells, each with its line, say of the order of day and month."""
    found: dict[str, list[int]] = {"day_first": [], "month_first": [], "either": []}
    for line, value in cells:
        match = _SLASHED.match(_WEEKDAY.sub("", value)) if isinstance(value, str) else None
        if match is None:
            continue
        first, second = int(match[1]), int(match[3])
        if first > 12 >= second:
            found["day_first"].append(line)
        elif second > 12 >= first:
            found["month_first"].append(line)
        elif first != second and first <= 12:
            found["either"].append(line)
    return OrderSeen(**{name: tuple(lines) for name, lines in found.items()})
