"""The book as verbs see it, and the unit of work through which everything is written.

`with book.read() as session:` reads. `with book.write(verb, who) as unit:` is one transaction and one entry: leave the
block and it rolls back; only `unit.commit(summary)` keeps. Every row touched leaves a change with its values before and
after, so that an entry can be shown and undone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from copy import copy
from datetime import UTC, date, datetime
from typing import Any

from pydantic import ValidationError
from sqlalchemy import delete, insert, select, update
from sqlmodel import Session
from uuid6 import uuid7

from graftbook.book import versions
from graftbook.book._base import Row
from graftbook.book.asking import CHUNK, ids_by
from graftbook.book.engine import WRITE, make_engine, one_writer, our_errors
from graftbook.book.tables import FIELDS, Change, Counter, Entry
from graftbook.errors import AlreadyRecorded, Refused


def plain(values: Mapping[str, Any]) -> dict[str, Any]:
    """A row's values as they go into a change: dates as ISO text, everything else as it is, None left out."""
    return {
        key: value.isoformat() if isinstance(value, date) else value
        for key, value in values.items()
        if value is not None
    }


def row_values(row: Row) -> dict[str, Any]:
    """All columns of a row, by name."""
    return {column.name: getattr(row, column.name) for column in row.__table__.columns}


class Book:
    """An open book. Raises NotABook or WrongVersion when there is none that this program can use."""

    def __init__(self, location: str) -> None:
        self.location = location
        self._uid: str | None = None
        self.engine = make_engine(location)
        try:
            with our_errors(location):
                versions.check(self.engine, location)
        except BaseException:
            self.engine.dispose()
            raise

    def once(self, uid: str) -> Book:
        """The same open book, whose next entry has this uid. Writing raises AlreadyRecorded where the book has that entry, so
        that what is sent twice is recorded once."""
        same = copy(self)
        same._uid = uid
        return same

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session for reading; whatever is changed in it is lost."""
        with our_errors(self.location), Session(self.engine) as session:
            yield session

    @contextmanager
    def write(self, verb: str, who: str | None = None) -> Iterator[Unit]:
        """A unit of work: one transaction, one entry. Rolls back unless it was committed."""
        engine = self.engine.execution_options(**WRITE)
        with our_errors(self.location), Session(engine, autoflush=False, expire_on_commit=False) as session:
            one_writer(session.connection())
            unit = Unit(session, verb, who, self._new_uid(session))
            try:
                yield unit
            finally:
                session.rollback()

    def _new_uid(self, session: Session) -> str:
        uid, self._uid = self._uid, None
        if uid is None:
            return str(uuid7())
        there = session.execute(select(Entry.id, Entry.summary).where(Entry.uid == uid)).first()
        if there is not None:
            raise AlreadyRecorded(*there)
        return uid

    def close(self) -> None:
        """Let go of the file or the server."""
        self.engine.dispose()


class Unit:
    """One entry being written."""

    def __init__(self, session: Session, verb: str, who: str | None, uid: str) -> None:
        self.session = session
        self.entry = Entry(uid=uid, at=datetime.now(UTC), who=who, verb=verb, summary="")
        session.add(self.entry)
        session.flush()
        self._changes: list[dict[str, Any]] = []

    def add(self, table: type[Row], /, **values: Any) -> Any:
        """Add one row, validated, and return it. Raises Refused when a value breaks the table's rules."""
        uid = values.pop("uid", None)
        row = table(uid=uid if uid is not None else str(uuid7()), **checked(table, values))
        self.session.add(row)
        self.session.flush()
        self._note(table, row.uid, "insert", None, plain(row_values(row)))
        return row

    def add_many(self, table: type[Row], rows: Sequence[Mapping[str, Any]], progress=None) -> None:
        """Add many rows at once, in order; each is validated. `progress(count)` is called as chunks go in."""
        for start in range(0, len(rows), CHUNK):
            chunk = [
                {**checked(table, row), "uid": row.get("uid") or str(uuid7())} for row in rows[start : start + CHUNK]
            ]
            columns = {key: None for row in chunk for key in row}
            full = [{**columns, **row} for row in chunk]
            self.session.execute(insert(table), full)
            ids = ids_by(self.session, table, "uid", [row["uid"] for row in chunk])
            for row in chunk:
                self._note(table, row["uid"], "insert", None, plain({**row, "id": ids[row["uid"]]}))
            self.write_down()
            if progress is not None:
                progress(len(chunk))

    def amend(self, row: Row, /, **values: Any) -> None:
        """Change a row's values. Raises Refused when a value breaks the table's rules."""
        table = type(row)
        before = row_values(row)
        after = {**before, **values}
        kept = checked(table, {key: value for key, value in after.items() if key not in ("id", "uid")})
        for key in values:
            setattr(row, key, kept[key])
        self.session.add(row)
        self.session.flush()
        self._note(table, row.uid, "update", plain(before), plain(row_values(row)))

    def remove_many(self, table: type[Row], rows: Sequence[tuple[str, Mapping[str, Any]]]) -> None:
        """Take many rows out of the record, in order, by uid and the values their changes will keep."""
        for start in range(0, len(rows), CHUNK):
            chunk = rows[start : start + CHUNK]
            self.session.execute(delete(table).where(table.uid.in_([uid for uid, _ in chunk])))
            for uid, values in chunk:
                self._note(table, uid, "delete", dict(values), None)
            self.write_down()

    def next_number(self, letter: str, count: int = 1) -> int:
        """The first of `count` fresh numbers for codes of one kind. Numbers are never given twice."""
        counter = self.session.get(Counter, letter, with_for_update=True)
        if counter is None:
            counter = Counter(letter=letter, last=0)
            self.session.add(counter)
        first = counter.last + 1
        counter.last += count
        self.session.flush()
        return first

    def number_used(self, letter: str, number: int) -> None:
        """Note that a number was given from outside, so that it is not given again."""
        counter = self.session.get(Counter, letter, with_for_update=True)
        last = counter.last if counter is not None else 0
        if number > last:
            self.next_number(letter, number - last)

    def commit(self, summary: str) -> Entry:
        """Keep everything, under one line that says what was recorded."""
        self.write_down()
        self.session.execute(update(Entry).where(Entry.id == self.entry.id).values(summary=summary[:4000]))
        self.entry.summary = summary[:4000]
        self.session.commit()
        return self.entry

    def _note(self, table, uid: str, operation: str, before: dict | None, after: dict | None) -> None:
        self._changes.append(
            {"entry_id": self.entry.id, "table_name": table.__tablename__, "row_uid": uid, "operation": operation,
             "before": before, "after": after}
        )  # fmt: skip

    def write_down(self) -> None:
        """Put what was noted so far into the ledger, so that a check of the record before the commit sees it."""
        if self._changes:
            self.session.execute(insert(Change), self._changes)
            self._changes = []


def checked(table: type[Row], values: Mapping[str, Any]) -> dict[str, Any]:
    """The values with the table's rules applied: those of its validated base plus plain keys to other rows."""
    fields = FIELDS.get(table)
    if fields is None:
        return dict(values)
    keys = {name: value for name, value in values.items() if name not in fields.model_fields and name != "uid"}
    try:
        kept = fields.model_validate(values)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        thing, field, found = str(table.__tablename__).replace("_", " "), where.replace("_", " "), repr(first["input"])
        short = found if len(found) <= _SHOWN else f"{found[:_SHOWN]}…"
        raise Refused(
            f"a {thing} whose {field} {_rule(first)}", found,
            statement=f"the {field} of a {thing} {_rule(first)}; {short} cannot be kept",
        ) from error  # fmt: skip
    return {**{name: getattr(kept, name) for name in fields.model_fields if name in values}, **keys}


# Signs of a value that are shown where it cannot be kept.
_SHOWN = 60


def _rule(problem: Mapping[str, Any]) -> str:
    text = str(problem["msg"]).removeprefix("Value error, ")
    return text.replace("Input should", "must").replace("String should", "must").replace("Value should", "must")
