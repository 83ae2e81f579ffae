"""Bundles of wood read for lists and pages: their movements, what was seen of them, the grafts that used them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import aliased
from sqlmodel import Session

from graftbook.book.asking import rows, things
from graftbook.book.grafts import Graft
from graftbook.book.ledger import CautionNote
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle, Inspection, Movement, Stay

_HostGraft = aliased(Graft)


def first_days(session: Session, bundle_ids: Sequence[int]) -> dict[int, date]:
    """The day each bundle's first sticks came in."""
    query = select(Movement.bundle_id, func.min(Movement.on)).where(Movement.kind.in_(("saved", "received")))
    return dict(rows(session, query.group_by(Movement.bundle_id), Movement.bundle_id, bundle_ids))


def movements(session: Session, bundle_id: int) -> list[Movement]:
    """Every movement of a bundle, in the order of days."""
    return things(session, Movement, Movement.bundle_id == bundle_id)


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


def inspections_of(session: Session, bundle_id: int) -> list[Inspection]:
    """Every look at a bundle in store, in the order of days."""
    return things(session, Inspection, Inspection.bundle_id == bundle_id)


def stays_of(session: Session, bundle_id: int) -> list[Stay]:
    """Where a bundle was kept, in the order of days; empty for one that was never moved."""
    return things(session, Stay, Stay.bundle_id == bundle_id)


def temperatures(session: Session) -> dict[int, list[tuple[date, float | None]]]:
    """From which day on each bundle that was moved was kept how warm, in the order of days; others are absent."""
    found: dict[int, list[tuple[date, float | None]]] = {}
    query = select(Stay.bundle_id, Stay.on, Stay.temperature_c).order_by(Stay.on, Stay.id)
    for bundle_id, on, degrees in rows(session, query):
        found.setdefault(bundle_id, []).append((on, degrees))
    return found


def grafts_from(session: Session, bundle_id: int) -> list[tuple[Graft, str | None]]:
    """Every graft a bundle was used for, by number, with the code of what it stands on."""
    query = (
        select(Graft, Plant.code, _HostGraft.code)
        .outerjoin(Plant, Graft.host_plant_id == Plant.id)
        .outerjoin(_HostGraft, Graft.host_graft_id == _HostGraft.id)
        .where(Graft.bundle_id == bundle_id)
        .order_by(Graft.number)
    )
    return [(graft, plant or host) for graft, plant, host in session.execute(query)]


def bundle_lines(session: Session) -> list[Any]:
    """Every bundle by number, as columns with the code of the plant or graft it was cut from."""
    query = (
        select(
            Bundle.id, Bundle.code, Bundle.cultivar, Bundle.taxon, Bundle.donor, Bundle.received_on, Bundle.cut_on,
            Bundle.store, Bundle.packing, Bundle.temperature_c, Bundle.length_mm, Bundle.diameter_min_mm,
            Bundle.diameter_max_mm, Bundle.buds_per_stick, Bundle.wood_kind, Plant.code.label("cut_plant"),
            _HostGraft.code.label("cut_graft"),
        )
        .outerjoin(Plant, Bundle.cut_plant_id == Plant.id)
        .outerjoin(_HostGraft, Bundle.cut_graft_id == _HostGraft.id)
        .order_by(Bundle.number)
    )  # fmt: skip
    return rows(session, query)


def sticks_gone(session: Session, bundle_ids: Sequence[int]) -> dict[int, dict[int, str]]:
    """How sticks were given away by their numbers, in words, by bundle id and stick; bundles without any are absent."""
    query = select(Movement.bundle_id, Movement.stick, Movement.receiver, Movement.on).where(
        Movement.stick.is_not(None), Movement.kind == "given"
    )
    found: dict[int, dict[int, str]] = {}
    for bundle_id, stick, receiver, on in rows(session, query, Movement.bundle_id, bundle_ids):
        found.setdefault(bundle_id, {})[stick] = f"given to {receiver} on {on.isoformat()}"
    return found


def stick_opened(session: Session, bundle_id: int, stick: int) -> str | None:
    """The graft a stick was opened for, in words; None where it was not."""
    query = select(Graft.code, Graft.made_on).where(Graft.bundle_id == bundle_id, Graft.stick == stick)
    row = session.execute(query.order_by(Graft.id).limit(1)).first()
    return None if row is None else f"opened for {row.code} on {row.made_on.isoformat()}"


def any_stored_since(session: Session, day: date) -> bool:
    """Whether any bundle was put in store on or after a day."""
    return session.execute(select(Bundle.id).where(Bundle.stored_on >= day).limit(1)).scalar() is not None


def donors(session: Session) -> dict[str, int]:
    """Everyone wood was received from, and how many bundles of it, in the order of their first."""
    query = select(Bundle.donor, func.count()).where(Bundle.donor.is_not(None)).group_by(Bundle.donor)
    return dict(map(tuple, rows(session, query.order_by(func.min(Bundle.number)))))


def is_suspect(session: Session, plant_id: int, on: date) -> bool:
    """Whether the newest health note on a plant up to a day calls it suspect."""
    query = (
        select(CautionNote.status).where(CautionNote.plant_id == plant_id, CautionNote.kind == "health", CautionNote.on <= on)
        .order_by(CautionNote.on.desc(), CautionNote.id.desc()).limit(1)
    )  # fmt: skip
    return session.execute(query).scalar() == "suspect"
