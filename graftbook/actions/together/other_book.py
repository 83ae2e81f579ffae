"""The other book as it is read: a copy of one moment of it, brought up to date, in a folder that is taken away afterwards.

It may be a file, a book on a server, a backup, or a folder of exported files, which is taken into a new book. What came of
an export has its rows but no entries: who wrote what and when is not known of them.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from graftbook.actions.desk.desk import Desk
from graftbook.actions.exchange.importing import import_files
from graftbook.book import backup, parts, restoring, versions
from graftbook.book import settings as book_settings
from graftbook.book.engine import is_url, make_engine, our_errors, public
from graftbook.book.unit import Book
from graftbook.errors import CannotWrite, Refused


@dataclass(frozen=True)
class OtherBook:
    """Another book, open, what to call it, and whether it has entries of its own."""

    book: Book
    name: str
    has_story: bool


@contextmanager
def opened(desk: Desk, other: str) -> Iterator[OtherBook]:
    """Open a copy of the other book. Raises Refused where it is this very book, and as restoring and importing do."""
    _not_this(desk, other)
    here = desk.book.location
    folder = None if is_url(here) else Path(here).expanduser().resolve().parent
    place = Path("merge") if folder is None else folder / Path(here).name
    parts.sweep(place) if folder is not None else None
    try:
        inside = tempfile.TemporaryDirectory(prefix=parts.prefix(place), suffix=parts.PART, dir=folder)
    except OSError as error:
        raise CannotWrite(f"{folder} cannot be written: {error.strerror}", "", "Nothing was merged") from error
    with inside as name:
        made = Path(name) / "other.sqlite"
        exported = not is_url(other) and Path(other).is_dir()
        _from_files(desk, Path(other), made) if exported else _copied(other, made)
        book = Book(str(made))
        try:
            yield OtherBook(book, public(other), not exported)
        finally:
            book.close()


def _not_this(desk: Desk, other: str) -> None:
    here = desk.book.location
    same = other == here
    if not (same or is_url(other) or is_url(here)) and Path(other).exists():
        same = os.path.samefile(other, Path(here).expanduser())
    if same:
        raise Refused(
            f"{public(other)} is the open book itself", "", "Name another book, or a folder of exported files"
        )


def _copied(other: str, made: Path) -> None:
    if not is_url(other):
        restoring.staged(Path(other).expanduser(), made)
        return
    backup.snapshot(other, made)
    engine = make_engine(str(made))
    try:
        with our_errors(other):
            versions.upgrade(engine)
    finally:
        engine.dispose()


def _from_files(desk: Desk, folder: Path, made: Path) -> None:
    """A new book with what the files of an export hold. Raises as import_files."""
    versions.create(str(made))
    book = Book(str(made))
    try:
        with book.read() as session:
            settings = book_settings.load(session)
        import_files(Desk(book, settings, desk.today), [folder])
    finally:
        book.close()
