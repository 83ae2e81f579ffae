"""What the things of a book are called, and by which other names they may be looked for."""

from __future__ import annotations

from dataclasses import dataclass

from sqlmodel import Session

from graftbook.actions.names import lineages, shown_names
from graftbook.actions.names.lineages import Lineage
from graftbook.actions.names.names_ever import NamesEver
from graftbook.actions.names.shown_names import Shown, ShownNames
from graftbook.book.finding_queries import GraftLine


@dataclass(frozen=True, eq=False, slots=True)
class ThingNames:
    """What a thing is called and, where things are looked for by a name, its other names."""

    shown: Shown
    others: tuple[str, ...]


class NamesToFind:
    """What things are called and, with `ever`, every name that was ever given to their clones (those of `book`)."""

    def __init__(self, names: ShownNames, book: Lineage | None, ever: NamesEver | None) -> None:
        self._names, self._book, self._ever = names, book, ever
        self._grafts: dict[tuple[int | None, int | None], ThingNames] = {}

    @classmethod
    def of(cls, session: Session, ever: bool) -> NamesToFind:
        """Of a whole book; `ever` where things are looked for by a name."""
        names = shown_names.every(session)
        book = names.book if names.book is not None or not ever else lineages.of_wood(session)
        return cls(names, book, NamesEver(session, book) if ever and book is not None else None)

    def plant(self, plant_id: int) -> ThingNames:
        """What a plant is called."""
        return self._called(self._names.plant(plant_id), self._book.plant.get(plant_id) if self._book else None)

    def graft(self, graft: GraftLine) -> ThingNames:
        """What a graft is called; one and the same for grafts that are what their wood is."""
        own = graft.id if self._book is not None and graft.id in self._book.graft else None
        found = self._grafts.get((own, graft.bundle_id))
        if found is None:
            thing = self._book.of_graft(own, graft.bundle_id) if self._book is not None else None
            found = self._called(self._names.graft(own, graft.bundle_id), thing)
            self._grafts[own, graft.bundle_id] = found
        return found

    def wood(self, bundle_id: int) -> ThingNames:
        """What a bundle is called."""
        return self._called(self._names.bundle(bundle_id), self._book.bundle[bundle_id] if self._book else None)

    def every(self) -> set[str]:
        """Every name ever given to anything; empty where none is looked for."""
        return self._ever.every() if self._ever is not None else set()

    def _called(self, shown: Shown, thing: int | None) -> ThingNames:
        given = self._ever.of(thing) if self._ever is not None and thing is not None else ()
        return ThingNames(shown, known(shown.recorded, *given, shown.kind))


def known(*texts: str | None) -> tuple[str, ...]:
    """Those of the texts that are there, each once."""
    return tuple(dict.fromkeys(text for text in texts if text))
