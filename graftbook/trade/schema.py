"""What each table of the trade must hold: its columns, what a cell may say, and what makes a row unique.

One description serves both the files shipped here and the rows a person adds in their own book.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

BASES = ("published", "common practice", "from memory", "own")
DEFAULTS = MappingProxyType({
    "* same clone": "default for wood of the clone the stock is, not specific",
    "* same species": "default for one species, not specific",
    "* same genus": "genus default, not specific",
    "* same family": "family default, not specific",
    "* different family": "default for two families, not specific",
})  # fmt: skip
VERDICTS = ("good", "workable", "delayed", "poor", "no")
# Names of the trade that mean one kind here and another there, so that a person is asked which.
SHARED_NAMES = ("persimmon",)
WOODS = ("dormant", "evergreen", "summer bud wood")
BARKS = ("tight", "may slip", "slips", "unknown")
SLIPS = ("no", "tight", "yes", "both")
CROPS = ("pome", "stone", "citrus", "nut", "vine", "berry", "subtropical", "other")
CALLUS_KINDS = (
    "optimum", "minimum", "slow", "soft", "maximum", "lethal", "rate", "protocol", "histology", "take", "heat sum",
)  # fmt: skip
RULES = (
    "look", "tie check", "release tie", "rub off", "check set", "judge", "head back", "stake", "keep one shoot",
    "keep cool", "cover", "shade", "lasting tag", "harden off", "pot on",
)  # fmt: skip
VERBS = (
    "start", "tree", "stock", "wood", "want", "prune", "match", "plan", "graft", "look", "care", "due", "tags", "take",
    "name", "trace", "trade", "weather", "import", "export", "merge", "bench",
)  # fmt: skip


@dataclass(frozen=True)
class TableColumn:
    """One column: `kind` is text, number, size (a number above 0), whole, one, many, method, stage, taxon, clone, key or year.

    `one` takes one of `words`; `many` takes some of them parted by `;`; method, stage, taxon and clone must be found in
    their own table. A `needed` cell may not be empty.
    """

    name: str
    kind: str = "text"
    words: tuple[str, ...] = ()
    needed: bool = False


@dataclass(frozen=True)
class TradeTable:
    """A table's columns in file order, `key` the columns no two rows may share (empty: any may repeat)."""

    name: str
    columns: tuple[TableColumn, ...]
    key: tuple[str, ...] = ()

    def header(self) -> tuple[str, ...]:
        """The names of the columns in file order."""
        return tuple(column.name for column in self.columns)


def _need(name: str, kind: str = "text", *words: str) -> TableColumn:
    return TableColumn(name, kind, words, needed=True)


def _numbers(*names: str, kind: str = "number") -> tuple[TableColumn, ...]:
    return tuple(TableColumn(name, kind) for name in names)


def _needs(*names: str) -> tuple[TableColumn, ...]:
    return tuple(TableColumn(name, "size", needed=True) for name in names)


_LAW = (_need("basis", "one", *BASES), TableColumn("source", "key"))
_STOCK_SCION = ("stock_ok_min", "stock_ok_max", "stock_try_min", "stock_try_max", "scion_ok_min", "scion_ok_max")
_RATIOS = ("ratio_ok_min", "ratio_ok_max", "ratio_try_min", "ratio_try_max")

TABLES = (
    TradeTable("taxa", (
        _need("taxon"), _need("common"), TableColumn("names"), _need("family"), _need("genus"),
        _need("crop", "one", *CROPS), _need("leaf", "one", "deciduous", "evergreen"),
        _need("fruits_on", "one", "old wood", "new wood", "both"),
        TableColumn("sap", "one", ("fig", "citrus", "lacquer")),
        _need("short"), TableColumn("cultivars"), *_LAW,
    ), ("taxon",)),
    TradeTable("methods", (
        _need("method"), TableColumn("names"), _need("unit", "one", "graft", "bud"), _need("family_of_joint"),
        *_numbers(*_STOCK_SCION, *_RATIOS), _need("slip", "one", *SLIPS),
        _need("scion_state", "one", "dormant", "mature bud", "any"), TableColumn("stage_from", "stage"),
        TableColumn("stage_to", "stage"), *_numbers("buds_min", "buds_default", kind="whole"),
        TableColumn("cut_length"),
        TableColumn("cut_times", "number"), TableColumn("judge_days", "whole", needed=True),
        TableColumn("set_days", "whole"),
        *_LAW, TableColumn("note"),
    ), ("method",)),
    TradeTable("method_limits", (
        _need("method", "method"), TableColumn("kind"), TableColumn("crop"),
        *_numbers("stock_min", "stock_max", "scion_min", "scion_max"), TableColumn("relation"),
        TableColumn("cut_length"),
        TableColumn("buds"), TableColumn("season"), TableColumn("slip", "one", SLIPS),
        TableColumn("scion_state"), TableColumn("stock_state"),
        TableColumn("first_growth"), TableColumn("unwrap"), *_LAW, TableColumn("note"),
    )),
    TradeTable("pairs", (
        _need("scion_taxon", "taxon"), TableColumn("scion_cultivar"), _need("stock_taxon", "taxon"),
        TableColumn("stock_clone", "clone"), TableColumn("interstem_taxon", "taxon"), TableColumn("interstem_cultivar"),
        TableColumn("condition"), _need("verdict", "one", *VERDICTS, "unknown"), TableColumn("caveat"), TableColumn("years"),
        *_LAW,
    )),
    TradeTable("cultivars", (
        _need("taxon", "taxon"), _need("cultivar"), _need("of"), _need("how", "one", "synonym", "sport", "group member"), *_LAW,
    ), ("taxon", "cultivar", "of")),
    TradeTable("clones", (
        _need("clone"), _need("taxon", "taxon"), TableColumn("aliases"), TableColumn("size_pct"),
        TableColumn("size_class"),
        TableColumn("hardiness"), TableColumn("note"), TableColumn("clean_wood", "one", ("yes",)), *_LAW,
    )),
    TradeTable("grades", (
        _need("stock"), *_numbers("height_mm_min", "calliper_mm_min", "calliper_mm_max"), TableColumn("measured_at"),
        _need("words"), *_LAW,
    )),
    TradeTable("keeping", (
        TableColumn("default", "one", ("yes",)), TableColumn("group"), TableColumn("taxon", "taxon"),
        _need("wood", "one", *WOODS),
        *_numbers("days_min", "days_max", kind="whole"), *_numbers("temp_c_min", "temp_c_max"), TableColumn("rh_pct"),
        TableColumn("note"), *_LAW,
    )),
    TradeTable("callus", (
        _need("taxon", "taxon"), _need("kind", "one", *CALLUS_KINDS), *_numbers("temp_c_min", "temp_c_max"),
        *_numbers("days_min", "days_max", "base_c", "heat_min", "heat_max"), TableColumn("words"), *_LAW,
    )),
    TradeTable("bark", (
        TableColumn("default", "one", ("yes",)), TableColumn("taxon", "taxon"), *_needs("thin_mm", "thick_mm"),
        TableColumn("words"), *_LAW,
    ), ("taxon",)),
    TradeTable("takes", (
        TableColumn("method", "method"), TableColumn("taxon", "taxon"), TableColumn("pct_min", "number", needed=True),
        TableColumn("pct_max", "number", needed=True), TableColumn("grafts", "whole"), _need("words"), *_LAW,
    )),
    TradeTable("stages", (
        _need("scale", "one", "words", "pome", "stone", "grapevine", "general"), _need("code"), _need("word"),
        TableColumn("names"), TableColumn("order", "whole", needed=True), _need("bark", "one", *BARKS),
        _need("means"), *_LAW,
    ), ("scale", "code")),
    TradeTable("aftercare", (
        _need("key"), _need("rule", "one", *RULES), TableColumn("default", "one", ("yes", "no")),
        _need("unit", "one", "graft", "bud", "any"), TableColumn("methods", "method list"), TableColumn("tie"),
        TableColumn("season", "one", ("spring", "summer", "bench")), TableColumn("taxon", "taxon"),
        TableColumn("wood", "one", ("dormant", "summer")), *_numbers("after_from", "after_to", kind="whole"),
        *_numbers("warmth_from", "warmth_to", "warmth_base_c"), TableColumn("shoot_mm", "whole"), TableColumn("growth"),
        TableColumn("until"), TableColumn("repeat_days", "whole"), _need("words"), *_LAW,
    ), ("key",)),
    TradeTable("cautions", (
        _need("key"), _need("when", "many", *VERBS), _need("words"), *_LAW,
    ), ("key",)),
    TradeTable("sources", (
        _need("key"), _need("title"), _need("publisher"), TableColumn("year", "year"), TableColumn("address"),
        _need("read", "one", "original", "excerpt", "second-hand"),
    ), ("key",)),
)  # fmt: skip


def table(name: str) -> TradeTable:
    """The description of a table; KeyError for a name that is none."""
    return {entry.name: entry for entry in TABLES}[name]
