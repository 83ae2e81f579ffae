"""The connection under a book: one SQLite file, or one PostgreSQL database by URL.

SQLite is set to write-ahead logging with foreign keys on and a busy timeout, and a verb that writes takes the write lock
when it begins, so that two processes wait for each other instead of failing half-way. PostgreSQL needs the `postgres`
extra. Whatever the driver raises leaves this room as one of our own errors.
"""

from __future__ import annotations

import random
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import ArgumentError, DBAPIError, IntegrityError, OperationalError

from graftbook.errors import CannotWrite, GraftbookError, NotABook, Refused, UsageProblem

BUSY_SECONDS = 20
_TURN_MS = 10
"""How long a writer waits before it asks for the lock again. SQLite asks less and less often the longer one waits, so that of many
the last would starve."""
WRITE = {"graftbook_write": True}
_WRITERS_LOCK = 0x67726166
_SQLITE_MAGIC = b"SQLite format 3\x00"


def is_url(location: str) -> bool:
    """True when the book is named by a database URL rather than a path."""
    return "://" in location


def is_book_file(path: Path) -> bool:
    """Whether a file is a SQLite database. Raises OSError where it cannot be read."""
    with path.open("rb") as file:
        return file.read(len(_SQLITE_MAGIC)) == _SQLITE_MAGIC


def beside_a_book(path: Path) -> bool:
    """Whether a path, where a file may be or not, is one that SQLite keeps beside a database: its log, its shared memory."""
    stem, _, kind = path.name.rpartition("-")
    owner = path.with_name(stem or path.name)
    return bool(stem) and kind in ("wal", "shm", "journal") and owner.is_file() and is_book_file(owner)


def make_engine(location: str, *, create: bool = False) -> Engine:
    """An engine for the book at a path or a PostgreSQL URL.

    Raises NotABook when a path holds no book (unless `create`), UsageProblem for a URL of another kind of database.
    """
    if is_url(location):
        return _postgres_engine(location)
    path = Path(location).expanduser()
    _check_path(path, create)
    engine = create_engine(f"sqlite:///{path}", connect_args={"timeout": BUSY_SECONDS})
    event.listen(engine, "connect", _sqlite_connected)
    event.listen(engine, "begin", _sqlite_begin)
    return engine


def one_writer(connection: Connection) -> None:
    """Wait for the book's one place to write, until the transaction ends. SQLite did so when the transaction began;
    PostgreSQL is asked for a lock of the book's own, so that no verb acts on what another is about to change."""
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{BUSY_SECONDS}s'")
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_WRITERS_LOCK})")


def _check_path(path: Path, create: bool) -> None:
    start = f"Make one with: graftbook --book {path} start"
    if path.is_dir():
        raise NotABook(
            "a file for the book", f"the folder {path}", f"Name a file in it, such as {path / 'book.sqlite'}"
        )
    if create:
        if not path.parent.is_dir():
            raise NotABook("a folder to put the book in", f"no folder {path.parent}", "Make the folder first")
        return
    if not path.exists():
        raise NotABook(f"no book at {path}", "", start)
    try:
        holds_one = is_book_file(path)
    except OSError as error:
        raise NotABook(f"a book that can be read at {path}", str(error)) from error
    if not holds_one:
        raise NotABook(f"a book at {path}", "a file of another kind", start.replace(str(path), "ANOTHER-PATH"))


def _postgres_engine(location: str) -> Engine:
    scheme, rest = location.split("://", 1)
    if scheme not in ("postgresql", "postgres", "postgresql+psycopg"):
        raise UsageProblem("a path, or a URL that starts postgresql://", f"{scheme}://…")
    try:
        return create_engine(f"postgresql+psycopg://{rest}", hide_parameters=True)
    except (ArgumentError, ValueError):
        raise UsageProblem("a URL such as postgresql://user@host:5432/orchard", public(location)) from None
    except ModuleNotFoundError as error:
        raise UsageProblem(
            "the PostgreSQL driver", f"no module {error.name}", "Install it with: pip install 'graftbook[postgres]'"
        ) from error


def _sqlite_connected(connection: sqlite3.Connection, _record: object) -> None:
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute("PRAGMA synchronous = NORMAL")
    cursor.close()


def _sqlite_begin(connection) -> None:
    if not connection.get_execution_options().get("graftbook_write"):
        connection.exec_driver_sql("BEGIN")
        return
    raw = connection.connection.driver_connection
    end = time.monotonic() + BUSY_SECONDS
    raw.execute(f"PRAGMA busy_timeout = {_TURN_MS}")
    try:
        while time.monotonic() < end:
            try:
                raw.execute("BEGIN IMMEDIATE")
                return
            except sqlite3.OperationalError as error:
                if "locked" not in str(error):
                    break
                time.sleep(random.uniform(0.2, 1) * _TURN_MS / 1000)
        connection.exec_driver_sql("BEGIN IMMEDIATE")
    finally:
        raw.execute(f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}")


def set_wal(engine: Engine) -> None:
    """Turn on write-ahead logging; it stays with the file. Nothing to do for PostgreSQL."""
    if engine.dialect.name == "sqlite":
        raw = engine.raw_connection()
        try:
            raw.cursor().execute("PRAGMA journal_mode = WAL")
        finally:
            raw.close()


@contextmanager
def our_errors(location: str) -> Iterator[None]:
    """Turn what the database driver raises inside the block into one of our own errors."""
    try:
        yield
    except IntegrityError as error:
        raise Refused(f"that breaks a rule of the book: {_short(error)}", next_step="Nothing was recorded") from error
    except OperationalError as error:
        raise _operational(location, _short(error)) from error
    except DBAPIError as error:
        raise NotABook(f"a sound book at {public(location)}", _short(error)) from error


def _operational(location: str, found: str) -> GraftbookError:
    low = found.lower()
    where = public(location)
    if "locked" in low or "busy" in low or "lock timeout" in low:
        return CannotWrite(
            f"the book at {where} is being written by another program", next_step="Wait for it and try again"
        )
    if "readonly" in low or "read-only" in low or "unable to open" in low or "full" in low or "disk i/o" in low:
        return CannotWrite(
            f"{where} cannot be written: {found}", "", "Look at the folder's permissions and the room on the disk"
        )
    return NotABook(f"a book that answers at {where}", found)


def _short(error: DBAPIError) -> str:
    return str(error.orig).strip().splitlines()[0] if error.orig else str(error)


def public(location: str) -> str:
    """The location without whom it is opened as and by which password."""
    if not is_url(location):
        return location
    scheme, rest = location.split("://", 1)
    where, mark, options = rest.rsplit("@", 1)[-1].partition("?")
    shown = [option for option in options.split("&") if "pass" not in option.partition("=")[0].lower()]
    return f"{scheme}://{where}{mark if options and shown else ''}{'&'.join(shown)}"
