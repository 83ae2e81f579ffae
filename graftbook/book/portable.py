"""Rows of a book as any other book can read them: values as changes hold them, keys to other rows as the uids of those rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import Any

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book._base import Row
from graftbook.book.asking import CHUNK, asked, rows
from graftbook.book.tables import BY_NAME, METADATA, Change
from graftbook.book.unit import plain

Values = dict[str, Any]


@cache
def keys_of(table_name: str) -> Mapping[str, str]:
    """The columns of a table that are keys to rows, and the tables of those."""
    columns = METADATA.tables[table_name].columns
    return {column.name: key.column.table.name for column in columns for key in column.foreign_keys}


class Portable:
    """One book read so. Uids of rows that are there no longer are known as well, as long as a change tells them."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._uids: dict[str, dict[int, str]] = {}

    def uids(self, table: type[Row]) -> set[str]:
        """The uid of every row of a table."""
        return {uid for (uid,) in rows(self.session, select(table.uid))}

    def ordered(self, table: type[Row]) -> list[str]:
        """The same in the order in which they were recorded."""
        return [uid for (uid,) in rows(self.session, select(table.uid).order_by(table.id))]

    def uid_of(self, table_name: str, row_id: int) -> str | None:
        """The uid of a row by its id, also of one that was taken away; None for one no book ever had."""
        if table_name not in self._uids:
            self._uids[table_name] = self._every(table_name)
        return self._uids[table_name].get(row_id)

    def _every(self, table_name: str) -> dict[int, str]:
        table = BY_NAME[table_name]
        gone = select(Change.row_uid, Change.before).where(
            Change.table_name == table_name, Change.operation == "delete"
        )
        found = {before["id"]: uid for uid, before in rows(self.session, gone) if before and "id" in before}
        found.update({row_id: uid for uid, row_id in rows(self.session, select(table.uid, table.id))})
        return found

    def rows(self, table: type[Row], uids: Iterable[str] | None = None) -> Iterator[tuple[str, Values]]:
        """The uid and the values of rows in the order of ids: of those with these uids in parts of CHUNK, of all where None."""
        kept = METADATA.tables[str(table.__tablename__)]
        for query in asked(select(kept).order_by(kept.c.id), kept.c.uid, uids):
            with self.session.connection().execute(query.execution_options(yield_per=CHUNK)) as found:
                for row in found.mappings():
                    yield row["uid"], self.carried(table.__tablename__, plain(dict(row)))

    def carried(self, table_name: str, values: Mapping[str, Any]) -> Values:
        """Values of a row or a change without its id, keys as uids; a key to what nobody knows is left out."""
        keys = keys_of(table_name)
        found = {name: value for name, value in values.items() if name not in ("id", "uid")}
        for name, target in keys.items():
            if isinstance(found.get(name), int):
                uid = self.uid_of(target, found[name])
                found.pop(name)
                if uid is not None:
                    found[name] = uid
        return found
