"""Who said what of which row, in this book and in the books that came into it.

The entries a book knows are its own and those of other books whose merge stands. What a merge itself changed, or the undoing of
one, says nothing new: it only put here what was said elsewhere, so it is no part of the story, but for what the merge
decided, which stands among the entries of other books under the uid of the merge.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from datetime import UTC, datetime
from typing import Any, NamedTuple

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.asking import CHUNK, rows
from graftbook.book.merged import MergedChange, MergedEntry
from graftbook.book.portable import Portable, Values
from graftbook.book.tables import Change, Entry

MERGE = "merge"
"""The verb of an entry that put another book into this one."""


class Teller(NamedTuple):
    """An entry as every book can know it: its uid, when it was made in UTC, by whom, what it says, and whether it was undone."""

    uid: str
    at: datetime
    who: str | None
    verb: str
    summary: str
    undone: bool


class Telling(NamedTuple):
    """One change of one row by an entry; values as portable rows hold them."""

    teller: Teller
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
        own = rows(session, select(Entry.id, *_TOLD, Entry.undoes, Entry.undone_by).order_by(Entry.id))
        undoes = {row.id: row.undoes for row in own}
        verbs = {row.id: row.verb for row in own}
        self._own = {
            row.id: _teller(row, row.undone_by is not None) for row in own if verbs[_end(undoes, row.id)] != MERGE
        }
        standing = [row.id for row in own if row.verb == MERGE and row.undone_by is None]
        merged = select(MergedEntry.id, *_MERGED, MergedEntry.undone).order_by(MergedEntry.id)
        self._merged = {
            row.id: _teller(row, row.undone) for row in rows(session, merged, MergedEntry.merge_id, standing)
        }
        self.known = {teller.uid: teller for teller in (*self._own.values(), *self._merged.values())}
        self.uids = frozenset(self.known) | {row.uid for row in own}

    def of(self, uids: Collection[str]) -> dict[str, list[Telling]]:
        """What was told of these rows, oldest first; rows nobody ever told of are absent."""
        found: dict[str, list[Telling]] = defaultdict(list)
        for change_of, key, tellers in self._sources():
            for row in rows(
                self._session, select(*_columns(change_of), key).order_by(change_of.id), change_of.row_uid, uids
            ):
                if row[-1] in tellers:
                    found[row.row_uid].append(self._telling(tellers[row[-1]], row, change_of is Change))
        for told in found.values():
            told.sort(key=lambda each: each.teller.at)
        return dict(found)

    def ever(self) -> set[str]:
        """The uid of every row anybody ever told of."""
        return {
            uid
            for change_of, key, tellers in self._sources()
            for uid, entry in rows(self._session, select(change_of.row_uid, key))
            if entry in tellers
        }

    def tellings(self, wanted: Collection[str]) -> Iterator[tuple[Teller, list[Telling]]]:
        """The entries with these uids in the order in which this book had them, each with its changes."""
        for change_of, key, tellers in self._sources():
            few = [number for number, teller in tellers.items() if teller.uid in wanted]
            for start in range(0, len(few), _AT_ONCE):
                yield from self._part(change_of, key, tellers, few[start : start + _AT_ONCE])

    def _part(self, change_of: Any, key: Any, tellers: dict[int, Teller], few: list[int]) -> Iterator[Any]:
        held: dict[int, list[Telling]] = {number: [] for number in few}
        query = select(*_columns(change_of), key).order_by(change_of.id)
        for row in rows(self._session, query, key, few):
            held[row[-1]].append(self._telling(tellers[row[-1]], row, change_of is Change))
        for number, told in held.items():
            yield tellers[number], told

    def _sources(self) -> Iterable[tuple[Any, Any, dict[int, Teller]]]:
        yield MergedChange, MergedChange.merged_entry_id, self._merged
        yield Change, Change.entry_id, self._own

    def _telling(self, teller: Teller, row: Any, own: bool) -> Telling:
        before, after = row.before or {}, row.after or {}
        if own:
            before, after = (self.portable.carried(row.table_name, each) for each in (before, after))
        return Telling(teller, row.table_name, row.row_uid, row.operation, before, after)


_AT_ONCE = CHUNK // 20
_TOLD = (Entry.uid, Entry.at, Entry.who, Entry.verb, Entry.summary)
_MERGED = (MergedEntry.uid, MergedEntry.at, MergedEntry.who, MergedEntry.verb, MergedEntry.summary)


def _columns(change_of: Any) -> tuple[Any, ...]:
    return change_of.table_name, change_of.row_uid, change_of.operation, change_of.before, change_of.after


def _end(undoes: dict[int, int | None], entry: int) -> int:
    """The entry that an undoing, or an undoing of an undoing, is about in the end."""
    while (below := undoes.get(entry)) is not None:
        entry = below
    return entry


def _teller(row: Any, undone: bool) -> Teller:
    at = row.at if row.at.tzinfo is not None else row.at.replace(tzinfo=UTC)
    return Teller(row.uid, at.astimezone(UTC), row.who, row.verb, row.summary, undone)
