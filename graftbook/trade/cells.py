"""What a cell may say, for the files shipped here and for a person's own rows alike."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from graftbook.trade.schema import DEFAULTS, TableColumn, TradeTable
from graftbook.trade.words import parted

Row = Mapping[str, str]
_YEAR = re.compile(r"\d{4}(-\d{2,4})?$")
_WHOLE = re.compile(r"\d{1,9}$")
_NUMBER = re.compile(r"-?\d{1,9}(\.\d{1,9})?$")


@dataclass(frozen=True)
class Fault:
    """A cell that may not stand: its column, what it says and what it may say."""

    column: str
    found: str
    accepted: str


@dataclass(frozen=True)
class KnownNames:
    """The names a cell may refer to."""

    taxa: frozenset[str]
    methods: frozenset[str]
    clones: frozenset[str]
    stages: frozenset[str]
    sources: frozenset[str]


def known_names(rows: Mapping[str, Sequence[Row]]) -> KnownNames:
    """The names to refer to, gathered from the rows of the tables themselves."""
    return KnownNames(
        frozenset({row["taxon"] for row in rows["taxa"]} | set(DEFAULTS)),
        frozenset(row["method"] for row in rows["methods"]),
        frozenset({row["clone"] for row in rows["clones"]} | {"seedling"}),
        frozenset(row["word"] for row in rows["stages"] if row["scale"] == "words"),
        frozenset(row["key"] for row in rows["sources"]),
    )


def faults(table: TradeTable, row: Row, known: KnownNames) -> Iterator[Fault]:
    """Every fault in one row, column by column, then what must hold between columns."""
    for column in table.columns:
        text = row[column.name]
        if text != text.strip():
            yield Fault(column.name, repr(text), "no blanks at either end")
        elif not text:
            if column.needed:
                yield Fault(column.name, "nothing", _accepted(column, known))
        elif not _stands(column, text, known):
            yield Fault(column.name, repr(text), _accepted(column, known))
    yield from _basis_law(row, known)
    yield from _spans(table, row)
    yield from _warmth(row)


def _stands(column: TableColumn, text: str, known: KnownNames) -> bool:
    match column.kind:
        case "one":
            return text in column.words
        case "many":
            return all(item in column.words for item in parted(text))
        case "number":
            return bool(_NUMBER.match(text))
        case "size":
            return bool(_NUMBER.match(text)) and float(text) > 0
        case "whole":
            return bool(_WHOLE.match(text))
        case "year":
            return bool(_YEAR.match(text))
        case "method list":
            return all(item in known.methods for item in parted(text))
        case "taxon" | "clone" | "method" | "stage":
            return text in _referred(column.kind, known)
        case _:
            return "  " not in text and "\n" not in text


def _referred(kind: str, known: KnownNames) -> frozenset[str]:
    return {"taxon": known.taxa, "clone": known.clones, "method": known.methods, "stage": known.stages}[kind]


def _accepted(column: TableColumn, known: KnownNames) -> str:
    match column.kind:
        case "one":
            return ", ".join(column.words)
        case "many":
            return f"some of {', '.join(column.words)}, parted by ;"
        case "number":
            return "a number"
        case "size":
            return "a number above 0"
        case "whole":
            return "a whole number"
        case "year":
            return "a year of four figures, or two parted by -"
        case "method" | "method list":
            return f"a method of the methods table: {', '.join(sorted(known.methods))}"
        case "stage":
            return f"a stage: {', '.join(sorted(known.stages))}"
        case "taxon" | "clone":
            return f"a {column.kind} of its own table"
        case _:
            return "some words, with single blanks"


def _basis_law(row: Row, known: KnownNames) -> Iterator[Fault]:
    basis, source = row.get("basis"), row.get("source")
    if basis is None or source is None:
        return
    if basis == "published" and source not in known.sources:
        yield Fault("source", repr(source), "the key of a source in the sources table, since the row is published")
    elif source and basis not in ("published", "own"):
        yield Fault("source", repr(source), f"nothing, since the row's basis is {basis}")


def _warmth(row: Row) -> Iterator[Fault]:
    """A sum of warmth means nothing without the base it is counted above."""
    if row.get("warmth_from") and not row.get("warmth_base_c"):
        yield Fault("warmth_base_c", "nothing", "the temperature in C above which warmth_from is counted, such as 4")
    if row.get("warmth_base_c") and not row.get("warmth_from"):
        yield Fault("warmth_from", "nothing", "degree-days in C above warmth_base_c, such as 143")


def _spans(table: TradeTable, row: Row) -> Iterator[Fault]:
    for name in table.header():
        other = f"{name.removesuffix('_min')}_max"
        if not name.endswith("_min") or other not in row:
            continue
        low, high = row[name], row[other]
        if _NUMBER.match(low) and _NUMBER.match(high) and float(low) > float(high):
            yield Fault(other, high, f"{low} or more, since {name} is {low}")
