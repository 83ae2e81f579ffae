"""Plants: anything with roots, a mother tree or a stock."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from graftbook import units
from graftbook.book._base import NO_REUSE, LongText, Row, ShortText, code_of
from graftbook.book.limits import AllowedWords, Within, constraints
from graftbook.codes import LARGEST_NUMBER

PLANT_KINDS = ("tree", "stock")
BARKS = ("tight", "slipping")
Calliper = Annotated[float, Within(units.PLANT_DIAMETER)]


class PlantFields(SQLModel):
    """What is known of a plant. Diameters in mm; a graded, unmeasured stock has a range instead of one diameter.

    `clone` names a clonal rootstock, or holds `seedling`; None means not known. `cultivar_typed`, `taxon_typed` and
    `clone_typed` keep what the person wrote where the preferred name differs.
    """

    number: int = Field(ge=1, le=LARGEST_NUMBER, unique=True)
    code: Annotated[str, code_of("P")] = Field(max_length=12, unique=True)
    kind: Annotated[str, AllowedWords(PLANT_KINDS)]
    taxon: ShortText | None = None
    taxon_typed: ShortText | None = None
    clone: ShortText | None = None
    clone_typed: ShortText | None = None
    cultivar: ShortText | None = None
    cultivar_typed: ShortText | None = None
    diameter_mm: Calliper | None = None
    grade_min_mm: Calliper | None = None
    grade_max_mm: Calliper | None = None
    measured_on: date | None = None
    site: ShortText | None = None
    place: ShortText | None = None
    row: ShortText | None = None
    order: int | None = Field(default=None, ge=0, le=1_000_000)
    acquired_on: date | None = None
    source: ShortText | None = None
    container: ShortText | None = None
    stage: ShortText | None = None
    stage_on: date | None = None
    bark: Annotated[str, AllowedWords(BARKS)] | None = None
    lot: ShortText | None = None
    died_on: date | None = None
    note: LongText | None = None


class Plant(Row, PlantFields, table=True):
    """A plant in the book."""

    __table_args__ = (
        *constraints(PlantFields, "number_low"),
        CheckConstraint("code = 'P' || number", name="code_number"),
        CheckConstraint("diameter_mm > 0", name="diameter_mm_low"),
        CheckConstraint("grade_min_mm <= grade_max_mm", name="grade_order"),
        CheckConstraint("died_on IS NULL OR acquired_on IS NULL OR died_on >= acquired_on", name="died_after"),
        NO_REUSE,
    )
