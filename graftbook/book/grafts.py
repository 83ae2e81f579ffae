"""Grafts, what was seen on them and what was done for them."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from sqlalchemy import CheckConstraint, Index
from sqlmodel import Field, SQLModel

from graftbook import units
from graftbook.book._base import NO_REUSE, LongText, Row, ScionDiameter, ShortText, code_of
from graftbook.book.limits import AllowedWords, Within, constraints
from graftbook.codes import LARGEST_NUMBER

SCION_STATES = ("no-movement", "swelling", "pushing", "growing", "stalled", "shrivelled", "dead", "not-found")
BUD_STATES = ("set", "not-set", "forced")
STATES = (*SCION_STATES, *BUD_STATES)
DEAD = frozenset({"dead", "not-set"})
"""The states of a look that say a graft is dead."""
NOT_ALIVE = DEAD | {"not-found"}
"""The states of a look that do not see a graft alive."""
UNION_WORDS = ("yes", "no", "unsure")
UNITS = ("graft", "bud")
CARE_WORDS = (
    "tie-released", "rubbed-off", "staked", "headed-back", "one-leader", "potted-on", "lasting-tag", "tag-missing",
    "tag-illegible", "moved", "gone-home",
)  # fmt: skip


class GraftFields(SQLModel):
    """One scion or bud set on one host at one place: one attempt. Diameters at the union in mm.

    `sticks_drawn` counts the sticks newly opened for this graft (0 when it came from a stick already open) and
    `buds_left` the buds then left on the stick in hand (None: buds a stick were not counted). `cautions` keeps what the
    person was warned of on the day, one a line.
    """

    number: int = Field(ge=1, le=LARGEST_NUMBER, unique=True)
    code: Annotated[str, code_of("G")] = Field(max_length=12, unique=True)
    stick: int | None = Field(default=None, ge=1, le=100_000)
    method: ShortText
    unit: Annotated[str, AllowedWords(UNITS)] = "graft"
    made_on: date
    scion_mm: ScionDiameter | None = None
    stock_mm: Annotated[float, Within(units.STOCK_DIAMETER)] | None = None
    buds: int | None = Field(default=None, ge=1, le=50)
    tie: ShortText | None = None
    seal: ShortText | None = None
    tied_on: date | None = None
    who: ShortText | None = None
    place: ShortText | None = None
    stage: ShortText | None = None
    bench: bool | None = None
    limb: ShortText | None = None
    bearing_deg: int | None = Field(default=None, ge=0, le=359)
    height_mm: Annotated[float, Within(units.HEIGHT)] | None = None
    position: ShortText | None = None
    trial: ShortText | None = None
    block: ShortText | None = None
    cautions: LongText | None = None
    sticks_drawn: int = Field(default=0, ge=0, le=1000)
    buds_left: int | None = Field(default=None, ge=0, le=200)
    note: LongText | None = None


class Graft(Row, GraftFields, table=True):
    """A graft in the book."""

    __table_args__ = (
        *constraints(GraftFields, "number_low", "sticks_drawn_low", "bearing_deg_round"),
        CheckConstraint("code = 'G' || number", name="code_number"),
        CheckConstraint("(host_plant_id IS NULL) <> (host_graft_id IS NULL)", name="one_host"),
        CheckConstraint("host_graft_id IS NULL OR host_graft_id <> id", name="not_on_itself"),
        CheckConstraint("tied_on >= made_on", name="tied_after"),
        Index("ix_graft_made_on", "made_on"),
        NO_REUSE,
    )
    bundle_id: int | None = Field(default=None, foreign_key="bundle.id", index=True)
    host_plant_id: int | None = Field(default=None, foreign_key="plant.id", index=True)
    host_graft_id: int | None = Field(default=None, foreign_key="graft.id", index=True)


class LookFields(SQLModel):
    """What was seen on a graft on a day. Never overwritten, never the last word. Shoot length in mm.

    `union_fault` says whether the union was to blame for a loss; None means nothing was said.
    """

    on: date
    state: Annotated[str, AllowedWords(STATES)]
    shoot_mm: Annotated[float, Within(units.SHOOT_LENGTH)] | None = None
    cause: ShortText | None = None
    union_fault: Annotated[str, AllowedWords(UNION_WORDS)] | None = None
    stock_fate: ShortText | None = None
    who: ShortText | None = None
    photo: ShortText | None = None
    note: LongText | None = None


class Look(Row, LookFields, table=True):
    """A look in the book."""

    __table_args__ = (*constraints(LookFields), Index("ix_look_graft_id_on", "graft_id", "on"), NO_REUSE)
    graft_id: int = Field(foreign_key="graft.id")


class CareFields(SQLModel):
    """Aftercare done on a day: to a graft, or to a plant and so to all that stands on it. What was moved went from
    `place_before` to `place`; None where that was not said."""

    on: date
    what: ShortText
    place: ShortText | None = None
    place_before: ShortText | None = None
    who: ShortText | None = None
    note: LongText | None = None


class Care(Row, CareFields, table=True):
    """Care in the book."""

    __table_args__ = (CheckConstraint("(plant_id IS NULL) <> (graft_id IS NULL)", name="one_subject"), NO_REUSE)
    place: str | None = Field(default=None, max_length=200)
    place_before: str | None = Field(default=None, max_length=200)
    plant_id: int | None = Field(default=None, foreign_key="plant.id", index=True)
    graft_id: int | None = Field(default=None, foreign_key="graft.id", index=True)
