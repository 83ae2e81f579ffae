"""Tags that say another name than their thing has now: the book as it was when they were printed beside the book of today.

A run of tags keeps codes and no words, so what a tag says is worked out anew from the namings and synonyms that were written
down before it. Only things of whose clone something was said since are looked at.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.names import lineages, shown_names
from graftbook.actions.names.lineages import Lineage
from graftbook.actions.names.shown_names import Shown, ShownNames
from graftbook.book import lineage_queries
from graftbook.lineage.identity import in_order
from graftbook.lineage.threads import NONE


class Tagged(NamedTuple):
    """A thing with a tag: `since` is the uid of the record by which it was last given one; `id` that of the plant, bundle or
    graft its code is of, `bundle_id` that of a graft's wood."""

    code: str
    since: str
    id: int
    bundle_id: int | None = None


def renamed(session: Session, names: ShownNames, things: Iterable[Tagged], day: date) -> dict[str, str]:
    """Why a tag says what no longer holds, by code, in words; `names` are those of that day, of all the book. Codes whose tag
    says what the thing is called are absent."""
    if names.book is None:
        return {}
    stated = _LastStated(session, names.book)
    found: dict[str, str] = {}
    asked: dict[str, list[Tagged]] = {}
    for thing in things:
        if stated.mixed_after(thing):
            found[thing.code] = f"printed before its wood was mixed, now {_words(_shown(names, thing))}"
        elif stated.after(thing):
            asked.setdefault(thing.since, []).append(thing)
    for since, held in asked.items():
        then = _as_of_record(session, held, since, day)
        for thing in held:
            was, now = _shown(then, thing), _shown(names, thing)
            if was.forms != now.forms:
                found[thing.code] = f"printed as {_words(was)}, now {_words(now)}"
    return found


def _words(shown: Shown) -> str:
    return shown.with_sureness or "of no known kind"


def _shown(names: ShownNames, thing: Tagged) -> Shown:
    if thing.code[0] == "P":
        return names.plant(thing.id)
    return names.bundle(thing.id) if thing.code[0] == "W" else names.graft(thing.id, thing.bundle_id)


def _as_of_record(session: Session, things: Sequence[Tagged], since: str, day: date) -> ShownNames:
    """The names of things by what was written down before a record."""
    ids: dict[str, list[int]] = {"P": [], "W": [], "G": []}
    for thing in things:
        ids[thing.code[0]].append(thing.id)
    wood = [thing.bundle_id for thing in things if thing.bundle_id is not None]
    return shown_names.of_book(
        lineages.around(
            session, plants=ids["P"], bundles=[*ids["W"], *wood], grafts=ids["G"], as_of=day, before=since
        )
    )  # fmt: skip


class _LastStated:
    """When something was last said of each clone of a book, as the uid of what was written down."""

    def __init__(self, session: Session, book: Lineage) -> None:
        self._book = book
        self._newest: dict[int, str] = {}
        self._mixed: dict[int, str] = {}
        self._alike = [(row.uid, naming.key(book.names.one(row.name))) for row in lineage_queries.synonyms(session)]
        for each in book.said:
            if each.naming is not None:
                self._note(each.thing, each.naming.uid)
        self._out_of_mixes()

    def _note(self, thing: int, uid: str) -> None:
        root = self._book.threads.root[thing]
        self._newest[root] = max(uid, self._newest.get(root, ""))

    def _out_of_mixes(self) -> None:
        """What is found of the wood that went in, or of one stick, bears on every stick that came out."""
        went = {one.into_bundle_id: one.uid for one in self._book.gone if one.into_bundle_id is not None}
        of_bundle = {thing: number for number, thing in self._book.bundle.items()}
        root = self._book.threads.root
        for mix in in_order(self._book.threads):
            out = (mix.bundle, *mix.sticks, *mix.loose)
            newest = max(self._newest.get(root[thing], "") for thing in (*out, *mix.parts))
            for thing in out:
                self._note(thing, newest)
                self._mixed[root[thing]] = went[of_bundle[mix.bundle]]

    def mixed_after(self, thing: Tagged) -> bool:
        """Whether the wood of a thing was mixed, as it was written down, after it had its tag."""
        return self._mixed.get(self._root(thing), "") > thing.since

    def after(self, thing: Tagged) -> bool:
        """Whether anything was said of a thing's clone, or of its names, after it had its tag."""
        if self._newest.get(self._root(thing), "") > thing.since:
            return True
        return any(uid > thing.since and key in self._keys(thing) for uid, key in self._alike)

    def _keys(self, thing: Tagged) -> Iterator[str]:
        number = self._number(thing)
        return (naming.key(name) for name in (self._book.identity(number).names if number is not None else ()))

    def _root(self, thing: Tagged) -> int:
        """The root of its clone, NONE where nothing was ever said of it."""
        number = self._number(thing)
        return self._book.threads.root[number] if number is not None else NONE

    def _number(self, thing: Tagged) -> int | None:
        if thing.code[0] == "G":
            return self._book.of_graft(thing.id, thing.bundle_id)
        return (self._book.plant if thing.code[0] == "P" else self._book.bundle).get(thing.id)
