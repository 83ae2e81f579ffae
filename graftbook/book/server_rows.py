"""Every row of a book between a server and a file, as the tables of that version have them, ids and counters of ids included.

Tables are read from the databases themselves, so that a book of an older version is taken as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import JSON, Connection, DateTime, Engine, MetaData, Table, insert, inspect, select, text

from graftbook.book import versions
from graftbook.book.asking import CHUNK
from graftbook.book.engine import WRITE, make_engine, one_writer, our_errors, public, set_wal
from graftbook.errors import NotABook, Refused


def into_file(server: Connection, to: Path, version: str) -> list[str]:
    """Put every row into a new file of the same version, within the snapshot of this connection; the tables taken.

    Raises NotABook for a version that this program does not know.
    """
    if version not in versions.REVISIONS:
        raise NotABook(f"a book of version {versions.HEAD} or older", f"version {version}", "Update Graftbook")
    engine = make_engine(str(to), create=True)
    try:
        with our_errors(str(to)):
            set_wal(engine)
            versions.upgrade(engine, version)
            with _writing(engine) as file:
                file.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
                names = _names(file)
                _copy(server, file, names)
                for name, last in _last_ids_of_server(server, names):
                    file.exec_driver_sql("DELETE FROM sqlite_sequence WHERE name = ?", (name,))
                    file.exec_driver_sql("INSERT INTO sqlite_sequence (name, seq) VALUES (?, ?)", (name, last))
    finally:
        engine.dispose()
    return names


def into_server(path: Path, location: str) -> None:
    """Put a book that a file of this program's version holds into an empty database, all of it in one transaction.

    Raises Refused where the database holds tables.
    """
    source, engine = make_engine(str(path)), make_engine(location)
    try:
        with our_errors(location), source.connect() as file, _writing(engine) as server:
            if inspect(server).get_table_names():
                raise Refused(f"{public(location)} is not empty", "", "Name an empty database for the book")
            versions.run(server, "head")
            keys = _keys_taken_off(server)
            names = _names(file)
            _copy(file, server, names)
            for name, last in file.exec_driver_sql("SELECT name, seq FROM sqlite_sequence"):
                if last and name in names:
                    server.execute(_SET_LAST, {"table": f'"{name}"', "last": last})
            for table, name, words in keys:
                server.exec_driver_sql(f'ALTER TABLE {table} ADD CONSTRAINT "{name}" {words}')
    finally:
        source.dispose()
        engine.dispose()


@contextmanager
def _writing(engine: Engine) -> Iterator[Connection]:
    """One transaction that may write, kept when the block ends well."""
    with engine.connect().execution_options(**WRITE) as connection, connection.begin():
        one_writer(connection)
        yield connection


_SET_LAST = text("SELECT setval(pg_get_serial_sequence(:table, 'id'), :last)")


def _names(file: Connection) -> list[str]:
    return [name for name in inspect(file).get_table_names() if name != versions.TABLE]


def _keys_taken_off(server: Connection) -> list[tuple[str, str, str]]:
    """Take the keys between tables off for the while: rows point to each other in circles, and each is asked when they are put
    back. Table, name and words of each."""
    keys = server.exec_driver_sql(
        "SELECT conrelid::regclass::text, conname, pg_get_constraintdef(oid) FROM pg_constraint"
        " WHERE contype = 'f' AND connamespace = current_schema()::regnamespace ORDER BY 1, 2"
    ).all()
    for table, name, _words in keys:
        server.exec_driver_sql(f'ALTER TABLE {table} DROP CONSTRAINT "{name}"')
    return [tuple(key) for key in keys]


def _last_ids_of_server(server: Connection, names: Iterable[str]) -> Iterable[tuple[str, int]]:
    """The last id given out in each table, which may be above the highest that is there; tables without one are absent."""
    held = inspect(server)
    for name in names:
        if not any(column["name"] == "id" for column in held.get_columns(name)):
            continue
        sequence = server.execute(text("SELECT pg_get_serial_sequence(:table, 'id')"), {"table": f'"{name}"'}).scalar()
        if sequence is None:
            continue
        last, given = server.exec_driver_sql(f"SELECT last_value, is_called FROM {sequence}").one()
        if given:
            yield name, last


def _copy(source: Connection, target: Connection, names: list[str]) -> None:
    held, wanted = _tables(source, names), _tables(target, names)
    for name in names:
        change = _changed(held[name])
        query = select(held[name]).execution_options(yield_per=CHUNK)
        for part in source.execute(query).mappings().partitions():
            target.execute(insert(wanted[name]), [change(row) for row in part])


def _tables(connection: Connection, names: list[str]) -> Mapping[str, Table]:
    found = MetaData()
    found.reflect(connection, only=names, resolve_fks=False)
    for table in found.tables.values():
        for column in table.columns:
            if isinstance(column.type, JSON):
                column.type.none_as_null = True
    return found.tables


def _changed(table: Table) -> Callable[[Any], dict[str, Any]]:
    """What makes of a row one that either database takes: moments are kept in UTC, which a file does not say."""
    moments = [column.name for column in table.columns if isinstance(column.type, DateTime)]

    def change(row: Any) -> dict[str, Any]:
        return {**row, **{name: _utc(row[name]) for name in moments}}

    return change if moments else dict


def _utc(moment: datetime | None) -> datetime | None:
    if moment is None:
        return None
    return moment.astimezone(UTC) if moment.tzinfo is not None else moment.replace(tzinfo=UTC)
