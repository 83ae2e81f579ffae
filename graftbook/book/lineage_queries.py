"""The threads of the whole book read in bulk, as columns; names it holds, namings, synonyms, people and requests."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from sqlalchemy import Select, case, exists, func, or_, select
from sqlalchemy.orm import aliased
from sqlmodel import Session

from graftbook.book.asking import held_in, lines, rows, things
from graftbook.book.balances import CAME_IN
from graftbook.book.grafts import Graft
from graftbook.book.lineage import BETWEEN, Naming, Person, Synonym
from graftbook.book.plans import Want
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle, Movement


@dataclass(frozen=True)
class Columns:
    """Every plant, bundle and graft by number, each as a plain tuple.

    plants: id, code, kind, cultivar, acquired_on, died_on, site, place, taxon, clone, cultivar_typed. bundles: id, code,
    cultivar, cut_plant_id, cut_graft_id, cut_on, received_on, donor, taxon, cultivar_typed. grafts: id, code, bundle_id,
    stick, host_plant_id, host_graft_id, made_on, place, sticks_drawn.
    """

    plants: Sequence[tuple]
    bundles: Sequence[tuple]
    grafts: Sequence[tuple]


_P, _B, _G = Plant.__table__.c, Bundle.__table__.c, Graft.__table__.c

PLANT = (_P.id, _P.code, _P.kind, _P.cultivar, _P.acquired_on, _P.died_on, _P.site, _P.place, _P.taxon, _P.clone,
         _P.cultivar_typed)  # fmt: skip
BUNDLE = (_B.id, _B.code, _B.cultivar, _B.cut_plant_id, _B.cut_graft_id, _B.cut_on, _B.received_on, _B.donor, _B.taxon,
          _B.cultivar_typed)  # fmt: skip
GRAFT = (_G.id, _G.code, _G.bundle_id, _G.stick, _G.host_plant_id, _G.host_graft_id, _G.made_on, _G.place,
         _G.sticks_drawn)  # fmt: skip


def columns(session: Session) -> Columns:
    """The things of the book."""
    everything = ((PLANT, _P), (BUNDLE, _B), (GRAFT, _G))
    return Columns(*(rows(session, select(*columns).order_by(c.number)) for columns, c in everything))


def spellings(session: Session) -> list[str]:
    """Every cultivar recorded with a plant or a bundle, each spelling once, in the order in which they were met: plants by
    number, then bundles."""
    found: dict[str, None] = {}
    for c in (_P, _B):
        query = select(c.cultivar, func.min(c.number)).where(c.cultivar.is_not(None)).group_by(c.cultivar)
        met = sorted(rows(session, query), key=lambda row: row[1])
        found.update(dict.fromkeys(name for name, _ in met))
    return list(found)


def recorded_as(
    session: Session, table: type[Plant] | type[Bundle], ids: Iterable[int] | None = None
) -> dict[int, tuple[str | None, str | None]]:
    """The cultivar and taxon that each of these plants, or of these bundles, was recorded with, by its id; None: of all."""
    c = table.__table__.c
    query = select(c.id, c.cultivar, c.taxon)
    return {row.id: (row.cultivar, row.taxon) for row in rows(session, query, c.id, ids)}


class Gone(NamedTuple):
    """A movement of sticks out of a bundle to somebody, or into a mix. `sticks` counts those that went, from 0 up."""

    bundle_id: int
    on: date
    kind: str
    sticks: int
    receiver: str | None
    stick: int | None
    into_bundle_id: int | None
    uid: str


def gone(session: Session) -> list[Gone]:
    """Every gift and every mixing, in the order of days."""
    m = Movement.__table__.c
    query = (
        select(m.bundle_id, m.on, m.kind, -m.sticks, m.receiver, m.stick, m.into_bundle_id, m.uid)
        .where(m.kind.in_(("given", "mixed")))
        .order_by(m.on, m.id)
    )
    return lines(session, Gone, query)


def came_in(session: Session) -> dict[int, int]:
    """How many sticks each bundle ever had, by its id."""
    m = Movement.__table__.c
    query = select(m.bundle_id, func.sum(m.sticks)).where(m.kind.in_(CAME_IN)).group_by(m.bundle_id)
    return {bundle_id: int(sticks) for bundle_id, sticks in rows(session, query)}


def synonyms(session: Session) -> list[Synonym]:
    """Every synonym, oldest first."""
    return things(session, Synonym)


def people(session: Session) -> list[Person]:
    """Everybody in the book, by name."""
    return sorted(things(session, Person), key=lambda person: person.name.casefold())


def mixed_codes(session: Session) -> list[tuple[str, str]]:
    """Every bundle that was mixed, with the bundle it went into, by code."""
    into = aliased(Bundle)
    query = (
        select(Bundle.code, into.code)
        .join(Movement, Movement.bundle_id == Bundle.id)
        .join(into, Movement.into_bundle_id == into.id)
    )
    return [tuple(row) for row in rows(session, query)]


def any_doubt(session: Session) -> bool:
    """Whether anything may be other than it was recorded as: something was named or mixed, two names are held to be one, or
    the record itself says two things of one clone, or `A or B`."""
    mixed = select(Movement.id).where(Movement.kind == "mixed")
    several = (select(c.id).where(c.cultivar.contains(" or ")) for c in (_P, _B))
    said = (select(Naming.id), mixed, select(Synonym.id), *_otherwise_than_cut_from(), *several)
    return bool(session.execute(select(or_(*map(exists, said)))).scalar())


def _otherwise_than_cut_from() -> Iterator[Select]:
    """Wood recorded as another thing than the plant, or the wood of the graft, that it was cut from."""
    of_plant = func.coalesce(_P.cultivar, case((_P.kind == "stock", _P.clone)))
    named = or_(_P.cultivar.is_not(None), _B.cultivar.is_not(None))
    from_plant = select(_B.id).join(Plant, _B.cut_plant_id == _P.id)
    yield from_plant.where(named, _B.cultivar.is_distinct_from(of_plant))
    made_of = aliased(Bundle)
    from_graft = select(_B.id).join(Graft, _B.cut_graft_id == _G.id).outerjoin(made_of, _G.bundle_id == made_of.id)
    yield from_graft.where(_B.cultivar.is_distinct_from(made_of.cultivar))


def cultivars(session: Session) -> tuple[str, ...]:
    """Every cultivar on a plant or a bundle of this book, wanted, in a naming, or preferred to another name, in order."""
    names = set(held_in(session, Plant.cultivar, Bundle.cultivar, Want.cultivar, Synonym.preferred))
    candidates = held_in(session, Naming.candidates)
    return tuple(sorted(names.union(*(text.split(BETWEEN) for text in candidates))))


def preferred(session: Session) -> dict[str, str]:
    """The name preferred to each synonym."""
    return dict(session.execute(select(Synonym.name, Synonym.preferred).order_by(Synonym.id)).all())
