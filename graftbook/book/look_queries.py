"""What was seen on grafts and done for them, read for the verbs that speak of a few: by graft, by plant, by day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from sqlalchemy import false, func, or_, select
from sqlmodel import Session

from graftbook.book.asking import chunks, rows, things
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.wood import Bundle


def looks_after(session: Session, graft_ids: Iterable[int], day: date) -> dict[int, Look]:
    """The last look at each graft later than a day."""
    found: dict[int, Look] = {}
    for part in chunks(graft_ids):
        looks = things(session, Look, Look.graft_id.in_(part), Look.on > day)
        found.update((look.graft_id, look) for look in looks)
    return found


def looks_at(
    session: Session, graft_ids: Iterable[int] | None, since: date | None = None, state: str | None = None,
    limit: int | None = None,
) -> list[Look]:  # fmt: skip
    """Looks by day, oldest first; with a `limit` the newest so many. None never narrows."""
    query = select(Look)
    if graft_ids is not None:
        query = query.where(or_(false(), *(Look.graft_id.in_(part) for part in chunks(graft_ids))))
    if since is not None:
        query = query.where(Look.on >= since)
    if state is not None:
        query = query.where(Look.state == state)
    newest = session.execute(query.order_by(Look.on.desc(), Look.id.desc()).limit(limit)).scalars()
    return list(newest)[::-1]


def care_of(
    session: Session, graft_ids: Iterable[int] | None, plant_ids: Iterable[int] | None, since: date | None = None,
    limit: int | None = None,
) -> list[Care]:  # fmt: skip
    """Care done to these grafts and plants, oldest first; with a `limit` the newest so many. None never narrows."""
    found: list[Care] = []
    for column, ids in ((Care.graft_id, graft_ids), (Care.plant_id, plant_ids)):
        for condition in [column.is_not(None)] if ids is None else [column.in_(part) for part in chunks(ids)]:
            query = select(Care).where(condition).order_by(Care.on.desc(), Care.id.desc()).limit(limit)
            found += session.execute(query if since is None else query.where(Care.on >= since)).scalars()
    found.sort(key=lambda care: (care.on, care.id))
    return found if limit is None else found[-limit:]


def first_days(session: Session, graft_ids: Iterable[int]) -> dict[int, date]:
    """The first day on which something happened to each graft: a look, care, wood cut from it, a graft made on it."""
    found: dict[int, date] = {}
    sources = (
        (Look.graft_id, Look.on), (Care.graft_id, Care.on), (Bundle.cut_graft_id, Bundle.cut_on),
        (Graft.host_graft_id, Graft.made_on),
    )  # fmt: skip
    for key, day in sources:
        query = select(key, func.min(day)).where(day.is_not(None)).group_by(key)
        for graft_id, first in rows(session, query, key, graft_ids):
            found[graft_id] = min(first, found.get(graft_id, first))
    return found


def first_seen_as(session: Session, graft_id: int, state: str) -> date | None:
    """The first day on which a graft was seen in a state, None for never."""
    return session.execute(select(func.min(Look.on)).where(Look.graft_id == graft_id, Look.state == state)).scalar()


def seen_as(session: Session, graft_ids: Iterable[int], states: Sequence[str]) -> dict[int, str]:
    """Grafts that were ever seen in one of these states, with the last such state."""
    query = select(Look.graft_id, Look.state).where(Look.state.in_(states)).order_by(Look.on, Look.id)
    return dict(rows(session, query, Look.graft_id, graft_ids))
