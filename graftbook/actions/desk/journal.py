"""Every entry, the history of one thing, and undoing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from graftbook.actions.desk.copied_before import copied_if_many
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, code_list
from graftbook.book import find
from graftbook.book import journal as ledger
from graftbook.book.tables import Entry
from graftbook.codes import read_one
from graftbook.errors import NotFound, Refused, UsageProblem

CODED = frozenset(table.__tablename__ for table in find.TABLES.values())

_QUIET = frozenset({"id", "uid", "number", "code"})


@dataclass(frozen=True)
class EntryRow:
    """One entry of the journal. `undone_by` is the entry that took it back, None while it stands."""

    entry: int
    at: datetime
    who: str | None
    verb: str
    what: str
    undone_by: int | None
    shown: ClassVar = ("entry", "at", "who", "what", "undone_by")
    headings: ClassVar = {"undone_by": "undone by"}


@dataclass(frozen=True)
class HistoryRow:
    """One change in the history of one thing."""

    entry: int
    at: datetime
    who: str | None
    change: str
    undone: bool


def journal(desk: Desk, limit: int = 20, before: int | None = None, verb: str | None = None) -> Report:
    """The newest entries first."""
    with desk.book.read() as session:
        found = ledger.entries(session, limit, before, verb)
        rows = tuple(EntryRow(e.id, e.at, e.who, e.verb, e.summary, e.undone_by) for e in found)
    notes = (f"Older entries: graftbook journal --before {rows[-1].entry}",) if len(rows) == limit else ()
    return Report(EntryRow, rows, notes, {"as_of": desk.today})


def history(desk: Desk, code: str) -> Report:
    """Everything that happened to the record of one plant, bundle or graft, and what was seen and done on it, oldest first.

    A thing whose entry was undone still has its history. Raises NotFound for a code no entry ever gave.
    """
    wanted = read_one(code)
    with desk.book.read() as session:
        table_name = find.TABLES[wanted.letter].__tablename__
        uids = ledger.uids_of_code(session, table_name, wanted.base) or (find.one(session, wanted).uid,)
        steps = ledger.history(session, (*uids, *ledger.uids_about(session, table_name, uids)))
        rows = tuple(HistoryRow(s.entry_id, s.at, s.who, _change_words(s), s.undone) for s in steps)
    return Report(HistoryRow, rows, (), {"code": wanted.base, "as_of": desk.today}, title=f"History of {wanted.base}")


def _change_words(step: ledger.HistoryStep) -> str:
    if step.operation != "update":
        return step.summary
    before, after = step.before or {}, step.after or {}
    names = sorted((set(before) | set(after)) - _QUIET)
    if step.table_name not in CODED:
        return f"{step.summary} [{ledger.thing_name(step.table_name, after)}]"
    parts = [f"{n.replace('_', ' ')}: {before.get(n, '(none)')} -> {after.get(n, '(none)')}" for n in names
             if before.get(n) != after.get(n)]  # fmt: skip
    return f"{step.summary} [{'; '.join(parts)}]" if parts else step.summary


def undo(desk: Desk, entry_id: int | None, who: str | None = None, note: str | None = None) -> Recorded:
    """Undo one entry. Raises UsageProblem that offers the last entry where none is given, NotFound, and Refused when it was
    undone already, made the book, or when something later depends on it: the refusal lists what."""
    if entry_id is None:
        raise UsageProblem("the number of the entry to undo", "none", _last_entry(desk))
    with desk.book.write("undo", desk.person(who)) as unit:
        entry = unit.session.get(Entry, entry_id)
        if entry is None or entry_id == unit.entry.id:
            raise NotFound(f"no entry {entry_id}", "", "List them with: graftbook journal")
        _may_undo(unit.session, entry)
        touched = ledger.put_back(unit, entry)
        kept = copied_if_many(desk.book.location, "undo", desk.now(), touched)
        done = unit.commit(f"Undid entry {entry_id}: {entry.summary}" + (f" ({note})" if note else ""))
    return Recorded(f"{done.summary}.", done.id, (), kept)


def _last_entry(desk: Desk) -> str:
    """The newest entry that can be undone, with the command for it; that there is none, where nothing is recorded."""
    with desk.book.read() as session:
        last = ledger.last_standing(session)
        if last is None:
            return "Nothing is recorded yet that could be undone"
        return (
            f"The last one is {last.id}, {last.at:%Y-%m-%d %H:%M}: {last.summary}. To undo it: graftbook undo {last.id}"
        )


def _may_undo(session, entry: Entry) -> None:
    if entry.undone_by is not None:
        raise Refused(f"entry {entry.id} was undone by entry {entry.undone_by}")
    if entry.verb == "start":
        raise UsageProblem("an entry that records something", "the one that made the book")
    standing = ledger.blockers(session, entry.id)
    if standing:
        raise Refused(
            f"later entries stand on entry {entry.id}: {_standing(standing)}", "", "Undo those first, newest first"
        )


def _natural(thing: str) -> tuple[str, int, str]:
    """Codes by number, other things by their words."""
    return (thing[0], int(thing[1:]), "") if thing[1:].isdigit() else ("~", 0, thing)


def _standing(blockers: Sequence[ledger.Blocker], most: int = 12) -> str:
    """What stands in the way, once for each entry: its number, its line, and the things it touched."""
    by_entry: dict[tuple[int, str], list[str]] = {}
    for blocker in blockers:
        by_entry.setdefault((blocker.entry_id, blocker.summary), []).append(blocker.thing)
    entries = [
        f"entry {number}: {line} (on {code_list(tuple(sorted(things, key=_natural)))})"
        for (number, line), things in by_entry.items()
    ]
    return "; ".join(entries[:most]) + (f"; and {len(entries) - most} entries more" if len(entries) > most else "")
