"""Who said what of which row, in this book and in the books that came into it.

The entries a book knows are its own and those of other books whose merge stands. What a merge itself changed, or the undoing of
one, says nothing new: it only put here what was said elsewhere, so it is no part of the story, but for what the merge
decided, which stands among the entries of other books under the uid of the merge.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import UTC, datetime
from typing import Any, NamedTuple, TypeVar

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.asking import CHUNK, rows
from graftbook.book.merged import MergedChange, MergedEntry
from graftbook.book.portable import Portable, Values
from graftbook.book.tables import Change, Entry

Key = TypeVar("Key", int, str)
MERGE = "merge"
"""The verb of an entry that put another book into this one."""


class KnownEntry(NamedTuple):
    """An entry as every book can know it: its uid, when it was made in UTC, by whom, what it says, and whether it was undone."""

    uid: str
    at: datetime
    who: str | None
    verb: str
    summary: str
    undone: bool


class KnownChange(NamedTuple):
    """One change of one row by an entry; values as portable rows hold them."""

    entry: KnownEntry
    table_name: str
    row_uid: str
    operation: str
    before: Values
    after: Values

    @property
    def fields(self) -> frozenset[str]:
        """The columns it changed: every column it named for a row added or taken away."""
        if self.operation == "update":
            names = {*self.before, *self.after}
            return frozenset(name for name in names if self.before.get(name) != self.after.get(name))
        return frozenset({*self.before, *self.after})


class BookStory:
    """The story of one book."""

    def __init__(self, session: Session) -> None:
        self.portable = Portable(session)
        self._session = session
        own = rows(session, select(Entry.id, *_ENTRY, Entry.undoes, Entry.undone_by).order_by(Entry.id))
        undoes = {row.id: row.undoes for row in own}
        verbs = {row.id: row.verb for row in own}
        self._own = {
            row.id: _known_entry(row, row.undone_by is not None)
            for row in own
            if verbs[end_of(undoes, row.id)] != MERGE
        }
        standing = [row.id for row in own if row.verb == MERGE and row.undone_by is None]
        merged = select(MergedEntry.id, *_MERGED, MergedEntry.undone).order_by(MergedEntry.id)
        self._merged = {
            row.id: _known_entry(row, row.undone) for row in rows(session, merged, MergedEntry.merge_id, standing)
        }
        self.known = {entry.uid: entry for entry in (*self._own.values(), *self._merged.values())}
        self.uids = frozenset(self.known) | {row.uid for row in own}

    def of(self, uids: Collection[str]) -> dict[str, list[KnownChange]]:
        """What was done to these rows, oldest first; rows nobody ever touched are absent."""
        found: dict[str, list[KnownChange]] = defaultdict(list)
        for change_of, key, entries in self._sources():
            for row in rows(
                self._session, select(*_columns(change_of), key).order_by(change_of.id), change_of.row_uid, uids
            ):
                if row[-1] in entries:
                    found[row.row_uid].append(self._known_change(entries[row[-1]], row, change_of is Change))
        for changes in found.values():
            changes.sort(key=lambda each: each.entry.at)
        return dict(found)

    def ever(self) -> set[str]:
        """The uid of every row anybody ever touched."""
        return {
            uid
            for change_of, key, entries in self._sources()
            for uid, number in rows(self._session, select(change_of.row_uid, key))
            if number in entries
        }

    def entries_of(self, wanted: Collection[str]) -> Iterator[tuple[KnownEntry, list[KnownChange]]]:
        """The entries with these uids in the order in which this book had them, each with its changes."""
        for change_of, key, entries in self._sources():
            few = [number for number, entry in entries.items() if entry.uid in wanted]
            for start in range(0, len(few), _AT_ONCE):
                yield from self._part(change_of, key, entries, few[start : start + _AT_ONCE])

    def _part(self, change_of: Any, key: Any, entries: dict[int, KnownEntry], few: list[int]) -> Iterator[Any]:
        held: dict[int, list[KnownChange]] = {number: [] for number in few}
        query = select(*_columns(change_of), key).order_by(change_of.id)
        for row in rows(self._session, query, key, few):
            held[row[-1]].append(self._known_change(entries[row[-1]], row, change_of is Change))
        for number, changes in held.items():
            yield entries[number], changes

    def _sources(self) -> Iterable[tuple[Any, Any, dict[int, KnownEntry]]]:
        yield MergedChange, MergedChange.merged_entry_id, self._merged
        yield Change, Change.entry_id, self._own

    def _known_change(self, entry: KnownEntry, row: Any, own: bool) -> KnownChange:
        before, after = row.before or {}, row.after or {}
        if own:
            before, after = (self.portable.carried(row.table_name, each) for each in (before, after))
        return KnownChange(entry, row.table_name, row.row_uid, row.operation, before, after)


_AT_ONCE = CHUNK // 20
_ENTRY = (Entry.uid, Entry.at, Entry.who, Entry.verb, Entry.summary)
_MERGED = (MergedEntry.uid, MergedEntry.at, MergedEntry.who, MergedEntry.verb, MergedEntry.summary)


def _columns(change_of: Any) -> tuple[Any, ...]:
    return change_of.table_name, change_of.row_uid, change_of.operation, change_of.before, change_of.after


def end_of(chain: Mapping[Key, Key | None], start: Key) -> Key:
    """Where a chain ends that leads from each to the next, as from an undoing to what it undoes; nothing is passed twice."""
    passed = {start}
    while (after := chain.get(start)) is not None and after not in passed:
        start = after
        passed.add(start)
    return start


def _known_entry(row: Any, undone: bool) -> KnownEntry:
    at = row.at if row.at.tzinfo is not None else row.at.replace(tzinfo=UTC)
    return KnownEntry(row.uid, at.astimezone(UTC), row.who, row.verb, row.summary, undone)
