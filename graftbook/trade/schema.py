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
WOODS = ("dormant", "evergreen", "summer bud wood")
BARKS = ("tight", "may slip", "slips", "unknown")
SLIPS = ("no", "tight", "yes", "both")
CROPS = ("pome", "stone", "citrus", "nut", "vine", "berry", "subtropical", "other")
CALLUS_KINDS = (
    "optimum", "minimum", "slow", "soft", "maximum", "lethal", "rate", "protocol", "histology", "take", "heat sum",
)  # fmt: skip
RULES = (
    "look", "tie check", "release tie", "rub off", "check set", "judge", "head back", "stake", "keep one shoot",
    "keep cool", "cover", "shade", "lasting tag",
)  # fmt: skip
VERBS = (
    "start", "tree", "stock", "wood", "want", "prune", "match", "plan", "graft", "look", "care", "due", "tags", "take",
    "name", "trace", "trade", "weather", "import", "export", "merge", "bench",
)  # fmt: skip


@dataclass(frozen=True)
class Column:
    """One column: `kind` is text, number, size (a number above 0), whole, one, many, method, stage, taxon, clone, key or year.

    `one` takes one of `words`; `many` takes some of them parted by `;`; method, stage, taxon and clone must be found in
    their own table. A `needed` cell may not be empty.
    """

    name: str
    kind: str = "text"
    words: tuple[str, ...] = ()
    needed: bool = False


@dataclass(frozen=True)
class Table:
    """A table's columns in file order, `key` the columns no two rows may share (empty: any may repeat)."""

    name: str
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()

    def header(self) -> tuple[str, ...]:
        """The names of the columns in file order."""
        return tuple(column.name for column in self.columns)


def _need(name: str, kind: str = "text", *words: str) -> Column:
    return Column(name, kind, words, needed=True)


def _numbers(*names: str, kind: str = "number") -> tuple[Column, ...]:
    return tuple(Column(name, kind) for name in names)


def _needs(*names: str) -> tuple[Column, ...]:
    return tuple(Column(name, "size", needed=True) for name in names)


_LAW = (_need("basis", "one", *BASES), Column("source", "key"))
_STOCK_SCION = ("stock_ok_min", "stock_ok_max", "stock_try_min", "stock_try_max", "scion_ok_min", "scion_ok_max")
_RATIOS = ("ratio_ok_min", "ratio_ok_max", "ratio_try_min", "ratio_try_max")

TABLES = (
    Table("taxa", (
        _need("taxon"), _need("common"), Column("names"), _need("family"), _need("genus"),
        _need("crop", "one", *CROPS), _need("leaf", "one", "deciduous", "evergreen"),
        _need("fruits_on", "one", "old wood", "new wood", "both"), Column("sap", "one", ("fig", "citrus", "lacquer")),
        _need("short"), Column("cultivars"), *_LAW,
    ), ("taxon",)),
    Table("methods", (
        _need("method"), Column("names"), _need("unit", "one", "graft", "bud"), _need("family_of_joint"),
        *_numbers(*_STOCK_SCION, *_RATIOS), _need("slip", "one", *SLIPS),
        _need("scion_state", "one", "dormant", "mature bud", "any"), Column("stage_from", "stage"),
        Column("stage_to", "stage"), *_numbers("buds_min", "buds_default", kind="whole"), Column("cut_length"),
        Column("cut_times", "number"), Column("judge_days", "whole", needed=True), Column("set_days", "whole"),
        *_LAW, Column("note"),
    ), ("method",)),
    Table("method_limits", (
        _need("method", "method"), Column("kind"), Column("crop"),
        *_numbers("stock_min", "stock_max", "scion_min", "scion_max"), Column("relation"), Column("cut_length"),
        Column("buds"), Column("season"), Column("slip", "one", SLIPS), Column("scion_state"), Column("stock_state"),
        Column("first_growth"), Column("unwrap"), *_LAW, Column("note"),
    )),
    Table("pairs", (
        _need("scion_taxon", "taxon"), Column("scion_cultivar"), _need("stock_taxon", "taxon"),
        Column("stock_clone", "clone"), Column("interstem_taxon", "taxon"), Column("interstem_cultivar"),
        Column("condition"), _need("verdict", "one", *VERDICTS), Column("caveat"), *_LAW,
    )),
    Table("clones", (
        _need("clone"), _need("taxon", "taxon"), Column("aliases"), Column("size_pct"), Column("size_class"),
        Column("hardiness"), Column("note"), Column("clean_wood", "one", ("yes",)), *_LAW,
    )),
    Table("grades", (
        _need("stock"), *_numbers("height_mm_min", "calliper_mm_min", "calliper_mm_max"), Column("measured_at"),
        _need("words"), *_LAW,
    )),
    Table("keeping", (
        Column("default", "one", ("yes",)), Column("group"), Column("taxon", "taxon"), _need("wood", "one", *WOODS),
        *_numbers("days_min", "days_max", kind="whole"), *_numbers("temp_c_min", "temp_c_max"), Column("rh_pct"),
        Column("note"), *_LAW,
    )),
    Table("callus", (
        _need("taxon", "taxon"), _need("kind", "one", *CALLUS_KINDS), *_numbers("temp_c_min", "temp_c_max"),
        *_numbers("days_min", "days_max", "base_c", "heat_min", "heat_max"), Column("words"), *_LAW,
    )),
    Table("bark", (
        Column("default", "one", ("yes",)), Column("taxon", "taxon"), *_needs("thin_mm", "thick_mm"), Column("words"), *_LAW,
    ), ("taxon",)),
    Table("takes", (
        Column("method", "method"), Column("taxon", "taxon"), Column("pct_min", "number", needed=True),
        Column("pct_max", "number", needed=True), Column("grafts", "whole"), _need("words"), *_LAW,
    )),
    Table("stages", (
        _need("scale", "one", "words", "pome", "stone", "grapevine", "general"), _need("code"), _need("word"),
        Column("names"), Column("order", "whole", needed=True), _need("bark", "one", *BARKS), _need("means"), *_LAW,
    ), ("scale", "code")),
    Table("aftercare", (
        _need("key"), _need("rule", "one", *RULES), Column("default", "one", ("yes", "no")),
        _need("unit", "one", "graft", "bud", "any"), Column("methods", "method list"), Column("tie"),
        Column("season", "one", ("spring", "summer", "bench")), Column("taxon", "taxon"),
        Column("wood", "one", ("dormant", "summer")), *_numbers("after_from", "after_to", kind="whole"),
        *_numbers("warmth_from", "warmth_to", "warmth_base_c"), Column("shoot_mm", "whole"), Column("growth"),
        Column("until"), Column("repeat_days", "whole"), _need("words"), *_LAW,
    ), ("key",)),
    Table("cautions", (
        _need("key"), _need("when", "many", *VERBS), _need("words"), *_LAW,
    ), ("key",)),
    Table("sources", (
        _need("key"), _need("title"), _need("publisher"), Column("year", "year"), Column("address"),
    ), ("key",)),
)  # fmt: skip


def table(name: str) -> Table:
    """The description of a table; KeyError for a name that is none."""
    return {entry.name: entry for entry in TABLES}[name]
