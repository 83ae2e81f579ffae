"""The ledger under the record: every row has its change, the newest change is the row as it is, undone is undone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from graftbook.actions.soundness.record import Finding, Record
from graftbook.book import soundness_queries
from graftbook.book.journal import thing_name
from graftbook.book.tables import RECORD

_BY_HAND = "It was changed past the program: put back what was there from a copy of the book, or record it again"

_MARK = (
    "Only the mark in the journal is wrong, as an older Graftbook left it where an undoing was itself undone twice: the things"
    " are as the newest entry left them"
)


def rows_and_changes(record: Record) -> Iterator[Finding]:
    """Every row of the record was added by an entry, and every row that an entry left standing is there."""
    there: set[str] = set()
    for table in RECORD:
        for row_id, uid in soundness_queries.row_uids(record.session, table):
            there.add(uid)
            change = record.last_changes.get(uid)
            name = str(table.__tablename__).replace("_", " ")
            if change is None:
                codes = _codes_of(record, str(table.__tablename__), row_id)
                yield Finding(
                    codes, f"the entry that added {name} {codes[0] if codes else row_id}", "no entry", _BY_HAND
                )
            elif change.operation == "delete":
                codes = record.owner(change.values)
                yield Finding(codes, f"no {name}, which entry {change.entry_id} took out of the record", "that it is there",
                              _BY_HAND)  # fmt: skip
    for uid, change in record.last_changes.items():
        if change.operation != "delete" and uid not in there:
            yield Finding(record.owner(change.values), f"the row of entry {change.entry_id}: {_called(change)}",
                          "that it is gone", _BY_HAND)  # fmt: skip


def newest_values(record: Record) -> Iterator[Finding]:
    """Every row holds what the newest change of it says."""
    for table in RECORD:
        unsaid = soundness_queries.unsaid_values(table)
        for uid, held in soundness_queries.held_values(record.session, table):
            change = record.last_changes.get(uid)
            if change is None or change.operation == "delete" or held == change.values:
                continue
            said = {**unsaid, **change.values}
            apart = sorted(name for name in {*held, *said} if held.get(name) != said.get(name))
            if apart:
                yield Finding(
                    record.owner(said), f"{_called(change)} as entry {change.entry_id} left it:"
                    f" {', '.join(f'{name} {said.get(name)!s}' for name in apart)}",
                    ", ".join(f"{name} {held.get(name)!s}" for name in apart), _BY_HAND,
                )  # fmt: skip


def undoing(record: Record) -> Iterator[Finding]:
    """An entry is undone by the one entry that says it undoes it, and that one stands."""
    entries = {entry.id: entry for entry in record.entries}
    standing: dict[int, list[int]] = defaultdict(list)
    for entry in record.entries:
        if entry.undoes is not None and entry.undone_by is None:
            standing[entry.undoes].append(entry.id)
    for entry in record.entries:
        undone = [entry.undone_by] if entry.undone_by is not None else []
        if standing[entry.id] != undone or any(number not in entries for number in undone):
            expected = f"undone by entry {standing[entry.id][0]}" if standing[entry.id] else "standing"
            found = f"undone by entry {undone[0]}" if undone else "standing"
            yield Finding((), f"entry {entry.id} {expected}", f"it {found}", _MARK)


def undone_is_gone(record: Record) -> Iterator[Finding]:
    """What an undone entry added is gone, unless a later entry brought it again, and what it changed was put back by the entry
    that undid it."""
    there: set[str] = set()
    changes = list(soundness_queries.added_by_undone(record.session))
    if changes:
        there = {uid for table in RECORD for _, uid in soundness_queries.row_uids(record.session, table)}
    put_back = soundness_queries.rows_of_entries(record.session, [change[1] for change in changes])
    for entry, by, table_name, uid, operation in changes:
        last = record.last_changes[uid]
        what = f"{table_name.replace('_', ' ')} of entry {entry}"
        if operation == "insert" and uid in there and last.entry_id <= by:
            yield Finding(
                record.owner(last.values), f"the {what} gone, since entry {by} undid it", "that it is there", _BY_HAND
            )
        if (by, uid) not in put_back:
            yield Finding(record.owner(last.values), f"the {what} put back by entry {by}", "that it was left", _BY_HAND)


def _called(change: soundness_queries.LastChange) -> str:
    return thing_name(change.table_name, change.values)


def _codes_of(record: Record, table_name: str, row_id: int) -> tuple[str, ...]:
    """The code of a row that no change speaks of."""
    things = {"plant": record.plants, "bundle": record.bundles, "graft": record.grafts}.get(table_name)
    if things is not None:
        return (things[row_id].code,)
    held = {"movement": record.movements, "care": record.care, "stage_note": record.stages, "stay": record.stays,
            "look": record.looked}  # fmt: skip
    row = next((row for row in held.get(table_name, ()) if row.id == row_id), None)
    return record.owner(row._mapping) if row is not None else ()
