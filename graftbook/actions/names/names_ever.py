"""Every name that the things of a clone were ever given: as recorded and as typed, named later, nicknames and synonyms."""

from __future__ import annotations

from collections.abc import Iterable

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.names.lineages import Lineage
from graftbook.book import lineage_queries
from graftbook.book.lineage import BETWEEN
from graftbook.lineage.identity import in_order


class NamesEver:
    """The names ever given to each clone of a book, by the number of a thing in its lineage."""

    def __init__(self, session: Session, book: Lineage) -> None:
        self._book = book
        self._given: dict[int, dict[str, None]] = {}
        self._one: dict[str, dict[str, None]] = {}
        for row in lineage_queries.synonyms(session):
            group = self._one.setdefault(naming.key(book.names.one(row.name)), {})
            group.update(dict.fromkeys((row.name, row.preferred)))
        self._recorded()
        self._named()
        self._mixed()
        self._told: dict[int, tuple[str, ...]] = {}

    def of(self, thing: int) -> tuple[str, ...]:
        """The names ever given to the clone of a thing, and the other names of what it is or might be."""
        root = self._book.threads.root[thing]
        found = self._told.get(root)
        if found is None:
            names = dict(self._given.get(root, {}))
            for name in (*names, *self._book.identity(thing).names):
                names.update(self._one.get(naming.key(self._book.names.one(name)), {}))
            found = self._told[root] = tuple(names)
        return found

    def every(self) -> set[str]:
        """Every name that anything was ever given."""
        return {name for names in (*self._given.values(), *self._one.values()) for name in names}

    def _give(self, thing: int, names: Iterable[str | None]) -> None:
        root = self._book.threads.root[thing]
        self._given.setdefault(root, {}).update(dict.fromkeys(name for name in names if name))

    def _recorded(self) -> None:
        for row in self._book.columns.plants:
            if row[3] is not None or row[10] is not None:
                self._give(self._book.plant[row[0]], (row[3], row[10]))
        for row in self._book.columns.bundles:
            if row[2] is not None or row[9] is not None:
                self._give(self._book.bundle[row[0]], (row[2], row[9]))

    def _named(self) -> None:
        for said in self._book.said:
            row = said.naming
            if row is not None:
                candidates = row.candidates.split(BETWEEN) if row.candidates is not None else ()
                self._give(said.thing, (*candidates, row.typed, row.nickname))

    def _mixed(self) -> None:
        """What came out of a mix also bears the names of what it may have come from."""
        threads, sources = self._book.threads, self._book.found.sources
        for mix in in_order(threads):
            for thing in (mix.bundle, *mix.sticks, *mix.loose):
                for part in (*sources.get(thing, mix.parts), mix.bundle):
                    if part != thing:
                        self._give(thing, self._given.get(threads.root[part], ()))
