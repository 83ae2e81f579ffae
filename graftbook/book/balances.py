"""How many sticks a bundle has left: the sum of its movements less the sticks its grafts opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import func, select
from sqlmodel import Session

from graftbook.book.grafts import Graft
from graftbook.book.unit import CHUNK
from graftbook.book.wood import Movement


@dataclass(frozen=True)
class Balance:
    """Sticks of one bundle: taken in, opened for grafts, otherwise gone (given, discarded, count differences), left."""

    came_in: int
    used: int
    otherwise: int

    @property
    def left(self) -> int:
        """Sticks left."""
        return self.came_in - self.used + self.otherwise


def balances(session: Session, bundle_ids: Sequence[int] | None = None) -> dict[int, Balance]:
    """Balances by bundle id; None means every bundle that ever had sticks."""
    came: dict[int, int] = {}
    other: dict[int, int] = {}
    for bundle_id, kind, sticks in _sums(session, Movement.bundle_id, Movement.kind, Movement.sticks, bundle_ids):
        where = came if kind in ("saved", "received", "found") else other
        where[bundle_id] = where.get(bundle_id, 0) + sticks
    used = {
        bundle_id: sticks
        for bundle_id, sticks in _used(session, bundle_ids)
        if bundle_id is not None and sticks is not None
    }
    ids = set(came) | set(other) | set(used) | set(bundle_ids or ())
    return {number: Balance(came.get(number, 0), used.get(number, 0), other.get(number, 0)) for number in ids}


def _sums(session, key, kind, amount, ids):
    query = select(key, kind, func.sum(amount)).group_by(key, kind)
    for part in _chunks(ids):
        yield from session.execute(query if part is None else query.where(key.in_(part)))


def _used(session, ids):
    query = select(Graft.bundle_id, func.sum(Graft.sticks_drawn)).group_by(Graft.bundle_id)
    for part in _chunks(ids):
        yield from session.execute(query if part is None else query.where(Graft.bundle_id.in_(part)))


def _chunks(ids: Sequence[int] | None):
    if ids is None:
        yield None
    else:
        for start in range(0, len(ids), CHUNK):
            yield list(ids)[start : start + CHUNK]
