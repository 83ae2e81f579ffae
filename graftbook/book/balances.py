"""How many sticks a bundle has left: the sum of its movements less the sticks its grafts opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

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


def balances(
    session: Session, bundle_ids: Sequence[int] | None = None, as_of: date | None = None
) -> dict[int, Balance]:
    """Balances by bundle id; None means every bundle that ever had sticks, and everything up to now."""
    came: dict[int, int] = {}
    other: dict[int, int] = {}
    for bundle_id, kind, sticks in _sums(session, bundle_ids, as_of):
        where = came if kind in ("saved", "received", "found") else other
        where[bundle_id] = where.get(bundle_id, 0) + sticks
    used = {number: sticks for number, sticks in _used(session, bundle_ids, as_of) if number is not None}
    ids = set(came) | set(other) | set(used) | set(bundle_ids or ())
    return {number: Balance(came.get(number, 0), used.get(number, 0), other.get(number, 0)) for number in ids}


def _sums(session: Session, ids: Sequence[int] | None, as_of: date | None):
    query = select(Movement.bundle_id, Movement.kind, func.sum(Movement.sticks))
    if as_of is not None:
        query = query.where(Movement.on <= as_of)
    for part in _chunks(ids):
        wanted = query if part is None else query.where(Movement.bundle_id.in_(part))
        yield from session.execute(wanted.group_by(Movement.bundle_id, Movement.kind))


def _used(session: Session, ids: Sequence[int] | None, as_of: date | None):
    query = select(Graft.bundle_id, func.sum(Graft.sticks_drawn))
    if as_of is not None:
        query = query.where(Graft.made_on <= as_of)
    for part in _chunks(ids):
        wanted = query if part is None else query.where(Graft.bundle_id.in_(part))
        yield from session.execute(wanted.group_by(Graft.bundle_id))


def _chunks(ids: Sequence[int] | None):
    if ids is None:
        yield None
    else:
        for start in range(0, len(ids), CHUNK):
            yield list(ids)[start : start + CHUNK]
