"""Wants, and plans for a grafting day: which piece of which stick goes on which host, line by line in bench order."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from sqlalchemy import JSON, CheckConstraint, Column, Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from graftbook.book._base import NO_REUSE, LongText, Number, Row, ScionDiameter, ShortText
from graftbook.book.limits import AllowedWords, Within, constraints
from graftbook.codes import LARGEST_NUMBER
from graftbook.units import Limit

OUTCOMES = ("optimal", "gap")
BASES = ("own", "published", "working value")
AlongStick = Annotated[float, Within(Limit("a place along a stick", 0.0, 2000.0))]


class WantFields(SQLModel):
    """A cultivar that so many living trees of are wanted.

    `living` of `trees` must live, which makes it a must-have (None: none is a must), on `sites` sites or more; `priority` 1
    is the highest. `clone` names the only rootstock it may stand on (None: any). It stands until `done_on` or
    `withdrawn_on`. `cultivar_typed` and `clone_typed` keep what the person wrote where the preferred name differs.
    """

    number: Number = Field(unique=True)
    on: date
    cultivar: ShortText
    cultivar_typed: ShortText | None = None
    taxon: ShortText | None = None
    trees: int = Field(ge=1, le=1_000_000)
    living: int | None = Field(default=None, ge=1, le=1_000_000)
    sites: int = Field(default=1, ge=1, le=1000)
    priority: int = Field(default=2, ge=1, le=9)
    for_whom: ShortText | None = None
    clone: ShortText | None = None
    clone_typed: ShortText | None = None
    done_on: date | None = None
    withdrawn_on: date | None = None
    who: ShortText | None = None
    note: LongText | None = None


class Want(Row, WantFields, table=True):
    """A want in the book."""

    __table_args__ = (
        *constraints(WantFields, "number_low", "trees_low", "priority_range"),
        CheckConstraint("living IS NULL OR (living >= 1 AND living <= trees)", name="living_within"),
        CheckConstraint("sites >= 1 AND sites <= trees", name="sites_within"),
        CheckConstraint("done_on IS NULL OR withdrawn_on IS NULL", name="one_end"),
        NO_REUSE,
    )


class PlanFields(SQLModel):
    """A plan for one day. `day` is the day of grafting, `on` the day it was made.

    `outcome` is `optimal` where no better plan can be had, `gap` where room may be left, which `message` describes. `seed`
    drew the ways of a comparison; `compare` says which (None: no comparison). `first_graft` is the number of the code of
    line 1, the others following on, from the day codes were given out (None: not yet). `done_on` is the day it was done,
    `dropped_on` the day it was given up; `crew` the number of the crew it was dealt to (None: to none).
    """

    number: Number = Field(unique=True)
    on: date
    day: date
    outcome: Annotated[str, AllowedWords(OUTCOMES)] = "optimal"
    message: LongText | None = None
    seed: int | None = Field(default=None, ge=0, le=2_000_000_000)
    compare: ShortText | None = None
    first_graft: int | None = Field(default=None, ge=1, le=LARGEST_NUMBER)
    done_on: date | None = None
    dropped_on: date | None = None
    crew: int | None = Field(default=None, ge=1, le=1000)
    who: ShortText | None = None
    note: LongText | None = None


class Plan(Row, PlanFields, table=True):
    """A plan in the book; `settings` are the words it was asked with."""

    __table_args__ = (*constraints(PlanFields, "number_low"), NO_REUSE)
    settings: dict = Field(sa_column=Column(JSON, nullable=False))


class PlanRowFields(SQLModel):
    """One graft of a plan: `line` counts in bench order from 1.

    The piece is number `piece` from the butt of stick `stick`, counted among those left; it runs from `from_mm` to `to_mm`
    from the butt and is `scion_mm` thick at its butt (all None where the stick was not measured). `spot` tells several
    grafts on one host apart. `chance` that it lives is of `basis`, `k` of `n` grafts where it is the grower's own;
    `joint_share` is what the joint can meet.
    """

    line: Number
    stick: int = Field(ge=1, le=1_000_000)
    piece: int = Field(ge=1, le=100)
    buds: int = Field(ge=1, le=50)
    from_mm: AlongStick | None = None
    to_mm: AlongStick | None = None
    scion_mm: ScionDiameter | None = None
    spot: int = Field(default=1, ge=1, le=1000)
    position: ShortText | None = None
    method: ShortText
    chance: float = Field(ge=0, le=1)
    basis: Annotated[str, AllowedWords(BASES)]
    basis_words: ShortText | None = None
    k: int | None = Field(default=None, ge=0, le=10_000_000)
    n: int | None = Field(default=None, ge=0, le=10_000_000)
    joint_share: float | None = Field(default=None, ge=0, le=1)
    trial: ShortText | None = None
    block: ShortText | None = None
    treatment: ShortText | None = None
    cautions: LongText | None = None


class PlanRow(Row, PlanRowFields, table=True):
    """A line of a plan in the book."""

    __tablename__ = "plan_row"
    __table_args__ = (
        *constraints(PlanRowFields, "line_low", "chance_share"),
        UniqueConstraint("plan_id", "line"),
        Index("ix_plan_row_want_id", "want_id"),
        Index("ix_plan_row_bundle_id", "bundle_id"),
        Index("ix_plan_row_host_plant_id", "host_plant_id"),
        NO_REUSE,
    )
    plan_id: int = Field(foreign_key="plan.id")
    want_id: int | None = Field(default=None, foreign_key="want.id")
    bundle_id: int = Field(foreign_key="bundle.id")
    host_plant_id: int = Field(foreign_key="plant.id")
