"""The clones of a few things read out of a large book: what they were cut from, and what came of that where it can speak.

A graft speaks for its clone where it was named or wood was cut from it; one that was not is left out unless it was asked
for, so that tags of forty grafts do not read fifty thousand.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import or_, select
from sqlmodel import Session

from graftbook.book.asking import rows
from graftbook.book.grafts import Graft
from graftbook.book.lineage import Naming
from graftbook.book.lineage_queries import BUNDLE, GRAFT, PLANT, Columns
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle, Movement


def around(session: Session, plants: Iterable[int], bundles: Iterable[int], grafts: Iterable[int]) -> Columns:
    """The things with these ids and all that bears on what they are, in the order of their numbers."""
    walk = _CloneWalk(session)
    walk.go(set(plants), set(bundles), set(grafts))
    return Columns(*(_by_number(held) for held in (walk.plants, walk.bundles, walk.grafts)))


def speaking(session: Session) -> Columns:
    """All wood, and the plants and grafts that say of it what it is: named or recorded so, cut from, or out of a mix. Every
    other graft is what its wood is."""
    plants = or_(Plant.cultivar.is_not(None), _in(Plant.id, Naming.plant_id), _in(Plant.id, Bundle.cut_plant_id))
    grafts = or_(
        _in(Graft.id, Naming.graft_id),
        _in(Graft.id, Bundle.cut_graft_id),
        _in(Graft.bundle_id, Movement.into_bundle_id),
    )
    return Columns(
        rows(session, select(*PLANT).where(plants).order_by(Plant.number)),
        rows(session, select(*BUNDLE).order_by(Bundle.number)),
        rows(session, select(*GRAFT).where(grafts).order_by(Graft.number)),
    )


def grafts_of(session: Session, bundles: Iterable[int]) -> list[tuple]:
    """The grafts made of these bundles, in the columns of `GRAFT`."""
    return [tuple(row) for row in rows(session, select(*GRAFT), Graft.bundle_id, bundles)]


def wood_of(session: Session, grafts: Iterable[int]) -> dict[int, int | None]:
    """The bundle that each of these grafts was made of, None where none was recorded."""
    return {graft: bundle for graft, bundle in rows(session, select(Graft.id, Graft.bundle_id), Graft.id, grafts)}


def _in(column: Any, other: Any) -> Any:
    return column.in_(select(other).where(other.is_not(None)))


class _CloneWalk:
    """Things found so far by their ids, and the ids still to be fetched."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.plants: dict[int, tuple] = {}
        self.bundles: dict[int, tuple] = {}
        self.grafts: dict[int, tuple] = {}

    def go(self, plants: set[int], bundles: set[int], grafts: set[int]) -> None:
        """Fetch, and what that leads to, until nothing new is met."""
        while plants or bundles or grafts:
            up: list[set[int]] = [set(), set(), set()]
            new_plants = self._take(PLANT, plants, self.plants)
            new_bundles = self._take(BUNDLE, bundles, self.bundles)
            new_grafts = self._take(GRAFT, grafts, self.grafts)
            up[0] |= {row[3] for row in new_bundles}
            up[1] |= {row[2] for row in new_grafts} | self._parts([row[0] for row in new_bundles])
            up[2] |= {row[4] for row in new_bundles} | self._speaking([row[0] for row in new_bundles])
            up[1] |= self._cut(Bundle.cut_plant_id, new_plants) | self._cut(Bundle.cut_graft_id, new_grafts)
            plants, bundles, grafts = (
                found - {None} - set(held)
                for found, held in zip(up, (self.plants, self.bundles, self.grafts), strict=True)
            )

    def _take(self, columns: Sequence[Any], ids: set[int], held: dict[int, tuple]) -> list[tuple]:
        found = [tuple(row) for row in rows(self._session, select(*columns), columns[0], ids)]
        held.update((row[0], row) for row in found)
        return found

    def _ids(self, query: Any, column: Any, ids: Sequence[int]) -> set[int]:
        return {number for (number,) in rows(self._session, query, column, ids)}

    def _parts(self, bundles: Sequence[int]) -> set[int]:
        """The bundles that were mixed into these."""
        return self._ids(select(Movement.bundle_id), Movement.into_bundle_id, bundles)

    def _speaking(self, bundles: Sequence[int]) -> set[int]:
        """The grafts of these bundles that were named, or had wood cut from them."""
        speak = or_(_in(Graft.id, Naming.graft_id), _in(Graft.id, Bundle.cut_graft_id))
        return self._ids(select(Graft.id).where(speak), Graft.bundle_id, bundles)

    def _cut(self, source: Any, held: Sequence[tuple]) -> set[int]:
        return self._ids(select(Bundle.id), source, [row[0] for row in held])


def _by_number(held: dict[int, tuple]) -> list[tuple]:
    return sorted(held.values(), key=lambda row: int(row[1][1:]))
