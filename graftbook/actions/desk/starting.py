"""Making a book, its settings, and bringing it up to date."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from pathlib import Path

from graftbook.actions.desk import tag_site
from graftbook.actions.desk.copied_before import copied
from graftbook.actions.desk.desk import Desk, default_location
from graftbook.actions.desk.results import Recorded, Report
from graftbook.book import settings as book_settings
from graftbook.book import versions
from graftbook.book.engine import is_url, make_engine, our_errors, public
from graftbook.book.unit import Book


@dataclass(frozen=True)
class SettingRow:
    """One setting."""

    setting: str
    value: str


def start(location: str | None, values: Mapping[str, str]) -> Recorded:
    """Make an empty book with these settings. Raises Refused where there is one already, UsageProblem for a setting
    it cannot have; a book that could not be finished is taken away again."""
    where = location if location is not None else default_location()
    kept = {key: book_settings.check(key, value) for key, value in values.items()}
    if location is None and not is_url(where):
        Path(where).expanduser().parent.mkdir(parents=True, exist_ok=True)
    stated = ", ".join(f"{key} {value}" for key, value in kept.items() if value)
    numbers: list[int] = []

    def fill(place: str) -> None:
        book = Book(place)
        try:
            with book.write("start") as unit:
                book_settings.save(unit, kept)
                numbers.append(unit.commit(f"Started the book{': ' + stated if stated else ''}").id)
        finally:
            book.close()

    versions.create(where, fill)
    return Recorded(f"Started a new book at {public(where)}.", numbers[0], (), _next_steps(kept))


def _next_steps(kept: Mapping[str, str]) -> tuple[str, ...]:
    notes = ["Next: graftbook tree add, graftbook stock add, graftbook prune."]
    if kept.get("dates", "iso") == "iso":
        notes.append("Dates are read as 2027-01-14; for 14/1/27 or 1/14/27 say graftbook settings dates=day-first.")
    return tuple(notes)


def show_settings(desk: Desk) -> Report:
    """The book's settings."""
    rows = tuple(SettingRow(field.name, str(getattr(desk.settings, field.name))) for field in fields(desk.settings))
    return Report(SettingRow, rows, title=f"Settings of the book at {public(desk.book.location)}")


def change_settings(desk: Desk, values: Mapping[str, str], who: str | None = None) -> Recorded:
    """Change settings. Raises UsageProblem for one there is not, or a value it cannot have."""
    kept = {key: book_settings.check(key, value) for key, value in values.items()}
    tag_site.check_site(kept.get("site", ""))
    with desk.book.write("settings", desk.person(who)) as unit:
        book_settings.save(unit, kept)
        entry = unit.commit("Set " + ", ".join(f"{key} to {value or 'nothing'}" for key, value in kept.items()))
    return Recorded(f"{entry.summary}.", entry.id)


def migrate(location: str | None) -> Recorded:
    """Bring an older book up to date, copying it first. Raises WrongVersion for a newer book."""
    where = location if location is not None else default_location()
    engine = make_engine(where)
    try:
        with our_errors(where):
            steps = versions.pending(engine)
            if not steps:
                versions.check(engine, where)
                return Recorded("The book is up to date; nothing to do.")
            kept = copied(where, versions.HEAD, datetime.now(UTC))
            versions.upgrade(engine)
    finally:
        engine.dispose()
    return Recorded(f"Brought the book up to version {versions.HEAD} in {len(steps)} step(s).", None, (), (kept,))
