"""A backup made a book again: in a new place, over the old book, which is kept aside, or in an empty database."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import ClassVar

from graftbook.actions.desk.copied_before import copied
from graftbook.actions.desk.desk import default_location
from graftbook.actions.desk.file_out import reason
from graftbook.actions.desk.results import Report, count
from graftbook.book import kept_before, parts, restoring, server_rows
from graftbook.book.engine import beside_a_book, is_url, public
from graftbook.book.versions import HEAD
from graftbook.errors import CannotWrite, NotABook, Refused


@dataclass(frozen=True)
class RestoreRow:
    """One book restored: where it is, the file it came from, the version that had, entries and rows of all tables together."""

    book: str
    file: str
    file_version: str
    entries: int
    rows: int
    shown: ClassVar = ("book", "file", "entries", "rows")


def restore(location: str | None, file: Path, yes: bool = False) -> Report:
    """Make a backup the book. Over a book that is there only with `yes`: that one is kept aside first.

    Raises NotFound, NotABook, WrongVersion for the file; Refused where a book is there and nobody said yes, or a database
    is not empty; CannotWrite for a disk that says no. The book that was there then stands as it was.
    """
    where = location if location is not None else default_location()
    place = Path(where).expanduser().resolve()
    if not is_url(where):
        _may_be(place, file, yes)
    notes: tuple[str, ...] = ()
    try:
        if location is None and not is_url(where):
            place.parent.mkdir(parents=True, exist_ok=True)
        parts.sweep(place)
        folder = None if is_url(where) else place.parent
        with tempfile.TemporaryDirectory(prefix=parts.prefix(place), suffix=parts.PART, dir=folder) as inside:
            made = Path(inside) / "book.sqlite"
            version, held = restoring.staged(file, made)
            notes = _put(made, where, place)
    except OSError as error:
        raise CannotWrite(
            f"{public(where)} cannot be written: {reason(error, place)}", "", "Nothing was restored"
        ) from error
    if version != HEAD:
        notes = (f"The file was of version {version}; the book was brought up to version {HEAD}.", *notes)
    row = RestoreRow(public(where), str(file), version, held.rows.get("entry", 0), held.total)
    facts = {"version": held.version}
    return Report(RestoreRow, (row,), notes, facts, title=f"Restored {count(held.total, 'row')} to {public(where)}")


def _may_be(place: Path, file: Path, yes: bool) -> None:
    """Whether a book may be put there, as far as can be told before the file is read."""
    if place.is_dir():
        raise NotABook(
            "a file for the book", f"the folder {place}", f"Name a file in it, such as {place / 'book.sqlite'}"
        )
    if beside_a_book(place):
        raise Refused(f"{place} belongs to a book", "", "Name another place for the book")
    if not place.exists():
        return
    if file.exists() and place.samefile(file):
        raise Refused(f"{file} is the book itself", "", "Name a backup of it, or another place with --book")
    if not yes:
        raise Refused(
            f"a book is at {place} already", "",
            "Say --yes to restore over it (it is kept aside), or name another place with --book",
        )  # fmt: skip


def _put(made: Path, where: str, place: Path) -> tuple[str, ...]:
    """The finished book in its place; what is to be said of what was there."""
    if is_url(where):
        server_rows.into_server(made, where)
        return ()
    if not place.exists():
        restoring.put_new(made, place)
        return ()
    restoring.is_a_book(place)
    restoring.refuse_others(place)
    try:
        return (_over(made, place),)
    except NotABook:
        aside = kept_before.as_it_lies(place, datetime.now(UTC))
        restoring.put_instead(made, place)
        return (f"The book that was there could not be read; its file is kept as it was at {aside}.",)


def _over(made: Path, place: Path) -> str:
    """Written over the book that is there; where that is kept, as a sentence."""
    there = restoring.OpenBook(place)
    try:
        aside = copied(str(place), "restore", datetime.now(UTC))
        there.write_over(made)
    finally:
        there.close()
    return aside
