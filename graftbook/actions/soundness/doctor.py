"""Whether the book is sound: every check asked in turn, what it found, and how much was looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import ClassVar, NamedTuple

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk, Progress
from graftbook.actions.desk.results import Report, count
from graftbook.actions.soundness import (
    circle_checks,
    code_checks,
    database_checks,
    date_checks,
    ledger_checks,
    leftovers,
    look_checks,
    stick_checks,
)
from graftbook.actions.soundness.record import Finding, Record
from graftbook.book import bulk, soundness_queries
from graftbook.book.engine import our_errors
from graftbook.errors import NotABook

BREACH, CONTRADICTION = "breach", "contradiction"


class Check(NamedTuple):
    """One thing that must hold: its name, a sentence that says it, what finds where it does not, and of which kind that is."""

    name: str
    says: str
    find: Callable[[Record], Iterator[Finding]]
    kind: str = BREACH


GROUND = (
    Check("tables", "Every table and column of the record is there.", database_checks.tables),
    Check("database", "The database is whole by its own check.", database_checks.whole),
)
CHECKS = (
    Check("version", "The book holds one version, that of this program.", database_checks.one_version),
    Check("rules", "The database holds every rule of the record.", database_checks.rules),
    Check("links", "Every row points to rows that are there.", database_checks.links),
    Check("codes", "Every code is well formed and given once.", code_checks.well_formed),
    Check("counters", "No code is above the counter that gives codes out.", code_checks.below_counters),
    Check("sticks left", "Sticks left are never below nothing.", stick_checks.never_below),
    Check("sticks listed", "Sticks left by every movement are those listed.", stick_checks.as_listed),
    Check("sticks named", "A stick that is named was there, and used once.", stick_checks.sticks_there),
    Check("changes", "Every row has its entry, and every entry its rows.", ledger_checks.rows_and_changes),
    Check("values", "Every row is as its newest entry left it.", ledger_checks.newest_values),
    Check("undoing", "An entry is undone by the entry that says so.", ledger_checks.undoing),
    Check("undone", "What an undone entry did is gone.", ledger_checks.undone_is_gone),
    Check("days of plants", "Plants came, were pruned and died in that order.", date_checks.plants),
    Check("days of wood", "Wood was cut from what was there, and moved later.", date_checks.wood),
    Check("days of grafts", "Grafts were made of wood and on hosts that were there.", date_checks.grafts),
    Check("days of looks", "Nothing was seen or done before there was anything.", date_checks.looks_and_care),
    Check("stage held", "A plant holds its newest stage.", date_checks.newest_stage),
    Check("store held", "A bundle is in the store it was last moved to.", date_checks.newest_store),
    Check("hosts", "What grafts stand on leads down to a plant.", circle_checks.hosts),
    Check("lineage", "What wood came from leads back to a beginning.", circle_checks.lineage),
    Check("states", "A bud's states are said of buds only.", look_checks.states),
    Check("alive on dead", "Nothing lives on a dead plant.", look_checks.alive_on_dead, CONTRADICTION),
    Check("alive on dead graft", "Nothing lives on a dead graft.", look_checks.alive_on_dead_host, CONTRADICTION),
    Check("seen after home", "What went home is not looked at.", look_checks.seen_after_home, CONTRADICTION),
)
TOTAL = len(GROUND) + len(CHECKS)


@dataclass(frozen=True)
class DoctorRow:
    """One place where the record does not hold. `kind` is `breach` (the record is broken) or `contradiction` (the grower's own
    words disagree), `what` the check, `codes` what it is about, `sentence` what was expected, found, and to do next."""

    kind: str
    what: str
    codes: tuple[str, ...]
    sentence: str
    shown: ClassVar = ("kind", "what", "sentence")


def doctor(desk: Desk, progress: Progress | None = None) -> Report:
    """Every check of the record. Reads only. Where tables or columns are missing, the rest cannot be asked.

    `progress(count)` is called after each of TOTAL checks. Facts: whether it is `sound`, how many `checks` were asked, and
    `checked`, the rows they looked at in words (empty where the ground is broken).
    """
    with desk.book.read() as session:
        bulk.steady(session)
        record = Record(session, desk.book.location)
        rows = _asked(record, GROUND, progress)
        broken = any(row.what == "tables" for row in rows)
        rows += () if broken else _asked(record, CHECKS, progress)
        counts = {} if broken else soundness_queries.counts(session)
    facts = {
        "as_of": desk.today,
        "sound": not rows,
        "checks": len(GROUND) if broken else TOTAL,
        "checked": _words(counts),
    }
    sound = f"The book is sound: {TOTAL} checks of {facts['checked']}."
    notes = (*_notes(rows, broken, counts), *leftovers.notes(desk.book.location))
    return Report(DoctorRow, rows, notes, facts, title=_title(rows), empty=sound)


def breaches(session: Session, location: str) -> frozenset[str]:
    """Where the record does not hold, as sentences; what the grower's own words contradict is no breach."""
    found = _asked(Record(session, location), tuple(check for check in CHECKS if check.kind == BREACH), None)
    return frozenset(row.sentence for row in found)


def _asked(record: Record, checks: tuple[Check, ...], progress: Progress | None) -> tuple[DoctorRow, ...]:
    rows: list[DoctorRow] = []
    for check in checks:
        try:
            with our_errors(record.location):
                rows += (
                    DoctorRow(check.kind, check.name, found.codes, _sentence(found)) for found in check.find(record)
                )
        except NotABook as error:
            rows.append(_unread(check, error))
        if progress is not None:
            progress(1)
    return tuple(rows)


def _unread(check: Check, error: NotABook) -> DoctorRow:
    """A check that could not be asked to the end, since the database would not give what it holds."""
    fault = Finding((), f"a database that can be read, to see that {check.says[:1].lower()}{check.says[1:-1]}", error.found,
                    database_checks.LAST_COPY)  # fmt: skip
    return DoctorRow(BREACH, "database", (), _sentence(fault))


def _sentence(found: Finding) -> str:
    return f"Expected {found.expected}; found {found.found}. {found.next_step}."


def _title(rows: tuple[DoctorRow, ...]) -> str:
    breaches = sum(row.kind == BREACH for row in rows)
    parts = [count(breaches, "breach", "breaches")] if breaches else []
    parts += [count(len(rows) - breaches, "contradiction")] if len(rows) > breaches else []
    return " and ".join(parts)


_SHOWN = ("plant", "bundle", "graft", "look", "entry")


def _words(counts: dict[str, int]) -> str:
    many = {"entry": "entries"}
    return ", ".join(count(counts[name], name, many.get(name)) for name in _SHOWN if name in counts)


def _notes(rows: tuple[DoctorRow, ...], broken: bool, counts: dict[str, int]) -> tuple[str, ...]:
    if broken:
        return ("The rest was not looked at: mend these first, on a copy of the book.",)
    return (f"{TOTAL} checks of {_words(counts)}; nothing was changed.",) if rows else ()
