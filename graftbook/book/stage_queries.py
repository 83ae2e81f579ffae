"""Growth stages read in bulk: every note, and what plants themselves hold where no note says it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from sqlalchemy import null, select
from sqlmodel import Session

from graftbook.book.plants import Plant
from graftbook.book.stages import StageNote
from graftbook.book.unit import CHUNK


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
    query = select(*_PLANT, *_NOTE).join(StageNote, StageNote.plant_id == Plant.id)
    held = select(*_PLANT, *_HELD).where(Plant.stage_on.is_not(None))
    rows = list(map(Seen._make, session.connection().execute(query.order_by(StageNote.on, StageNote.id))))
    noted = {(row.plant_id, row.on, row.stage) for row in rows}
    for row in map(Seen._make, session.connection().execute(held)):
        if (row.plant_id, row.on, row.stage) not in noted and (row.stage is not None or row.bark is not None):
            rows.append(row)
    wanted = None if plants is None else {plant.id for plant in plants}
    rows = [row for row in rows if wanted is None or row.plant_id in wanted]
    return sorted(rows, key=lambda row: (row.on, int(row.code[1:])))


def seen(session: Session, plants: Sequence[Plant], as_of: date) -> dict[int, Newest]:
    """The newest stage and bark of each of these plants up to a day."""
    found = {plant.id: Newest() for plant in plants}
    query = select(StageNote.plant_id, StageNote.on, StageNote.stage, StageNote.bark).where(StageNote.on <= as_of)
    if len(found) <= CHUNK:
        query = query.where(StageNote.plant_id.in_(list(found)))
    found_rows = session.connection().execute(query.order_by(StageNote.on, StageNote.id))
    rows = [(plant_id, on, stage, bark) for plant_id, on, stage, bark in found_rows]
    noted = {row[:3] for row in rows}
    own = [
        (plant.id, plant.stage_on, plant.stage, plant.bark)
        for plant in plants
        if plant.stage_on is not None
        and plant.stage_on <= as_of
        and (plant.id, plant.stage_on, plant.stage) not in noted
    ]
    # What a plant holds that no note says was stated after every note of that day, so it comes last.
    for plant_id, on, stage, bark in sorted((*rows, *own), key=lambda row: row[1]):
        newest = found.get(plant_id)
        if newest is None:
            continue
        if stage is not None:
            newest = newest._replace(stage=stage, stage_on=on)
        if bark is not None:
            newest = newest._replace(bark=bark, bark_on=on)
        found[plant_id] = newest
    return found


def is_noted(session: Session, plant: Plant) -> bool:
    """Whether a note says what the plant itself holds."""
    query = select(StageNote.id).where(StageNote.plant_id == plant.id, StageNote.on == plant.stage_on)
    return session.execute(query.where(StageNote.stage == plant.stage).limit(1)).scalar() is not None
