"""Grafts read in bulk and by columns, for reports over a whole book.

What belongs to a bundle or a plant is read once a bundle or plant and looked up, not joined to every graft: a book of two
hundred thousand grafts has a tenth as many of either, and most values of a report repeat.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import aliased
from sqlmodel import Session

from graftbook.book import settings, stacks
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle

CHUNK = 10_000
_MOTHER, _MOTHER_GRAFT = aliased(Plant), aliased(Graft)
GRAFT = {
    "id": Graft.id, "uid": Graft.uid, "code": Graft.code, "unit": Graft.unit, "method": Graft.method,
    "made_on": Graft.made_on, "stage": Graft.stage, "tie": Graft.tie, "seal": Graft.seal, "place": Graft.place,
    "bench": Graft.bench, "trial": Graft.trial, "block": Graft.block, "buds": Graft.buds, "scion_mm": Graft.scion_mm,
    "stock_mm": Graft.stock_mm, "bundle_id": Graft.bundle_id, "host_plant_id": Graft.host_plant_id,
    "host_graft_id": Graft.host_graft_id,
}  # fmt: skip
BUNDLE = {
    "bundle_code": Bundle.code, "taxon": Bundle.taxon, "cultivar": Bundle.cultivar, "cut_on": Bundle.cut_on,
    "donor": Bundle.donor, "wood_min_mm": Bundle.diameter_min_mm, "wood_max_mm": Bundle.diameter_max_mm,
    "mother": func.coalesce(_MOTHER.code, _MOTHER_GRAFT.code),
}  # fmt: skip
HOST = {
    "host_code": Plant.code, "host_kind": Plant.kind, "host_taxon": Plant.taxon, "host_clone": Plant.clone,
    "host_mm": Plant.diameter_mm, "host_min_mm": Plant.grade_min_mm, "host_max_mm": Plant.grade_max_mm,
    "host_place": Plant.place,
}  # fmt: skip

_DAYS = ("made_on", "cut_on")
Columns = dict[str, Sequence[Any]]


@dataclass(frozen=True)
class Span:
    """Which grafts: made within two days (None: no bound), all of them or every so-manieth by number of row."""

    made_from: date | None = None
    made_to: date | None = None
    every: int = 1

    def on(self, query: Select) -> Select:
        """The query held to these grafts."""
        if self.made_from is not None:
            query = query.where(Graft.made_on >= self.made_from)
        if self.made_to is not None:
            query = query.where(Graft.made_on <= self.made_to)
        return query.where(Graft.id % self.every == 0) if self.every > 1 else query


def how_many(session: Session) -> int:
    """Grafts in the book, as near as the last number of a row tells."""
    return session.execute(select(func.max(Graft.id))).scalar() or 0


def chunks(session: Session, names: Sequence[str], span: Span) -> Iterator[Columns]:
    """The named columns of every graft of the span, in the order they were recorded, so many grafts at a time.

    A name is one of GRAFT, BUNDLE, HOST or DERIVED.
    """
    wanted = dict.fromkeys(("id", *names))
    if any(name in HOST for name in wanted):
        wanted["host_id"] = None
    if any(name in BUNDLE for name in wanted):
        wanted["bundle_id"] = None
    derived = {name: DERIVED[name] for name in wanted if name in DERIVED}
    read = list(
        dict.fromkeys(
            [*(name for name in wanted if name in GRAFT), *(one for needs, _ in derived.values() for one in needs)]
        )
    )
    makers = {name: make(session) for name, (_needs, make) in derived.items()}
    finders = _finders(session, list(wanted))
    for part in raw_parts(session, span.on(select(*(GRAFT[name] for name in read)).order_by(Graft.id))):
        columns: Columns = dict(zip(read, zip(*part, strict=True), strict=True))
        columns |= {name: list(map(day_of, columns[name])) for name in _DAYS if name in columns}
        columns |= {name: make(columns) for name, make in makers.items()}
        for name, find in finders.items():
            columns[name] = list(map(find, columns["host_id" if name in HOST else "bundle_id"]))
        yield columns


def raw_parts(session: Session, query: Select) -> Iterator[Sequence[Sequence[Any]]]:
    """The rows of a query as the driver gives them, so many at a time: days may be text (see day_of)."""
    rows = session.connection().execute(query)
    while part := rows.cursor.fetchmany(CHUNK):
        yield part
    rows.close()


@lru_cache(maxsize=65_536)
def day_of(value: date | str | None) -> date | None:
    """A day as a driver gives it: SQLite keeps days as text."""
    return date.fromisoformat(value) if isinstance(value, str) else value


def _finders(session: Session, names: Sequence[str]) -> dict[str, Callable[[int | None], Any]]:
    """For each column of a bundle or a plant, what finds its value by the row's number."""
    found: dict[str, Callable[[int | None], Any]] = {}
    for group, query in (
        (BUNDLE, lambda columns: select(Bundle.id, *columns).outerjoin(_MOTHER, Bundle.cut_plant_id == _MOTHER.id)
            .outerjoin(_MOTHER_GRAFT, Bundle.cut_graft_id == _MOTHER_GRAFT.id)),
        (HOST, lambda columns: select(Plant.id, *columns)),
    ):  # fmt: skip
        wanted = [name for name in names if name in group]
        if wanted:
            rows = [row for part in raw_parts(session, query([group[name] for name in wanted])) for row in part]
            ids, *values = zip(*rows, strict=True) if rows else ((), *((),) * len(wanted))
            for name, of in zip(wanted, values, strict=True):
                found[name] = dict(zip(ids, map(day_of, of) if name in _DAYS else of, strict=True)).get
    return found


def _foot(session: Session) -> Callable[[Columns], Sequence[int]]:
    """What gives each graft of a chunk the plant at the foot of its stack."""
    stacked = stacks.feet_of_stacked(session)
    if not stacked:
        return lambda columns: columns["host_plant_id"]
    return lambda columns: [
        plant if plant is not None else stacked[graft]
        for plant, graft in zip(columns["host_plant_id"], columns["id"], strict=True)
    ]


def _setting(name: str) -> Callable[[Session], Callable[[Columns], Sequence[str]]]:
    """What gives every graft a setting of the book."""

    def make(session: Session) -> Callable[[Columns], Sequence[str]]:
        value = getattr(settings.load(session), name)
        return lambda columns: [value] * len(columns["id"])

    return make


DERIVED: dict[str, tuple[tuple[str, ...], Callable[[Session], Callable[[Columns], Sequence[Any]]]]] = {
    "host_id": (("host_plant_id", "host_graft_id"), _foot),
    "hemisphere": ((), _setting("hemisphere")),
    "units": ((), _setting("units")),
}
"""Columns that are computed: the columns of GRAFT they need, and what makes, from the book, what computes them by chunks.
`host_id` is the plant at the foot of the stack where a graft stands on a graft."""


def first_days(session: Session) -> dict[int, date]:
    """The day each stock was first grafted, by the plant's row; trees, on which grafts stand side by side, are not there."""
    query = select(Graft.host_plant_id, func.min(Graft.made_on)).join(Plant, Plant.id == Graft.host_plant_id)
    return dict(session.execute(query.where(Plant.kind == "stock").group_by(Graft.host_plant_id)).all())
