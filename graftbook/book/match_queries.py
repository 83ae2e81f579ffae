"""What match asks of the book, in bulk: the bundles, and how each looked in store."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.asking import rows, things
from graftbook.book.wood import Bundle, Inspection


def inspections(session: Session, as_of: date) -> dict[int, list[tuple[date, str]]]:
    """What each bundle looked like in store, by bundle id, oldest first."""
    seen: dict[int, list[tuple[date, str]]] = {}
    query = select(Inspection.bundle_id, Inspection.on, Inspection.condition).where(Inspection.on <= as_of)
    for bundle_id, on, condition in rows(session, query.order_by(Inspection.on, Inspection.id)):
        seen.setdefault(bundle_id, []).append((on, condition))
    return seen


def bundles(session: Session) -> Sequence[Bundle]:
    """Every bundle, by number."""
    return things(session, Bundle)
