"""A book copied into one file as one moment had it, and the copy looked at before anybody relies on it.

SQLite's own copying of pages takes what its write-ahead log holds along, whoever else writes meanwhile; a book on a server
is read in one snapshot and its rows are put into a new file. The counts are taken within the same snapshot. Who a book is,
its first entry says: two files that begin with the same entry are copies of one book.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, func, inspect, select, table

from graftbook.book import server_rows, versions
from graftbook.book.engine import is_url, make_engine, our_errors, public, set_wal
from graftbook.errors import CannotWrite, NotABook

MOST_FAULTS = 10


@dataclass(frozen=True)
class Snapshot:
    """What a copy of a book holds: its version, and how many rows each table has."""

    version: str
    rows: dict[str, int]

    @property
    def total(self) -> int:
        """Rows of all tables together."""
        return sum(self.rows.values())


def snapshot(location: str, to: Path, sound: bool = True) -> Snapshot:
    """Write the book into a new file and verify it: whole by SQLite's check, every key pointing somewhere, the version and
    the rows of every table those of the book. Without `sound` the faults that a book has of its own do not matter.

    Raises NotABook where there is none or it is not sound, CannotWrite for a disk that says no. The file is then of no use.
    """
    engine = make_engine(location)
    try:
        with our_errors(location):
            level = {"isolation_level": "REPEATABLE READ"} if is_url(location) else {}
            with engine.connect().execution_options(**level) as connection, connection.begin():
                version = versions.version_in(connection)
                if version is None:
                    raise NotABook(f"a book at {public(location)}", "a database without one")
                taken = _taken(connection, to, version, location)
    finally:
        engine.dispose()
    _verify(to, taken, location, sound)
    return taken


def _taken(connection: Connection, to: Path, version: str, location: str) -> Snapshot:
    if is_url(location):
        names = server_rows.into_file(connection, to, version)
    else:
        names = [name for name in inspect(connection).get_table_names() if name != versions.TABLE]
        with _file_errors(to, location), closing(sqlite3.connect(to)) as target:
            connection.connection.driver_connection.backup(target)  # type: ignore[union-attr]
    counts = (connection.execute(select(func.count()).select_from(table(name))).scalar_one() for name in names)
    return Snapshot(version, dict(zip(names, counts, strict=True)))


def _verify(to: Path, taken: Snapshot, location: str, sound: bool) -> None:
    found = faults(to) if sound else []
    if found:
        raise NotABook(
            f"a sound book at {public(location)}", "; ".join(found[:3]),
            "No copy was kept of it; see what is wrong with: graftbook doctor",
        )  # fmt: skip
    held = contents(to)
    if held != taken:
        raise CannotWrite(f"the copy of {public(location)} does not hold what the book holds", next_step="Try again")
    with to.open("rb+") as file:
        os.fsync(file.fileno())


def faults(path: Path) -> list[str]:
    """What SQLite's check of the file finds, and keys that point to rows that are not there; [] for a sound one."""
    try:
        with closing(sqlite3.connect(path)) as file:
            found = [row[0] for row in file.execute(f"PRAGMA integrity_check({MOST_FAULTS})") if row[0] != "ok"]
            lost = file.execute("PRAGMA foreign_key_check").fetchmany(MOST_FAULTS)
    except sqlite3.DatabaseError as error:
        return [str(error)]
    return found + [f"a row of {row[0]} points to a {row[2]} that is not there" for row in lost]


def contents(path: Path) -> Snapshot:
    """The version and the rows of a file that holds a book. Raises NotABook where it holds none."""
    with _file_errors(path, str(path)), closing(sqlite3.connect(path)) as file:
        names = {row[0] for row in file.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"
        )}  # fmt: skip
        if versions.TABLE not in names:
            raise NotABook(f"a book at {path}", "a database without one")
        (version,) = file.execute(f"SELECT max(version_num) FROM {versions.TABLE}").fetchone()
        if version is None:
            raise NotABook(f"a book at {path}", "a database without one")
        counts = {name: file.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in names}
    del counts[versions.TABLE]
    return Snapshot(version, counts)


def entry_uids(location: str) -> list[str]:
    """The uid of every entry of a book, oldest first; the first says which book it is. Raises NotABook where there is none.

    Asked in words of its own, so that it answers for books of any version.
    """
    engine = make_engine(location)
    try:
        with our_errors(location), engine.connect() as connection:
            if versions.version_in(connection) is None:
                raise NotABook(f"a book at {public(location)}", "a database without one")
            return list(connection.exec_driver_sql("SELECT uid FROM entry ORDER BY id").scalars())
    finally:
        engine.dispose()


def ready(path: Path) -> None:
    """Make a file a book to work in: write-ahead logging on, as every new book has it."""
    engine = make_engine(str(path))
    try:
        with _file_errors(path, str(path)), our_errors(str(path)):
            set_wal(engine)
    finally:
        engine.dispose()


@contextmanager
def _file_errors(path: Path, location: str) -> Iterator[None]:
    """What the driver raises as one of our own: what was read was no sound book, or the disk said no."""
    try:
        yield
    except sqlite3.OperationalError as error:
        raise CannotWrite(
            f"{path} cannot be read or written: {error}",
            next_step="Look at the room on the disk, and at who has it open",
        ) from error
    except sqlite3.DatabaseError as error:
        raise NotABook(f"a sound book at {public(location)}", str(error)) from error
