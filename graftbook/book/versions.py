"""The versions of a book's tables: making a book, telling an older or newer one apart, and migrating.

A book is made by running every migration from the first, so that a new book and an old one brought up to date are the
same. Opening never migrates: a book of another version says so, and `migrate` copies the file before it touches it.
"""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine, inspect, text

from graftbook.book.engine import is_url, make_engine, our_errors, set_wal
from graftbook.errors import CannotWrite, NotABook, Refused, WrongVersion

REVISIONS = ("0001", "0002", "0003", "0004", "0005", "0006", "0007", "0008")
HEAD = REVISIONS[-1]
SCRIPTS = Path(__file__).parent / "migrations"


def version_of(engine: Engine) -> str | None:
    """The version written in the database, or None where it holds no book. Read only."""
    with engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()


def check(engine: Engine, location: str) -> None:
    """Raise NotABook where there is none, WrongVersion where it is older or newer than this program. Read only."""
    found = version_of(engine)
    if found is None:
        raise NotABook(
            f"a book at {location}", "a database without one", f"Make one: graftbook --book {location} start"
        )
    if found == HEAD:
        return
    if found in REVISIONS:
        raise WrongVersion(
            f"a book of version {HEAD}", f"version {found}, which is older",
            f"Bring it up to date with: graftbook --book {location} migrate (it copies the book first)",
        )  # fmt: skip
    raise WrongVersion(
        f"a book of version {HEAD}", f"version {found}, which is newer", "Update Graftbook and try again"
    )


def pending(engine: Engine) -> tuple[str, ...]:
    """The migrations this book has not had yet, oldest first. Read only."""
    found = version_of(engine)
    if found is None:
        return REVISIONS
    if found not in REVISIONS:
        return ()
    return REVISIONS[REVISIONS.index(found) + 1 :]


def create(location: str) -> None:
    """Make an empty book. Raises Refused where one is already; leaves nothing behind when it fails."""
    path = None if is_url(location) else Path(location).expanduser()
    if path is not None and path.exists() and path.is_file():
        raise Refused(f"{path} is there already", "", "Choose another path for the new book")
    engine = make_engine(location, create=True)
    try:
        with our_errors(location):
            if path is None and version_of(engine) is not None:
                raise Refused("a book is there already", "", "Choose another database")
            set_wal(engine)
            upgrade(engine)
    except BaseException:
        engine.dispose()
        if path is not None:
            for left in (path, Path(f"{path}-wal"), Path(f"{path}-shm")):
                left.unlink(missing_ok=True)
        raise
    engine.dispose()


def upgrade(engine: Engine, to: str = "head") -> None:
    """Run the migrations up to a version, each in a transaction with the row that records it."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(SCRIPTS))
    with engine.connect().execution_options(graftbook_write=True) as connection, connection.begin():
        config.attributes["connection"] = connection
        command.upgrade(config, to)


def copy_first(location: str, now: datetime) -> Path | None:
    """Copy a SQLite book beside itself before migrating, and return where; None for PostgreSQL, which has its own tools."""
    if is_url(location):
        return None
    path = Path(location).expanduser()
    copy = path.with_name(f"{path.stem}-before-{HEAD}-{now:%Y%m%dT%H%M%S}{path.suffix}")
    engine = make_engine(location)
    try:
        with our_errors(location):
            raw = engine.raw_connection()
            raw.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
            raw.close()
        shutil.copy2(path, copy)
    except OSError as error:
        raise CannotWrite(f"a copy at {copy} could not be made: {error}", next_step="The book is as it was") from error
    finally:
        engine.dispose()
    return copy
