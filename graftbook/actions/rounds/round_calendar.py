"""due as a calendar file: what is wanted, one entry a place and day, to be taken in by any calendar program."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Report, code_list, count
from graftbook.actions.rounds import rounds
from graftbook.actions.rounds.round_sheet import DueRow, basis_words
from graftbook.book import round_queries
from graftbook.errors import CannotWrite, UsageProblem
from graftbook.season import agenda
from graftbook.season.agenda import CalendarFile
from graftbook.season.agenda_entries import Stop, Task, summary

WEEKS_AHEAD = 8

_LARGEST = 20_000_000

_HEAD = b"BEGIN:VCALENDAR"

_HOUR = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?\s*(am|pm)?$", re.IGNORECASE)


@dataclass(frozen=True)
class StopRow:
    """One entry of the calendar: the place, the day, what is wanted there in one line, and how many things."""

    on: date
    place: str | None
    summary: str
    wanted: int
    shown: ClassVar = ("on", "summary")


def write_calendar(
    desk: Desk, output: Path, *, on: str | None = None, weeks: int | None = None, forgotten: int = rounds.FORGOTTEN_WEEKS,
    place: str | None = None, todo: bool = False, alarm: str | None = None,
) -> Report:  # fmt: skip
    """Write what is due on a day and in the `weeks` after it (None: eight) as a calendar file.

    What is due already stands on the day itself, the rest on the day it falls due. A file written here before is followed
    on: what was done since is cancelled in it, so that it goes from the calendar too. `todo` makes to-dos; `alarm` is an
    hour of the day. Raises UsageProblem for an hour that is none, CannotWrite for a file of another kind.
    """
    rings = None if alarm is None else hour(alarm)
    ahead = WEEKS_AHEAD if weeks is None else weeks
    earlier = _earlier(output)
    found = rounds.gather(desk, on=on, weeks=ahead, forgotten=forgotten, place=place)
    with desk.book.read() as session:
        book, newest = round_queries.identity(session)
    until = found.day + timedelta(weeks=ahead)
    stops = tuple(_stops(found.rows, found.day))
    frame = agenda.CalendarFrame(book, desk.now(), newest, todo, rings, until, place)
    try:
        made = agenda.calendar_file(stops, frame, earlier)
    except UsageProblem as error:
        raise CannotWrite(error.expected, f"{output}, {error.found}", error.next_step) from error
    write_file(output, made.content, over=(_HEAD,))
    rows = tuple(StopRow(stop.on, stop.place, summary(stop), sum(task.number for task in stop.tasks)) for stop in stops)
    title = f"{count(len(rows), 'to-do' if todo else 'event')} from {found.day.isoformat()} to {until.isoformat()}"
    facts = {"as_of": found.day, "until": until, "file": str(output)}
    return Report(StopRow, rows, (*found.notes, *_notes(output, made, earlier)), facts, f"{title}, in {output}")


def hour(text: str) -> timedelta:
    """An hour of the day, such as 8:00, 8 or 8am, as the time since midnight. Raises UsageProblem."""
    match = _HOUR.match(text.strip())
    hours, minutes = (int(match[1]), int(match[2] or 0)) if match is not None else (99, 0)
    half = (match[3] or "").lower() if match is not None else ""
    if half and 1 <= hours <= 12:
        hours = hours % 12 + (12 if half == "pm" else 0)
    elif half:
        hours = 99
    if hours > 23 or minutes > 59:
        raise UsageProblem("an hour of the day, such as 8:00 or 18:30", repr(text))
    return timedelta(hours=hours, minutes=minutes)


def _earlier(output: Path) -> bytes | None:
    """The calendar file of before; None where there is none yet."""
    try:
        if not output.is_file() or output.stat().st_size == 0:
            return None
        if output.stat().st_size > _LARGEST:
            raise CannotWrite(
                f"{output} is too large to be a calendar file that graftbook wrote",
                next_step="Nothing was written; name another file",
            )
        content = output.read_bytes()
    except OSError as error:
        raise CannotWrite(f"{output} cannot be read: {error.strerror or error}") from error
    return content if content.startswith(_HEAD) else None


def _stops(rows: Iterable[DueRow], day: date) -> Iterator[Stop]:
    """One stop a place and day: what is due by the day itself in one, in the order in which it is walked."""
    gathered: dict[tuple[str | None, date], list[DueRow]] = {}
    for row in rows:
        on = day if row.since is None or row.since <= day else row.since
        gathered.setdefault((row.place, on), []).append(row)
    for place, on in sorted(gathered, key=lambda key: key[1]):
        yield Stop(place, on, tuple(_tasks(gathered[place, on])), now=on == day)


def _tasks(rows: list[DueRow]) -> Iterator[Task]:
    alike: dict[tuple[str, str, date | None, str], list[str]] = {}
    for row in rows:
        basis = basis_words(row).strip(" ()")
        alike.setdefault((row.what, row.why, row.until, basis), []).append(row.code)
    for (what, why, until, basis), codes in alike.items():
        yield Task(what, len(codes), code_list(codes, 40), why, until, basis)


def _notes(output: Path, made: CalendarFile, earlier: bytes | None) -> tuple[str, ...]:
    take = f"Take {output} into your calendar program."
    if earlier is None:
        return (
            take,
            "After the next round write the same file again and take it in again: what is done goes, nothing doubles.",
        )
    since = f"Since the file of before: {made.fresh} new, {made.changed} changed, {made.dropped} done or gone and cancelled."
    return take, since
