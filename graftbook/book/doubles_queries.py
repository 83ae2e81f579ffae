"""What finding doubles asks of the book: things as they were entered, and where names of people and cultivars stand."""

from __future__ import annotations

from datetime import date
from typing import Any, NamedTuple

from sqlalchemy import func, select
from sqlmodel import Session

from graftbook.book.asking import columns_of, lines, rows
from graftbook.book.grafts import Graft
from graftbook.book.lineage import WoodRequest
from graftbook.book.merged import MergedChange, MergedEntry
from graftbook.book.plans import Want
from graftbook.book.plants import Plant
from graftbook.book.story import MERGE
from graftbook.book.tables import Change, Entry
from graftbook.book.wood import Bundle, Movement

NAMES_OF_PEOPLE: tuple[Any, ...] = (
    Bundle.donor, Movement.receiver, Plant.source, WoodRequest.receiver, Want.for_whom,
)  # fmt: skip
"""Where people stand by name alone."""


class PlantSpot(NamedTuple):
    """A plant by what tells it from others."""

    id: int
    uid: str
    code: str
    kind: str
    cultivar: str | None
    clone: str | None
    place: str | None
    row: str | None
    order: int | None
    acquired_on: date | None
    source: str | None
    died_on: date | None


class GraftSpot(NamedTuple):
    """A graft by what tells it from others."""

    id: int
    uid: str
    code: str
    bundle_id: int | None
    host_plant_id: int | None
    host_graft_id: int | None
    method: str
    made_on: date
    limb: str | None
    bearing_deg: int | None
    height_mm: float | None
    position: str | None
    stick: int | None


def plants(session: Session) -> list[PlantSpot]:
    """Every plant, by number."""
    return lines(session, PlantSpot, select(*columns_of(PlantSpot, Plant)).order_by(Plant.number))


def grafts(session: Session) -> list[GraftSpot]:
    """Every graft, by number."""
    return lines(session, GraftSpot, select(*columns_of(GraftSpot, Graft)).order_by(Graft.number))


def entered_by(session: Session, table_name: str) -> dict[str, str]:
    """The entry that each row of a table was first entered by, as its uid; what came from another book by the entry there."""
    own = (
        select(Change.row_uid, Entry.uid).join(Entry, Change.entry_id == Entry.id)
        .where(Change.table_name == table_name, Change.operation == "insert", Entry.verb != MERGE).order_by(Change.id.desc())
    )  # fmt: skip
    came = (
        select(MergedChange.row_uid, MergedEntry.uid)
        .join(MergedEntry, MergedChange.merged_entry_id == MergedEntry.id)
        .where(MergedChange.table_name == table_name, MergedChange.operation == "insert")
        .order_by(MergedChange.id.desc())
    )
    return {uid: entry for query in (came, own) for uid, entry in rows(session, query)}


def names_of_people(session: Session) -> dict[str, int]:
    """Every name that stands for somebody, with how often it does."""
    found: dict[str, int] = {}
    for column in NAMES_OF_PEOPLE:
        query = select(column, func.count()).where(column.is_not(None)).group_by(column)
        for name, times in rows(session, query):
            found[name] = found.get(name, 0) + times
    return found


def cultivars(session: Session) -> dict[str, int]:
    """Every cultivar name on a plant or a bundle, with how often it stands there."""
    found: dict[str, int] = {}
    for column in (Plant.cultivar, Bundle.cultivar):
        query = select(column, func.count()).where(column.is_not(None)).group_by(column)
        for name, times in rows(session, query):
            found[name] = found.get(name, 0) + times
    return found
