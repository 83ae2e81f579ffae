"""A reading: how one grower's table is understood. It is proposed, shown, mended, accepted, and may be kept for next year."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from graftbook.errors import UsageProblem
from graftbook.sheets.headings import FIELDS
from graftbook.trade.words import plain

THINGS = ("grafts", "trees", "stocks", "wood", "looks")
"""What a row of a grower's table may be about."""
UNITS = ("mm", "cm", "in")
ORDERS = ("day-first", "month-first")
HEAD = "# How tables are read: a heading and what it is; '' for a column that is left.\n"
"""How a file of readings begins."""
LEFT = ""
"""What a column is read as that is not read: its words stay with the row."""
_NONE: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True)
class Reading:
    """How a table is read. `columns` give each heading its field; `unit` is that of bare lengths and `units` that of single
    columns; `dates` the order of day and month (None: only days that can mean one are read); `epoch` the year from which
    bare numbers of days count; `words` what words mean in columns of methods, results and rootstocks; `names` the spelling
    of a cultivar for another; `given` what holds for every row, by field."""

    thing: str
    columns: Mapping[str, str]
    unit: str = "mm"
    dates: str | None = None
    epoch: int = 1900
    units: Mapping[str, str] = field(default_factory=lambda: _NONE)
    words: Mapping[str, str] = field(default_factory=lambda: _NONE)
    names: Mapping[str, str] = field(default_factory=lambda: _NONE)
    given: Mapping[str, str] = field(default_factory=lambda: _NONE)

    def heading_of(self, name: str) -> str | None:
        """The heading that is read as a field; None where none is."""
        return next((heading for heading, meant in self.columns.items() if meant == name), None)

    def has(self, name: str) -> bool:
        """Whether some column, or a word for every row, says this."""
        return name in self.given or self.heading_of(name) is not None

    def word(self, text: str) -> str:
        """What a word is read as: what the reading says of it, or itself."""
        return self.words.get(fold(text), text)


def fold(text: str) -> str:
    """A word as the reading looks it up: whatever its case, quotes and blanks."""
    return " ".join(text.translate(_QUOTES).casefold().split())


_QUOTES = str.maketrans("‘’‛`´“”″", "'''''\"\"\"")
_TABLES = ("columns", "units", "words", "names", "given")
_PLAIN = ("thing", "unit", "dates", "epoch")


def field_named(text: str) -> str:
    """A field by its word. Raises UsageProblem, which names them all; '' for a column that is left."""
    name = "_".join(text.casefold().replace("-", "_").split())
    if name in ("", "left", "skip", "ignore", "none"):
        return LEFT
    if name in FIELDS:
        return name
    for each in _OTHER_WORDS.get(name, ()):
        return each
    raise UsageProblem(f"what a column may be: {', '.join(FIELDS)}; nothing for one that is left", repr(text))


_OTHER_WORDS = MappingProxyType({
    "variety": ("cultivar",), "clone": ("rootstock",), "taxon": ("species",), "donor": ("from",), "made_on": ("date",),
    "on": ("date",), "cut_on": ("cut",), "scion_mm": ("scion",), "stock_mm": ("stock",), "notes": ("note",),
    "looked_on": ("looked",), "state": ("result",), "size": ("diameter",), "quantity": ("count",), "planted": ("date",),
})  # fmt: skip


def with_words(
    reading: Reading, *, columns: Mapping[str, str] = _NONE, words: Mapping[str, str] = _NONE,
    names: Mapping[str, str] = _NONE, given: Mapping[str, str] = _NONE,
) -> Reading:  # fmt: skip
    """The reading with what a person says besides. Headings may be typed in any case; raises UsageProblem for one the table
    has not got, and for a field nobody knows."""
    mended = dict(reading.columns)
    for typed, meant in columns.items():
        heading = _heading(reading, typed)
        wanted = field_named(meant)
        for other, now in mended.items():
            if now == wanted and wanted not in (LEFT, "note"):
                mended[other] = LEFT
        mended[heading] = wanted
    folded = {fold(word): meant for word, meant in words.items()}
    stated = {field_named(name): value for name, value in given.items()}
    return replace(reading, columns=mended, words={**reading.words, **folded}, names={**reading.names, **names},
                   given={**reading.given, **stated})  # fmt: skip


def _heading(reading: Reading, typed: str) -> str:
    exact = [heading for heading in reading.columns if heading.casefold() == typed.casefold()]
    near = exact or [heading for heading in reading.columns if plain(heading) == plain(typed)]
    if len(near) != 1:
        raise UsageProblem(f"a heading of the table: {', '.join(filter(None, reading.columns))}", repr(typed))
    return near[0]


def to_words(reading: Reading) -> dict[str, str]:
    """The reading as plain words by names, as the book keeps it."""
    kept = {name: str(value) for name in _PLAIN if (value := getattr(reading, name)) is not None}
    return {**kept, **{f"{table}:{key}": value for table in _TABLES for key, value in getattr(reading, table).items()}}


def from_words(kept: Mapping[str, str]) -> Reading:
    """The reading that `to_words` gave. Raises UsageProblem for what is none."""
    tables: dict[str, dict[str, str]] = {name: {} for name in _TABLES}
    for name, value in kept.items():
        table, found, key = name.partition(":")
        if found and table in tables:
            tables[table][key] = value
    return checked(Reading(kept.get("thing", ""), tables.pop("columns"), kept.get("unit", "mm"), kept.get("dates"),
                           int(kept.get("epoch", "1900")), **tables))  # fmt: skip


def checked(reading: Reading) -> Reading:
    """The reading. Raises UsageProblem where a part of it is no word of readings."""
    for found, allowed, what in (
        (reading.thing, THINGS, "thing"), (reading.unit, UNITS, "unit"), (reading.dates, (None, *ORDERS), "dates"),
        (reading.epoch, (1900, 1904), "epoch"),
    ):  # fmt: skip
        if found not in allowed:
            words = ", ".join(str(word) for word in allowed if word is not None)
            raise UsageProblem(f"for {what} in a reading: {words}", repr(found))
    for heading, meant in reading.columns.items():
        if meant != LEFT and meant not in FIELDS:
            raise UsageProblem(f"for the column {heading!r} one of {', '.join(FIELDS)}, or nothing", repr(meant))
    return reading


def toml_text(readings: Mapping[str, Reading]) -> str:
    """Readings by the names of their tables as a TOML file (1.0), to be kept and mended by hand."""
    parts = [HEAD]
    for name, reading in readings.items():
        head = _quoted(name)
        parts.append(f"\n[{head}]\n")
        for key in _PLAIN:
            value = getattr(reading, key)
            if value is not None:
                parts.append(f"{key} = {value if isinstance(value, int) else _quoted(value)}\n")
        for table in _TABLES:
            values = getattr(reading, table)
            if values:
                parts.append(f"\n[{head}.{table}]\n")
                parts += [f"{_quoted(key)} = {_quoted(value)}\n" for key, value in values.items()]
    return "".join(parts)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def from_toml(text: str) -> dict[str, Reading]:
    """Readings by the names of their tables, of a file such as `toml_text` writes. Raises UsageProblem for anything else."""
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise UsageProblem("a reading as --save-reading writes it", f"a file that is no TOML: {error}") from error
    readings = {}
    for name, part in found.items():
        if not isinstance(part, dict):
            raise UsageProblem('a part for each table, such as [""] with thing and columns', repr(name))
        kept = {key: str(value) for key, value in part.items() if not isinstance(value, dict)}
        for table, values in part.items():
            if isinstance(values, dict):
                kept.update((f"{table}:{key}", str(value)) for key, value in values.items())
        if not re.fullmatch(r"190[04]", kept.get("epoch", "1900")):
            raise UsageProblem("for epoch in a reading: 1900, 1904", repr(kept["epoch"]))
        readings[name] = from_words(kept)
    return readings
