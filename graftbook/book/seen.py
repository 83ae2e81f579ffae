"""What was seen and done, read in bulk: plain tuples by graft, in the order of days, for the rules above to fold.

These readers serve reports over a whole book, so they take columns rather than rows and never ask graft by graft.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle

Seen = tuple[date, str, str | None, str | None]
"""One look: on, state, union fault, cause."""


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
    rows = session.connection().execute(query)
    return rows if "host_graft_id" not in names else _rooted(session, tuple(names), list(rows))


def _rooted(session: Session, names: tuple[str, ...], rows: list[tuple]) -> list[tuple]:
    """Grafts on grafts are given the plant at the foot of their stack for a host, where they are asked for one."""
    at = names.index("host_graft_id")
    if all(row[at] is None for row in rows):
        return rows
    graft = Graft.__table__.c
    up = {number: (plant, above) for number, plant, above in session.execute(
        select(graft.id, graft.host_plant_id, graft.host_graft_id))}  # fmt: skip
    asked = [name for name in names if name.startswith("host_") and name != "host_graft_id"]
    plant_columns = [COLUMNS[name] if name != "host_plant_id" else Plant.id for name in asked]
    feet = {row[0]: row[1:] for row in session.execute(select(Plant.id, *plant_columns))}
    return [row if row[at] is None else _with_foot(row, names, asked, feet[_foot(row[at], up)]) for row in rows]


def _foot(graft_id: int, up: dict[int, tuple[int | None, int | None]]) -> int:
    plant, above = up[graft_id]
    while plant is None:
        plant, above = up[above]
    return plant


def _with_foot(row: tuple, names: tuple[str, ...], asked: list[str], foot: tuple) -> tuple:
    held = dict(zip(asked, foot, strict=True))
    return tuple(held.get(name, value) for name, value in zip(names, row, strict=True))


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
