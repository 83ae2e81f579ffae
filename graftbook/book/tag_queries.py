"""Runs of tags, codes given out ahead, and the grower's own media and printers, read back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.asking import rows, things
from graftbook.book.grafts import Care, Graft
from graftbook.book.ledger import OwnRow
from graftbook.book.tags import ReservedCode, TagRun
from graftbook.book.wood import Bundle

# The words of care that speak of a tag.
TAG_WORDS = ("lasting-tag", "tag-missing", "tag-illegible")


def run(session: Session, number: int) -> TagRun | None:
    """One run by its number, None when there is none."""
    return session.execute(select(TagRun).where(TagRun.number == number)).scalar_one_or_none()


def runs(session: Session, limit: int | None = None) -> Sequence[TagRun]:
    """Runs, newest first; every one when `limit` is None."""
    query = select(TagRun).order_by(TagRun.number.desc())
    return list(session.execute(query if limit is None else query.limit(limit)).scalars())


def unused(session: Session) -> Sequence[tuple[str, date, str | None]]:
    """Codes given out ahead that no graft has yet, oldest first: code, day, what for."""
    query = (
        select(ReservedCode.code, ReservedCode.on, ReservedCode.purpose)
        .outerjoin(Graft, Graft.code == ReservedCode.code)
        .where(Graft.id.is_(None))
        .order_by(ReservedCode.id)
    )
    return [tuple(row) for row in rows(session, query)]


def own_rows(session: Session, table: str) -> Sequence[OwnRow]:
    """The grower's own media or printers, oldest first."""
    return things(session, OwnRow, OwnRow.trade_table == table)


class Mark(NamedTuple):
    """Something done or noted about a tag: on which day, what, and the uid of the record, which tells two on a day apart."""

    on: date
    uid: str
    what: str


def tag_marks(session: Session, as_of: date) -> dict[str, list[Mark]]:
    """Lasting tags put on, tags missing or illegible, up to a day, under `P` and `G` with the id of what carries the tag,
    such as `G17`; what was noted of a plant stands under the plant."""
    query = (
        select(Care.graft_id, Care.plant_id, Care.on, Care.uid, Care.what)
        .where(Care.on <= as_of, Care.what.in_(TAG_WORDS))
        .order_by(Care.on, Care.uid)
    )
    found: dict[str, list[Mark]] = {}
    for graft_id, plant_id, on, uid, what in rows(session, query):
        found.setdefault(f"G{graft_id}" if graft_id is not None else f"P{plant_id}", []).append(Mark(on, uid, what))
    return found


def stores(session: Session) -> list[tuple[str, int, str | None]]:
    """Every bundle by number: its code, its id and the store it lies in."""
    query = select(Bundle.code, Bundle.id, Bundle.store).order_by(Bundle.number)
    return [tuple(row) for row in rows(session, query)]
