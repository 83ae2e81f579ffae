"""What stands on what: grafts on plants and on grafts, and the plant at the foot of each stack."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, NamedTuple

from sqlalchemy import Select, select
from sqlmodel import Session

from graftbook.book.graft_queries import chunks, foot
from graftbook.book.grafts import Graft

_GRAFT: Any = Graft


class OnHost(NamedTuple):
    """A graft and what it was made on: a plant, or a graft where `host_plant_id` is None."""

    id: int
    code: str
    made_on: date
    host_plant_id: int | None
    host_graft_id: int | None


def on_host(graft: Graft) -> OnHost:
    """A graft of the book as a row of what stands on what."""
    return OnHost(graft.id or 0, graft.code, graft.made_on, graft.host_plant_id, graft.host_graft_id)


def feet_of_stacked(session: Session) -> dict[int, int]:
    """Id of the plant at the foot of every graft that stands on a graft; those on a plant itself are absent."""
    upper = select(_GRAFT.host_graft_id).where(_GRAFT.host_graft_id.is_not(None))
    stacked = _GRAFT.host_graft_id.is_not(None) | _GRAFT.id.in_(upper)
    grafts = {row.id: row for row in _rows(session, select(*_columns()).where(stacked))}
    return {row.id: foot(row, grafts) for row in grafts.values() if row.host_plant_id is None}


def on_hosts(session: Session, made_from: date | None = None) -> list[OnHost]:
    """Every graft, by number; `made_from` leaves out those made before that nothing stands on."""
    query = select(*_columns()).order_by(_GRAFT.number)
    if made_from is not None:
        under_others = _GRAFT.id.in_(select(_GRAFT.host_graft_id).where(_GRAFT.host_graft_id.is_not(None)))
        query = query.where((_GRAFT.made_on >= made_from) | under_others)
    return _rows(session, query)


def on_plants(session: Session, plant_ids: Iterable[int]) -> list[OnHost]:
    """Every graft at whose foot one of these plants is."""
    found: list[OnHost] = []
    level, column = list(plant_ids), _GRAFT.host_plant_id
    while level:
        rows = [row for part in chunks(level) for row in _rows(session, _where(column, part))]
        found += rows
        level, column = [row.id for row in rows], _GRAFT.host_graft_id
    return found


def under(session: Session, graft_ids: Iterable[int]) -> dict[int, OnHost]:
    """These grafts and every graft under them, by id."""
    found: dict[int, OnHost] = {}
    level = set(graft_ids)
    while level:
        rows = [row for part in chunks(level) for row in _rows(session, _where(_GRAFT.id, part))]
        found |= {row.id: row for row in rows}
        level = {row.host_graft_id for row in rows if row.host_graft_id is not None} - set(found)
    return found


def _columns() -> list[Any]:
    return [getattr(_GRAFT, name) for name in OnHost._fields]


def _where(column: Any, ids: list[int]) -> Select[Any]:
    return select(*_columns()).where(column.in_(ids))


def _rows(session: Session, query: Select[Any]) -> list[OnHost]:
    return [OnHost._make(row) for row in session.connection().execute(query).all()]
