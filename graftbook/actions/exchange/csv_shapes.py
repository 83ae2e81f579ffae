"""The book as CSV files, one a thing: which headers each file has, and what may stand under each of them.

Import and export both read this table, so that what is written can always be read. The first headers of plants, wood,
grafts and looks are promises; those after them carry what else the book holds, so that a book written out and taken in
again is the same book. Shapes stand in the order in which their rows can be added.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from sqlmodel import SQLModel

from graftbook.book import limits
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.ledger import CautionNote
from graftbook.book.lineage import Naming, Person, Synonym, WoodRequest
from graftbook.book.plans import Plan, PlanRow, Want
from graftbook.book.plants import Plant
from graftbook.book.stages import StageNote
from graftbook.book.tags import ReservedCode, TagRun
from graftbook.book.weather import PlaceWeather, WeatherStation, WeatherYear
from graftbook.book.wood import Bundle, Inspection, Movement, Prune, Stay
from graftbook.codes import KINDS, LARGEST_NUMBER
from graftbook.units import Limit

_READ_AS = MappingProxyType({
    "temperature_c": "temperature", "low_c": "temperature", "high_c": "temperature", "removed_percent": "share",
    "bearing_deg": "bearing", "latitude": "latitude", "chance": "chance", "joint_share": "chance", "state": "state",
    "what": "care", "until": "later day", "day": "later day", "lows": "temperatures", "highs": "temperatures",
})  # fmt: skip
"""Fields read in a way of their own; all others by what the book's column holds."""


@dataclass(frozen=True)
class Column:
    """One header. `field` is the book's own name for it; `kind` says how a cell is read and written.

    `need` is `cell` where every row must have it, `column` where the header must be there but cells may be empty, and ''
    where both may be missing. `limit` bounds a length, `low..high` a whole number, `words` a word; `letters` are the
    kinds of code that may stand here.
    """

    header: str
    field: str
    kind: str = "text"
    need: str = ""
    limit: Limit | None = None
    low: int = 0
    high: int = 0
    words: tuple[str, ...] = ()
    letters: str = ""


@dataclass(frozen=True)
class Shape:
    """One file: its name without the ending, the letter of the codes its rows carry ('' for none), its columns, and what
    one row and many of them are called."""

    name: str
    letter: str
    one: str
    many: str
    columns: tuple[Column, ...]

    @property
    def headers(self) -> tuple[str, ...]:
        """Headers in the order they are written."""
        return tuple(column.header for column in self.columns)

    @property
    def needed(self) -> tuple[str, ...]:
        """Headers without which the file is not one of these."""
        return tuple(column.header for column in self.columns if column.need)


def _of(table: type[SQLModel], names: str, need: str = "") -> tuple[Column, ...]:
    """Columns of a table of the book, with the limits and words it holds them to. `header=field` where the two differ."""
    pairs = [name.partition("=") for name in names.split()]
    return tuple(_column(table, header, field or header, need) for header, _, field in pairs)


def _column(table: type[SQLModel], header: str, field: str, need: str) -> Column:
    found = limits.of(table, field)
    if field in _READ_AS:
        return Column(header, field, _READ_AS[field], need)
    if found.words:
        return Column(header, field, "word", need, words=found.words)
    if found.length is not None:
        return Column(header, field, "length", need, limit=found.length)
    if found.holds is int:
        low, high = limits.bounds(table, field)
        return Column(header, field, "whole", need, low=low, high=high)
    text = "long" if found.longest == limits.LONG else "text"
    return Column(header, field, {date: "day", bool: "flag"}.get(found.holds, text), need)


def _number_of(header: str, table: type[SQLModel], need: str = "") -> Column:
    low, high = limits.bounds(table, "number")
    return Column(header, header, "whole", need, low=low, high=high)


def _code(header: str, letters: str, need: str = "") -> Column:
    return Column(header, header, "code", need, letters=letters)


_UID = Column("uid", "uid", "uid")

SETTINGS = Shape("settings", "", "setting", "settings", (
    Column("setting", "key", need="cell"), Column("value", "value", "long", "column"),
))  # fmt: skip

OWN_ROWS = Shape("own_rows", "", "row of your own", "rows of your own", (
    Column("table", "trade_table", need="cell"), Column("fields", "fields", "json", "cell"), _UID,
))  # fmt: skip

PLANTS = Shape("plants", "P", "plant", "plants", (
    _code("code", "P"), *_of(Plant, "kind", "cell"),
    *_of(Plant, "taxon cultivar clone diameter_mm site place row order acquired_on from=source stage died_on note"
                " taxon_typed cultivar_typed clone_typed grade_min_mm grade_max_mm measured_on container stage_on bark lot"),
    _UID,
))  # fmt: skip

PRUNES = Shape("prunes", "", "prune", "prunes", (
    _code("plant", "P", "cell"), *_of(Prune, "on", "cell"),
    *_of(Prune, "thinning heading bench removed_percent who note"), _UID,
))  # fmt: skip

WOOD = Shape("wood", "W", "bundle", "bundles", (
    _code("code", "W"), _code("source", "PG"), *_of(Bundle, "cultivar donor cut_on stored_on store temperature_c"),
    Column("sticks", "sticks", "whole", "column", low=0, high=limits.bounds(Movement, "sticks")[1]),
    *_of(Bundle, "length_mm buds_per_stick diameter_min_mm diameter_max_mm note taxon cultivar_typed received_on packing"
                 " wood_kind"),
    Column("prune_uid", "prune_uid", "uid"), Column("came_as", "came_as", "word", words=("saved", "received")),
    Column("came_on", "came_on", "day"), Column("came_who", "came_who"), Column("came_note", "came_note", "long"),
    Column("came_uid", "came_uid", "uid"), _UID,
))  # fmt: skip

GRAFTS = Shape("grafts", "G", "graft", "grafts", (
    _code("code", "G"), _code("wood", "W"), *_of(Graft, "stick"), _code("host", "PG", "cell"),
    *_of(Graft, "method made_on", "cell"),
    *_of(Graft, "scion_mm stock_mm buds tie seal who place stage limb bearing_deg height_mm note unit tied_on bench position"
                " trial block cautions sticks_drawn buds_left"),
    _UID,
))  # fmt: skip

MOVES = Shape("movements", "", "movement of wood", "movements of wood", (
    _code("wood", "W", "cell"), *_of(Movement, "on kind sticks", "cell"), *_of(Movement, "counted receiver who note"), _UID,
    *_of(Movement, "stick"), _code("into", "W"),
))  # fmt: skip

INSPECTIONS = Shape("inspections", "", "look at wood in store", "looks at wood in store", (
    _code("wood", "W", "cell"), *_of(Inspection, "on condition", "cell"), *_of(Inspection, "who note"), _UID,
))  # fmt: skip

STAGES = Shape("stages", "", "growth stage seen", "growth stages seen", (
    _code("plant", "P", "cell"), *_of(StageNote, "on", "cell"), *_of(StageNote, "stage bbch bark who note"), _UID,
))  # fmt: skip

STAYS = Shape("stays", "", "stay of wood in a store", "stays of wood in stores", (
    _code("wood", "W", "cell"), *_of(Stay, "on", "cell"), *_of(Stay, "store", "column"),
    *_of(Stay, "packing temperature_c who note"), _UID,
))  # fmt: skip

LOOKS = Shape("looks", "", "look", "looks", (
    _code("graft", "G", "cell"), *_of(Look, "on state", "cell"),
    *_of(Look, "shoot_mm cause union=union_fault who note stock_fate photo"), _UID,
))  # fmt: skip

CARE = Shape("care", "", "care", "cares", (
    _code("subject", "PG", "cell"), *_of(Care, "on what", "cell"), *_of(Care, "who note"), _UID,
    *_of(Care, "place place_before"),
))  # fmt: skip

NOTES = Shape("notes", "", "health or rights note", "health or rights notes", (
    _code("subject", "PW", "cell"), *_of(CautionNote, "kind status on", "cell"), *_of(CautionNote, "until source note"), _UID,
))  # fmt: skip

TAG_RUNS = Shape("tag_runs", "", "run of tags", "runs of tags", (
    *_of(TagRun, "number on medium", "cell"), Column("codes", "codes", "codes", "cell"),
    *_of(TagRun, "for=purpose start_cell copies in_order printer who note"), _UID,
))  # fmt: skip

RESERVED = Shape("reserved", "", "code given out ahead", "codes given out ahead", (
    Column("reserved_code", "code", "reserved code", "cell"), *_of(ReservedCode, "on", "cell"),
    *_of(ReservedCode, "for=purpose"), _UID,
))  # fmt: skip

STATIONS = Shape("stations", "", "weather station", "weather stations", (
    *_of(WeatherStation, "name", "cell"), *_of(WeatherStation, "known_as latitude", "column"),
    *_of(WeatherStation, "note"), _UID,
))  # fmt: skip

WEATHER = Shape("weather", "", "year of weather", "years of weather", (
    Column("station", "station", need="cell"), *_of(WeatherYear, "year lows_c=lows highs_c=highs", "cell"), _UID,
))  # fmt: skip

PLACE_WEATHER = Shape("place_weather", "", "word on the weather of a place", "words on the weather of places", (
    *_of(PlaceWeather, "place", "column"), Column("on", "on", "later day", "cell"),
    Column("station", "station", need="column"), *_of(PlaceWeather, "low_c high_c", "column"),
    *_of(PlaceWeather, "note"), _UID,
))  # fmt: skip

NAMINGS = Shape("namings", "", "naming", "namings", (
    _code("subject", "PWG", "cell"), *_of(Naming, "on", "cell"), *_of(Naming, "candidates"), *_of(Naming, "sure", "cell"),
    *_of(Naming, "nickname why stick typed who note"), _UID,
))  # fmt: skip

SYNONYMS = Shape("synonyms", "", "synonym", "synonyms", (
    *_of(Synonym, "name preferred on", "cell"), *_of(Synonym, "why who note"), _UID,
))  # fmt: skip

PEOPLE = Shape("people", "", "person", "people", (
    *_of(Person, "name", "cell"), *_of(Person, "initials", "column"), *_of(Person, "contact note"), _UID,
))  # fmt: skip

REQUESTS = Shape("requests", "", "request for wood", "requests for wood", (
    *_of(WoodRequest, "number on receiver cultivar sticks", "cell"), *_of(WoodRequest, "closed_on typed who note"), _UID,
))  # fmt: skip

WANTS = Shape("wants", "", "want", "wants", (
    *_of(Want, "number"), *_of(Want, "cultivar trees", "cell"),
    *_of(Want, "living sites priority for=for_whom clone note on done_on withdrawn_on taxon cultivar_typed clone_typed who"),
    _UID,
))  # fmt: skip

PLANS = Shape("plans", "", "plan", "plans", (
    *_of(Plan, "number on day outcome", "cell"), *_of(Plan, "message seed compare first_graft done_on"),
    Column("settings", "settings", "json", "cell"), *_of(Plan, "who note"), _UID,
))  # fmt: skip

PLAN_ROWS = Shape("plan_rows", "", "line of a plan", "lines of plans", (
    _number_of("plan", Plan, "cell"), *_of(PlanRow, "line", "cell"), _code("wood", "W", "cell"),
    *_of(PlanRow, "stick piece buds", "cell"), _code("host", "P", "cell"), *_of(PlanRow, "spot position"),
    *_of(PlanRow, "method chance basis", "cell"), *_of(PlanRow, "k n basis_words joint_share"), _number_of("want", Want),
    *_of(PlanRow, "from_mm to_mm scion_mm trial block treatment cautions"), _UID,
))  # fmt: skip

CODES = Shape("codes", "", "count of codes", "counts of codes", (
    Column("letter", "letter", "word", "cell", words=tuple(KINDS)),
    Column("last", "last", "whole", "cell", high=LARGEST_NUMBER),
))  # fmt: skip

SHAPES = (
    SETTINGS, OWN_ROWS, PLANTS, PRUNES, WOOD, GRAFTS, MOVES, INSPECTIONS, STAGES, STAYS, LOOKS, CARE, NOTES,
    TAG_RUNS, RESERVED, STATIONS, WEATHER, PLACE_WEATHER, NAMINGS, SYNONYMS, PEOPLE, REQUESTS, WANTS, PLANS, PLAN_ROWS,
    CODES,
)  # fmt: skip


def named(name: str) -> Shape | None:
    """The shape of this name, whatever its case, with or without `.csv`; None when there is none."""
    plain = name.strip().casefold().removesuffix(".csv")
    return next((shape for shape in SHAPES if shape.name == plain), None)
