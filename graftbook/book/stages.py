"""Growth stages of plants as they were seen, each on its day; a plant itself only keeps the newest."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from sqlalchemy import CheckConstraint, Index
from sqlmodel import Field, SQLModel

from graftbook.book._base import NO_REUSE, LongText, Row, ShortText
from graftbook.book.limits import AllowedWords, constraints
from graftbook.book.plants import BARKS


class StageNoteFields(SQLModel):
    """What was seen on a plant on a day: its stage by the everyday word, its BBCH code where that was said, the bark as
    tried with the knife; at least one of stage and bark."""

    on: date
    stage: ShortText | None = None
    bbch: ShortText | None = None
    bark: Annotated[str, AllowedWords(BARKS)] | None = None
    who: ShortText | None = None
    note: LongText | None = None


class StageNote(Row, StageNoteFields, table=True):
    """A stage note in the book."""

    __tablename__ = "stage_note"
    __table_args__ = (
        *constraints(StageNoteFields),
        CheckConstraint("stage IS NOT NULL OR bark IS NOT NULL", name="something_seen"),
        CheckConstraint("bbch IS NULL OR stage IS NOT NULL", name="bbch_with_stage"),
        Index("ix_stage_note_plant_id_on", "plant_id", "on"),
        NO_REUSE,
    )
    plant_id: int = Field(foreign_key="plant.id")
