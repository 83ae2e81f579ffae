"""Grafts found and read: by page, by what they stand on, with what was last seen of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol

from sqlalchemy import func, or_, select
from sqlalchemy.orm import aliased
from sqlmodel import Session

from graftbook.book import find
from graftbook.book.asking import chunks, held_in, things, things_with
from graftbook.book.grafts import Graft, Look
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle

_HostGraft, _Above = aliased(Graft), aliased(Graft)


@dataclass(frozen=True)
class Wanted:
    """Which grafts a list asks for; None never narrows. `places` are places as the book spells them, `ids` graft ids,
    `state` the state of the last look; `unseen` asks for those not looked at."""

    places: tuple[str, ...] | None = None
    ids: tuple[int, ...] | None = None
    bundle_id: int | None = None
    stick: int | None = None
    method: str | None = None
    made_from: date | None = None
    made_to: date | None = None
    state: str | None = None
    unseen: bool = False


def standing_on(session: Session, plant_ids: Iterable[int]) -> dict[int, list[Graft]]:
    """Every graft on each plant by number, grafts on its grafts among them; plants without grafts are absent."""
    below: dict[int | None, int] = {}
    found: dict[int, list[Graft]] = {}
    level = things_with(session, Graft, Graft.host_plant_id, plant_ids)
    while level:
        for graft in level:
            plant = graft.host_plant_id if graft.host_plant_id is not None else below[graft.host_graft_id]
            below[graft.id] = plant
            found.setdefault(plant, []).append(graft)
        level = things_with(session, Graft, Graft.host_graft_id, [graft.id for graft in level])
    for grafts in found.values():
        grafts.sort(key=lambda graft: graft.number)
    return found


def on_grafts(session: Session, graft_ids: Iterable[int]) -> dict[int, list[Graft]]:
    """The grafts made on each of these grafts, by number."""
    found: dict[int, list[Graft]] = {}
    for graft in sorted(things_with(session, Graft, Graft.host_graft_id, graft_ids), key=lambda graft: graft.number):
        if graft.host_graft_id is not None:
            found.setdefault(graft.host_graft_id, []).append(graft)
    return found


def foot_plants(session: Session, grafts: Sequence[Graft]) -> dict[int, Plant]:
    """The plant at the foot of the stack each graft stands on, by graft id."""
    hosts: dict[int, Graft] = {graft.id: graft for graft in grafts}
    missing = {g.host_graft_id for g in grafts if g.host_graft_id is not None} - set(hosts)
    while missing:
        level = find.by_id(session, Graft, missing)
        hosts.update(level)
        missing = {g.host_graft_id for g in level.values() if g.host_graft_id is not None} - set(hosts)
    feet = {graft.id: foot(graft, hosts) for graft in grafts}
    plants = find.by_id(session, Plant, feet.values())
    return {graft_id: plants[plant_id] for graft_id, plant_id in feet.items()}


class Hosted(Protocol):
    """Anything that was made on a plant, or on a graft where `host_plant_id` is None."""

    @property
    def host_plant_id(self) -> int | None: ...
    @property
    def host_graft_id(self) -> int | None: ...


def foot(graft: Hosted, grafts: Mapping[int, Hosted]) -> int:
    """Id of the plant at the foot of a graft's stack; `grafts` has every graft under it by its id."""
    while graft.host_plant_id is None:
        graft = grafts[graft.host_graft_id or 0]
    return graft.host_plant_id


def stack(session: Session, graft: Graft) -> list[Graft]:
    """The grafts from the plant at the foot up to this one, each made on the one before."""
    found = [graft]
    while found[0].host_graft_id is not None:
        found[:0] = things(session, Graft, Graft.id == found[0].host_graft_id)
    return found


def made_on_plant(session: Session, plant_id: int) -> list[Graft]:
    """The grafts made on a plant itself, by number."""
    return things(session, Graft, Graft.host_plant_id == plant_id)


def wood_from(session: Session, graft_id: int) -> list[Bundle]:
    """The bundles cut from a graft, by number."""
    return things(session, Bundle, Bundle.cut_graft_id == graft_id)


def places(session: Session) -> tuple[str, ...]:
    """Every place a graft or a plant stands at, as the book spells it, in alphabetical order."""
    return tuple(sorted(held_in(session, Graft.place, Plant.place)))


def page(session: Session, wanted: Wanted, limit: int, offset: int = 0) -> tuple[list[Any], int]:
    """One page of grafts by number, each with its wood, host and last look, and how many there are in all.

    Each row has: graft, look (None: not looked at), bundle code, cultivar, taxon and day it was cut, host code.
    """
    last = (
        select(Look.id).where(Look.graft_id == Graft.id).order_by(Look.on.desc(), Look.id.desc()).limit(1)
        .correlate(Graft).scalar_subquery()
    )  # fmt: skip
    query = (
        select(
            Graft, Look, Bundle.code.label("wood"), Bundle.cultivar, Bundle.taxon, Bundle.cut_on,
            func.coalesce(Plant.code, _HostGraft.code).label("host"),
        )
        .outerjoin(Bundle, Graft.bundle_id == Bundle.id)
        .outerjoin(Plant, Graft.host_plant_id == Plant.id)
        .outerjoin(_HostGraft, Graft.host_graft_id == _HostGraft.id)
        .outerjoin(Look, Look.id == last)
        .where(*_conditions(wanted))
    )  # fmt: skip
    shown = list(session.execute(query.order_by(Graft.number).offset(offset).limit(limit)))
    if shown and len(shown) < limit:
        return shown, offset + len(shown)
    total = session.execute(select(func.count()).select_from(query.with_only_columns(Graft.id).subquery())).scalar()
    return shown, int(total or 0)


def _on_plants_at(places: Sequence[str]) -> Any:
    """Ids of the grafts whose stack stands on a plant at one of these places, at whatever height."""
    found = (
        select(Graft.id.label("id")).join(Plant, Graft.host_plant_id == Plant.id).where(Plant.place.in_(places))
        .cte("on_plants_at", recursive=True)
    )  # fmt: skip
    found = found.union_all(select(_Above.id).join(found, _Above.host_graft_id == found.c.id))
    return select(found.c.id)


def _conditions(wanted: Wanted) -> Iterator[Any]:
    if wanted.places is not None:
        at_foot = _on_plants_at(wanted.places)
        yield or_(
            func.coalesce(Graft.place, Plant.place).in_(wanted.places), Graft.place.is_(None) & Graft.id.in_(at_foot)
        )
    if wanted.ids is not None:
        yield or_(*(Graft.id.in_(part) for part in chunks(wanted.ids))) if wanted.ids else Graft.id.is_(None)
    if wanted.state is not None:
        yield Look.state == wanted.state
    if wanted.unseen:
        yield Look.id.is_(None)
    if wanted.made_from is not None:
        yield Graft.made_on >= wanted.made_from
    if wanted.made_to is not None:
        yield Graft.made_on <= wanted.made_to
    equal = ((Graft.bundle_id, wanted.bundle_id), (Graft.stick, wanted.stick), (Graft.method, wanted.method))
    for column, value in equal:
        if value is not None:
            yield column == value


def kinds_grafted(session: Session, first: date, last: date) -> frozenset[str | None]:
    """The kinds of wood grafted from one day to another, None among them where the wood was not recorded."""
    query = select(Bundle.taxon).select_from(Graft).outerjoin(Bundle, Graft.bundle_id == Bundle.id)
    return frozenset(session.execute(query.where(Graft.made_on.between(first, last)).distinct()).scalars())
