"""What is due as a calendar file (iCalendar, RFC 5545): one entry a place and day, for any calendar program.

A calendar program knows an entry by its UID. So each place and day has one that never changes, and a file taken in again
changes what is there instead of adding to it. What a file no longer names stays in most programs for ever; so what was in
the earlier file and is done is named once more, as cancelled and with a higher SEQUENCE, which is what makes it go. A
program that follows the file instead of taking it in drops it either way. No METHOD is given: the file is plain data, and
a published one would have to name an organizer (RFC 5546, 3.2.1).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from graftbook.errors import UsageProblem
from graftbook.season.agenda_entries import CalendarFrame, Stop, cancelled, component, same, when

PRODUCT = "-//Graftbook//Due//EN"
# What was cancelled is named so many days more, so that every device has taken it in: a rule of this book.
CANCELLED_DAYS = 90
_KINDS = ("VEVENT", "VTODO")


@dataclass(frozen=True)
class CalendarFile:
    """A calendar file: its bytes, how many entries it holds that stand, and how many of them were not in the earlier file,
    were changed, or were cancelled now."""

    content: bytes
    standing: int
    fresh: int
    changed: int
    dropped: int


def calendar_file(stops: Iterable[Stop], frame: CalendarFrame, earlier: bytes | None = None) -> CalendarFile:
    """The calendar file of these stops, which follows on an `earlier` one (None: there is none).

    Entries of the earlier file that lie outside what was looked at, by place or by day, stay as they were. Raises
    UsageProblem for an earlier file that this program did not write.
    """
    old = {} if earlier is None else _read(earlier)
    made: dict[str, Any] = {}
    counts = {"fresh": 0, "changed": 0, "dropped": 0}
    for stop in stops:
        key = uid(stop, frame)
        before = old.get(key)
        number = frame.revision if before is None else max(frame.revision, int(before.get("SEQUENCE", 0)) + 1)
        entry = component(stop, key, number, frame)
        made[key] = before if before is not None and same(before, entry) else entry
        counts["fresh" if before is None else "changed"] += made[key] is entry
    for key, before in old.items():
        if key in made:
            continue
        if str(before.get("STATUS", "")) == "CANCELLED":
            if frame.stamp - before.decoded("DTSTAMP") <= timedelta(days=CANCELLED_DAYS):
                made[key] = before
        elif _was_looked_at(before, frame):
            made[key] = cancelled(before, frame.stamp, max(frame.revision, int(before.get("SEQUENCE", 0)) + 1))
            counts["dropped"] += 1
        else:
            made[key] = before
    standing = sum(str(entry.get("STATUS", "")) != "CANCELLED" for entry in made.values())
    return CalendarFile(_file(made.values()), standing, **counts)


def uid(stop: Stop, frame: CalendarFrame) -> str:
    """What a calendar program knows an entry by: the same for a place and day of a book, whenever it is asked."""
    day = "now" if stop.now else stop.on.isoformat()
    place = "" if stop.place is None else " ".join(stop.place.casefold().split())
    kind = "todo" if frame.todo else "event"
    return str(uuid5(NAMESPACE_URL, f"graftbook:{frame.book}:{kind}:{day}:{place}"))


def _was_looked_at(entry: Any, frame: CalendarFrame) -> bool:
    """Whether what an earlier entry says was asked about this time: then it is done, otherwise nobody knows."""
    here = frame.place is None or _letters(str(entry.get("LOCATION", ""))) == _letters(frame.place)
    return here and when(entry) <= frame.until


def _letters(text: str) -> str:
    return "".join(sign for sign in text.casefold() if sign.isalnum())


def _read(content: bytes) -> dict[str, Any]:
    from icalendar import Calendar

    step = "Nothing was written; name another file"
    try:
        calendar = Calendar.from_ical(content)
    except ValueError as error:
        raise UsageProblem("a calendar file that graftbook wrote", f"one that cannot be read ({error})", step) from None
    if str(calendar.get("PRODID", "")) != PRODUCT:
        raise UsageProblem("a calendar file that graftbook wrote", "a file of another program", step)
    return {str(entry["UID"]): entry for kind in _KINDS for entry in calendar.walk(kind) if "UID" in entry}


def _file(entries: Iterable[Any]) -> bytes:
    """The calendar round the entries, by day and UID; CRLF, folded at 75 octets and UTF-8, as RFC 5545, 3.1, wants."""
    from icalendar import Calendar

    calendar = Calendar()
    for name, value in (
        ("prodid", PRODUCT), ("version", "2.0"), ("calscale", "GREGORIAN"), ("x-wr-calname", "Graftbook: due"),
    ):  # fmt: skip
        calendar.add(name, value)
    for entry in sorted(entries, key=lambda entry: (when(entry), str(entry["UID"]))):
        calendar.add_component(entry)
    return calendar.to_ical()
