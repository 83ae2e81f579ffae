"""The book as CSV files, one a thing: which headers each file has, and what may stand under each of them.

Import and export both read this table, so that what is written can always be read. The first headers of plants, wood,
grafts and looks are promises; those after them carry what else the book holds, so that a book written out and taken in
again is the same book. Shapes stand in the order in which their rows can be added.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType

from graftbook.book import limits
from graftbook.book._base import Row
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.ledger import CautionNote, OwnRow
from graftbook.book.lineage import Naming, Person, Synonym, WoodRequest
from graftbook.book.merged import Former
from graftbook.book.plans import Plan, PlanRow, Want
from graftbook.book.plants import Plant
from graftbook.book.sheets_kept import SheetLine, SheetRead
from graftbook.book.stages import StageNote
from graftbook.book.tags import ReservedCode, TagRun
from graftbook.book.weather import PlaceWeather, WeatherStation, WeatherYear
from graftbook.book.wood import Bundle, Inspection, Movement, Prune, Stay
from graftbook.codes import KINDS, LARGEST_NUMBER
from graftbook.units import Limit

POINTERS = MappingProxyType({
    "source": {"P": "cut_plant_id", "G": "cut_graft_id"}, "host": {"P": "host_plant_id", "G": "host_graft_id"},
    "wood": {"W": "bundle_id"}, "plant": {"P": "plant_id"}, "graft": {"G": "graft_id"}, "into": {"W": "into_bundle_id"},
    "subject": {"P": "plant_id", "W": "bundle_id", "G": "graft_id"},
})  # fmt: skip
"""Headers under which a row speaks of others by their codes: the keys that its table has for them, by letter."""

_READ_AS = MappingProxyType({
    "temperature_c": "temperature", "low_c": "temperature", "high_c": "temperature", "removed_percent": "share",
    "bearing_deg": "bearing", "latitude": "latitude", "chance": "chance", "joint_share": "chance", "state": "state",
    "what": "care", "until": "later day", "day": "later day", "lows": "temperatures", "highs": "temperatures",
    "uid": "uid", "prune_uid": "uid", "came_uid": "uid", "of_uid": "uid", "was_uid": "uid",
    "fields": "json", "settings": "json", "codes": "codes",
    "reading": "json", "cells": "json", "mends": "json", "offers": "json", "value": "long", "came_note": "long", "came_on": "day",
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
    """One file: its name without the ending, the table its rows go to (None: to none by themselves), what one row and many
    of them are called, its columns, and the letter of the codes its rows carry ('' for none).

    `same` are the values that, with the first column, make two rows without codes the same.
    """

    name: str
    table: type[Row] | None
    one: str
    many: str
    columns: tuple[Column, ...]
    letter: str = ""
    same: tuple[str, ...] = ()

    @property
    def headers(self) -> tuple[str, ...]:
        """Headers in the order they are written."""
        return tuple(column.header for column in self.columns)

    @property
    def needed(self) -> tuple[str, ...]:
        """Headers without which the file is not one of these."""
        return tuple(column.header for column in self.columns if column.need)

    @property
    def references(self) -> tuple[Column, ...]:
        """The columns by which rows speak of others."""
        return tuple(column for column in self.columns if column.kind == "code" and column.header != "code")


def _whole(header: str, low: int, high: int) -> Column:
    return Column(header, header, "whole", low=low, high=high)


_BESIDE = MappingProxyType({column.header: column for column in (
    _whole("sticks", 0, limits.bounds(Movement, "sticks")[1]), _whole("plan", *limits.bounds(Plan, "number")),
    _whole("want", *limits.bounds(Want, "number")),
    _whole("sheet_number", *limits.bounds(SheetRead, "number")), _whole("last", 0, LARGEST_NUMBER),
    Column("came_as", "came_as", "word", words=("saved", "received")),
    Column("letter", "letter", "word", words=tuple(KINDS)),
)})  # fmt: skip
"""Columns of files that the table they go to has not got."""

_NEEDS = {"!": "cell", "?": "column"}


def _shape(
    name: str, table: type[Row] | None, one: str, many: str, columns: str, letter: str = "", same: str = ""
) -> Shape:
    """A file of these columns, each `header=field` (`header` where the two are one), followed by `!` where every row needs
    it and by `?` where the file does."""
    return Shape(name, table, one, many, tuple(_column(table, word, letter) for word in columns.split()), letter,
                 tuple(same.split()))  # fmt: skip


def _column(table: type[Row] | None, word: str, letter: str) -> Column:
    header, _, field = word.rstrip("!?").partition("=")
    field, need = field or header, _NEEDS.get(word[-1], "")
    held = frozenset() if table is None else table.model_fields.keys()
    letters = "".join(each for each, key in POINTERS.get(header, {}).items() if key in held)
    if letters or (header == "code" and letter):
        return Column(header, field, "code", need, letters=letters or letter)
    if header == "reserved_code":
        return Column(header, field, "reserved code", need, letters="G")
    if (table, field) == (PlaceWeather, "on"):
        return Column(header, field, "later day", need)
    if field in _READ_AS:
        return Column(header, field, _READ_AS[field], need)
    if table is None or field not in held:
        return replace(_BESIDE.get(header, Column(header, field)), need=need)
    return _held(table, header, field, need)


def _held(table: type[Row], header: str, field: str, need: str) -> Column:
    """A column of a table of the book, with the limits and words it holds it to."""
    found = limits.of(table, field)
    if found.words:
        return Column(header, field, "word", need, words=found.words)
    if found.length is not None:
        return Column(header, field, "length", need, limit=found.length)
    if found.holds is int:
        low, high = limits.bounds(table, field)
        return Column(header, field, "whole", need, low=low, high=high)
    text = "long" if found.longest == limits.LONG else "text"
    return Column(header, field, {date: "day", bool: "flag"}.get(found.holds, text), need)


# fmt: off
SETTINGS = _shape("settings", None, "setting", "settings", "setting=key! value?")
OWN_ROWS = _shape("own_rows", OwnRow, "row of your own", "rows of your own", "table=trade_table! fields! uid")
PLANTS = _shape("plants", Plant, "plant", "plants", "code kind! taxon cultivar clone diameter_mm site place row order"
    " acquired_on from=source stage died_on note taxon_typed cultivar_typed clone_typed grade_min_mm grade_max_mm"
    " measured_on container stage_on bark lot uid", letter="P")
PRUNES = _shape("prunes", Prune, "prune", "prunes", "plant! on! thinning heading bench removed_percent who note uid",
    same="on thinning heading bench removed_percent")
WOOD = _shape("wood", Bundle, "bundle", "bundles", "code source cultivar donor cut_on stored_on store temperature_c sticks?"
    " length_mm buds_per_stick diameter_min_mm diameter_max_mm note taxon cultivar_typed received_on packing wood_kind"
    " prune_uid came_as came_on came_who came_note came_uid uid", letter="W")
GRAFTS = _shape("grafts", Graft, "graft", "grafts", "code wood stick host! method! made_on! scion_mm stock_mm buds tie seal"
    " who place stage limb bearing_deg height_mm note unit tied_on bench position trial block cautions sticks_drawn"
    " buds_left uid", letter="G")
MOVES = _shape("movements", Movement, "movement of wood", "movements of wood", "wood! on! kind! sticks! counted receiver who"
    " note uid stick into", same="on kind sticks receiver")
INSPECTIONS = _shape("inspections", Inspection, "look at wood in store", "looks at wood in store", "wood! on! condition! who"
    " note uid", same="on condition")
STAGES = _shape("stages", StageNote, "growth stage seen", "growth stages seen", "plant! on! stage bbch bark who note uid",
    same="on stage bark")
STAYS = _shape("stays", Stay, "stay of wood in a store", "stays of wood in stores", "wood! on! store? packing temperature_c"
    " who note uid", same="on store temperature_c")
LOOKS = _shape("looks", Look, "look", "looks", "graft! on! state! shoot_mm cause union=union_fault who note stock_fate photo"
    " uid", same="on state")
CARE = _shape("care", Care, "care", "cares", "subject! on! what! who note uid place place_before", same="on what")
NOTES = _shape("notes", CautionNote, "health or rights note", "health or rights notes", "subject! kind! status! on! until"
    " source note uid", same="kind status on")
TAG_RUNS = _shape("tag_runs", TagRun, "run of tags", "runs of tags", "number! on! medium! codes! for=purpose start_cell"
    " copies in_order printer who note uid")
RESERVED = _shape("reserved", ReservedCode, "code given out ahead", "codes given out ahead", "reserved_code=code! on!"
    " for=purpose uid")
STATIONS = _shape("stations", WeatherStation, "weather station", "weather stations", "name! known_as? latitude? note uid")
WEATHER = _shape("weather", WeatherYear, "year of weather", "years of weather", "station! year! lows_c=lows! highs_c=highs!"
    " uid")
PLACE_WEATHER = _shape("place_weather", PlaceWeather, "word on the weather of a place", "words on the weather of places",
    "place? on! station? low_c? high_c? note uid")
NAMINGS = _shape("namings", Naming, "naming", "namings", "subject! on! candidates sure! nickname why stick typed who note"
    " uid", same="on candidates sure stick")
SYNONYMS = _shape("synonyms", Synonym, "synonym", "synonyms", "name! preferred! on! why who note uid")
PEOPLE = _shape("people", Person, "person", "people", "name! initials? contact note uid")
REQUESTS = _shape("requests", WoodRequest, "request for wood", "requests for wood", "number! on! receiver! cultivar! sticks!"
    " closed_on typed who note uid")
WANTS = _shape("wants", Want, "want", "wants", "number cultivar! trees! living sites priority for=for_whom clone note on"
    " done_on withdrawn_on taxon cultivar_typed clone_typed who uid")
PLANS = _shape("plans", Plan, "plan", "plans", "number! on! day! outcome! message seed compare first_graft done_on dropped_on"
    " crew settings! who note uid")
PLAN_ROWS = _shape("plan_rows", PlanRow, "line of a plan", "lines of plans", "plan! line! wood! stick! piece! buds! host!"
    " spot position method! chance! basis! k n basis_words joint_share want from_mm to_mm scion_mm trial block treatment"
    " cautions uid")
SHEETS = _shape("sheets", SheetRead, "sheet of your own", "sheets of your own", "number! on! file! sheet reading! uid")
SHEET_ROWS = _shape("sheet_rows", SheetLine, "row of a sheet", "rows of sheets", "number! sheet_number! line! fate! cells!"
    " why made mends offers was uid")
FORMER = _shape("former", Former, "thing known otherwise before", "things known otherwise before", "thing! of_uid!"
    " old_code=code was_uid on! uid")
CODES = _shape("codes", None, "count of codes", "counts of codes", "letter! last!")
# fmt: on

SHAPES = (
    SETTINGS, OWN_ROWS, PLANTS, PRUNES, WOOD, GRAFTS, MOVES, INSPECTIONS, STAGES, STAYS, LOOKS, CARE, NOTES,
    TAG_RUNS, RESERVED, STATIONS, WEATHER, PLACE_WEATHER, NAMINGS, SYNONYMS, PEOPLE, REQUESTS, WANTS, PLANS, PLAN_ROWS,
    SHEETS, SHEET_ROWS, FORMER, CODES,
)  # fmt: skip


def named(name: str) -> Shape | None:
    """The shape of this name, whatever its case, with or without `.csv`; None when there is none."""
    plain = name.strip().casefold().removesuffix(".csv")
    return next((shape for shape in SHAPES if shape.name == plain), None)
