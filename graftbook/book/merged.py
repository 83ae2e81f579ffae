"""What came out of other books: their entries and changes as they were made there, and what things were called before.

A merge is one entry of this book, and what it did stands in its own changes like that of any other. Beside it the entries of
the other book are kept as they were made there, by whom and when, so that the history of a thing goes back beyond the day
the books were put together, and so that merging again knows what has come already. They count only while the merge that
brought them stands. In their values keys to other rows are the uids of those rows, since every book numbers rows anew.
"""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import JSON, CheckConstraint, Column
from sqlmodel import Field, SQLModel

from graftbook.book._base import NO_REUSE, Numbered, Row


class MergedEntry(Numbered, table=True):
    """An entry of another book. One with the uid of the merge itself says what the merge decided: new codes and numbers."""

    __tablename__ = "merged_entry"
    __table_args__ = NO_REUSE
    merge_id: int = Field(foreign_key="entry.id", index=True)
    uid: str = Field(max_length=36, index=True)
    at: datetime
    who: str | None = Field(default=None, max_length=200)
    verb: str = Field(max_length=40)
    summary: str = Field(max_length=4000)
    undone: bool = False


class MergedChange(Numbered, table=True):
    """One row touched by an entry of another book, with its values before (None: new) and after (None: taken away)."""

    __tablename__ = "merged_change"
    __table_args__ = (CheckConstraint("operation IN ('insert', 'update', 'delete')", name="operation_word"), NO_REUSE)
    merged_entry_id: int = Field(foreign_key="merged_entry.id", index=True)
    table_name: str = Field(max_length=40)
    row_uid: str = Field(max_length=36, index=True)
    operation: str = Field(max_length=10)
    before: dict | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))
    after: dict | None = Field(default=None, sa_column=Column(JSON(none_as_null=True)))


class FormerFields(SQLModel):
    """What a thing was known as before: the code that its tag may still bear, the uid of a row that was joined with it, or both.

    `of_uid` is the uid of the thing that stands, in the table named `thing`.
    """

    thing: str = Field(max_length=40)
    of_uid: str = Field(max_length=36, index=True)
    code: str | None = Field(default=None, max_length=12, index=True)
    was_uid: str | None = Field(default=None, max_length=36, index=True)
    on: date


class Former(Row, FormerFields, table=True):
    """What a thing was known as before, in the book."""

    __table_args__ = (CheckConstraint("code IS NOT NULL OR was_uid IS NOT NULL", name="something_former"), NO_REUSE)
