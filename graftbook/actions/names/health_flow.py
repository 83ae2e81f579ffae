"""The grower's own notes on health and rights, carried to everything they bear on.

A suspicion goes to everything of the same clone, and to everything that ever shared a plant with it, from the day it did,
whenever the note was written: what was taken before anyone suspected may have it too. A clean or
tested word goes to what came from that very thing. A note on rights goes to everything that is the same cultivar, in any
spelling, until its last day.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from sqlmodel import Session

from graftbook.actions.names import lineages
from graftbook.actions.names.lineages import Lineage
from graftbook.book import find
from graftbook.book.ledger import CautionNote
from graftbook.fit.facts import NoteFacts
from graftbook.lineage.walks import descendants, exposed

DECIDES = "Notes on health are your own; what is to be done, the local plant-health service decides."


@dataclass
class Flow:
    """Notes that reach things by way of another thing: by plant, bundle and graft ids."""

    plants: dict[int, list[NoteFacts]] = field(default_factory=dict)
    bundles: dict[int, list[NoteFacts]] = field(default_factory=dict)
    grafts: dict[int, list[NoteFacts]] = field(default_factory=dict)


def flow(session: Session, on: date) -> Flow:
    """What every note holding on a day comes to for other things; read once for each session and day."""
    held = session.info.setdefault("notes carried", {})
    if on not in held:
        notes = find.caution_notes(session, on)
        held[on] = _carry(lineages.fetch(session, on, on), notes) if notes else Flow()
    return held[on]


@dataclass(frozen=True)
class Noted:
    """Every note that holds on a day, those on a thing itself before those that reach it by way of another."""

    by_plant: dict[int, list[NoteFacts]]
    by_bundle: dict[int, list[NoteFacts]]
    carried: Flow

    def of_plant(self, plant_id: int) -> tuple[NoteFacts, ...]:
        """What bears on a plant."""
        return (*self.by_plant.get(plant_id, ()), *self.carried.plants.get(plant_id, ()))

    def of_bundle(self, bundle_id: int, cut_plant_id: int | None) -> tuple[NoteFacts, ...]:
        """What bears on a bundle: notes on the plant it was cut from are notes on it."""
        own = (*self.by_plant.get(cut_plant_id or 0, ()), *self.by_bundle.get(bundle_id, ()))
        return (*own, *self.carried.bundles.get(bundle_id, ()))

    def of_graft(self, graft_id: int) -> tuple[NoteFacts, ...]:
        """What bears on a graft."""
        return tuple(self.carried.grafts.get(graft_id, ()))


def noted(session: Session, on: date) -> Noted:
    """The notes that hold on a day."""
    by_plant: dict[int, list[NoteFacts]] = {}
    by_bundle: dict[int, list[NoteFacts]] = {}
    for note in find.caution_notes(session, on):
        facts = NoteFacts(note.kind, note.status, note.note or "", note.until)
        held, key = (by_plant, note.plant_id) if note.plant_id is not None else (by_bundle, note.bundle_id)
        held.setdefault(key or 0, []).append(facts)
    return Noted(by_plant, by_bundle, flow(session, on))


def suspicions(session: Session, bundle_id: int, cut_plant_id: int | None, on: date) -> tuple[str, ...]:
    """What is suspected of a bundle on a day, as sentences, the tree it was cut from first; empty when nothing is."""
    notes = noted(session, on).of_bundle(bundle_id, cut_plant_id)
    suspect = [note for note in notes if note.kind == "health" and note.status == "suspect"]
    sentences = (f"Your note on its health: suspect{f', {note.words}' if note.words else ''}." for note in suspect)
    return (*dict.fromkeys(sentences), DECIDES) if suspect else ()


def _carry(book: Lineage, notes: Sequence[CautionNote]) -> Flow:
    found: dict[int, list[NoteFacts]] = {}
    newest: dict[int, CautionNote] = {}
    for note in notes:
        if note.kind == "health":
            newest[_subject(book, note)] = note
    for thing, note in newest.items():
        _health(book, thing, note, newest, found)
    for note in notes:
        if note.kind == "rights":
            _rights(book, note, found)
    result = Flow()
    for where, numbers in ((result.plants, book.plant), (result.bundles, book.bundle), (result.grafts, book.graft)):
        where.update({number: found[thing] for number, thing in numbers.items() if thing in found})
    return result


def _subject(book: Lineage, note: CautionNote) -> int:
    return book.plant[note.plant_id] if note.plant_id is not None else book.bundle[note.bundle_id or 0]


def _health(
    book: Lineage, thing: int, note: CautionNote, newest: dict[int, CautionNote], found: dict[int, list[NoteFacts]]
) -> None:
    said = f"noted of {book.code(thing)} on {note.on.isoformat()}{f' by {note.source}' if note.source else ''}"
    descended = descendants(book.threads, [thing], book.found.sources)
    reached = {other: "may come from it" if one.possible else "comes from it" for other, one in descended.items()}
    if note.status == "suspect":
        clone = book.threads.root[thing]
        for other, root in enumerate(book.threads.root):
            if root == clone:
                reached.setdefault(other, "is of the same clone")
        aside = exposed(book.threads, descended)
        reached.update(
            {other: f"{one.how} {book.code(one.by)}" for other, one in aside.items() if other not in reached}
        )
    for other, how in reached.items():
        own = newest.get(other)
        lifted = own is not None and own.status != "suspect" and own.on >= note.on
        read_there = thing < book.threads.plants and book.threads.parent[other] == thing  # matching reads these itself
        if other != thing and not lifted and not read_there:
            found.setdefault(other, []).append(NoteFacts("health", note.status, f"{said}; {book.code(other)} {how}"))


def _rights(book: Lineage, note: CautionNote, found: dict[int, list[NoteFacts]]) -> None:
    subject = _subject(book, note)
    names = set(book.identity(subject).names)
    said = f"noted of {book.code(subject)} on {note.on.isoformat()}"
    for thing, identity in enumerate(book.found.of):
        shared = names.intersection(identity.names)
        read_there = (
            subject < book.threads.plants and book.threads.parent[thing] == subject
        )  # matching reads these itself
        if shared and thing != subject and not read_there:
            might = "" if identity.certain else ", which this may be"
            words = f"{said}, for '{min(shared)}'{might}"
            found.setdefault(thing, []).append(NoteFacts("rights", note.status, words, note.until))


def rights_on(session: Session, names: Sequence[str], on: date, code: str | None = None) -> tuple[str, ...]:
    """The grower's own notes on rights that hold on a day for cultivars of these names, and for all of the clone of the thing
    with this code, named or not, as sentences."""
    notes = [note for note in find.caution_notes(session, on) if note.kind == "rights"]
    if not notes:
        return ()
    book = lineages.fetch(session, on)
    asked = {book.names.one(name) for name in names}
    clone = book.threads.root[book.threads.number[code]] if code is not None else None
    found = []
    for note in notes:
        subject = _subject(book, note)
        shared = asked.intersection(book.identity(subject).names)
        if shared or book.threads.root[subject] == clone:
            until = f" until {note.until.isoformat()}" if note.until is not None else ""
            name = f", '{min(shared)}'" if shared else ""
            found.append(f"Your note on {book.code(subject)}{name}: {note.status}{until}.")
    return tuple(dict.fromkeys(found))
