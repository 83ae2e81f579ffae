"""Entries read back: the journal, the history of one row, and undoing.

Undoing an entry puts the values before it back, newest change first, as an entry of its own; nothing is erased. It is
refused when something later stands on what the entry did: a later entry that touched the same row, or a row added later
that points to one this entry added. The refusal names them all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from typing import Any

from sqlalchemy import Date, select
from sqlmodel import Session

from graftbook.book.asking import asked, ids_by, rows, things
from graftbook.book.tables import BY_NAME, METADATA, RECORD, Change, Entry, MergedChange, MergedEntry
from graftbook.book.unit import Unit, row_values


@dataclass(frozen=True)
class Blocker:
    """What stands in the way of undoing: a later entry, and the thing it touched."""

    entry_id: int
    summary: str
    thing: str


@dataclass(frozen=True)
class HistoryStep:
    """One change in the history of a thing: to its own row, or to a row about it."""

    entry_id: int
    at: datetime
    who: str | None
    verb: str
    summary: str
    table_name: str
    operation: str
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None
    undone: bool


def entries(session: Session, most: int, before_id: int | None = None, verb: str | None = None) -> tuple[Entry, ...]:
    """The newest entries first, at most `most`, older than `before_id` when given (None: from the newest)."""
    older = [] if before_id is None else [Entry.id < before_id]
    of_verb = [] if verb is None else [Entry.verb == verb]
    return tuple(session.execute(select(Entry).where(*older, *of_verb).order_by(Entry.id.desc()).limit(most)).scalars())


def last_standing(session: Session) -> Entry | None:
    """The newest entry that records something and was not undone; None where there is none."""
    records = (Entry.undone_by.is_(None), Entry.verb.not_in(("start", "undo", "migrate")))
    return session.execute(select(Entry).where(*records).order_by(Entry.id.desc()).limit(1)).scalars().first()


def history(session: Session, uids: Sequence[str]) -> tuple[HistoryStep, ...]:
    """Every change to some rows, oldest first, with the entry it belongs to; what was done in another book belongs to the
    merge that brought it."""
    query = select(Change, Entry).join(Entry, Change.entry_id == Entry.id).where(Change.row_uid.in_(list(uids)))
    own = [
        HistoryStep(
            e.id, e.at, e.who, e.verb, e.summary, c.table_name, c.operation, c.before, c.after, e.undone_by is not None
        )
        for c, e in session.execute(query.order_by(Change.id))
    ]
    came = _came(session, uids)
    return tuple(own) if not came else tuple(sorted((*came, *own), key=lambda step: step.at.replace(tzinfo=None)))


def _came(session: Session, uids: Sequence[str]) -> list[HistoryStep]:
    """What was done to some rows in books that were merged into this one, and is not undone with the merge."""
    query = (
        select(MergedChange, MergedEntry, Entry).join(MergedEntry, MergedChange.merged_entry_id == MergedEntry.id)
        .join(Entry, MergedEntry.merge_id == Entry.id)
        .where(MergedChange.row_uid.in_(list(uids)), Entry.undone_by.is_(None), MergedEntry.uid != Entry.uid)
    )  # fmt: skip
    return [
        HistoryStep(
            e.id, m.at, m.who, m.verb, f"{m.summary} (in the book that came with entry {e.id})", c.table_name,
            c.operation, c.before, c.after, m.undone,
        )
        for c, m, e in session.execute(query.order_by(MergedChange.id))
    ]  # fmt: skip


def uids_of_code(session: Session, table_name: str, code: str) -> tuple[str, ...]:
    """The uid of the row that has, or once had, a code; empty when no entry ever gave it."""
    query = select(Change.row_uid).where(Change.table_name == table_name, Change.after["code"].as_string() == code)
    return tuple(session.execute(query.distinct()).scalars())


def uids_about(session: Session, table_name: str, uids: Sequence[str]) -> tuple[str, ...]:
    """The uids of what was seen, done and noted on some rows: rows without a code that point or once pointed to them."""
    after = select(Change.after["id"].as_integer()).where(Change.after.is_not(None))
    known = {number for (number,) in rows(session, after, Change.row_uid, uids) if number is not None}
    known.update(ids_by(session, BY_NAME[table_name], "uid", uids).values())
    found: list[str] = []
    for other, column in _keys_to(table_name):
        if known and "code" not in other.__table__.columns:
            key = Change.after[column.key].as_integer()
            query = select(Change.row_uid).where(Change.table_name == other.__tablename__, key.in_(sorted(known)))
            found += session.execute(query.distinct()).scalars()
    return tuple(dict.fromkeys(found))


def blockers(session: Session, entry_id: int) -> tuple[Blocker, ...]:
    """Everything later that stands on an entry, oldest first; empty when it can be undone."""
    changes = things(session, Change, Change.entry_id == entry_id)
    found = {
        (b.entry_id, b.thing): b
        for b in (*_touched_later(session, entry_id, changes), *_pointing(session, entry_id, changes))
    }
    return tuple(found[key] for key in sorted(found))


def _touched_later(session: Session, entry_id: int, changes: Sequence[Change]):
    query = (
        select(Change, Entry).join(Entry, Change.entry_id == Entry.id)
        .where(Change.entry_id > entry_id, Entry.undone_by.is_(None), Entry.undoes.is_(None))
    )  # fmt: skip
    for part in asked(query, Change.row_uid, (change.row_uid for change in changes)):
        for change, entry in session.execute(part):
            yield Blocker(entry.id, entry.summary, thing_name(change.table_name, change.after or change.before or {}))


def _pointing(session: Session, entry_id: int, changes: Sequence[Change]):
    """Rows now in the book that point to a row this entry added, unless this entry itself made them point there."""
    own = {change.row_uid for change in changes}
    for table_name in {change.table_name for change in changes if change.operation == "insert"}:
        target = BY_NAME[table_name]
        uids = [c.row_uid for c in changes if c.operation == "insert" and c.table_name == table_name]
        for table, column in _keys_to(table_name):
            for part in asked(select(target.id), target.uid, uids):
                found = session.execute(select(table).where(column.in_(part))).scalars()
                yield from _added_by_others(session, entry_id, table, [row for row in found if row.uid not in own])


def _added_by_others(session: Session, entry_id: int, table, rows: Sequence[Any]):
    by_uid = {row.uid: row for row in rows}
    query = (
        select(Change.row_uid, Entry).join(Entry, Change.entry_id == Entry.id)
        .where(Change.row_uid.in_(list(by_uid)), Change.operation == "insert", Entry.id != entry_id)
    )  # fmt: skip
    for uid, entry in session.execute(query):
        yield Blocker(entry.id, entry.summary, thing_name(table.__tablename__, row_values(by_uid[uid])))


def _keys_to(table_name: str):
    for table in RECORD:
        for column in table.__table__.columns:
            if any(key.column.table.name == table_name for key in column.foreign_keys):
                yield table, getattr(table, column.name)


def put_back(unit: Unit, entry: Entry) -> int:
    """Put back what an entry changed, newest change first; the caller has asked for blockers. Returns the rows touched."""
    session = unit.session
    changes = things(session, Change, Change.entry_id == entry.id)[::-1]
    for table_name, run in groupby(changes, key=lambda change: (change.table_name, change.operation == "insert")):
        _put_back_run(unit, BY_NAME[table_name[0]], list(run))
    unit.entry.undoes = entry.id
    entry.undone_by = unit.entry.id
    _stand_anew(session, entry)
    session.flush()
    return len(changes)


def _stand_anew(session: Session, undone: Entry) -> None:
    """What an entry had undone stands again once that entry is undone; and if it was an undoing, what it undoes falls again."""
    stands = True
    while undone.undoes is not None:
        by = undone
        undone = session.get_one(Entry, undone.undoes)
        undone.undone_by = None if stands else by.id
        stands = not stands


def _put_back_run(unit: Unit, table: Any, changes: Sequence[Change]) -> None:
    """Changes of one table that follow one another: rows that were added go in one stroke, others one by one."""
    if changes[0].operation == "insert":
        unit.remove_many(table, [(change.row_uid, change.after or {}) for change in changes])
        return
    for change in changes:
        if change.operation == "delete":
            unit.add(table, **revived(change.table_name, change.before or {}))
        else:
            row = unit.session.execute(select(table).where(table.uid == change.row_uid)).scalar_one()
            unit.amend(row, **_restored(change, row))


def _restored(change: Change, row: Any) -> dict[str, Any]:
    before, after = revived(change.table_name, change.before or {}), change.after or {}
    names = (set(before) | set(after)) - {"id", "uid"}
    return {name: before.get(name) for name in names if before.get(name) != getattr(row, name)}


def revived(table_name: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """A change's values as the row holds them: ISO text back to dates."""
    columns = METADATA.tables[table_name].columns
    return {
        name: date.fromisoformat(value) if isinstance(columns[name].type, Date) and value is not None else value
        for name, value in values.items()
        if name in columns
    }


def thing_name(table_name: str, values: Mapping[str, Any]) -> str:
    """What a person would call a row: its code where it has one, otherwise its kind and day."""
    if values.get("code"):
        return str(values["code"])
    words = [table_name.replace("_", " ")]
    if table_name in ("plan", "want", "sheet_read", "sheet_row"):
        words.append(str(values.get("number", "")))
    words += [str(values[key]) for key in ("what", "state", "condition", "kind") if values.get(key)]
    if values.get("on"):
        words.append(f"on {values['on']}")
    return " ".join(words)
