"""Every table of the book in one place, in the order rows may be added."""

from __future__ import annotations

from sqlmodel import SQLModel

from graftbook.book._base import Row
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.ledger import CautionNote, Change, Counter, Entry, OwnRow, Setting
from graftbook.book.lineage import Naming, Person, Synonym, WoodRequest
from graftbook.book.merged import Former, MergedChange, MergedEntry
from graftbook.book.plans import Plan, PlanRow, Want
from graftbook.book.plants import Plant
from graftbook.book.sheets_kept import SheetLine, SheetRead
from graftbook.book.stages import StageNote
from graftbook.book.tags import ReservedCode, TagRun
from graftbook.book.weather import PlaceWeather, WeatherStation, WeatherYear
from graftbook.book.wood import Bundle, Inspection, Movement, Prune, Stay

RECORD: tuple[type[Row], ...] = (
    Plant, Prune, Bundle, Graft, Movement, Inspection, StageNote, Stay, Look, Care, CautionNote, OwnRow, TagRun,
    ReservedCode, WeatherStation, WeatherYear, PlaceWeather, Naming, Synonym, Person, WoodRequest, Want, Plan, PlanRow,
    SheetRead, SheetLine, Former, Setting,
)  # fmt: skip
BY_NAME = {str(table.__tablename__): table for table in RECORD}
FIELDS: dict[type[Row], type[SQLModel]] = {
    table: base for table in RECORD for base in table.__bases__ if base is not Row
}
"""The class that validates each table; Entry, Setting and OwnRow have none."""
CodedTable = type[Plant] | type[Bundle] | type[Graft]
"""A table whose rows carry codes."""
METADATA = SQLModel.metadata

__all__ = ["BY_NAME", "FIELDS", "METADATA", "RECORD", "Change", "CodedTable", "Counter", "Entry", "MergedChange", "MergedEntry",
           "Setting"]  # fmt: skip
