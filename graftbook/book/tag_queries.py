"""Runs of tags, codes given out ahead, and the grower's own media and printers, read back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import func, select
from sqlmodel import Session

from graftbook.book.grafts import Care, Graft
from graftbook.book.ledger import OwnRow
from graftbook.book.plants import Plant
from graftbook.book.tags import ReservedCode, TagRun
from graftbook.book.wood import Bundle


def run_numbers(session: Session) -> set[int]:
    """The numbers of every run."""
    return set(session.execute(select(TagRun.number)).scalars())


def next_run(session: Session) -> int:
    """The number of the next run."""
    return (session.execute(select(func.max(TagRun.number))).scalar() or 0) + 1


def run(session: Session, number: int) -> TagRun | None:
    """One run by its number, None when there is none."""
    return session.execute(select(TagRun).where(TagRun.number == number)).scalar_one_or_none()


def runs(session: Session, limit: int | None = None) -> Sequence[TagRun]:
    """Runs, newest first; every one when `limit` is None."""
    query = select(TagRun).order_by(TagRun.number.desc())
    return list(session.execute(query if limit is None else query.limit(limit)).scalars())


def reserved_codes(session: Session) -> set[str]:
    """Every code ever given out ahead."""
    return set(session.execute(select(ReservedCode.code)).scalars())


def unused(session: Session) -> Sequence[tuple[str, date, str | None]]:
    """Codes given out ahead that no graft has yet, oldest first: code, day, what for."""
    query = (
        select(ReservedCode.code, ReservedCode.on, ReservedCode.purpose)
        .outerjoin(Graft, Graft.code == ReservedCode.code)
        .where(Graft.id.is_(None))
        .order_by(ReservedCode.id)
    )
    return [tuple(row) for row in session.execute(query)]


def own_rows(session: Session, table: str) -> Sequence[OwnRow]:
    """The grower's own media or printers, oldest first."""
    return list(session.execute(select(OwnRow).where(OwnRow.trade_table == table).order_by(OwnRow.id)).scalars())


def tag_cares(session: Session, as_of: date) -> dict[int, tuple[date, str]]:
    """The last thing done or noted about the tag of each graft: a lasting tag put on, a tag missing or illegible."""
    query = (
        select(Care.graft_id, Care.on, Care.what)
        .where(Care.graft_id.is_not(None), Care.on <= as_of)
        .where(Care.what.in_(("lasting-tag", "tag-missing", "tag-illegible")))
        .order_by(Care.on, Care.id)
    )
    return {graft_id: (on, what) for graft_id, on, what in session.connection().execute(query)}


def standing(session: Session) -> Sequence[Any]:
    """Every graft with what is needed to walk to it: id, code, made on, method, cultivar, place, row, order, host died."""
    query = (
        select(
            Graft.id, Graft.code, Graft.made_on, Graft.method, Bundle.cultivar, func.coalesce(Graft.place, Plant.place),
            Plant.row, Plant.order, Plant.died_on,
        )
        .outerjoin(Bundle, Graft.bundle_id == Bundle.id)
        .outerjoin(Plant, Graft.host_plant_id == Plant.id)
        .order_by(Graft.number)
    )  # fmt: skip
    return list(session.connection().execute(query))
