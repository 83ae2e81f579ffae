"""What finding asks of the book: every plant, graft and bundle with the words it may be known by, in plain tuples."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.asking import columns_of, lines
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle


class PlantLine(NamedTuple):
    """A plant as a person may look for it."""

    id: int
    number: int
    code: str
    kind: str
    taxon: str | None
    clone: str | None
    cultivar_typed: str | None
    site: str | None
    place: str | None
    row: str | None
    order: int | None
    container: str | None
    lot: str | None
    acquired_on: date | None
    died_on: date | None
    note: str | None


class GraftLine(NamedTuple):
    """A graft as a person may look for it."""

    id: int
    number: int
    code: str
    made_on: date
    place: str | None
    limb: str | None
    bearing_deg: int | None
    height_mm: float | None
    position: str | None
    tie: str | None
    note: str | None
    host_plant_id: int | None
    host_graft_id: int | None
    bundle_id: int | None


class WoodLine(NamedTuple):
    """A bundle as a person may look for it."""

    id: int
    code: str
    cultivar_typed: str | None
    taxon: str | None
    cut_on: date | None
    store: str | None
    note: str | None


def plants(session: Session) -> list[PlantLine]:
    """Every plant, by number."""
    return lines(session, PlantLine, select(*columns_of(PlantLine, Plant)).order_by(Plant.number))


def grafts(session: Session, ids: Iterable[int] | None = None) -> list[GraftLine]:
    """Grafts by number: those with these ids, or every one where `ids` is None."""
    query = select(*columns_of(GraftLine, Graft)).order_by(Graft.number)
    found = lines(session, GraftLine, query, Graft.id, ids)
    return found if ids is None else sorted(found, key=lambda line: line.number)


def bundles(session: Session) -> list[WoodLine]:
    """Every bundle, by number."""
    return lines(session, WoodLine, select(*columns_of(WoodLine, Bundle)).order_by(Bundle.number))
