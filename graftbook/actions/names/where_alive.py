"""Where a cultivar lives: the one reader of its living trees, its living grafts and its sticks that still count.

What lives is said by graftbook.actions.outcome.alive, what a thing is by its lineage: its namings, synonyms, later findings,
"A or B", and never the text it was first written with. What is in doubt is a group of its own.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from sqlmodel import Session

from graftbook.actions.names import lineages, wood_kept
from graftbook.actions.names.lineages import Lineage
from graftbook.actions.outcome.alive import AHEAD, End, alive_at
from graftbook.book import living_queries

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
    """Living things by number: trees; grafts with whether each was seen growing; and what became of every graft and plant,
    in a few words."""

    trees: tuple[int, ...]
    grafts: Mapping[int, bool]
    fate: Mapping[int, str]


def fetch(session: Session, book: Lineage, on: date) -> Living:
    """What is alive on a day. A graft not looked at yet counts as alive and not judged; one not found, or gone home and not
    seen since, does not count."""
    held = book.held if book.held.day == on else alive_at(session, on)
    grew = living_queries.seen_growing(session, on)
    fate: dict[int, str] = {}
    trees: list[int] = []
    for row in book.columns.plants:
        thing, end = book.plant[row[0]], held.plant_end(row[0])
        fate[thing] = "alive" if end is None else _words(end)
        if end is None and (row[KIND] == "tree" or book.identity(thing).names):
            trees.append(thing)
    grafts: dict[int, bool] = {}
    for row in book.columns.grafts:
        number, thing = row[0], book.graft[row[0]]
        end = held.end(number) if number in held.grafts else End(row[6], AHEAD)
        if end is not None:
            fate[thing] = "not made yet" if end.how == AHEAD else _words(end)
            continue
        grafts[thing] = number in grew
        fate[thing] = "growing" if number in grew else "alive" if number in held.looks else "not looked at"
    return Living(tuple(trees), grafts, fate)


def _words(end: End) -> str:
    if end.how == AHEAD:
        return AHEAD
    how = "dead" if end.dead else end.how.replace("-", " ")
    return f"{how} {end.on.isoformat()}"


@dataclass
class CultivarHome:
    """Where one cultivar, or one doubt, lives: numbers of its living trees, of its living grafts seen growing and of those not
    yet; sticks that still count and sticks past keeping by the number of their bundle."""

    cultivar: str
    trees: list[int] = field(default_factory=list)
    growing: list[int] = field(default_factory=list)
    waiting: list[int] = field(default_factory=list)
    sticks: dict[int, int] = field(default_factory=dict)
    spent: dict[int, int] = field(default_factory=dict)

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
    """Where everything lives on a day, by what it is called."""

    book: Lineage
    living: Living
    of: Mapping[str, CultivarHome]
    stores: Mapping[int, str | None]

    def named(self, things: Collection[int]) -> dict[str, set[int]]:
        """Things by what they are called; what nobody named is absent."""
        found: dict[str, set[int]] = {}
        for thing in things:
            said = lineages.label(self.book.identity(thing))
            if said is not None:
                found.setdefault(said, set()).add(thing)
        return found

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
    book = lineages.fetch(session, on)
    living = fetch(session, book, on)
    found: dict[str, CultivarHome] = {}

    def home(thing: int) -> CultivarHome | None:
        said = lineages.label(book.identity(thing))
        return None if said is None else found.setdefault(said, CultivarHome(said))

    for thing in living.trees:
        if (where := home(thing)) is not None:
            where.trees.append(thing)
    for thing, grew in living.grafts.items():
        if (where := home(thing)) is not None:
            (where.growing if grew else where.waiting).append(thing)
    stores: dict[int, str | None] = {}
    for wood in wood_kept.kept_wood(session, on):
        thing = book.bundle[wood.line.id]
        stores[thing] = wood.line.store
        if (where := home(thing)) is not None:
            (where.sticks if wood.usable else where.spent)[thing] = wood.left.left + (wood.left.buds_in_hand > 0)
    return CultivarHomes(book, living, found, stores)
