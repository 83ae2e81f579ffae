"""Grafts, what was seen on them and what was done for them."""

from __future__ import annotations

from datetime import date

from sqlalchemy import CheckConstraint, Index
from sqlmodel import Field, SQLModel

from graftbook.book._base import NO_REUSE, LongText, Millimetres, Row, ShortText, at_least, code_of, only, word_of

SCION_STATES = ("no-movement", "swelling", "pushing", "growing", "stalled", "shrivelled", "dead", "not-found")
BUD_STATES = ("set", "not-set", "forced")
STATES = (*SCION_STATES, *BUD_STATES)
UNION_WORDS = ("yes", "no", "unsure")
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

    number: int = Field(ge=1)
    code: code_of("G")
    stick: int | None = Field(default=None, ge=1, le=100_000)
    method: ShortText
    unit: word_of("graft", "bud") = "graft"
    made_on: date
    scion_mm: Millimetres | None = None
    stock_mm: Millimetres | None = None
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
    height_mm: Millimetres | None = None
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
        only("unit", "graft", "bud"),
        at_least("number", 1),
        at_least("sticks_drawn", 0),
        CheckConstraint("code = 'G' || number", name="code_number"),
        CheckConstraint("(host_plant_id IS NULL) <> (host_graft_id IS NULL)", name="one_host"),
        CheckConstraint("host_graft_id IS NULL OR host_graft_id <> id", name="not_on_itself"),
        CheckConstraint("bearing_deg BETWEEN 0 AND 359", name="bearing_deg_round"),
        CheckConstraint("tied_on >= made_on", name="tied_after"),
        Index("ix_graft_made_on", "made_on"),
        NO_REUSE,
    )
    number: int = Field(unique=True)
    code: str = Field(unique=True, max_length=12)
    bundle_id: int | None = Field(default=None, foreign_key="bundle.id", index=True)
    host_plant_id: int | None = Field(default=None, foreign_key="plant.id", index=True)
    host_graft_id: int | None = Field(default=None, foreign_key="graft.id", index=True)


class LookFields(SQLModel):
    """What was seen on a graft on a day. Never overwritten, never the last word. Shoot length in mm.

    `union_fault` says whether the union was to blame for a loss; None means nothing was said.
    """

    on: date
    state: word_of(*STATES)
    shoot_mm: Millimetres | None = None
    cause: ShortText | None = None
    union_fault: word_of(*UNION_WORDS) | None = None
    stock_fate: ShortText | None = None
    who: ShortText | None = None
    photo: ShortText | None = None
    note: LongText | None = None


class Look(Row, LookFields, table=True):
    """A look in the book."""

    __table_args__ = (
        only("state", *STATES),
        only("union_fault", *UNION_WORDS),
        Index("ix_look_graft_id_on", "graft_id", "on"),
        NO_REUSE,
    )
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
