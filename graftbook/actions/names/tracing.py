"""Wood followed up to its source and down to everything that came from it, by threads of wood and never by name."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import ClassVar

from sqlmodel import Session

from graftbook import codes
from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, code_list, count
from graftbook.actions.names import cultivar_names, lineages, shown_names, where_alive
from graftbook.actions.names.lineages import Lineage
from graftbook.actions.outcome import standing_place
from graftbook.book import lineage_queries, wood_queries
from graftbook.book.balances import balances
from graftbook.book.lineage import Person
from graftbook.errors import GraftbookError, NotFound
from graftbook.lineage.threads import NONE
from graftbook.lineage.walks import Descendant, Exposure, ancestors, descendants, exposed

DECIDES = "This is your own record. What is to be done about a disease, the local plant-health service decides."

DESCENDED, EXPOSED, GIVEN = "descended: the same clone", "exposed: shared a plant", "given away: fate not known"
APART = "same name, other thread: nothing in this book links them"

# What `where_alive.fates` says of what is not known to be dead or gone.
LIVING = frozenset({"alive", "growing", "not looked at"})

CAME, STOOD = "came from: the same clone", "stood on"


@dataclass(frozen=True)
class TraceRow:
    """One thing on the way. `list` says which list it stands in; `on` when it was cut, made, given, or from when it was
    exposed; `by` the thing it came from or was exposed by; `steps` counts threads, or plants for exposed things; `possible`
    where it came through mixed wood and may be of another bundle; `fate` living, dead or not known, in words."""

    list: str
    code: str
    cultivar: str | None
    on: date | None
    how: str
    by: str | None
    steps: int | None
    possible: bool
    fate: str
    place: str | None
    shown: ClassVar = ("list", "code", "cultivar", "on", "how_by", "fate", "place")
    headings: ClassVar = {"how_by": "how"}

    @property
    def how_by(self) -> str:
        """How it comes into the list, for people."""
        return f"{'perhaps ' if self.possible else ''}{self.how}{f' {self.by}' if self.by is not None else ''}"


def trace_down(
    desk: Desk, text: str, since: str | None = None, plants: int | None = None, as_of: str | None = None
) -> Report:
    """Everything that descends from a plant, bundle, stick or graft, or from all wood of a donor; apart from it, everything
    exposed by sharing a plant; who was given sticks; and what has the same name and another thread.

    The walk goes through everything; `since` leaves out of what is shown whatever was cut, made or given before a day, and
    exposures that were over by then. `plants` is how many plants away exposure is followed (None: to the end).

    Raises NotFound for a code or donor the book has not got.
    """
    day = desk.day(as_of, future=True)
    first = desk.day(since) if since is not None else None
    with lineages.all_staying(), desk.book.read() as session:
        book = lineages.fetch(session, day, day)
        fates = where_alive.fates(book, where_alive.fetch(session, book))
        starts, title = _starts(session, book, text)
        left = {book.bundle[number]: balance.left for number, balance in balances(session, as_of=day).items()}
        whole = descendants(book.threads, starts, book.found.sources)
        descended = {thing: one for thing, one in whole.items() if _late_enough(book.threads.day[thing], one, first)}
        aside = exposed(book.threads, whole, first)
        aside = {thing: one for thing, one in aside.items() if plants is None or one.plants <= plants}
        apart = _apart(book, starts, whole.keys() | aside.keys())
        show = _Show(book, fates, left)
        rows = (
            *(show.descended(one) for one in sorted(descended.values(), key=lambda d: (d.generation, d.thing))),
            *(
                show.exposed(one)
                for one in sorted(aside.values(), key=lambda e: (e.plants, e.since or date.min, e.thing))
            ),
            *_given(book, whole, aside, first),
            *(show.row(APART, thing, "not linked", None, None, False) for thing in apart),
        )
    facts = {
        "as_of": day, "asked": text, "since": first, "descended": len(descended), "exposed": len(aside), "apart": len(apart),
    }  # fmt: skip
    when = f" since {first.isoformat()}" if first is not None else ""
    return Report(
        TraceRow, rows, _notes(book, rows, starts, len(whole) - len(descended)), facts, title=f"Down from {title}{when}",
        group="list",
    )  # fmt: skip


def _late_enough(day: date | None, one: Descendant, first: date | None) -> bool:
    """Whether a thing is shown: those asked about always, the rest from a day on; a thing without a day is late enough."""
    return one.generation == 0 or first is None or day is None or day >= first


def _apart(book: Lineage, starts: Iterable[int], linked: Collection[int]) -> list[int]:
    """Things of the same name as those asked about that no thread links with them."""
    names = {name for start in starts for name in book.identity(start).names}
    own = {book.threads.root[start] for start in starts}
    shared = (thing for thing, identity in enumerate(book.found.of) if names.intersection(identity.names))
    return [thing for thing in shared if thing not in linked and book.threads.root[thing] not in own]


def trace_up(desk: Desk, text: str) -> Report:
    """Everything a thing came from, nearest first, with both possible sources where wood was mixed; apart from it, what it
    and its forebears stood on. Raises NotFound."""
    with desk.book.read() as session:
        book = lineages.fetch(session, alive_on=desk.today)
        fates = where_alive.fates(book, where_alive.fetch(session, book))
        start = cultivar_names.number_meant(session, book, text)
        left = {book.bundle[number]: balance.left for number, balance in balances(session).items()}
    steps = ancestors(book.threads, start, book.found.sources)
    show = _Show(book, fates, left)
    rows = [show.row(CAME, s.thing, "from", None, s.generation, s.possible) for s in steps]
    donors = {book.bundle[row[0]]: row[7] for row in book.columns.bundles if row[7] is not None}
    rows += [
        show.row(CAME, s.thing, "received from", donors[s.thing], s.generation, s.possible)
        for s in steps
        if s.thing in donors
    ]
    rows += [
        show.row(STOOD, host, "carried", thing, None, False)
        for host, thing in _hosts(book, [start, *(s.thing for s in steps)])
    ]
    notes = () if rows else (f"Nothing in the book says where {book.code(start)} came from.",)
    identity = book.identity(start)
    title = f"Up from {book.code(start)}, {lineages.written(identity)}"
    return Report(TraceRow, tuple(rows), notes, {"as_of": desk.today, "asked": text}, title=title, group="list")


def _hosts(book: Lineage, things: Iterable[int]) -> Iterator[tuple[int, str]]:
    """What each graft stands on, down to the plant."""
    for thing in things:
        at = thing
        while (host := book.threads.host[at]) != NONE:
            yield host, book.code(at)
            at = host


def _starts(session: Session, book: Lineage, text: str) -> tuple[list[int], str]:
    """What a code, or a donor by name or initials, stands for."""
    try:
        codes.read_one(text)
    except GraftbookError:
        return _donor(session, book, text)
    start = cultivar_names.number_meant(session, book, text)
    return [start], f"{book.code(start)}, {lineages.written(book.identity(start))}"


def _donor(session: Session, book: Lineage, text: str) -> tuple[list[int], str]:
    names = person_names(session, text)
    starts = [book.bundle[row[0]] for row in book.columns.bundles if row[7] is not None and naming.key(row[7]) in names]
    if not starts:
        known = ", ".join(sorted(wood_queries.donors(session))) or "nobody yet"
        raise NotFound(f"no donor '{text}' and no code", "", f"Wood came from: {known}")
    return starts, f"all wood from {text.strip()} ({code_list(tuple(book.code(thing) for thing in starts))})"


def person_names(session: Session, text: str) -> set[str]:
    """The keys of every name and initials of the person meant, `text` itself among them."""
    asked = naming.key(text)
    known = (keys_of(person) for person in lineage_queries.people(session))
    return {asked}.union(*(keys for keys in known if asked in keys))


def keys_of(person: Person) -> set[str]:
    """The name and initials somebody is known by, as names are compared."""
    return {naming.key(word) for word in (person.name, person.initials) if word}


class _Show:
    """Things as rows."""

    def __init__(self, book: Lineage, fates: Mapping[int, str], left: Mapping[int, int]) -> None:
        self.book, self.fates, self.left = book, fates, left
        self.threads = book.threads
        self.names = shown_names.of_book(book)
        self.given = {code for _, code, _ in book.given()}
        self.places = {book.plant[row[0]]: row[7] for row in book.columns.plants}
        self.own = {book.graft[row[0]]: row[7] for row in book.columns.grafts}

    def row(self, which: str, thing: int, how: str, by: str | None, steps: int | None, possible: bool) -> TraceRow:
        """One thing in one list, on its own day."""
        threads = self.threads
        own, under = self.own.get(thing), self.places.get(threads.body[thing])
        place = own if standing_place.stands_apart(own, under) else under
        cultivar = self.names.thing(thing).cultivar
        day = threads.day[thing]
        return TraceRow(which, threads.codes[thing], cultivar, day, how, by, steps, possible, self.fate(thing), place)

    def fate(self, thing: int) -> str:
        """What is known of how it stands."""
        if thing in self.fates:
            return self.fates[thing]
        if thing in self.left:
            return f"{count(self.left[thing], 'stick')} left" if self.left[thing] else "none left"
        code = self.book.code(thing)
        if "/" not in code:
            return "none left"
        if any(self.book.threads.host[child] != NONE for child in self.book.threads.children.get(thing, ())):
            return "used"
        return "given away" if code in self.given else f"not used, of {code.split('/')[0]}"

    def descended(self, one: Descendant) -> TraceRow:
        """One thing of the clone."""
        by = self.book.code(one.came_from) if one.came_from != NONE else None
        return self.row(DESCENDED, one.thing, "from" if by else "asked about", by, one.generation, one.possible)

    def exposed(self, one: Exposure) -> TraceRow:
        """One thing that shared a plant, on the day from which it did."""
        row = self.row(EXPOSED, one.thing, one.how, self.book.code(one.by), one.plants, False)
        return replace(row, on=one.since)


def _given(
    book: Lineage, descended: Mapping[int, Descendant], aside: Mapping[int, Exposure], since: date | None
) -> Iterator[TraceRow]:
    """Who was given sticks of what is on either list, from the day it came onto it."""
    names = shown_names.of_book(book)
    for gift, code, thing in book.given():
        here, there = descended.get(thing), aside.get(thing)
        if since is not None and gift.on < since:
            continue
        if here is None and (there is None or (there.since is not None and gift.on < there.since)):
            continue
        how = f"{count(gift.sticks, 'stick')} ({'descended' if here is not None else 'exposed'}) to"
        label = names.thing(thing).cultivar
        possible = here.possible if here is not None else False
        yield TraceRow(GIVEN, code, label, gift.on, how, gift.receiver or "somebody", None, possible, "not known", None)


def _notes(book: Lineage, rows: Sequence[TraceRow], starts: list[int], earlier: int) -> tuple[str, ...]:
    counted = [
        f"{which.partition(':')[0]}: {_kinds(row for row in rows if row.list == which)}"
        for which in (DESCENDED, EXPOSED)
    ]
    notes = [f"{'; '.join(counted).capitalize()}. The two are never one list."]
    if earlier:
        notes.append(
            f"{count(earlier, 'thing')} descended before that day, left out here: without --since they are listed too."
        )
    keepers = dict.fromkeys(row.by for row in rows if row.list == GIVEN and row.by is not None)
    if keepers:
        notes.append(f"To be told, for they were given sticks: {', '.join(keepers)}.")
    apart = sum(row.list == APART for row in rows)
    if apart:
        notes.append(
            f"{count(apart, 'thing')} of the same name came by another thread: no wood or plant in this book links them."
        )
    if any(row.possible for row in rows):
        notes.append("Perhaps: it came through mixed wood, and may be of another bundle.")
    on_starts = [g for thing in starts for g in book.threads.on_it.get(thing, ())]
    cut = [c for thing in starts for c in book.threads.children.get(thing, ())]
    if on_starts and cut:
        notes.append(
            f"{code_list(tuple(book.code(c) for c in cut), 4)}: cut from {book.code(starts[0])} itself. If it came off a graft "
            f"there, say so: graftbook wood amend {book.code(cut[0])} --source {book.code(on_starts[0])}."
        )
    return (*notes, DECIDES)


def _kinds(rows: Iterable[TraceRow]) -> str:
    """How many trees and stocks, bundles, sticks and grafts, and how many of the plants and grafts are not known to be dead
    or gone: `2 plants (1 living), 3 bundles, 17 grafts (12 living)`, or nothing."""
    found: dict[str, list[bool]] = {}
    for row in rows:
        kind = "stick" if "/" in row.code else {"P": "plant", "W": "bundle", "G": "graft"}[row.code[0]]
        found.setdefault(kind, []).append(row.fate in LIVING)
    parts = [
        count(len(living), kind) + (f" ({sum(living)} living)" if kind in ("plant", "graft") else "")
        for kind in ("plant", "bundle", "stick", "graft")
        if (living := found.get(kind))
    ]
    return ", ".join(parts) or "nothing"
