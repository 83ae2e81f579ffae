"""The book read as it stands, for the checks of its soundness: the database itself, columns of a thing, and the ledger.

Nothing here trusts what it reads: keys may point nowhere and values may break the rules of the tables.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import Any, NamedTuple

from sqlalchemy import JSON, Boolean, Date, PrimaryKeyConstraint, Table, func, inspect, select, text
from sqlmodel import Session, SQLModel

from graftbook.book._base import Row
from graftbook.book.columns import raw_parts
from graftbook.book.tables import FIELDS, METADATA, RECORD, Change, Counter, Entry

MOST_FAULTS = 100


def _core(table: type[SQLModel]) -> Table:
    return METADATA.tables[str(table.__tablename__)]


_ENTRY, _CHANGE, _COUNTER = _core(Entry).c, _core(Change).c, _core(Counter).c


class Astray(NamedTuple):
    """A row whose key points to a row that is not there: its table and id, the key's column, the table and id it names."""

    table_name: str
    row_id: int
    column: str
    target: str
    target_id: int


class LastChange(NamedTuple):
    """The newest change of one row; `values` are those after it, or those before it where it took the row away."""

    table_name: str
    row_uid: str
    entry_id: int
    operation: str
    values: dict[str, Any]


def database_faults(session: Session) -> list[str]:
    """What the database itself finds wrong: SQLite's check of the file, PostgreSQL's constraints that were never validated."""
    if session.get_bind().dialect.name == "sqlite":
        found = session.execute(text(f"PRAGMA integrity_check({MOST_FAULTS})")).scalars()
        return [line for line in found if line != "ok"]
    names = session.execute(text(
        "SELECT conrelid::regclass || ': constraint ' || conname || ' was not validated' FROM pg_constraint"
        " WHERE NOT convalidated AND connamespace = current_schema()::regnamespace ORDER BY 1"
    ))  # fmt: skip
    return list(names.scalars())


def versions_held(session: Session) -> list[str]:
    """Every version written in the book; a sound one holds one."""
    return sorted(session.execute(text("SELECT version_num FROM alembic_version")).scalars())


def missing_columns(session: Session) -> list[str]:
    """Tables of the record that are not there, and columns as `table.column`."""
    there = inspect(session.connection())
    held = set(there.get_table_names())
    return sorted(
        name
        for table in METADATA.sorted_tables
        for name in ([table.name] if table.name not in held else _missing_of(there, table))
    )


def _missing_of(there: Any, table: Table) -> list[str]:
    held = {column["name"] for column in there.get_columns(table.name)}
    return [f"{table.name}.{column.name}" for column in table.columns if column.name not in held]


def missing_constraints(session: Session) -> list[str]:
    """Named rules of the record (checks, keys, one of a kind) that the database does not hold, as `table.name`."""
    there = inspect(session.connection())
    found = []
    for table in METADATA.sorted_tables:
        kinds = (there.get_check_constraints, there.get_foreign_keys, there.get_unique_constraints)
        held = {row["name"] for kind in kinds for row in kind(table.name)}
        ours = {str(each.name) for each in table.constraints if not isinstance(each, PrimaryKeyConstraint)}
        found += [f"{table.name}.{name}" for name in ours - held]
    return sorted(found)


def astray(session: Session) -> Iterator[Astray]:
    """Every key of the record that points to a row that is not there."""
    if session.get_bind().dialect.name == "sqlite" and not session.execute(text("PRAGMA foreign_key_check")).first():
        return
    for table in METADATA.sorted_tables:
        for column in table.columns:
            for key in column.foreign_keys:
                target = key.column.table.alias()
                query = (
                    select(table.c.id, column).outerjoin(target, target.c.id == column)
                    .where(column.is_not(None), target.c.id.is_(None)).order_by(table.c.id)
                )  # fmt: skip
                for row_id, target_id in session.execute(query):
                    yield Astray(table.name, row_id, column.name, key.column.table.name, target_id)


def rows(session: Session, table: type[SQLModel], names: Sequence[str]) -> list[Any]:
    """The named columns of every row of a table in the order of ids, days as days; each row answers by name."""
    kept = _core(table).c
    return list(session.connection().execute(select(*(kept[name] for name in names)).order_by(kept.id)))


def entries(session: Session) -> list[Any]:
    """Every entry, oldest first: id, verb, undoes, undone_by."""
    return rows(session, Entry, ("id", "verb", "undoes", "undone_by"))


def row_uids(session: Session, table: type[SQLModel]) -> list[tuple[int, str]]:
    """The id and uid of every row of a table."""
    kept = _core(table).c
    return [tuple(row) for part in raw_parts(session, select(kept.id, kept.uid)) for row in part]


def added_by_undone(session: Session) -> Iterator[tuple[int, int, str, str, str]]:
    """Every change of an entry that was undone: entry, the entry that undid it, table, row and operation."""
    query = (
        select(_ENTRY.id, _ENTRY.undone_by, _CHANGE.table_name, _CHANGE.row_uid, _CHANGE.operation)
        .where(_CHANGE.entry_id == _ENTRY.id, _ENTRY.undone_by.is_not(None))
        .order_by(_CHANGE.id)
    )
    yield from map(tuple, session.execute(query))


def rows_of_entries(session: Session, entry_ids: Sequence[int]) -> set[tuple[int, str]]:
    """The entry and row of every change of some entries."""
    wanted = set(entry_ids)
    if not wanted:
        return set()
    query = select(_CHANGE.entry_id, _CHANGE.row_uid).where(_CHANGE.entry_id == _ENTRY.id, _ENTRY.undoes.is_not(None))
    return {(entry, uid) for entry, uid in session.execute(query) if entry in wanted}


def last_changes(session: Session) -> Iterator[LastChange]:
    """The newest change of every row that was ever in the record."""
    newest = select(func.max(_CHANGE.id)).group_by(_CHANGE.row_uid)
    query = select(
        _CHANGE.table_name, _CHANGE.row_uid, _CHANGE.entry_id, _CHANGE.operation, _CHANGE.before, _CHANGE.after
    ).where(_CHANGE.id.in_(newest))
    for part in raw_parts(session, query):
        for name, uid, entry, operation, before, after in part:
            yield LastChange(name, uid, entry, operation, _read(before if operation == "delete" else after))


def _read(value: Any) -> dict[str, Any]:
    """A change's values as the driver gives them: SQLite keeps them as text."""
    held = json.loads(value) if isinstance(value, str) else value
    return held if isinstance(held, dict) else {}


def held_values(session: Session, table: type[SQLModel]) -> Iterator[tuple[str, dict[str, Any]]]:
    """The uid of every row of a table with its values as a change would hold them."""
    columns = list(_core(table).columns)
    names = [column.name for column in columns]
    makers = [_maker(column.type) for column in columns]
    uid = names.index("uid")
    for part in raw_parts(session, select(_core(table))):
        for row in part:
            yield (
                row[uid],
                {
                    name: make(value) if make is not None else value
                    for name, make, value in zip(names, makers, row, strict=True)
                    if value is not None
                },
            )


def _maker(kind: Any) -> Callable[[Any], Any] | None:
    if isinstance(kind, Date):
        return lambda value: value.isoformat() if isinstance(value, date) else value
    if isinstance(kind, Boolean):
        return bool
    if isinstance(kind, JSON):
        return lambda value: json.loads(value) if isinstance(value, str) else value
    return None


def unsaid_values(table: type[Row]) -> dict[str, Any]:
    """What a row of a table holds where nothing was said, by column; columns that then hold nothing are absent."""
    fields = FIELDS.get(table, table).model_fields
    return {
        name: field.default for name, field in fields.items() if not field.is_required() and field.default is not None
    }


def counts(session: Session) -> dict[str, int]:
    """How many rows every table of the record holds, entries and changes among them, by name."""
    tables: tuple[type[SQLModel], ...] = (*RECORD, Entry, Change)
    return {
        str(table.__tablename__): session.execute(select(func.count()).select_from(table)).scalar_one()
        for table in tables
    }
