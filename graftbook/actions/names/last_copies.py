"""Which cultivars live nowhere else when some things go: what is said before a limb or a tree goes, and after a death."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.results import code_list
from graftbook.actions.names import lineages, where_alive
from graftbook.actions.names.wood_kept import left_of
from graftbook.book import clone_queries


@dataclass(frozen=True)
class LastCopy:
    """A cultivar that lives nowhere surely but in what goes: `waiting` are the codes of living grafts of it not yet seen
    growing, `sticks` says what is in store that still counts, `spent` what is past keeping ('': nothing)."""

    cultivar: str
    waiting: tuple[str, ...]
    sticks: str
    spent: str

    @property
    def before(self) -> str:
        """A sentence for before it goes."""
        if self.waiting:
            return f"‘{self.cultivar}’ would live only in what was not yet seen growing: {self._rest()}"
        return f"‘{self.cultivar}’ would live nowhere else in this book{self._store()}. Save wood of it first."

    @property
    def after(self) -> str:
        """A sentence for after it went."""
        if self.waiting:
            return f"‘{self.cultivar}’ lives only in what was not yet seen growing: {self._rest()}"
        return f"‘{self.cultivar}’ lives nowhere in this book now{self._store()}."

    def _rest(self) -> str:
        return f"{code_list(self.waiting, 5)}{self._store()}."

    def _store(self) -> str:
        held = self.sticks or self.spent
        if not held:
            return "" if self.waiting else ", nor in store"
        of_it = held.replace("stick", "stick of it", 1) if "bud" in held else f"{held} of it"
        return (
            f"; {of_it} {'is' if held.startswith('1 ') else 'are'} in store{'' if self.sticks else ' but past keeping'}"
        )


def last_copies(
    session: Session, plant_ids: Collection[int], graft_ids: Collection[int], day: date
) -> tuple[LastCopy, ...]:
    """The cultivars that live surely only in these plants and grafts, by name, as of before they go.

    What was not yet seen growing is no sure copy, but counts where what goes was not seen growing either.
    """
    if not plant_ids and not graft_ids:
        return ()
    wood = lineages.of_wood(session, day)
    things = {wood.plant.get(number) for number in plant_ids}
    things |= {wood.of_graft(*pair) for pair in clone_queries.wood_of(session, graft_ids).items()}
    names = {lineages.label(wood.identity(thing)) for thing in things if thing is not None} - {None}
    few = lineages.narrowed(session, wood, lambda identity: lineages.label(identity) in names, day)
    homes = where_alive.living_homes(session, few)
    book, found = homes.book, []
    going = {book.plant.get(number) for number in plant_ids} | {book.graft.get(number) for number in graft_ids}
    lost = [home for home in homes.of.values() if going.intersection(home.living) and not set(home.sure) - going]
    if lost:
        homes.add_wood(session)
    for home in sorted(lost, key=lambda home: naming.key(home.cultivar)):
        waiting = tuple(book.code(thing) for thing in home.waiting if thing not in going)
        if waiting and not set(home.sure) & going:
            continue
        found.append(LastCopy(home.cultivar, waiting, left_of(home.sticks.values()), left_of(home.spent.values())))
    return tuple(found)
