"""The versions of a book's tables: making a book, telling an older or newer one apart, and migrating.

A book is made by running every migration from the first, so that a new book and an old one brought up to date are the
same. Opening never migrates: a book of another version says so, and `migrate` copies the file before it touches it.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, text

from graftbook.book.engine import is_url, make_engine, our_errors, public, set_wal
from graftbook.book.parts import PART, prefix, sweep
from graftbook.errors import CannotWrite, NotABook, Refused, WrongVersion

REVISIONS = ("0001", "0002", "0003", "0004", "0005", "0006", "0007", "0008", "0009", "0010")
HEAD = REVISIONS[-1]
TABLE = "alembic_version"
"""The table that holds the version."""
SCRIPTS = Path(__file__).parent / "migrations"


def version_of(engine: Engine) -> str | None:
    """The version written in the database, or None where it holds no book. Read only."""
    with engine.connect() as connection:
        return version_in(connection)


def version_in(connection: Connection) -> str | None:
    """The version written in the database of a connection, or None where it holds no book. Read only."""
    if not inspect(connection).has_table(TABLE):
        return None
    return connection.execute(text(f"SELECT version_num FROM {TABLE}")).scalar()


def check(engine: Engine, location: str) -> None:
    """Raise NotABook where there is none, WrongVersion where it is older or newer than this program. Read only."""
    found = version_of(engine)
    if found is None:
        raise NotABook(
            f"a book at {public(location)}",
            "a database without one",
            f"Make one: graftbook --book {public(location)} start",
        )
    if found == HEAD:
        return
    if found in REVISIONS:
        raise WrongVersion(
            f"a book of version {HEAD}", f"version {found}, which is older",
            f"Bring it up to date with: graftbook --book {public(location)} migrate (it copies the book first)",
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


def create(location: str, fill: Callable[[str], None] | None = None) -> None:
    """Make a book: empty, or with what `fill` puts into it, called with where it is being made. Raises Refused where one is
    already. A file is made beside its place and put there when it is whole, so that a stopped start leaves no half of a book.
    """
    make_engine(location, create=True).dispose()
    if is_url(location):
        _make(location, location, fill)
        return
    place = Path(location).expanduser()
    if place.exists():
        raise _taken(place)
    sweep(place)
    try:
        with tempfile.TemporaryDirectory(prefix=prefix(place), suffix=PART, dir=place.parent) as folder:
            made = Path(folder) / place.name
            _make(str(made), location, fill)
            put(made, place)
    except OSError as error:
        raise CannotWrite(
            f"{place} cannot be written: {error.strerror or error}",
            "",
            "Look at the folder's permissions and the room on the disk",
        ) from error


def _make(where: str, location: str, fill: Callable[[str], None] | None) -> None:
    engine = make_engine(where, create=True)
    try:
        with our_errors(location):
            if is_url(where) and version_of(engine) is not None:
                raise Refused("a book is there already", "", "Choose another database")
            set_wal(engine)
            upgrade(engine)
    finally:
        engine.dispose()
    if fill is not None:
        fill(where)


def put(made: Path, place: Path) -> None:
    """Put a finished book in its place, never over another that came there meanwhile."""
    try:
        os.link(made, place)
    except FileExistsError:
        raise _taken(place) from None
    except OSError:  # a disk without links
        if place.exists():
            raise _taken(place) from None
        made.rename(place)


def _taken(place: Path) -> Refused:
    return Refused(f"{place} is there already", "", "Choose another path for the new book")


def upgrade(engine: Engine, to: str = "head") -> None:
    """Run the migrations up to a version, in one transaction with the row that records it."""
    with engine.connect().execution_options(graftbook_write=True) as connection, connection.begin():
        run(connection, to)


def run(connection: Connection, to: str) -> None:
    """Run the migrations up to a version within the transaction of a connection."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(SCRIPTS))
    config.attributes["connection"] = connection
    command.upgrade(config, to)
