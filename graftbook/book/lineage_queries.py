"""The threads of the whole book read in bulk, as columns; namings, synonyms, people and requests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import aliased
from sqlmodel import Session

from graftbook.book.grafts import Graft
from graftbook.book.lineage import Naming, Person, Synonym, WoodRequest
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle, Movement


@dataclass(frozen=True)
class Columns:
    """Every plant, bundle and graft by number, each as a plain tuple.

    plants: id, code, kind, cultivar, acquired_on, died_on, site, place, taxon, clone. bundles: id, code, cultivar, cut_plant_id,
    cut_graft_id, cut_on, received_on, donor, taxon. grafts: id, code, bundle_id, stick, host_plant_id, host_graft_id, made_on,
    place.
    """

    plants: Sequence[tuple]
    bundles: Sequence[tuple]
    grafts: Sequence[tuple]


def columns(session: Session) -> Columns:
    """The things of the book."""
    p, b, g = Plant.__table__.c, Bundle.__table__.c, Graft.__table__.c
    rows = session.connection().execute
    return Columns(
        rows(select(p.id, p.code, p.kind, p.cultivar, p.acquired_on, p.died_on, p.site, p.place, p.taxon, p.clone)
             .order_by(p.number)).all(),
        rows(select(b.id, b.code, b.cultivar, b.cut_plant_id, b.cut_graft_id, b.cut_on, b.received_on, b.donor, b.taxon)
             .order_by(b.number)).all(),
        rows(select(g.id, g.code, g.bundle_id, g.stick, g.host_plant_id, g.host_graft_id, g.made_on, g.place)
             .order_by(g.number)).all(),
    )  # fmt: skip


@dataclass(frozen=True)
class Gone:
    """A movement of sticks out of a bundle to somebody, or into a mix. `sticks` counts those that went, from 0 up."""

    bundle_id: int
    on: date
    kind: str
    sticks: int
    receiver: str | None
    stick: int | None
    into_bundle_id: int | None


def gone(session: Session) -> list[Gone]:
    """Every gift and every mixing, in the order of days."""
    m = Movement.__table__.c
    query = (
        select(m.bundle_id, m.on, m.kind, -m.sticks, m.receiver, m.stick, m.into_bundle_id)
        .where(m.kind.in_(("given", "mixed")))
        .order_by(m.on, m.id)
    )
    return [Gone(*row) for row in session.connection().execute(query)]


def came_in(session: Session) -> dict[int, int]:
    """How many sticks each bundle ever had, by its id."""
    m = Movement.__table__.c
    query = (
        select(m.bundle_id, func.sum(m.sticks)).where(m.kind.in_(("saved", "received", "found"))).group_by(m.bundle_id)
    )
    return {bundle_id: int(sticks) for bundle_id, sticks in session.connection().execute(query)}


def namings(session: Session) -> list[Naming]:
    """Every naming, in the order of days and then as recorded."""
    return list(session.execute(select(Naming).order_by(Naming.on, Naming.id)).scalars())


def synonyms(session: Session) -> list[Synonym]:
    """Every synonym, oldest first."""
    return list(session.execute(select(Synonym).order_by(Synonym.on, Synonym.id)).scalars())


def people(session: Session) -> list[Person]:
    """Everybody in the book, by name."""
    return sorted(session.execute(select(Person)).scalars(), key=lambda person: person.name.casefold())


def people_names(session: Session) -> list[str]:
    """The names and initials by which people are known."""
    rows = session.execute(select(Person.name))
    return [name for (name,) in rows]


def requests(session: Session) -> list[WoodRequest]:
    """Every request for wood, by number."""
    return list(session.execute(select(WoodRequest).order_by(WoodRequest.number)).scalars())


def request_numbers(session: Session) -> set[int]:
    """The numbers of every request."""
    return set(session.execute(select(WoodRequest.number)).scalars())


def next_request(session: Session) -> int:
    """The number of the next request."""
    return (session.execute(select(func.max(WoodRequest.number))).scalar() or 0) + 1


def mixed_codes(session: Session) -> list[tuple[str, str]]:
    """Every bundle that was mixed, with the bundle it went into, by code."""
    into = aliased(Bundle)
    query = (
        select(Bundle.code, into.code)
        .join(Movement, Movement.bundle_id == Bundle.id)
        .join(into, Movement.into_bundle_id == into.id)
    )
    return [tuple(row) for row in session.execute(query)]


def any_doubt(session: Session) -> bool:
    """Whether anything was ever named or mixed, or two names held to be one: without that, wood is what it was recorded as."""
    mixed = select(Movement.id).where(Movement.kind == "mixed")
    queries: tuple[Any, ...] = (select(Naming.id), mixed, select(Synonym.id))
    return any(session.execute(query.limit(1)).first() is not None for query in queries)
