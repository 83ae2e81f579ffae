"""Tags: runs that were printed, and codes given out ahead on blank tags."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from sqlalchemy import JSON, CheckConstraint, Column
from sqlmodel import Field, SQLModel

from graftbook.book._base import NO_REUSE, LongText, Number, Row, ShortText, code_of
from graftbook.book.limits import AllowedWords, constraints

ORDERS = ("asked", "code", "place", "bench")


class TagRunFields(SQLModel):
    """One printing of tags: what on, from which cell, how many of each, and in which order the codes were taken."""

    number: Number = Field(unique=True)
    on: date
    medium: ShortText
    purpose: ShortText | None = None
    start_cell: int = Field(default=1, ge=1, le=250_000)
    copies: int = Field(default=1, ge=1, le=1000)
    in_order: Annotated[str, AllowedWords(ORDERS)] = "asked"
    printer: ShortText | None = None
    who: ShortText | None = None
    note: LongText | None = None


class TagRun(Row, TagRunFields, table=True):
    """A run of tags in the book; `codes` are those printed, in order."""

    __tablename__ = "tag_run"
    __table_args__ = (
        *constraints(TagRunFields, "number_low"),
        CheckConstraint("start_cell >= 1 AND copies >= 1", name="start_and_copies"),
        NO_REUSE,
    )
    codes: list = Field(sa_column=Column(JSON, nullable=False))


class ReservedCodeFields(SQLModel):
    """A graft's code given out on a blank tag, before there is a graft."""

    code: Annotated[str, code_of("G")] = Field(max_length=12, unique=True)
    on: date
    purpose: ShortText | None = None


class ReservedCode(Row, ReservedCodeFields, table=True):
    """A reserved code in the book; it is used once a graft has it."""

    __tablename__ = "reserved_code"
    __table_args__ = NO_REUSE
