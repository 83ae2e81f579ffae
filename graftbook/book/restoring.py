"""A file looked at before it becomes a book again, and put where the book is to be: whole, or not at all.

Over a book that is there the pages are written through SQLite itself, in one transaction of that book: other programs wait
or are waited for, a kill leaves what was there, and what was entered meanwhile stops it.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from sqlmodel import Session

from graftbook.book import backup, soundness_queries, versions
from graftbook.book.backup import Snapshot
from graftbook.book.engine import BUSY_SECONDS, is_book_file, make_engine, our_errors
from graftbook.errors import CannotWrite, NotABook, NotFound, Refused, WrongVersion

_WAIT = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
_PAGES = 2_000
"""Pages written in one go; never all of them, since after the first go it is asked what others entered."""


def staged(file: Path, to: Path) -> tuple[str, Snapshot]:
    """Copy a file that holds a book to another place and bring it up to date there: the version it had, and what it holds now.

    Raises NotFound, NotABook for a file that is none or is not sound, WrongVersion for one that is newer than this program.
    """
    is_a_book(file)
    try:
        found = backup.snapshot(str(_readable(file, to)), to).version
    except NotABook as error:
        raise NotABook(f"a sound book in {file}", error.found, "Nothing was restored; try an older backup") from error
    if found not in versions.REVISIONS:
        raise WrongVersion(
            f"a book of version {versions.HEAD} or older", f"version {found} in {file}, which is newer",
            "Update Graftbook and try again",
        )  # fmt: skip
    engine = make_engine(str(to))
    try:
        with our_errors(str(file)):
            if found != versions.HEAD:
                versions.upgrade(engine)
            with Session(engine) as session:
                missing = soundness_queries.missing_columns(session)
    finally:
        engine.dispose()
    if missing:
        raise NotABook(f"a whole book in {file}", f"that it lacks {', '.join(missing[:5])}", "Try an older backup")
    return found, backup.contents(to)


def _readable(file: Path, to: Path) -> Path:
    """The file, or where its folder takes no files a copy of it with its log beside where it goes: SQLite needs to put one beside
    what it reads."""
    if os.access(file.parent, os.W_OK):
        return file
    copy = to.with_name(f"{to.name}-read")
    for end in ("", "-wal"):
        source = file.with_name(file.name + end)
        if source.exists():
            shutil.copyfile(source, copy.with_name(copy.name + end))
    return copy


def is_a_book(file: Path) -> None:
    """Raise NotFound where no file is, NotABook for one that is none, as far as its first bytes tell."""
    if file.is_dir():
        raise NotABook("a backup of a book", f"the folder {file}", "CSV files go in with: graftbook import")
    if not file.exists():
        raise NotFound(f"no file {file}")
    try:
        holds_one = is_book_file(file)
    except OSError as error:
        raise NotABook(f"a backup that can be read at {file}", error.strerror or str(error)) from error
    if not holds_one:
        raise NotABook(f"a backup of a book at {file}", "a file of another kind", "Nothing was restored")


def put_new(made: Path, place: Path) -> None:
    """Put a finished book where none is. Raises Refused where something came there meanwhile, or the log of another lies there."""
    for kind in ("-wal", "-journal"):
        left = place.with_name(place.name + kind)
        if left.exists():
            raise Refused(
                f"{left} belongs to a book that is no longer there", "", "Move it away first, or name another place"
            )
    backup.ready(made)
    versions.put(made, place)


def put_instead(made: Path, place: Path) -> None:
    """Put a finished book where one lies that cannot be read and was copied away: its log goes, since it fits no other file."""
    backup.ready(made)
    for kind in ("-wal", "-shm", "-journal"):
        place.with_name(place.name + kind).unlink(missing_ok=True)
    made.replace(place)


def refuse_others(place: Path) -> None:
    """Raise Refused where a database is that can be read and holds no book: it is somebody else's."""
    try:
        with closing(sqlite3.connect(place)) as file:
            found = file.execute("SELECT 1 FROM sqlite_master WHERE name = ?", (versions.TABLE,)).fetchone()
    except sqlite3.Error:
        return
    if found is None:
        raise Refused(f"{place} is a database that holds no book", "", "Name another place with --book")


class OpenBook:
    """The book that is there and will be written over; what others enter from now on is seen. Raises NotABook where
    it cannot be read."""

    def __init__(self, place: Path) -> None:
        self._place = place
        backup.ready(place)
        self._watch = sqlite3.connect(place, timeout=BUSY_SECONDS)
        self._seen = self._state()

    def _state(self) -> int:
        return int(self._watch.execute("PRAGMA data_version").fetchone()[0])

    def write_over(self, made: Path) -> None:
        """Make it what a finished book holds. Raises CannotWrite where others do not let go of it, Refused where they entered
        something since this was made; then it is as it was."""
        try:
            with closing(sqlite3.connect(made)) as source, closing(sqlite3.connect(self._place)) as target:
                (pages,) = source.execute("PRAGMA page_count").fetchone()
                source.backup(target, pages=max(1, min(_PAGES, pages // 2)), progress=self._step(), sleep=0.1)
        except sqlite3.Error as error:
            raise CannotWrite(
                f"{self._place} cannot be written over: {error}", "",
                "It is as it was; move it away yourself and restore to its name, or restore to another place",
            ) from error  # fmt: skip

    def _step(self) -> Callable[[int, int, int], None]:
        until, held = time.monotonic() + BUSY_SECONDS, False

        def step(status: int, _left: int, _pages: int) -> None:
            nonlocal held
            if status in _WAIT:
                if time.monotonic() > until:
                    raise CannotWrite(
                        f"{self._place} is in use by another program", next_step="Wait for it and try again"
                    )
            elif not held:
                held = True
                if self._state() != self._seen:
                    raise Refused(
                        f"something was entered in {self._place} meanwhile", "", "Nothing was restored; try again"
                    )

        return step

    def close(self) -> None:
        """Let go of it."""
        self._watch.close()
