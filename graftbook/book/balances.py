"""What a bundle has left: whole sticks, which are its movements less the sticks its grafts opened, and the stick in hand.

The stick in hand is the one last opened for a graft that named no stick, with the buds then left on it. It is in hand no
longer once a movement recorded after that graft, for its day or a later one, left no stick; or was a count that disagreed with
the book, since an opened stick may be among those counted; or took no whole stick, which is how the stick in hand itself is
given or thrown away.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from typing import Any, NamedTuple

from sqlalchemy import Select, case, func, literal, select
from sqlmodel import Session

from graftbook.book.asking import asked, columns_of, lines, rows
from graftbook.book.grafts import Graft
from graftbook.book.wood import Movement

CAME_IN = ("saved", "received", "found")


@dataclass(frozen=True)
class Balance:
    """Sticks of one bundle: taken in, opened for grafts, otherwise gone (given, discarded, mixed, count differences).

    `counted_more` is how many counts found beyond what the book had; `buds_in_hand` the buds left on the stick in hand, 0
    where none is.
    """

    came_in: int = 0
    used: int = 0
    otherwise: int = 0
    counted_more: int = 0
    buds_in_hand: int = 0

    @property
    def left(self) -> int:
        """Whole sticks left."""
        return self.came_in - self.used + self.otherwise

    @property
    def ever(self) -> int:
        """Sticks there ever were: the highest number one of them may have."""
        return self.came_in + self.counted_more

    @property
    def any_left(self) -> bool:
        """Whether a scion may still be cut: from a whole stick or from the one in hand."""
        return self.left > 0 or self.buds_in_hand > 0


def balances(
    session: Session, bundle_ids: Collection[int] | None = None, as_of: date | None = None
) -> dict[int, Balance]:
    """Balances by bundle id; None means every bundle that ever had sticks, and everything up to now."""
    came, other, more = Counter[int](), Counter[int](), Counter[int]()
    gained = func.sum(case((Movement.sticks > 0, Movement.sticks), else_=0))
    moved = select(Movement.bundle_id, Movement.kind, func.sum(Movement.sticks), gained)
    moved = _up_to(moved.group_by(Movement.bundle_id, Movement.kind), Movement.on, as_of)
    for bundle_id, kind, sticks, found in rows(session, moved, Movement.bundle_id, bundle_ids):
        (came if kind in CAME_IN else other)[bundle_id] += sticks
        if kind == "counted":
            more[bundle_id] += found
    drawn = select(Graft.bundle_id, func.sum(Graft.sticks_drawn)).group_by(Graft.bundle_id)
    drawn = _up_to(drawn.where(Graft.bundle_id.is_not(None)), Graft.made_on, as_of)
    used = dict(rows(session, drawn, Graft.bundle_id, bundle_ids))
    hands = _in_hand(session, bundle_ids, as_of)
    ids = {*came, *other, *used, *(bundle_ids if bundle_ids is not None else ())}
    return {number: Balance(*(where.get(number, 0) for where in (came, used, other, more, hands))) for number in ids}


def named_buds(session: Session, bundle_ids: Collection[int]) -> dict[int, dict[int, int]]:
    """Buds used of each stick that a graft named, by bundle id and the number of the stick."""
    query = select(Graft.bundle_id, Graft.stick, func.sum(func.coalesce(Graft.buds, 1))).where(Graft.stick.is_not(None))
    found: dict[int, dict[int, int]] = {}
    for bundle_id, stick, buds in rows(
        session, query.group_by(Graft.bundle_id, Graft.stick), Graft.bundle_id, bundle_ids
    ):
        found.setdefault(bundle_id, {})[stick] = int(buds)
    return found


@dataclass(frozen=True)
class StickFlow:
    """The sticks of one bundle day by day: what came in and went out on each day, in the order of days."""

    days: tuple[tuple[date, int], ...]

    @property
    def left(self) -> int:
        """Whole sticks left now."""
        return sum(sticks for _, sticks in self.days)

    def on(self, day: date) -> int:
        """Sticks left at the end of a day."""
        return sum(sticks for when, sticks in self.days if when <= day)

    def free_from(self, day: date) -> int:
        """The most sticks that may go on a day without the balance falling below zero then or on any later day."""
        return min(accumulate((sticks for when, sticks in self.days if when > day), initial=self.on(day)))


def flow(session: Session, bundle_id: int) -> StickFlow:
    """What moved in and out of a bundle, its grafts among it."""
    days: dict[date, int] = {}
    for event in _events(session, [bundle_id], None):
        days[event.on] = days.get(event.on, 0) + event.sticks
    return StickFlow(tuple(sorted(days.items())))


class _Event(NamedTuple):
    bundle_id: int
    on: date
    uid: str
    kind: str
    sticks: int


def _events(session: Session, ids: Collection[int] | None, as_of: date | None) -> list[_Event]:
    """Every movement of these bundles and every graft of them, by day and on one day as they were recorded."""
    moved = _up_to(select(*columns_of(_Event, Movement)), Movement.on, as_of)
    used = select(Graft.bundle_id, Graft.made_on, Graft.uid, literal("grafted"), -Graft.sticks_drawn)
    found = lines(session, _Event, moved, Movement.bundle_id, ids)
    found += lines(session, _Event, _up_to(used, Graft.made_on, as_of), Graft.bundle_id, ids)
    return sorted(found, key=lambda event: (event.on, event.uid))


def _in_hand(session: Session, ids: Collection[int] | None, as_of: date | None) -> dict[int, int]:
    """Buds left on the stick in hand of each bundle that has one."""
    newest = _up_to(select(func.max(Graft.uid)).where(Graft.stick.is_(None)), Graft.made_on, as_of)
    query = select(Graft.bundle_id, Graft.made_on, Graft.uid, Graft.buds_left).where(Graft.buds_left > 0)
    found = [query.where(Graft.uid.in_(last)) for last in asked(newest.group_by(Graft.bundle_id), Graft.bundle_id, ids)]
    open_sticks = {row.bundle_id: row for last in found for row in rows(session, last) if row.bundle_id is not None}
    went = _up_to(select(Movement.bundle_id).distinct().where(Movement.kind.not_in(CAME_IN)), Movement.on, as_of)
    moved = {number for (number,) in rows(session, went, Movement.bundle_id, ids) if number in open_sticks}
    left = dict.fromkeys(moved, 0)
    hands = {bundle_id: row.buds_left for bundle_id, row in open_sticks.items()}
    for event in _events(session, moved, as_of):
        left[event.bundle_id] += event.sticks
        if _takes_hand(event, open_sticks[event.bundle_id], left[event.bundle_id]):
            hands.pop(event.bundle_id, None)
    return hands


def _takes_hand(event: _Event, graft: Any, left: int) -> bool:
    if event.uid <= graft.uid or event.on < graft.made_on or event.kind in ("grafted", *CAME_IN):
        return False
    return left <= 0 or (event.sticks != 0 if event.kind == "counted" else event.sticks == 0)


def _up_to(query: Select, column: Any, as_of: date | None) -> Select:
    return query if as_of is None else query.where(column <= as_of)
