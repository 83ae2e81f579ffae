"""What match asks of the book, in bulk: inspections by bundle, and which plants carry a graft that is still open."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.grafts import Graft, Look
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle, Inspection

ENDED = frozenset({"dead", "not-set", "not-found"})


def inspections(session: Session, as_of: date) -> dict[int, list[tuple[date, str]]]:
    """What each bundle looked like in store, by bundle id, oldest first."""
    seen: dict[int, list[tuple[date, str]]] = {}
    query = select(Inspection.bundle_id, Inspection.on, Inspection.condition).where(Inspection.on <= as_of)
    for bundle_id, on, condition in session.execute(query.order_by(Inspection.on, Inspection.id)):
        seen.setdefault(bundle_id, []).append((on, condition))
    return seen


def open_hosts(session: Session, as_of: date) -> frozenset[int]:
    """Ids of plants that carry a graft whose last look, if any, is not an end."""
    last: dict[int, str] = {}
    query = select(Look.graft_id, Look.state).where(Look.on <= as_of).order_by(Look.on, Look.id)
    for graft_id, state in session.execute(query):
        last[graft_id] = state
    hosts = session.execute(select(Graft.id, Graft.host_plant_id).where(Graft.made_on <= as_of))
    return frozenset(host for graft_id, host in hosts if host is not None and last.get(graft_id) not in ENDED)


def living_stocks(session: Session, as_of: date, free_of: frozenset[int]) -> Sequence[Plant]:
    """Stocks alive on a day and not among the ids given, by number."""
    query = select(Plant).where(Plant.kind == "stock", Plant.died_on.is_(None) | (Plant.died_on > as_of))
    return [plant for plant in session.execute(query.order_by(Plant.number)).scalars() if plant.id not in free_of]


def bundles(session: Session) -> Sequence[Bundle]:
    """Every bundle, by number."""
    return list(session.execute(select(Bundle).order_by(Bundle.number)).scalars())
