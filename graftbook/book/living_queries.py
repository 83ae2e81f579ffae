"""What tells whether things live, one query each, in plain typed rows: the last look at each graft, what went home, whose
stock was seen dead. The rule laid on them is that of graftbook.actions.outcome.alive."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from sqlalchemy import func, select
from sqlmodel import Session

from graftbook.book.asking import chunks, columns_of, lines, rows
from graftbook.book.grafts import Care, Look
from graftbook.book.plants import Plant


class LastLook(NamedTuple):
    """The last look at a graft up to a day."""

    graft_id: int
    on: date
    state: str


class Rooted(NamedTuple):
    """A plant: what it is, where it stands, since when it is here (None: not known) and dead (None: it lives)."""

    id: int
    number: int
    code: str
    kind: str
    cultivar: str | None
    place: str | None
    row: str | None
    order: int | None
    acquired_on: date | None
    died_on: date | None


class WentHome(NamedTuple):
    """The last day each plant and each graft went to somebody else's home, by their ids."""

    plants: dict[int, date]
    grafts: dict[int, date]


def last_looks(
    session: Session, as_of: date, graft_ids: Iterable[int] | None = None, since: date | None = None
) -> dict[int, LastLook]:
    """The last look up to a day at each graft (None: at every one), by its id; those not looked at are absent.

    Of two looks on a day the one written later is the last. `since` leaves looks of earlier days out.
    """
    found: dict[int, LastLook] = {}
    for part in [None] if graft_ids is None else chunks(graft_ids):
        within = [Look.on <= as_of, *([Look.on >= since] if since is not None else [])]
        within += [Look.graft_id.in_(part)] if part is not None else []
        newest = select(Look.graft_id, func.max(Look.on).label("day")).where(*within).group_by(Look.graft_id).subquery()
        at_newest = (Look.graft_id == newest.c.graft_id) & (Look.on == newest.c.day)
        query = select(*columns_of(LastLook, Look)).join(newest, at_newest).order_by(Look.id)
        found |= {look.graft_id: look for look in lines(session, LastLook, query)}
    return found


def last_found(session: Session, as_of: date, graft_ids: Iterable[int]) -> dict[int, LastLook]:
    """Of each of these grafts the last look up to a day that found it; those never found are absent."""
    query = select(*columns_of(LastLook, Look)).where(Look.on <= as_of, Look.state != "not-found")
    found = lines(session, LastLook, query.order_by(Look.on, Look.id), Look.graft_id, graft_ids)
    return {look.graft_id: look for look in found}


def seen_growing(session: Session, as_of: date, graft_ids: Iterable[int] | None = None) -> frozenset[int]:
    """Ids of the grafts, among these (None: of all), ever seen growing up to a day."""
    query = select(Look.graft_id).where(Look.state == "growing", Look.on <= as_of).distinct()
    return frozenset(graft_id for (graft_id,) in rows(session, query, Look.graft_id, graft_ids))


def went_home(session: Session, as_of: date) -> WentHome:
    """When plants and grafts last went home, up to a day."""
    found = WentHome({}, {})
    query = select(Care.plant_id, Care.graft_id, Care.on).where(Care.what == "gone-home", Care.on <= as_of)
    for plant_id, graft_id, on in rows(session, query.order_by(Care.on)):
        if plant_id is not None:
            found.plants[plant_id] = on
        else:
            found.grafts[graft_id] = on
    return found


def died(session: Session, as_of: date) -> frozenset[int]:
    """Ids of the plants recorded dead by a day."""
    return frozenset(plant_id for (plant_id,) in rows(session, select(Plant.id).where(Plant.died_on <= as_of)))


def last_cared_for(session: Session, plant_ids: Iterable[int], as_of: date) -> dict[int, date]:
    """The last day up to a day on which anything but going home was done to each of these plants itself."""
    query = select(Care.plant_id, func.max(Care.on)).where(Care.what != "gone-home", Care.on <= as_of)
    return dict(rows(session, query.group_by(Care.plant_id), Care.plant_id, plant_ids))


def rooted(session: Session, plant_ids: Iterable[int] | None = None) -> dict[int, Rooted]:
    """These plants (None: every one) by id, in the order of their numbers where all are asked for."""
    query = select(*columns_of(Rooted, Plant)).order_by(Plant.number)
    return {plant.id: plant for plant in lines(session, Rooted, query, Plant.id, plant_ids)}


def stock_fates(session: Session, as_of: date, graft_ids: Iterable[int] | None = None) -> list[tuple[int, date, str]]:
    """What looks up to a day at these grafts (None: at any) said of their stock, oldest first: graft id, day, fate."""
    query = select(Look.on, Look.id, Look.graft_id, Look.stock_fate)
    query = query.where(Look.on <= as_of, Look.stock_fate.is_not(None))
    found = sorted(map(tuple, rows(session, query, Look.graft_id, graft_ids)))
    return [(graft_id, on, fate) for on, _, graft_id, fate in found]
