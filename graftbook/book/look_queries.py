"""What was seen on grafts and done for them, read for the verbs that speak of a few: by graft, by plant, by day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from sqlalchemy import false, or_, select
from sqlmodel import Session

from graftbook.book.asking import chunks, day_spans, rows
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.wood import Bundle


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
    sources = (
        (Look.graft_id, Look.on), (Care.graft_id, Care.on), (Bundle.cut_graft_id, Bundle.cut_on),
        (Graft.host_graft_id, Graft.made_on),
    )  # fmt: skip
    return {graft_id: first for graft_id, (first, _) in day_spans(session, sources, graft_ids).items()}


def seen_as(session: Session, graft_ids: Iterable[int], states: Sequence[str]) -> dict[int, str]:
    """Grafts that were ever seen in one of these states, with the last such state."""
    query = select(Look.graft_id, Look.state).where(Look.state.in_(states)).order_by(Look.on, Look.id)
    return dict(rows(session, query, Look.graft_id, graft_ids))
