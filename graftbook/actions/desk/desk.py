"""The desk a verb works at: an open book, its settings, and what day it is.

The day comes from the clock once, in the book's time zone, or from GRAFTBOOK_TODAY for trying things out and for tests.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

from graftbook import dates, units
from graftbook.book import settings as book_settings
from graftbook.book.settings import Settings
from graftbook.book.unit import Book
from graftbook.errors import Refused, UsageProblem
from graftbook.visible import faults

Progress = Callable[[int], None]


@dataclass(frozen=True)
class Desk:
    """Everything a verb needs besides its own arguments. `who` is None when nobody was named."""

    book: Book
    settings: Settings
    today: date
    who: str | None = None

    def length(self, text: str, limit: units.Limit) -> float:
        """A length in mm as typed, bare numbers in the book's unit. Raises as units.read_length."""
        return units.read_length(text, limit, self.settings.units)

    def lengths(self, text: str, limit: units.Limit) -> tuple[float, float]:
        """A range of lengths in mm as typed. Raises as units.read_length_range."""
        return units.read_length_range(text, limit, self.settings.units)

    def temperature(self, text: str) -> float:
        """A temperature in degrees C as typed."""
        return units.read_temperature(text, self.settings.temperature)

    def day(self, text: str | None, *, future: bool = False) -> date:
        """A day as typed; None gives today. Raises Refused for a day after today unless `future` is allowed."""
        if text is None:
            return self.today
        day = dates.read_date(text, self.today, self.settings.date_order)
        if day > self.today and not future:
            late = f"{day.isoformat()} lies after today, {self.today.isoformat()}"
            raise Refused(late, "", "What has not happened cannot be recorded")
        return day

    def now(self) -> datetime:
        """The moment, in UTC to the second; noon of the day stated where GRAFTBOOK_TODAY states one."""
        stated = os.environ.get("GRAFTBOOK_TODAY", "").strip()
        return datetime.combine(self.today, time(12), UTC) if stated else datetime.now(UTC).replace(microsecond=0)

    def person(self, who: str | None) -> str | None:
        """Who did it: as named for this verb, else as named for the desk, else as the book is set, else None."""
        name = who if who is not None else self.who if self.who is not None else self.settings.who
        return name.strip() or None

    def again(self, who: str | None = None, entry_uid: str | None = None) -> Desk:
        """The desk as it is at this moment, with the settings and the day read anew, for someone else who works at the open book.

        With `entry_uid` what is recorded next has it, and raises AlreadyRecorded where the book has that entry.
        """
        book = self.book if entry_uid is None else self.book.once(entry_uid)
        with book.read() as session:
            settings = book_settings.load(session)
        return Desk(book, settings, clock_day(settings.time_zone), who)


def default_location() -> str:
    """Where the book is when nobody says: GRAFTBOOK_BOOK, else book.sqlite in the user's data directory."""
    named = _stated("GRAFTBOOK_BOOK")
    if named:
        return named
    from platformdirs import user_data_dir

    return str(Path(user_data_dir("graftbook", appauthor=False)) / "book.sqlite")


def _stated(name: str) -> str:
    """What the environment says under a name, '' where it says nothing. Raises UsageProblem for what is no text."""
    text = os.environ.get(name, "").strip()
    wrong = faults(text)
    if wrong:
        raise UsageProblem(f"text in {name}", f"{wrong} in {text!r}")
    return text


def clock_day(time_zone: str) -> date:
    """Today in a time zone ('' means this computer's own). Raises UsageProblem for a bad GRAFTBOOK_TODAY."""
    stated = os.environ.get("GRAFTBOOK_TODAY", "").strip()
    if stated:
        try:
            return date.fromisoformat(stated)
        except ValueError:
            raise UsageProblem("GRAFTBOOK_TODAY as a date such as 2027-01-14", repr(stated)) from None
    return datetime.now(ZoneInfo(time_zone) if time_zone else None).date()


def sit_down(location: str | None = None) -> Desk:
    """Open the book and look at the calendar. Raises NotABook, WrongVersion, UsageProblem."""
    book = Book(location if location is not None else default_location())
    who = _stated("GRAFTBOOK_WHO") or None
    try:
        with book.read() as session:
            settings = book_settings.load(session)
        return Desk(book, settings, clock_day(settings.time_zone), who)
    except BaseException:
        book.close()
        raise
