"""What things are said to be, by whom and how sure; names that mean the same; people, and what they asked for."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from graftbook.book._base import NO_REUSE, LongText, Number, Row, ShortText
from graftbook.book.limits import AllowedWords, constraints

SURE_WORDS = ("believed", "verified by fruit", "tested", "doubtful")
BETWEEN = " | "


class NamingFields(SQLModel):
    """One dated word on what a thing is. `candidates` are cultivars with ` | ` between them, None where it is unknown;
    `typed` is what the person wrote where that differs; `stick` is the stick of a bundle that is meant."""

    on: date
    candidates: LongText | None = None
    typed: LongText | None = None
    nickname: ShortText | None = None
    sure: Annotated[str, AllowedWords(SURE_WORDS)] = "believed"
    why: LongText | None = None
    stick: int | None = Field(default=None, ge=1, le=100_000)
    who: ShortText | None = None
    note: LongText | None = None


class Naming(Row, NamingFields, table=True):
    """A naming in the book."""

    __table_args__ = (
        *constraints(NamingFields),
        CheckConstraint(
            "(CASE WHEN plant_id IS NULL THEN 0 ELSE 1 END) + (CASE WHEN bundle_id IS NULL THEN 0 ELSE 1 END)"
            " + (CASE WHEN graft_id IS NULL THEN 0 ELSE 1 END) = 1",
            name="one_subject",
        ),
        CheckConstraint("stick IS NULL OR (stick >= 1 AND bundle_id IS NOT NULL)", name="stick_of_bundle"),
        NO_REUSE,
    )
    plant_id: int | None = Field(default=None, foreign_key="plant.id", index=True)
    bundle_id: int | None = Field(default=None, foreign_key="bundle.id", index=True)
    graft_id: int | None = Field(default=None, foreign_key="graft.id", index=True)


class SynonymFields(SQLModel):
    """Two cultivar names that the grower holds to be one: `name` is the other name, `preferred` the one shown."""

    on: date
    name: ShortText
    preferred: ShortText
    why: ShortText | None = None
    who: ShortText | None = None
    note: LongText | None = None


class Synonym(Row, SynonymFields, table=True):
    """A synonym in the book."""

    __table_args__ = NO_REUSE


class PersonFields(SQLModel):
    """Someone wood came from or went to: a name or initials is enough. `contact` leaves the book only when asked for."""

    name: ShortText
    initials: ShortText | None = None
    contact: LongText | None = None
    note: LongText | None = None


class Person(Row, PersonFields, table=True):
    """A person in the book."""

    __table_args__ = NO_REUSE
    name: str = Field(unique=True, max_length=200)


class WoodRequestFields(SQLModel):
    """So many sticks of a cultivar that somebody asked for. `closed_on` None while it is open."""

    number: Number = Field(unique=True)
    on: date
    receiver: ShortText
    cultivar: ShortText
    typed: ShortText | None = None
    sticks: int = Field(ge=1, le=100_000)
    closed_on: date | None = None
    who: ShortText | None = None
    note: LongText | None = None


class WoodRequest(Row, WoodRequestFields, table=True):
    """A request for wood in the book."""

    __tablename__ = "wood_request"
    __table_args__ = (
        *constraints(WoodRequestFields, "number_low", "sticks_low"),
        CheckConstraint('closed_on IS NULL OR closed_on >= "on"', name="closed_after"),
        NO_REUSE,
    )
