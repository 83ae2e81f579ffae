"""Every entry, the history of one thing, and undoing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from graftbook.actions.desk import Desk
from graftbook.actions.results import Recorded, Report
from graftbook.book import find
from graftbook.book import journal as ledger
from graftbook.book.tables import Entry
from graftbook.codes import read_one
from graftbook.errors import NotFound, Refused, UsageProblem

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
    """Everything that happened to the record of one plant, bundle or graft, oldest first."""
    wanted = read_one(code)
    with desk.book.read() as session:
        row = find.one(session, wanted)
        steps = ledger.history(session, row.uid)
        rows = tuple(HistoryRow(s.entry_id, s.at, s.who, _change_words(s), s.undone) for s in steps)
    return Report(HistoryRow, rows, (), {"code": wanted.base, "as_of": desk.today}, title=f"History of {wanted.base}")


def _change_words(step: ledger.Step) -> str:
    if step.operation != "update":
        return step.summary
    before, after = step.before or {}, step.after or {}
    names = sorted((set(before) | set(after)) - _QUIET)
    parts = [f"{n.replace('_', ' ')}: {before.get(n, '(none)')} -> {after.get(n, '(none)')}" for n in names
             if before.get(n) != after.get(n)]  # fmt: skip
    return f"{step.summary} [{'; '.join(parts)}]" if parts else step.summary


def undo(desk: Desk, entry_id: int, who: str | None = None, note: str | None = None) -> Recorded:
    """Undo one entry. Raises NotFound, and Refused when it was undone already, made the book, or when something later
    depends on it: the refusal lists what."""
    with desk.book.write("undo", desk.person(who)) as unit:
        entry = unit.session.get(Entry, entry_id)
        if entry is None or entry_id == unit.entry.id:
            raise NotFound(f"no entry {entry_id}", "", "List them with: graftbook journal")
        _may_undo(unit.session, entry)
        ledger.put_back(unit, entry)
        done = unit.commit(f"Undid entry {entry_id}: {entry.summary}" + (f" ({note})" if note else ""))
    return Recorded(f"{done.summary}.", done.id)


def _may_undo(session, entry: Entry) -> None:
    if entry.undone_by is not None:
        raise Refused(f"entry {entry.id} to stand", f"it was undone by entry {entry.undone_by}")
    if entry.verb == "start":
        raise UsageProblem("an entry that records something", "the one that made the book")
    standing = ledger.blockers(session, entry.id)
    if standing:
        listed = "; ".join(f"entry {b.entry_id} ({b.thing}: {b.summary})" for b in standing[:20])
        more = f" and {len(standing) - 20} more" if len(standing) > 20 else ""
        raise Refused(f"nothing later to depend on entry {entry.id}", listed + more, "Undo those first, newest first")
