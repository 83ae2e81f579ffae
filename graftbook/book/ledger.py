"""The ledger under the record: entries, the changes each made, settings, counters, the grower's own notes and rows."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated

from sqlalchemy import JSON, CheckConstraint, Column
from sqlmodel import Field, SQLModel

from graftbook.book._base import NO_REUSE, LongText, Numbered, Row, ShortText
from graftbook.book.limits import AllowedWords, constraints

NOTE_KINDS = ("health", "rights")
HEALTH_WORDS = ("suspect", "visibly clean", "tested")


class Entry(Row, table=True):
    """One change to the book as the person made it. `undone_by` names the entry that took it back."""

    __table_args__ = NO_REUSE
    at: datetime = Field(index=True)
    who: str | None = Field(default=None, max_length=200)
    verb: str = Field(max_length=40)
    summary: str = Field(max_length=4000)
    undoes: int | None = Field(default=None, foreign_key="entry.id")
    undone_by: int | None = Field(default=None, foreign_key="entry.id")


class Change(Numbered, table=True):
    """One row touched by an entry, with its values before (None: new) and after (None: taken away)."""

    __table_args__ = (CheckConstraint("operation IN ('insert', 'update', 'delete')", name="operation_word"), NO_REUSE)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    table_name: str = Field(max_length=40)
    row_uid: str = Field(max_length=36, index=True)
    operation: str = Field(max_length=10)
    before: dict | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))
    after: dict | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))


class Setting(Row, table=True):
    """One thing stated about the book itself, such as its unit of length."""

    __table_args__ = NO_REUSE
    key: str = Field(unique=True, max_length=40)
    value: str = Field(max_length=400)


class Counter(SQLModel, table=True):
    """The last number given out for a kind of code. It only ever rises, so that no code is used twice."""

    letter: str = Field(primary_key=True, max_length=1)
    last: int = Field(ge=0)


class CautionNoteFields(SQLModel):
    """The grower's own note on health or rights. `until` None means with no end."""

    kind: Annotated[str, AllowedWords(NOTE_KINDS)]
    status: ShortText
    on: date
    until: date | None = None
    source: ShortText | None = None
    note: LongText | None = None


class CautionNote(Row, CautionNoteFields, table=True):
    """A health or rights note in the book."""

    __tablename__ = "caution_note"
    __table_args__ = (
        *constraints(CautionNoteFields),
        CheckConstraint("(plant_id IS NULL) <> (bundle_id IS NULL)", name="one_subject"),
        NO_REUSE,
    )
    plant_id: int | None = Field(default=None, foreign_key="plant.id", index=True)
    bundle_id: int | None = Field(default=None, foreign_key="bundle.id", index=True)


class OwnRow(Row, table=True):
    """A row of the trade's tables that this grower added, with its own source."""

    __table_args__ = NO_REUSE
    __tablename__ = "own_row"
    trade_table: str = Field(max_length=40)
    fields: dict = Field(sa_column=Column(JSON, nullable=False))
