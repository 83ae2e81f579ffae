"""What stands on what: grafts on plants and on grafts, and the plant at the foot of each stack."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple, Protocol

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.asking import columns_of, lines
from graftbook.book.graft_queries import Hosted, foot
from graftbook.book.grafts import Graft


class GraftOnHost(Hosted, Protocol):
    """A graft and what it was made on."""

    @property
    def id(self) -> int: ...
    @property
    def code(self) -> str: ...
    @property
    def made_on(self) -> date: ...


class OnHost(NamedTuple):
    """The same as a row of the book."""

    id: int
    code: str
    made_on: date
    host_plant_id: int | None
    host_graft_id: int | None


_COLUMNS = columns_of(OnHost, Graft)


def on_host(graft: Graft) -> OnHost:
    """A graft of the book as a row of what stands on what."""
    return OnHost(graft.id or 0, graft.code, graft.made_on, graft.host_plant_id, graft.host_graft_id)


def feet_of_stacked(session: Session) -> dict[int, int]:
    """Id of the plant at the foot of every graft that stands on a graft; those on a plant itself are absent."""
    upper = select(Graft.host_graft_id).where(Graft.host_graft_id.is_not(None))
    stacked = Graft.host_graft_id.is_not(None) | Graft.id.in_(upper)
    grafts = {row.id: row for row in lines(session, OnHost, select(*_COLUMNS).where(stacked))}
    return {row.id: foot(row, grafts) for row in grafts.values() if row.host_plant_id is None}


def on_hosts(session: Session) -> list[OnHost]:
    """Every graft, by number."""
    return lines(session, OnHost, select(*_COLUMNS).order_by(Graft.number))


def grafted_on(session: Session, before: date) -> list[OnHost]:
    """The grafts made before a day that any graft stands on."""
    upper = select(Graft.host_graft_id).where(Graft.host_graft_id.is_not(None))
    return lines(session, OnHost, select(*_COLUMNS).where(Graft.made_on < before, Graft.id.in_(upper)))


def on_plants(session: Session, plant_ids: Iterable[int], graft_ids: Iterable[int] = ()) -> list[OnHost]:
    """Every graft at whose foot one of these plants is, and every graft on these grafts."""
    found = lines(session, OnHost, select(*_COLUMNS), Graft.host_plant_id, plant_ids)
    level = [*(row.id for row in found), *graft_ids]
    while level:
        rows = lines(session, OnHost, select(*_COLUMNS), Graft.host_graft_id, level)
        found += rows
        level = [row.id for row in rows]
    return found


def under(session: Session, graft_ids: Iterable[int]) -> dict[int, OnHost]:
    """These grafts and every graft under them, by id."""
    found: dict[int, OnHost] = {}
    level = set(graft_ids)
    while level:
        rows = lines(session, OnHost, select(*_COLUMNS), Graft.id, level)
        found |= {row.id: row for row in rows}
        level = {row.host_graft_id for row in rows if row.host_graft_id is not None} - set(found)
    return found
