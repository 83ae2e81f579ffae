"""The book as CSV files, one a thing: which headers each file has, and what may stand under each of them.

Import and export both read this table, so that what is written can always be read. The first headers of plants, wood,
grafts and looks are promises; those after them carry what else the book holds, so that a book written out and taken in
again is the same book. Shapes stand in the order in which their rows can be added.
"""

from __future__ import annotations

from dataclasses import dataclass

from graftbook import units
from graftbook.book.grafts import UNION_WORDS
from graftbook.book.ledger import NOTE_KINDS
from graftbook.book.lineage import SURE_WORDS
from graftbook.book.plans import BASES, LOWEST_PRIORITY, MOST_TREES, OUTCOMES
from graftbook.book.plants import PLANT_KINDS
from graftbook.book.stages import BARKS
from graftbook.book.tags import ORDERS
from graftbook.book.wood import CONDITIONS, MOVEMENTS, WOOD_KINDS
from graftbook.codes import KINDS, LARGEST_NUMBER
from graftbook.units import Limit

# A place on a stick, from its butt.
ALONG_STICK = Limit("a place along a stick", 0.0, 2000.0)


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


def _texts(*headers: str) -> tuple[Column, ...]:
    return tuple(Column(header, header) for header in headers)


def _length(header: str, limit: Limit) -> Column:
    return Column(header, header, "length", limit=limit)


def _day(header: str, need: str = "") -> Column:
    return Column(header, header, "day", need)


def _whole(header: str, low: int, high: int, need: str = "") -> Column:
    return Column(header, header, "whole", need, low=low, high=high)


def _code(header: str, letters: str, need: str = "") -> Column:
    return Column(header, header, "code", need, letters=letters)


def _word(header: str, words: tuple[str, ...], need: str = "", field: str = "") -> Column:
    return Column(header, field or header, "word", need, words=words)


_NOTE = Column("note", "note", "long")

_UID = Column("uid", "uid", "uid")

_WHO = Column("who", "who")

_ON = _day("on", "cell")

_END = (_WHO, _NOTE, _UID)

SETTINGS = Shape("settings", "", "setting", "settings", (
    Column("setting", "key", need="cell"), Column("value", "value", "long", "column"),
))  # fmt: skip

OWN_ROWS = Shape("own_rows", "", "row of your own", "rows of your own", (
    Column("table", "trade_table", need="cell"), Column("fields", "fields", "json", "cell"), _UID,
))  # fmt: skip

PLANTS = Shape("plants", "P", "plant", "plants", (
    _code("code", "P"), _word("kind", PLANT_KINDS, "cell"), *_texts("taxon", "cultivar", "clone"),
    _length("diameter_mm", units.PLANT_DIAMETER), *_texts("site", "place", "row"), _whole("order", 0, 1_000_000),
    _day("acquired_on"), Column("from", "source"), Column("stage", "stage"), _day("died_on"), _NOTE,
    *_texts("taxon_typed", "cultivar_typed", "clone_typed"), _length("grade_min_mm", units.PLANT_DIAMETER),
    _length("grade_max_mm", units.PLANT_DIAMETER), _day("measured_on"), Column("container", "container"), _day("stage_on"),
    _word("bark", ("tight", "slipping")), Column("lot", "lot"), _UID,
))  # fmt: skip

PRUNES = Shape("prunes", "", "prune", "prunes", (
    _code("plant", "P", "cell"), _ON, _whole("thinning", 0, 100_000), _whole("heading", 0, 100_000),
    _whole("bench", 0, 100_000), Column("removed_percent", "removed_percent", "share"), *_END,
))  # fmt: skip

WOOD = Shape("wood", "W", "bundle", "bundles", (
    _code("code", "W"), _code("source", "PG"), *_texts("cultivar", "donor"), _day("cut_on"), _day("stored_on"),
    Column("store", "store"), Column("temperature_c", "temperature_c", "temperature"),
    _whole("sticks", 0, 1_000_000, "column"), _length("length_mm", units.STICK_LENGTH), _whole("buds_per_stick", 1, 200),
    _length("diameter_min_mm", units.SCION_DIAMETER), _length("diameter_max_mm", units.SCION_DIAMETER), _NOTE,
    *_texts("taxon", "cultivar_typed"), _day("received_on"), Column("packing", "packing"),
    _word("wood_kind", WOOD_KINDS), Column("prune_uid", "prune_uid", "uid"), _word("came_as", ("saved", "received")),
    _day("came_on"), Column("came_who", "came_who"), Column("came_note", "came_note", "long"),
    Column("came_uid", "came_uid", "uid"), _UID,
))  # fmt: skip

GRAFTS = Shape("grafts", "G", "graft", "grafts", (
    _code("code", "G"), _code("wood", "W"), _whole("stick", 1, 100_000), _code("host", "PG", "cell"),
    Column("method", "method", need="cell"), _day("made_on", "cell"), _length("scion_mm", units.SCION_DIAMETER),
    _length("stock_mm", units.STOCK_DIAMETER), _whole("buds", 1, 50), *_texts("tie", "seal", "who", "place", "stage", "limb"),
    Column("bearing_deg", "bearing_deg", "bearing"), _length("height_mm", units.HEIGHT), _NOTE, _word("unit", ("graft", "bud")),
    _day("tied_on"), Column("bench", "bench", "flag"), *_texts("position", "trial", "block"),
    Column("cautions", "cautions", "long"), _whole("sticks_drawn", 0, 1000), _whole("buds_left", 0, 200), _UID,
))  # fmt: skip

MOVES = Shape("movements", "", "movement of wood", "movements of wood", (
    _code("wood", "W", "cell"), _ON, _word("kind", MOVEMENTS, "cell"), _whole("sticks", -1_000_000, 1_000_000, "cell"),
    _whole("counted", 0, 1_000_000), Column("receiver", "receiver"), *_END, _whole("stick", 1, 100_000), _code("into", "W"),
))  # fmt: skip

INSPECTIONS = Shape("inspections", "", "look at wood in store", "looks at wood in store", (
    _code("wood", "W", "cell"), _ON, _word("condition", CONDITIONS, "cell"), *_END,
))  # fmt: skip

STAGES = Shape("stages", "", "growth stage seen", "growth stages seen", (
    _code("plant", "P", "cell"), _ON, Column("stage", "stage"), Column("bbch", "bbch"), _word("bark", BARKS), *_END,
))  # fmt: skip

STAYS = Shape("stays", "", "stay of wood in a store", "stays of wood in stores", (
    _code("wood", "W", "cell"), _ON, Column("store", "store", need="column"), Column("packing", "packing"),
    Column("temperature_c", "temperature_c", "temperature"), *_END,
))  # fmt: skip

LOOKS = Shape("looks", "", "look", "looks", (
    _code("graft", "G", "cell"), _ON, Column("state", "state", "state", "cell"), _length("shoot_mm", units.SHOOT_LENGTH),
    Column("cause", "cause"), _word("union", UNION_WORDS, field="union_fault"), _WHO, _NOTE, *_texts("stock_fate", "photo"),
    _UID,
))  # fmt: skip

CARE = Shape("care", "", "care", "cares", (
    _code("subject", "PG", "cell"), _ON, Column("what", "what", "care", "cell"), *_END, *_texts("place", "place_before"),
))  # fmt: skip

NOTES = Shape("notes", "", "health or rights note", "health or rights notes", (
    _code("subject", "PW", "cell"), _word("kind", NOTE_KINDS, "cell"), Column("status", "status", need="cell"), _ON,
    Column("until", "until", "later day"), Column("source", "source"), _NOTE, _UID,
))  # fmt: skip

TAG_RUNS = Shape("tag_runs", "", "run of tags", "runs of tags", (
    _whole("number", 1, 1_000_000, "cell"), _ON, Column("medium", "medium", need="cell"), Column("codes", "codes", "codes", "cell"),
    Column("for", "purpose"), _whole("start_cell", 1, 250_000), _whole("copies", 1, 1000), _word("in_order", ORDERS),
    Column("printer", "printer"), *_END,
))  # fmt: skip

RESERVED = Shape("reserved", "", "code given out ahead", "codes given out ahead", (
    Column("reserved_code", "code", "reserved code", "cell"), _ON, Column("for", "purpose"), _UID,
))  # fmt: skip

STATIONS = Shape("stations", "", "weather station", "weather stations", (
    Column("name", "name", need="cell"), Column("known_as", "known_as", need="column"),
    Column("latitude", "latitude", "latitude", "column"), _NOTE, _UID,
))  # fmt: skip

WEATHER = Shape("weather", "", "year of weather", "years of weather", (
    Column("station", "station", need="cell"), _whole("year", 1900, 2200, "cell"),
    Column("lows_c", "lows", "temperatures", "cell"), Column("highs_c", "highs", "temperatures", "cell"), _UID,
))  # fmt: skip

PLACE_WEATHER = Shape("place_weather", "", "word on the weather of a place", "words on the weather of places", (
    Column("place", "place", need="column"), Column("on", "on", "later day", "cell"),
    Column("station", "station", need="column"), Column("low_c", "low_c", "temperature", "column"),
    Column("high_c", "high_c", "temperature", "column"), _NOTE, _UID,
))  # fmt: skip

NAMINGS = Shape("namings", "", "naming", "namings", (
    _code("subject", "PWG", "cell"), _ON, Column("candidates", "candidates", "long"), _word("sure", SURE_WORDS, "cell"),
    Column("nickname", "nickname"), Column("why", "why", "long"), _whole("stick", 1, 100_000),
    Column("typed", "typed", "long"), *_END,
))  # fmt: skip

SYNONYMS = Shape("synonyms", "", "synonym", "synonyms", (
    Column("name", "name", need="cell"), Column("preferred", "preferred", need="cell"), _ON, Column("why", "why"), *_END,
))  # fmt: skip

PEOPLE = Shape("people", "", "person", "people", (
    Column("name", "name", need="cell"), Column("initials", "initials", need="column"), Column("contact", "contact", "long"),
    _NOTE, _UID,
))  # fmt: skip

REQUESTS = Shape("requests", "", "request for wood", "requests for wood", (
    _whole("number", 1, 1_000_000, "cell"), _ON, Column("receiver", "receiver", need="cell"),
    Column("cultivar", "cultivar", need="cell"), _whole("sticks", 1, 100_000, "cell"), _day("closed_on"),
    Column("typed", "typed"), *_END,
))  # fmt: skip

WANTS = Shape("wants", "", "want", "wants", (
    _whole("number", 1, 1_000_000), Column("cultivar", "cultivar", need="cell"), _whole("trees", 1, MOST_TREES, "cell"),
    _whole("living", 1, MOST_TREES), _whole("sites", 1, 1000), _whole("priority", 1, LOWEST_PRIORITY),
    Column("for", "for_whom"), Column("clone", "clone"), _NOTE, _day("on"), _day("done_on"), _day("withdrawn_on"),
    *_texts("taxon", "cultivar_typed", "clone_typed", "who"), _UID,
))  # fmt: skip

PLANS = Shape("plans", "", "plan", "plans", (
    _whole("number", 1, 1_000_000, "cell"), _ON, Column("day", "day", "later day", "cell"), _word("outcome", OUTCOMES, "cell"),
    Column("message", "message", "long"), _whole("seed", 0, 2_000_000_000), Column("compare", "compare"),
    _whole("first_graft", 1, LARGEST_NUMBER), _day("done_on"), Column("settings", "settings", "json", "cell"), *_END,
))  # fmt: skip

PLAN_ROWS = Shape("plan_rows", "", "line of a plan", "lines of plans", (
    _whole("plan", 1, 1_000_000, "cell"), _whole("line", 1, 1_000_000, "cell"), _code("wood", "W", "cell"),
    _whole("stick", 1, 1_000_000, "cell"), _whole("piece", 1, 100, "cell"), _whole("buds", 1, 50, "cell"),
    _code("host", "P", "cell"), _whole("spot", 1, 1000), Column("position", "position"),
    Column("method", "method", need="cell"), Column("chance", "chance", "chance", "cell"), _word("basis", BASES, "cell"),
    _whole("k", 0, 10_000_000), _whole("n", 0, 10_000_000), Column("basis_words", "basis_words"),
    Column("joint_share", "joint_share", "chance"), _whole("want", 1, 1_000_000), _length("from_mm", ALONG_STICK),
    _length("to_mm", ALONG_STICK), _length("scion_mm", units.SCION_DIAMETER), *_texts("trial", "block", "treatment"),
    Column("cautions", "cautions", "long"), _UID,
))  # fmt: skip

CODES = Shape("codes", "", "count of codes", "counts of codes", (
    _word("letter", tuple(KINDS), "cell"), _whole("last", 0, LARGEST_NUMBER, "cell"),
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
