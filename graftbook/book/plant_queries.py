"""Plants found and read: by page, with what was done to them and what stands on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import func, or_, select
from sqlmodel import Session

from graftbook.book.asking import day_spans, held_in, rows, things
from graftbook.book.grafts import Care, Graft
from graftbook.book.ledger import CautionNote
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle, Movement, Prune


@dataclass(frozen=True)
class WantedPlants:
    """Which plants a list asks for; None never narrows. `places` are places as the book spells them, `dead` asks for the
    dead as well."""

    kind: str
    places: tuple[str, ...] | None = None
    taxon: str | None = None
    cultivar: str | None = None
    clone: str | None = None
    dead: bool = False
    ids: frozenset[int] | None = None


def page(session: Session, wanted: WantedPlants, limit: int, offset: int) -> tuple[list[Plant], int]:
    """One page of plants by number, and how many there are in all."""
    conditions = tuple(_conditions(wanted))
    query = select(Plant).where(*conditions).order_by(Plant.number).limit(limit).offset(offset)
    shown = list(session.execute(query).scalars())
    if offset == 0 and len(shown) < limit:
        return shown, len(shown)
    total = session.execute(select(func.count()).select_from(Plant).where(*conditions)).scalar()
    return shown, int(total or 0)


def _conditions(wanted: WantedPlants) -> Iterator[Any]:
    yield Plant.kind == wanted.kind
    if not wanted.dead:
        yield Plant.died_on.is_(None)
    if wanted.places is not None:
        yield Plant.place.in_(wanted.places)
    if wanted.taxon is not None:
        yield or_(Plant.taxon == wanted.taxon, Plant.taxon.startswith(f"{wanted.taxon} [", autoescape=True))
    if wanted.ids is not None:
        yield Plant.id.in_(wanted.ids)
    for column, value in ((Plant.cultivar, wanted.cultivar), (Plant.clone, wanted.clone)):
        if value is not None:
            yield column == value


def places(session: Session) -> tuple[str, ...]:
    """Every place a plant stands at, as the book spells it."""
    return tuple(sorted(held_in(session, Plant.place)))


def every(session: Session) -> list[Plant]:
    """Every plant, by number."""
    return things(session, Plant)


def stocks(session: Session) -> list[Plant]:
    """Every stock, by number."""
    return things(session, Plant, Plant.kind == "stock")


def grafts_tried(session: Session, plant_ids: Sequence[int]) -> dict[int, int]:
    """How many grafts were made on each plant itself; plants without any are absent."""
    query = select(Graft.host_plant_id, func.count()).group_by(Graft.host_plant_id)
    return dict(rows(session, query, Graft.host_plant_id, plant_ids))


def taxa_of_cultivar(session: Session, cultivar: str) -> tuple[str, ...]:
    """Every taxon this book has under a cultivar's name, as it is spelled here."""
    named = (
        select(table.taxon).where(table.cultivar == cultivar, table.taxon.is_not(None)) for table in (Plant, Bundle)
    )
    return tuple(sorted({taxon for query in named for (taxon,) in rows(session, query.distinct())}))


def event_days(session: Session, plant_ids: Sequence[int]) -> dict[int, tuple[date, date]]:
    """The first and the last day on which something was done to each plant: pruned, cut for wood, grafted, cared for."""
    sources = (
        (Prune.plant_id, Prune.on), (Bundle.cut_plant_id, Bundle.cut_on), (Graft.host_plant_id, Graft.made_on),
        (Care.plant_id, Care.on),
    )  # fmt: skip
    return day_spans(session, sources, plant_ids)


def prunes(session: Session, plant_id: int | None, limit: int, offset: int) -> tuple[list[tuple[Prune, str]], int]:
    """One page of prunes with the code of the plant, newest first, and how many there are in all; None means of any plant."""
    query = select(Prune, Plant.code).join(Plant, Prune.plant_id == Plant.id)
    counting = select(func.count()).select_from(Prune)
    if plant_id is not None:
        query, counting = query.where(Prune.plant_id == plant_id), counting.where(Prune.plant_id == plant_id)
    found = session.execute(query.order_by(Prune.on.desc(), Prune.id.desc()).limit(limit).offset(offset))
    return [(prune, code) for prune, code in found], int(session.execute(counting).scalar() or 0)


def saved_at(session: Session, prune_ids: Sequence[int]) -> dict[int, list[tuple[str, int]]]:
    """The bundles saved at each prune, code and sticks, by number; prunes that saved none are absent."""
    found: dict[int, list[tuple[str, int]]] = {}
    query = (
        select(Bundle.prune_id, Bundle.code, func.sum(Movement.sticks)).join(Movement, Movement.bundle_id == Bundle.id)
        .where(Movement.kind == "saved")
        .group_by(Bundle.prune_id, Bundle.number, Bundle.code).order_by(Bundle.number)
    )  # fmt: skip
    for prune_id, code, sticks in rows(session, query, Bundle.prune_id, prune_ids):
        found.setdefault(prune_id, []).append((code, int(sticks)))
    return found


def taxa_pruned_since(session: Session, day: date, but: int) -> frozenset[str | None]:
    """The taxa of every plant pruned on or after a day, one prune left out by its id; empty when none was."""
    query = (
        select(Plant.taxon).distinct().join(Prune, Prune.plant_id == Plant.id).where(Prune.on >= day, Prune.id != but)
    )
    return frozenset(session.execute(query).scalars())


def wood_of(session: Session, plant_id: int) -> list[Bundle]:
    """Every bundle cut from a plant, by number."""
    return things(session, Bundle, Bundle.cut_plant_id == plant_id)


def caution_notes(session: Session, *, plant_id: int | None = None, bundle_id: int | None = None) -> list[CautionNote]:
    """The health and rights notes on one plant or one bundle, oldest first."""
    on_plant = CautionNote.plant_id == plant_id
    return things(session, CautionNote, on_plant if plant_id is not None else CautionNote.bundle_id == bundle_id)
