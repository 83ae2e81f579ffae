"""Where a cultivar lives: the one reader of its living trees, its living grafts and its sticks that still count.

What lives is said by graftbook.actions.outcome.alive, what a thing is by its lineage: its namings, synonyms, later findings,
"A or B", and never the text it was first written with. What is in doubt is a group of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from sqlmodel import Session

from graftbook.actions.names import lineages
from graftbook.actions.names.lineages import Lineage
from graftbook.actions.outcome.alive import AHEAD, FEW, End
from graftbook.book import living_queries
from graftbook.book.balances import Balance

KIND = 2


class SiteAndPlace(NamedTuple):
    """Site and place of a plant; both None where nothing was recorded."""

    site: str | None
    place: str | None

    @property
    def words(self) -> str:
        """Both, or that none is recorded."""
        return ", ".join(part for part in self if part) or "place not recorded"


@dataclass(frozen=True)
class Living:
    """Living things by number: trees, and grafts with whether each was seen growing."""

    trees: tuple[int, ...]
    grafts: Mapping[int, bool]


def fetch(session: Session, book: Lineage) -> Living:
    """What of a lineage is alive on the day it was fetched for. A graft not looked at yet counts as alive and not judged; one not
    found, or gone home and not seen since, does not count."""
    held = book.held
    kinds = ((row[0], book.plant[row[0]], row[KIND]) for row in book.columns.plants)
    trees = tuple(
        thing
        for number, thing, kind in kinds
        if (kind == "tree" or book.identity(thing).names) and held.plant_end(number) is None
    )
    living = {number: thing for number, thing in book.graft.items() if held.end(number) is None}
    grew = living_queries.seen_growing(session, held.day, living if len(living) < FEW else None)
    return Living(trees, {thing: number in grew for number, thing in living.items()})


def fates(book: Lineage, living: Living) -> dict[int, str]:
    """What became of every plant and graft by the day, in a few words."""
    held, found = book.held, {}
    for number, thing in book.plant.items():
        end = held.plant_end(number)
        found[thing] = "alive" if end is None else _words(end)
    for number, thing in book.graft.items():
        end = held.end(number)
        if end is not None:
            found[thing] = "not made yet" if end.how == AHEAD else _words(end)
        else:
            seen = "alive" if number in held.looks else "not looked at"
            found[thing] = "growing" if living.grafts[thing] else seen
    return found


def _words(end: End) -> str:
    if end.how == AHEAD:
        return AHEAD
    how = "dead" if end.dead else end.how.replace("-", " ")
    return f"{how} {end.on.isoformat()}"


@dataclass
class CultivarHome:
    """Where one cultivar, or one doubt, lives: numbers of its living trees, of its living grafts seen growing and of those not
    yet; wood in store that still counts, and wood past keeping, by the number of its bundle."""

    cultivar: str
    trees: list[int] = field(default_factory=list)
    growing: list[int] = field(default_factory=list)
    waiting: list[int] = field(default_factory=list)
    sticks: dict[int, Balance] = field(default_factory=dict)
    spent: dict[int, Balance] = field(default_factory=dict)

    @property
    def sure(self) -> list[int]:
        """Trees, and grafts seen growing."""
        return [*self.trees, *self.growing]

    @property
    def living(self) -> list[int]:
        """Everything that lives, wood in store apart."""
        return [*self.sure, *self.waiting]


@dataclass(frozen=True)
class CultivarHomes:
    """Where everything lives on a day, by what it is called; `stores` is where the bundles with sticks lie."""

    book: Lineage
    living: Living
    of: dict[str, CultivarHome] = field(default_factory=dict)
    stores: dict[int, str | None] = field(default_factory=dict)

    def home(self, thing: int) -> CultivarHome:
        """The home of a thing; one to be thrown away where it is not named."""
        label = lineages.label(self.book.identity(thing))
        return CultivarHome("") if label is None else self.of.setdefault(label, CultivarHome(label))

    def add_wood(self, session: Session) -> None:
        """Take in the wood in store."""
        from graftbook.actions.names import wood_kept

        for wood in wood_kept.kept_wood(session, self.book.held.day, self.book.bundle):
            thing = self.book.bundle[wood.line.id]
            self.stores[thing] = wood.line.store
            where = self.home(thing)
            (where.sticks if wood.usable else where.spent)[thing] = wood.left

    def spot(self, thing: int) -> SiteAndPlace:
        """Where the plant is that a thing is or stands on."""
        row = self.book.columns.plants[self.book.threads.body[thing]]
        return SiteAndPlace(row[6], row[7])

    def spots(self, home: CultivarHome) -> list[SiteAndPlace]:
        """The sites, or where no site is recorded the places, that a cultivar lives at, each once."""
        found: dict[str | None, SiteAndPlace] = {}
        for spot in map(self.spot, home.living):
            found.setdefault(spot.site or spot.place, spot)
        return list(found.values())


def homes(session: Session, on: date) -> CultivarHomes:
    """Where everything lives on a day, wood in store with it."""
    found = living_homes(session, lineages.fetch(session, on, on))
    found.add_wood(session)
    return found


def living_homes(session: Session, book: Lineage) -> CultivarHomes:
    """Where everything in a lineage lives, on the day it was fetched for, without what is in store (see `add_wood`)."""
    found = CultivarHomes(book, fetch(session, book))
    for thing in found.living.trees:
        found.home(thing).trees.append(thing)
    for thing, grew in found.living.grafts.items():
        where = found.home(thing)
        (where.growing if grew else where.waiting).append(thing)
    return found
