"""Growers' own sheets that were read into the book: how each was read, and every row of it, as typed and what became of it."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from sqlalchemy import JSON, CheckConstraint, Column, Index
from sqlmodel import Field, SQLModel

from graftbook.book._base import NO_REUSE, LongText, Number, Row, ShortText
from graftbook.book.limits import AllowedWords, constraints

FATES = ("taken", "held", "dropped")


class SheetReadFields(SQLModel):
    """A sheet of a grower's own that was read on a day: its file, and its name in a file of several."""

    number: Number = Field(unique=True)
    on: date
    file: ShortText
    sheet: ShortText | None = None


class SheetRead(Row, SheetReadFields, table=True):
    """A sheet that was read; `reading` is how, as plain words by names."""

    __tablename__ = "sheet_read"
    __table_args__ = (*constraints(SheetReadFields, "number_low"), NO_REUSE)
    reading: dict = Field(sa_column=Column(JSON, nullable=False))


class SheetRowFields(SQLModel):
    """A row of such a sheet. `made` are the codes of what it made, where it was taken; `why` is why it is held; `was` is the
    number of the row that it is a later state of."""

    number: Number = Field(unique=True)
    line: int = Field(ge=1, le=10_000_000)
    fate: Annotated[str, AllowedWords(FATES)]
    why: LongText | None = None
    made: LongText | None = None
    was: Number | None = None


class SheetLine(Row, SheetRowFields, table=True):
    """A row in the book: `cells` are its texts by heading as typed, `mends` what the person says they mean, `offers` what may
    be meant."""

    __tablename__ = "sheet_row"
    __table_args__ = (
        *constraints(SheetRowFields, "number_low", "line_low"),
        CheckConstraint("fate <> 'held' OR why IS NOT NULL", name="held_why"),
        Index("ix_sheet_row_sheet_read_id_line", "sheet_read_id", "line"),
        NO_REUSE,
    )
    cells: dict = Field(sa_column=Column(JSON, nullable=False))
    mends: dict | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))
    offers: dict | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))
    sheet_read_id: int = Field(foreign_key="sheet_read.id")
