"""Growth stages read in bulk: every note, and what plants themselves hold where no note says it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from sqlalchemy import null, or_, select
from sqlmodel import Session

from graftbook.book.asking import CHUNK, columns_of, lines
from graftbook.book.plants import Plant
from graftbook.book.stages import StageNote


class Seen(NamedTuple):
    """What was seen on a plant on a day, with what the plant is."""

    plant_id: int
    code: str
    taxon: str | None
    cultivar: str | None
    place: str | None
    on: date
    stage: str | None
    bbch: str | None
    bark: str | None
    who: str | None
    note: str | None


class StageOnDay(NamedTuple):
    """What a note says of a plant, or what the plant holds itself."""

    plant_id: int
    on: date
    stage: str | None
    bark: str | None


class Newest(NamedTuple):
    """The newest stage and the newest bark of a plant, each with its day; None where it was never seen."""

    stage: str | None = None
    stage_on: date | None = None
    bark: str | None = None
    bark_on: date | None = None


_PLANT = (Plant.id, Plant.code, Plant.taxon, Plant.cultivar, Plant.place)
_NOTE = (StageNote.on, StageNote.stage, StageNote.bbch, StageNote.bark, StageNote.who, StageNote.note)
_HELD = (Plant.stage_on, Plant.stage, null(), Plant.bark, null(), null())


def every(session: Session, plants: Sequence[Plant] | None = None) -> list[Seen]:
    """All that was seen on these plants (None: on any), by day; what a plant holds itself only where no note says it."""
    ids = None if plants is None else {plant.id for plant in plants}
    few = ids if ids is not None and len(ids) <= CHUNK else None
    query = select(*_PLANT, *_NOTE).join(StageNote, StageNote.plant_id == Plant.id)
    notes = lines(session, Seen, query.order_by(StageNote.on, StageNote.id), Plant.id, few)
    noted = {(row.plant_id, row.on, row.stage) for row in notes}
    own = select(*_PLANT, *_HELD).where(
        Plant.stage_on.is_not(None), or_(Plant.stage.is_not(None), Plant.bark.is_not(None))
    )
    held = lines(session, Seen, own, Plant.id, few)
    found = [*notes, *(row for row in held if (row.plant_id, row.on, row.stage) not in noted)]
    wanted = (row for row in found if ids is None or row.plant_id in ids)
    return sorted(wanted, key=lambda row: (row.on, int(row.code[1:])))


def seen(session: Session, plants: Sequence[Plant], as_of: date) -> dict[int, Newest]:
    """The newest stage and bark of each of these plants up to a day."""
    found = {plant.id: Newest() for plant in plants}
    query = select(*columns_of(StageOnDay, StageNote)).where(StageNote.on <= as_of).order_by(StageNote.on, StageNote.id)
    notes = lines(session, StageOnDay, query, StageNote.plant_id, found if len(found) <= CHUNK else None)
    noted = {(row.plant_id, row.on, row.stage) for row in notes}
    own = (StageOnDay(each.id, each.stage_on, each.stage, each.bark) for each in plants if each.stage_on is not None)
    unnoted = (row for row in own if row.on <= as_of and (row.plant_id, row.on, row.stage) not in noted)
    # What a plant holds that no note says was stated after every note of that day, so it comes last.
    for row in sorted((*notes, *unnoted), key=lambda row: row.on):
        if row.plant_id not in found:
            continue
        newest = found[row.plant_id]
        if row.stage is not None:
            newest = newest._replace(stage=row.stage, stage_on=row.on)
        if row.bark is not None:
            newest = newest._replace(bark=row.bark, bark_on=row.on)
        found[row.plant_id] = newest
    return found


def is_noted(session: Session, plant: Plant) -> bool:
    """Whether a note says what the plant itself holds."""
    query = select(StageNote.id).where(StageNote.plant_id == plant.id, StageNote.on == plant.stage_on)
    return session.execute(query.where(StageNote.stage == plant.stage).limit(1)).scalar() is not None
