"""What was seen and done, read in bulk: plain tuples by graft, in the order of days, for the rules above to fold.

These readers serve reports over a whole book, so they take columns rather than rows and never ask graft by graft.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle

Seen = tuple[date, str, str | None, str | None]
"""One look: on, state, union fault, cause."""


@dataclass(frozen=True, slots=True)
class GraftLine:
    """One graft with what its wood and its host say of it. `taxon` is the scion's; `host_code` is a plant or a graft;
    `root_id` is the plant at the foot of the stack (None: its host graft was not followed)."""

    id: int
    code: str
    method: str
    unit: str
    made_on: date
    who: str | None
    place: str | None
    stage: str | None
    tie: str | None
    seal: str | None
    tied_on: date | None
    buds: int | None
    bench: bool | None
    scion_mm: float | None
    stock_mm: float | None
    bundle_id: int | None
    bundle_code: str | None
    taxon: str | None
    cultivar: str | None
    cut_on: date | None
    host_plant_id: int | None
    host_graft_id: int | None
    host_code: str | None
    host_taxon: str | None
    host_clone: str | None
    host_place: str | None
    host_row: str | None
    host_order: int | None
    host_died_on: date | None
    host_stage: str | None


def graft_lines(session: Session, made_from: date | None = None, made_to: date | None = None) -> list[GraftLine]:
    """Every graft made within the days given (None: no bound), by number. Grafts on grafts take their taxon from their own
    wood and have no host plant here."""
    query = (
        select(
            Graft.id, Graft.code, Graft.method, Graft.unit, Graft.made_on, Graft.who, Graft.place, Graft.stage, Graft.tie,
            Graft.seal, Graft.tied_on, Graft.buds, Graft.bench, Graft.scion_mm, Graft.stock_mm, Graft.bundle_id, Bundle.code,
            Bundle.taxon, Bundle.cultivar, Bundle.cut_on, Graft.host_plant_id, Graft.host_graft_id, Plant.code, Plant.taxon,
            Plant.clone, Plant.place, Plant.row, Plant.order, Plant.died_on, Plant.stage,
        )
        .outerjoin(Bundle, Graft.bundle_id == Bundle.id)
        .outerjoin(Plant, Graft.host_plant_id == Plant.id)
        .order_by(Graft.number)
    )  # fmt: skip
    if made_from is not None:
        query = query.where(Graft.made_on >= made_from)
    if made_to is not None:
        query = query.where(Graft.made_on <= made_to)
    return [GraftLine(*row) for row in session.execute(query)]


COLUMNS = {
    "id": Graft.id, "code": Graft.code, "unit": Graft.unit, "method": Graft.method, "made_on": Graft.made_on,
    "stage": Graft.stage, "tie": Graft.tie, "place": Graft.place, "bench": Graft.bench, "trial": Graft.trial,
    "block": Graft.block, "buds": Graft.buds, "scion_mm": Graft.scion_mm, "stock_mm": Graft.stock_mm,
    "host_plant_id": Graft.host_plant_id, "host_graft_id": Graft.host_graft_id, "bundle_code": Bundle.code,
    "taxon": Bundle.taxon, "cultivar": Bundle.cultivar, "cut_on": Bundle.cut_on, "donor": Bundle.donor,
    "host_code": Plant.code, "host_taxon": Plant.taxon, "host_clone": Plant.clone,
}  # fmt: skip


def graft_columns(
    session: Session, names: Sequence[str], made_from: date | None = None, made_to: date | None = None
) -> Iterable[tuple]:
    """Only the named columns of every graft made within the days given (None: no bound), by number."""
    query = (
        select(*(COLUMNS[name] for name in names))
        .outerjoin(Bundle, Graft.bundle_id == Bundle.id)
        .outerjoin(Plant, Graft.host_plant_id == Plant.id)
        .order_by(Graft.number)
    )
    if made_from is not None:
        query = query.where(Graft.made_on >= made_from)
    if made_to is not None:
        query = query.where(Graft.made_on <= made_to)
    return session.connection().execute(query)


def gone_home(session: Session, as_of: date) -> frozenset[int]:
    """Grafts that left the place by a day and were not looked at since: their fate is not known."""
    query = (
        select(Graft.id)
        .join(Care, (Care.graft_id == Graft.id) | (Care.plant_id == Graft.host_plant_id))
        .outerjoin(Look, (Look.graft_id == Graft.id) & (Look.on > Care.on) & (Look.on <= as_of))
        .where(Care.what == "gone-home", Care.on <= as_of, Look.id.is_(None))
    )
    return frozenset(session.execute(query).scalars())


def looks(session: Session, as_of: date, graft_ids: Sequence[int] | None = None) -> dict[int, list[Seen]]:
    """The looks of each graft up to a day, oldest first; grafts without looks are absent. None means every graft."""
    seen = Look.__table__.c
    query = (
        select(seen.graft_id, seen.on, seen.state, seen.union_fault, seen.cause)
        .where(seen.on <= as_of)
        .order_by(seen.graft_id, seen.on, seen.id)
    )
    if graft_ids is not None:
        query = query.where(seen.graft_id.in_(list(graft_ids)))
    found: dict[int, list[Seen]] = defaultdict(list)
    for graft_id, *look in session.connection().execute(query):
        found[graft_id].append(tuple(look))
    return found


def cares(session: Session, as_of: date) -> dict[int, list[tuple[date, str]]]:
    """Aftercare done to each graft up to a day, oldest first: to the graft itself, or to the plant it stands on directly
    (only from the day the graft was made)."""
    done: dict[int, list[tuple[date, str]]] = {}
    own = select(Care.graft_id, Care.on, Care.what).where(Care.graft_id.is_not(None), Care.on <= as_of)
    shared = (
        select(Graft.id, Care.on, Care.what)
        .join(Graft, Graft.host_plant_id == Care.plant_id)
        .where(Care.on <= as_of, Care.on >= Graft.made_on)
    )
    for query in (own, shared):
        for graft_id, on, what in session.execute(query):
            done.setdefault(graft_id, []).append((on, what))
    for each in done.values():
        each.sort()
    return done
