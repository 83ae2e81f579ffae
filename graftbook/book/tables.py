"""Every table of the book in one place, in the order rows may be added."""

from __future__ import annotations

from sqlmodel import SQLModel

from graftbook.book.grafts import Care, CareFields, Graft, GraftFields, Look, LookFields
from graftbook.book.ledger import CautionNote, CautionNoteFields, Change, Counter, Entry, OwnRow, Setting
from graftbook.book.lineage import (
    Naming,
    NamingFields,
    Person,
    PersonFields,
    Synonym,
    SynonymFields,
    WoodRequest,
    WoodRequestFields,
)
from graftbook.book.plans import Plan, PlanFields, PlanRow, PlanRowFields, Want, WantFields
from graftbook.book.plants import Plant, PlantFields
from graftbook.book.stages import StageNote, StageNoteFields
from graftbook.book.tags import ReservedCode, ReservedCodeFields, TagRun, TagRunFields
from graftbook.book.weather import (
    PlaceWeather,
    PlaceWeatherFields,
    WeatherStation,
    WeatherStationFields,
    WeatherYear,
    WeatherYearFields,
)
from graftbook.book.wood import (
    Bundle,
    BundleFields,
    Inspection,
    InspectionFields,
    Movement,
    MovementFields,
    Prune,
    PruneFields,
    Stay,
    StayFields,
)

FIELDS: dict[type[SQLModel], type[SQLModel]] = {
    Plant: PlantFields, Prune: PruneFields, Bundle: BundleFields, Movement: MovementFields, Inspection: InspectionFields,
    Graft: GraftFields, Look: LookFields, Care: CareFields, CautionNote: CautionNoteFields, TagRun: TagRunFields,
    ReservedCode: ReservedCodeFields, StageNote: StageNoteFields, Stay: StayFields, WeatherStation: WeatherStationFields,
    WeatherYear: WeatherYearFields, PlaceWeather: PlaceWeatherFields, Naming: NamingFields, Synonym: SynonymFields,
    Person: PersonFields, WoodRequest: WoodRequestFields, Want: WantFields, Plan: PlanFields, PlanRow: PlanRowFields,
}  # fmt: skip
RECORD = (
    Plant,
    Prune,
    Bundle,
    Graft,
    Movement,
    Inspection,
    StageNote,
    Stay,
    Look,
    Care,
    CautionNote,
    OwnRow,
    TagRun,
    ReservedCode,
    WeatherStation,
    WeatherYear,
    PlaceWeather,
    Naming,
    Synonym,
    Person,
    WoodRequest,
    Want,
    Plan,
    PlanRow,
    Setting,
)
BY_NAME = {table.__tablename__: table for table in RECORD}
METADATA = SQLModel.metadata

__all__ = ["BY_NAME", "FIELDS", "METADATA", "RECORD", "Change", "Counter", "Entry", "Setting"]
