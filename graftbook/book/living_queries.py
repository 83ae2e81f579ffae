"""What tells whether things live, one query each, in plain typed rows: the last look at each graft, what went home, whose
stock was seen dead. The rule laid on them is that of graftbook.actions.outcome.alive."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, func, select
from sqlmodel import Session

from graftbook.book.graft_queries import chunks
from graftbook.book.grafts import Care, Look
from graftbook.book.plants import Plant

_LOOK: Any = Look
_CARE: Any = Care
_PLANT: Any = Plant


class LastLook(NamedTuple):
    """The last look at a graft up to a day. Lengths in mm; None where nothing was said."""

    graft_id: int
    on: date
    state: str
    shoot_mm: float | None
    cause: str | None
    union_fault: str | None


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
    for part in _parts(graft_ids):
        found |= _last_looks(session, as_of, part, since)
    return found


def _last_looks(session: Session, as_of: date, ids: list[int] | None, since: date | None) -> dict[int, LastLook]:
    within = [_LOOK.on <= as_of, *([_LOOK.on >= since] if since is not None else [])]
    within += [_LOOK.graft_id.in_(ids)] if ids is not None else []
    newest = select(_LOOK.graft_id, func.max(_LOOK.on).label("day")).where(*within).group_by(_LOOK.graft_id).subquery()
    query = (
        select(*(getattr(_LOOK, name) for name in LastLook._fields))
        .join(newest, (_LOOK.graft_id == newest.c.graft_id) & (_LOOK.on == newest.c.day))
        .order_by(_LOOK.id)
    )
    return {row[0]: LastLook._make(row) for row in session.connection().execute(query).all()}


def last_found(session: Session, as_of: date, graft_ids: Iterable[int]) -> dict[int, LastLook]:
    """Of each of these grafts the last look up to a day that found it; those never found are absent."""
    found: dict[int, LastLook] = {}
    for part in chunks(graft_ids):
        query = (
            select(*(getattr(_LOOK, name) for name in LastLook._fields))
            .where(_is_in(_LOOK.graft_id, part), _LOOK.on <= as_of, _LOOK.state != "not-found")
            .order_by(_LOOK.on, _LOOK.id)
        )
        found |= {row[0]: LastLook._make(row) for row in session.connection().execute(query).all()}
    return found


def seen_growing(session: Session, as_of: date, graft_ids: Iterable[int] | None = None) -> frozenset[int]:
    """Ids of the grafts, among these (None: of all), ever seen growing up to a day."""
    query = select(_LOOK.graft_id).where(_LOOK.state == "growing", _LOOK.on <= as_of).distinct()
    found: set[int] = set()
    for part in _parts(graft_ids):
        asked = query if part is None else query.where(_is_in(_LOOK.graft_id, part))
        found |= set(session.connection().execute(asked).scalars())
    return frozenset(found)


def went_home(session: Session, as_of: date) -> WentHome:
    """When plants and grafts last went home, up to a day."""
    found = WentHome({}, {})
    query = select(_CARE.plant_id, _CARE.graft_id, _CARE.on).where(_CARE.what == "gone-home", _CARE.on <= as_of)
    for plant_id, graft_id, on in session.connection().execute(query.order_by(_CARE.on)):
        if plant_id is not None:
            found.plants[plant_id] = on
        else:
            found.grafts[graft_id] = on
    return found


def died(session: Session, as_of: date) -> frozenset[int]:
    """Ids of the plants recorded dead by a day."""
    return frozenset(session.connection().execute(select(_PLANT.id).where(_PLANT.died_on <= as_of)).scalars())


def last_cared_for(session: Session, plant_ids: Iterable[int], as_of: date) -> dict[int, date]:
    """The last day up to a day on which anything but going home was done to each of these plants itself."""
    found: dict[int, date] = {}
    for part in chunks(plant_ids):
        query = select(_CARE.plant_id, func.max(_CARE.on)).where(
            _CARE.plant_id.in_(part), _CARE.what != "gone-home", _CARE.on <= as_of
        )
        found |= {plant_id: on for plant_id, on in session.connection().execute(query.group_by(_CARE.plant_id))}
    return found


def rooted(session: Session, plant_ids: Iterable[int] | None = None) -> dict[int, Rooted]:
    """These plants (None: every one) by id, in the order of their numbers where all are asked for."""
    found: dict[int, Rooted] = {}
    for part in _parts(plant_ids):
        query = select(*(getattr(_PLANT, name) for name in Rooted._fields)).order_by(_PLANT.number)
        asked = query if part is None else query.where(_is_in(_PLANT.id, part))
        found |= {row[0]: Rooted._make(row) for row in session.connection().execute(asked).all()}
    return found


def stock_fates(session: Session, as_of: date, graft_ids: Iterable[int] | None = None) -> list[tuple[int, date, str]]:
    """What looks up to a day at these grafts (None: at any) said of their stock, oldest first: graft id, day, fate."""
    found: list[tuple[date, int, int, str]] = []
    for part in _parts(graft_ids):
        query = select(_LOOK.on, _LOOK.id, _LOOK.graft_id, _LOOK.stock_fate).where(
            _LOOK.on <= as_of, _LOOK.stock_fate.is_not(None)
        )
        asked = query if part is None else query.where(_is_in(_LOOK.graft_id, part))
        found += [(on, number, graft_id, fate) for on, number, graft_id, fate in session.connection().execute(asked)]
    return [(graft_id, on, fate) for on, _, graft_id, fate in sorted(found)]


def _parts(ids: Iterable[int] | None) -> Iterator[list[int] | None]:
    if ids is None:
        yield None
    else:
        yield from chunks(ids)


def _is_in(column: Any, ids: list[int]) -> ColumnElement[bool]:
    return column.in_(ids)
