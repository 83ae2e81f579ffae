"""What a walk round the grafts asks of the book, in bulk and in plain tuples: tens of thousands of grafts in one go."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, NamedTuple

from sqlalchemy import case, func, select
from sqlmodel import Session

from graftbook.book import asking
from graftbook.book.asking import columns_of, rows
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.ledger import Entry
from graftbook.book.plants import Plant
from graftbook.book.stages import StageNote
from graftbook.book.wood import Bundle


class RoundGraft(NamedTuple):
    """One graft with its wood and, where it stands on a plant directly, that plant."""

    id: int
    number: int
    code: str
    method: str
    unit: str
    made_on: date
    tie: str | None
    tied_on: date | None
    bench: bool | None
    place: str | None
    bundle_id: int | None
    host_plant_id: int | None
    host_graft_id: int | None


class Grown(NamedTuple):
    """How the shoot of a graft went: the first and the last day it was seen growing, and when it was first seen forced, None
    where it never was; and its shoot as measured, as (day, mm), oldest first."""

    first_growing: date | None
    last_growing: date | None
    forced_on: date | None
    shoots: tuple[tuple[date, float], ...] = ()


class RoundWood(NamedTuple):
    """One bundle as its keeping asks for it."""

    id: int
    number: int
    code: str
    taxon: str | None
    cultivar: str | None
    wood_kind: str
    cut_on: date | None
    received_on: date | None
    temperature_c: float | None
    store: str | None


def lines(session: Session, made_from: date, made_to: date, only: int | None = None) -> list[RoundGraft]:
    """Every graft made within these days, by number; of one alone where it is named by its id."""
    query = select(*columns_of(RoundGraft, Graft)).where(
        *_of(Graft.id, only, Graft.made_on.between(made_from, made_to))
    )
    return asking.lines(session, RoundGraft, query.order_by(Graft.number))


def kinds(session: Session) -> dict[int, tuple[str | None, str | None, str]]:
    """Taxon, cultivar and kind of wood of every bundle."""
    query = select(Bundle.id, Bundle.taxon, Bundle.cultivar, Bundle.wood_kind)
    return {bundle: (taxon, cultivar, kind) for bundle, taxon, cultivar, kind in rows(session, query)}


def grown(session: Session, since: date, as_of: date, only: int | None = None) -> dict[int, Grown]:
    """What looks within these days say of each graft's growth, or of one graft's; grafts of which they say nothing are absent."""
    within = _of(Look.graft_id, only, Look.on.between(since, as_of))
    growing, forced = case((Look.state == "growing", Look.on)), case((Look.state == "forced", Look.on))
    moved = (
        select(Look.graft_id, func.min(growing), func.max(growing), func.min(forced))
        .where(Look.state.in_(("growing", "forced")), *within)
        .group_by(Look.graft_id)
    )
    shoots = _shoots(session, within)
    found = {
        graft: Grown(first, newest, buds, shoots.pop(graft, ())) for graft, first, newest, buds in rows(session, moved)
    }
    return found | {graft: Grown(None, None, None, lengths) for graft, lengths in shoots.items()}


def _of(column: Any, only: int | None, *conditions: Any) -> tuple[Any, ...]:
    """These conditions, and that a column is one id where one is named."""
    return conditions if only is None else (*conditions, column == only)


def _shoots(session: Session, within: tuple[Any, ...]) -> dict[int, tuple[tuple[date, float], ...]]:
    """Lengths of shoots as measured at such looks, oldest first, by graft."""
    measured: dict[int, tuple[tuple[date, float], ...]] = {}
    query = select(Look.graft_id, Look.on, Look.shoot_mm).where(Look.shoot_mm.is_not(None), *within)
    for graft_id, on, mm in rows(session, query.order_by(Look.on, Look.id)):
        measured[graft_id] = (*measured.get(graft_id, ()), (on, mm))
    return measured


def cares(
    session: Session, made_from: date, as_of: date, only: int | None = None
) -> dict[int, tuple[tuple[date, str], ...]]:
    """Care up to a day done to each graft made from a day on, or to one: to itself, or since it was made to the plant it is on."""
    done: dict[int, list[tuple[date, str]]] = {}
    own = select(Graft.id, Care.on, Care.what).join(Graft, Graft.id == Care.graft_id)
    shared = select(Graft.id, Care.on, Care.what).join(Graft, Graft.host_plant_id == Care.plant_id)
    for query in (own, shared.where(Care.on >= Graft.made_on)):
        within = query.where(*_of(Graft.id, only, Graft.made_on >= made_from, Care.on <= as_of))
        for graft_id, on, what in rows(session, within):
            done.setdefault(graft_id, []).append((on, what))
    return {graft_id: tuple(sorted(items)) for graft_id, items in done.items()}


def stages(session: Session, since: date, as_of: date) -> dict[int, tuple[tuple[date, str], ...]]:
    """The growth stages noted of each plant within these days, as (day, stage); plants without one are absent."""
    found: dict[int, set[tuple[date, str]]] = {}
    for plant_id, on, stage in (
        *rows(
            session, select(StageNote.plant_id, StageNote.on, StageNote.stage).where(StageNote.on.between(since, as_of))
        ),
        *rows(session, select(Plant.id, Plant.stage_on, Plant.stage).where(Plant.stage_on.between(since, as_of))),
    ):
        if stage is not None:
            found.setdefault(plant_id, set()).add((on, stage))
    return {plant_id: tuple(sorted(noted)) for plant_id, noted in found.items()}


def wood(session: Session, ids: Iterable[int]) -> list[RoundWood]:
    """These bundles, by number."""
    wanted = frozenset(ids)
    query = select(*columns_of(RoundWood, Bundle)).order_by(Bundle.number)
    return [line for line in asking.lines(session, RoundWood, query) if line.id in wanted]


def identity(session: Session) -> tuple[str, int]:
    """What tells this book from any other, and the number of its newest entry, which only ever rises; '' and 0 for a book
    that nothing was written in."""
    first = session.execute(select(Entry.uid).order_by(Entry.id).limit(1)).scalar()
    return first or "", session.execute(select(func.max(Entry.id))).scalar() or 0
