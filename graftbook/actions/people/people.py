"""People wood comes from and goes to: a name or initials is enough."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any, ClassVar

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, count
from graftbook.actions.desk.typed import blank
from graftbook.actions.names import tracing
from graftbook.book import lineage_queries, wood_queries
from graftbook.book.lineage import Person
from graftbook.errors import NotFound, Refused, UsageProblem


@dataclass(frozen=True)
class PersonRow:
    """One person: bundles that came from them, sticks that went to them. `contact` only where it was asked for."""

    name: str
    initials: str | None
    contact: str | None
    bundles_from: int
    sticks_to: int
    note: str | None
    shown: ClassVar[tuple[str, ...]] = ("name", "initials", "bundles_from", "sticks_to", "note")


@dataclass(frozen=True)
class ContactRow(PersonRow):
    """The same with how to reach them."""

    shown: ClassVar = ("name", "initials", "contact", "bundles_from", "sticks_to", "note")


def add(
    desk: Desk, name: str, initials: str | None = None, contact: str | None = None, note: str | None = None,
    who: str | None = None,
) -> Recorded:  # fmt: skip
    """Record somebody. Raises UsageProblem for an empty name, Refused for a name or initials that are taken."""
    with desk.book.write("people add", desk.person(who)) as unit:
        if not naming.key(name):
            raise UsageProblem("a name or initials", repr(name))
        _free(lineage_queries.people(unit.session), name, initials, None)
        unit.add(Person, name=name, initials=blank(initials), contact=blank(contact), note=blank(note))
        entry = unit.commit(f"Added {name.strip()} to the people")
    notes = ("How to reach people stays in this book: it is exported only with --contacts.",) if contact else ()
    return Recorded(f"{entry.summary}.", entry.id, (), notes)


def amend(desk: Desk, name: str, values: dict[str, str | None], who: str | None = None) -> Recorded:
    """Change what is known of somebody; None leaves a fact, an empty text takes it away. Raises NotFound, Refused."""
    with desk.book.write("people amend", desk.person(who)) as unit:
        everyone = lineage_queries.people(unit.session)
        asked = naming.key(name)
        row = next((person for person in everyone if asked in tracing.keys_of(person)), None)
        if row is None:
            raise NotFound(f"nobody called '{name}'", "", "List them with: graftbook people list")
        changed: dict[str, Any] = {key: blank(value) for key, value in values.items() if value is not None}
        if not changed:
            raise UsageProblem("something to change", "nothing")
        _free(everyone, row.name, changed.get("initials"), row)
        unit.amend(row, **changed)
        entry = unit.commit(f"Amended {row.name}: {', '.join(changed)}")
    return Recorded(f"{entry.summary}.", entry.id)


def _free(everyone: list[Person], name: str, initials: str | None, own: Person | None) -> None:
    taken = {key: person.name for person in everyone if person is not own for key in tracing.keys_of(person)}
    for word in (name, initials):
        if word and naming.key(word) in taken:
            raise Refused(
                f"{word.strip()!r} is {taken[naming.key(word)]} already",
                next_step="Give a name and initials that are nobody else's",
            )


def list_people(desk: Desk, contacts: bool = False) -> Report:
    """Everybody the book knows: recorded people, donors and receivers; how to reach them only with `contacts`."""
    with desk.book.read() as session:
        known = lineage_queries.people(session)
        gifts = [gift for gift in lineage_queries.gone(session) if gift.kind == "given" and gift.receiver]
        donors = wood_queries.donors(session)
        names = {key: person.name for person in known for key in tracing.keys_of(person)}
        for name in (*donors, *(gift.receiver for gift in gifts if gift.receiver)):
            names.setdefault(naming.key(name), name)
    came, went = Counter[str](), Counter[str]()
    for donor, bundles in donors.items():
        came[names[naming.key(donor)]] += bundles
    for gift in gifts:
        went[names[naming.key(gift.receiver or "")]] += gift.sticks
    by_name = {person.name: person for person in known}
    kind = ContactRow if contacts else PersonRow
    rows = []
    for name in sorted(set(names.values()), key=str.casefold):
        p = by_name.get(name)
        contact = p.contact if p is not None and contacts else None
        rows.append(kind(name, p.initials if p else None, contact, came[name], went[name], p.note if p else None))
    held = sum(person.contact is not None for person in known)
    notes = (f"How to reach {count(held, 'person', 'people')}: --contacts.",) if held and not contacts else ()
    return Report(kind, tuple(rows), notes, {"as_of": desk.today}, title="People wood came from and went to")
