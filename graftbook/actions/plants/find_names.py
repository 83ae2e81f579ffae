"""What the things of a book are called, and by which other names they may be looked for."""

from __future__ import annotations

from sqlmodel import Session

from graftbook.actions.names import lineages, shown_names
from graftbook.actions.names.lineages import Lineage
from graftbook.actions.names.names_ever import NamesEver
from graftbook.actions.names.shown_names import Shown, ShownNames
from graftbook.book.finding_queries import GraftLine, PlantLine, WoodLine


class NamesToFind:
    """What things are called and, with a lineage, every name that was ever given to their clones."""

    def __init__(self, names: ShownNames, book: Lineage | None = None, ever: NamesEver | None = None) -> None:
        self._names, self._book, self._ever = names, book, ever

    @classmethod
    def of(cls, session: Session, ever: bool) -> NamesToFind:
        """Of a whole book; `ever` where things are looked for by a name."""
        names = shown_names.every(session)
        if not ever:
            return cls(names)
        book = names.book if names.book is not None else lineages.of_wood(session)
        return cls(names, book, NamesEver(session, book))

    def plant(self, plant: PlantLine) -> tuple[Shown, tuple[str, ...]]:
        """A plant's name, and its others."""
        shown = self._names.plant(plant.id)
        return shown, self._others(shown, self._book.plant.get(plant.id) if self._book is not None else None)

    def graft(self, graft: GraftLine) -> tuple[Shown, tuple[str, ...]]:
        """A graft's name, and its others."""
        shown = self._names.graft(graft.id, graft.bundle_id)
        return shown, self._others(
            shown, self._book.of_graft(graft.id, graft.bundle_id) if self._book is not None else None
        )

    def wood(self, bundle: WoodLine) -> tuple[Shown, tuple[str, ...]]:
        """A bundle's name, and its others."""
        shown = self._names.bundle(bundle.id)
        return shown, self._others(shown, self._book.bundle[bundle.id] if self._book is not None else None)

    def every(self) -> set[str]:
        """Every name ever given to anything; empty where none is looked for."""
        return self._ever.every() if self._ever is not None else set()

    def _others(self, shown: Shown, thing: int | None) -> tuple[str, ...]:
        given = self._ever.of(thing) if self._ever is not None and thing is not None else ()
        return known(shown.recorded, *given, shown.kind)


def known(*texts: str | None) -> tuple[str, ...]:
    """Those of the texts that are there, each once."""
    return tuple(dict.fromkeys(text for text in texts if text))
