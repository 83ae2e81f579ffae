"""Wood: prunings saved as bundles, the movements of their sticks, and what they looked like in store.

The balance of a bundle is the sum of its movements plus the sticks its grafts opened, and never falls below zero.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated

from sqlalchemy import CheckConstraint, Column, ForeignKey
from sqlmodel import Field, SQLModel

from graftbook import units
from graftbook.book._base import NO_REUSE, Celsius, LongText, Row, ScionDiameter, ShortText, code_of
from graftbook.book.limits import AllowedWords, Within, constraints
from graftbook.codes import LARGEST_NUMBER

WOOD_KINDS = ("dormant", "summer")
MOVEMENTS = ("saved", "received", "given", "discarded", "found", "counted", "mixed")
CONDITIONS = ("sound", "swelling", "drying", "mould", "dead")


class PruneFields(SQLModel):
    """One pruning of one plant: cuts by kind and the share of the canopy taken away, in per cent."""

    on: date
    thinning: int | None = Field(default=None, ge=0, le=100_000)
    heading: int | None = Field(default=None, ge=0, le=100_000)
    bench: int | None = Field(default=None, ge=0, le=100_000)
    removed_percent: int | None = Field(default=None, ge=0, le=100)
    who: ShortText | None = None
    note: LongText | None = None


class Prune(Row, PruneFields, table=True):
    """A prune in the book."""

    __table_args__ = (*constraints(PruneFields, "removed_percent_share"), NO_REUSE)
    plant_id: int = Field(foreign_key="plant.id", index=True)


class BundleFields(SQLModel):
    """Scion wood of one kind cut from one plant on one day. Lengths in mm, temperature in degrees C.

    `buds_per_stick` None means not counted. A bundle without a source plant or graft was received or is of unknown origin.
    """

    number: int = Field(ge=1, le=LARGEST_NUMBER, unique=True)
    code: Annotated[str, code_of("W")] = Field(max_length=12, unique=True)
    taxon: ShortText | None = None
    cultivar: ShortText | None = None
    cultivar_typed: ShortText | None = None
    donor: ShortText | None = None
    received_on: date | None = None
    cut_on: date | None = None
    stored_on: date | None = None
    store: ShortText | None = None
    packing: ShortText | None = None
    temperature_c: Celsius | None = None
    length_mm: Annotated[float, Within(units.STICK_LENGTH)] | None = None
    diameter_min_mm: ScionDiameter | None = None
    diameter_max_mm: ScionDiameter | None = None
    buds_per_stick: int | None = Field(default=None, ge=1, le=200)
    wood_kind: Annotated[str, AllowedWords(WOOD_KINDS)] = "dormant"
    note: LongText | None = None


class Bundle(Row, BundleFields, table=True):
    """A bundle in the book."""

    __table_args__ = (
        *constraints(BundleFields, "number_low", "buds_per_stick_low"),
        CheckConstraint("code = 'W' || number", name="code_number"),
        CheckConstraint("diameter_min_mm <= diameter_max_mm", name="diameter_order"),
        CheckConstraint("NOT (cut_plant_id IS NOT NULL AND cut_graft_id IS NOT NULL)", name="one_source"),
        NO_REUSE,
    )
    cut_plant_id: int | None = Field(default=None, foreign_key="plant.id", index=True)
    cut_graft_id: int | None = Field(
        default=None,
        sa_column=Column(ForeignKey("graft.id", name="fk_bundle_cut_graft_id", use_alter=True), index=True),
    )
    prune_id: int | None = Field(default=None, foreign_key="prune.id")


class MovementFields(SQLModel):
    """Sticks in or out of a bundle: `sticks` is signed. A count keeps what was counted beside the difference it made;
    `stick` is the one stick that went, where it is known which."""

    on: date
    kind: Annotated[str, AllowedWords(MOVEMENTS)]
    sticks: int = Field(ge=-1_000_000, le=1_000_000)
    counted: int | None = Field(default=None, ge=0, le=1_000_000)
    receiver: ShortText | None = None
    stick: int | None = Field(default=None, ge=1, le=100_000)
    who: ShortText | None = None
    note: LongText | None = None


class Movement(Row, MovementFields, table=True):
    """A movement in the book; sticks that were mixed went into another bundle."""

    __table_args__ = (
        *constraints(MovementFields, "stick_low"),
        CheckConstraint("counted IS NULL OR kind = 'counted'", name="counted_kind"),
        CheckConstraint(
            "(kind IN ('saved', 'received', 'found') AND sticks >= 0) OR (kind IN ('given', 'discarded', 'mixed')"
            " AND sticks <= 0) OR kind = 'counted'",
            name="sticks_sign",
        ),
        CheckConstraint("(into_bundle_id IS NOT NULL) = (kind = 'mixed')", name="into_kind"),
        CheckConstraint("into_bundle_id IS NULL OR into_bundle_id <> bundle_id", name="not_into_itself"),
        NO_REUSE,
    )
    bundle_id: int = Field(foreign_key="bundle.id", index=True)
    into_bundle_id: int | None = Field(default=None, foreign_key="bundle.id", index=True)


class StayFields(SQLModel):
    """Where a bundle was kept from a day on, how packed, at what temperature in degrees C."""

    on: date
    store: ShortText | None = None
    packing: ShortText | None = None
    temperature_c: Celsius | None = None
    who: ShortText | None = None
    note: LongText | None = None


class Stay(Row, StayFields, table=True):
    """A stay in the book. A bundle that was never moved has none: its own store speaks for all its time."""

    __table_args__ = NO_REUSE
    bundle_id: int = Field(foreign_key="bundle.id", index=True)


class InspectionFields(SQLModel):
    """What a bundle looked like in store on a day."""

    on: date
    condition: Annotated[str, AllowedWords(CONDITIONS)]
    who: ShortText | None = None
    note: LongText | None = None


class Inspection(Row, InspectionFields, table=True):
    """An inspection in the book."""

    __table_args__ = (*constraints(InspectionFields), NO_REUSE)
    bundle_id: int = Field(foreign_key="bundle.id", index=True)
