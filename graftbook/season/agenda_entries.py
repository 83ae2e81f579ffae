"""One entry of the calendar: what is wanted at one place on one day, as an all-day event or as a to-do.

A day alone is a DATE: an event without an end lasts that day (RFC 5545, 3.6.1), a to-do has its day as DUE. An alarm on a
DATE counts from midnight where the reader is (3.8.6.3); on a to-do with a DUE only, it must be tied to the END.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from graftbook.visible import visible

# The properties compared to find whether an entry has changed.
_COMPARED = ("DTSTART", "DUE", "SUMMARY", "DESCRIPTION", "LOCATION", "CATEGORIES", "STATUS")


@dataclass(frozen=True)
class Task:
    """One thing wanted: its word, how many grafts or bundles, their codes in few words, why in a sentence, the last day of
    the time given for it (None: none is), and whose word it is."""

    what: str
    number: int
    codes: str
    why: str
    until: date | None
    basis: str


@dataclass(frozen=True)
class Stop:
    """One place on one day with what is wanted there, in walking order. `place` None is a place not known; `now` gathers
    all that is due by `on`, however long since."""

    place: str | None
    on: date
    tasks: tuple[Task, ...]
    now: bool = False


@dataclass(frozen=True)
class CalendarFrame:
    """What the entries of a file share.

    `book`: the identifier of this book; `stamp`: now, in UTC; `revision`: a whole number that rises whenever the
    book changes; `todo`: to-dos instead of events; `alarm`: after midnight of the day, None for no alarm; `until`: the last
    day looked at; `place`: the only place looked at, None for every one.
    """

    book: str
    stamp: datetime
    revision: int
    todo: bool
    alarm: timedelta | None
    until: date
    place: str | None = None


def component(stop: Stop, uid: str, sequence: int, frame: CalendarFrame) -> Any:
    """The event or to-do of a stop, last changed at the stamp of the frame."""
    todo = frame.todo
    entry = _entry(todo, uid, frame.stamp, sequence, stop.on, summary(stop), stop.place)
    entry.add("description", "\n".join(visible(_task_line(task)) for task in stop.tasks))
    entry.add("categories", list(dict.fromkeys(task.what for task in stop.tasks)))
    entry.add("status", "NEEDS-ACTION" if todo else "CONFIRMED")
    if frame.alarm is not None:
        entry.add_component(_alarm(frame.alarm, summary(stop), todo))
    return entry


def _entry(todo: bool, uid: str, stamp: datetime, sequence: int, on: date, words: str, place: str | None) -> Any:
    from icalendar import Event, Todo

    entry = Todo() if todo else Event()
    for name, value in (
        ("uid", uid), ("dtstamp", stamp), ("last-modified", stamp), ("sequence", sequence),
        ("due" if todo else "dtstart", on), ("summary", visible(words)),
        ("location", visible(place) if place is not None else None),
        ("transp", None if todo else "TRANSPARENT"),
    ):  # fmt: skip
        if value is not None:
            entry.add(name, value)
    return entry


def summary(stop: Stop) -> str:
    """A stop in one line: the place, and each thing wanted with how many want it."""
    counted: dict[str, int] = {}
    for task in stop.tasks:
        counted[task.what] = counted.get(task.what, 0) + task.number
    parts = [f"{what} ({number:,})" for what, number in counted.items()]
    more = f" and {len(parts) - 4} more" if len(parts) > 4 else ""
    return f"{stop.place if stop.place is not None else 'No place noted'}: {', '.join(parts[:4])}{more}"


def cancelled(entry: Any, stamp: datetime, sequence: int) -> Any:
    """The entry as one to be dropped: the same UID and day, a higher number, no alarm that could still ring."""
    place = str(entry["LOCATION"]) if "LOCATION" in entry else None
    words = str(entry.get("SUMMARY", ""))
    gone = _entry(entry.name == "VTODO", str(entry["UID"]), stamp, sequence, when(entry), words, place)
    gone.add("status", "CANCELLED")
    return gone


def when(entry: Any) -> date:
    """The day of an entry."""
    return entry.decoded("DUE" if entry.name == "VTODO" else "DTSTART")


def same(before: Any, after: Any) -> bool:
    """Whether two entries say the same to whoever reads them, the times they were written and numbered aside."""
    properties = [[_property(entry, name) for name in _COMPARED] for entry in (before, after)]
    alarms = [[alarm.to_ical() for alarm in entry.walk("VALARM")] for entry in (before, after)]
    return properties[0] == properties[1] and alarms[0] == alarms[1]


def _property(entry: Any, name: str) -> bytes | None:
    return entry[name].to_ical() if name in entry else None


def _alarm(after: timedelta, words: str, todo: bool) -> Any:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", visible(words))
    alarm.add("trigger", after, parameters={"RELATED": "END"} if todo else {})
    return alarm


def _task_line(task: Task) -> str:
    until = f", by {task.until.isoformat()}" if task.until is not None else ""
    basis = f" ({task.basis})" if task.basis else ""
    return f"{task.what}{until}: {task.codes}. {task.why.rstrip('.')}{basis}."
