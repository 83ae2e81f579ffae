"""Dates as people write them, never guessed.

ISO dates and `20270114` are read everywhere; so are `14 Jan 2027`, `today`, `yesterday` and `-3d`. A date such as
4/10/27 is read day first or month first only as the book is set; where the book has no setting it is read only if it can
mean one day alone. This file never reads a clock: what "today" is comes in from outside.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

from graftbook.errors import UsageProblem

ORDERS = ("day-first", "month-first")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_ISO = re.compile(r"(\d{4})[-/.]?(\d{2})[-/.]?(\d{2})$")
_SLASHED = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})$")
_NAMED = re.compile(r"(\d{1,2})\.?[-\s]*([A-Za-z]{3,9})\.?,?[-\s]*(\d{4}|\d{2})$")
_NAMED_FIRST = re.compile(r"([A-Za-z]{3,9})\.?\s+(\d{1,2}),?\s+(\d{4})$")
_AGO = re.compile(r"-\s*(\d{1,9})\s*([dw])$")
EARLIEST, LATEST = date(1900, 1, 1), date(2999, 12, 31)
"""The days that are read. The book's own files are held to them, and so is whatever a person types."""
ACCEPTED = "a date such as 2027-01-14, 14 Jan 2027, today, yesterday or -3d"


def read_date(text: str, today: date, order: str | None = None) -> date:
    """The day meant. `order` is `day-first`, `month-first` or None when the book is not set to either.

    Raises UsageProblem for what is no date, for a day that does not exist, for one before EARLIEST or after LATEST, and for one
    that could mean two days when `order` is None.
    """
    cleaned = text.strip()
    relative = _relative(cleaned.lower(), today)
    if relative is not None:
        return relative
    if match := _ISO.match(cleaned):
        return _day(int(match[1]), int(match[2]), int(match[3]), text)
    if match := _NAMED.match(cleaned):
        return _day(_year(match[3], today), _month(match[2], text), int(match[1]), text)
    if match := _NAMED_FIRST.match(cleaned):
        return _day(int(match[3]), _month(match[1], text), int(match[2]), text)
    if match := _SLASHED.match(cleaned):
        return _slashed(int(match[1]), int(match[2]), _year(match[3], today), order, text)
    raise UsageProblem(ACCEPTED, repr(text))


def _relative(text: str, today: date) -> date | None:
    if text in ("today", "yesterday"):
        return today - timedelta(days=text == "yesterday")
    if match := _AGO.match(text):
        days = int(match[1]) * (7 if match[2] == "w" else 1)
        return _within(today.toordinal() - days, text)
    return None


def _slashed(first: int, second: int, year: int, order: str | None, text: str) -> date:
    if order is None and first <= 12 and second <= 12 and first != second:
        raise UsageProblem(
            "a date that can mean one day only",
            repr(text),
            "Write it as 2027-01-14, or tell the book once: graftbook start --dates day-first, or "
            "graftbook settings dates=day-first",
        )
    day_first = order == "day-first" if order is not None else second <= 12
    day, month = (first, second) if day_first else (second, first)
    return _day(year, month, day, text)


def _day(year: int, month: int, day: int, text: str) -> date:
    try:
        found = date(year, month, day)
    except ValueError:
        raise UsageProblem("a day that exists, such as 2027-01-14", repr(text)) from None
    return _within(found.toordinal(), text)


def _within(ordinal: int, text: str) -> date:
    if not EARLIEST.toordinal() <= ordinal <= LATEST.toordinal():
        raise UsageProblem(f"a day from {EARLIEST.isoformat()} to {LATEST.isoformat()}", repr(text))
    return date.fromordinal(ordinal)


def _month(name: str, text: str) -> int:
    for number, month in enumerate(_MONTHS, start=1):
        if name.lower().startswith(month):
            return number
    raise UsageProblem(ACCEPTED, repr(text))


def _year(digits: str, today: date) -> int:
    """A two-digit year is the one nearest today that is not more than a year ahead."""
    if len(digits) == 4:
        return int(digits)
    century = today.year - today.year % 100
    year = century + int(digits)
    return year if year <= today.year + 1 else year - 100
