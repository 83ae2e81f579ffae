"""The trade's tables printed, filtered by words, the grower's own rows first; and own rows added."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, make_dataclass
from functools import cache
from typing import Any, ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, page_notes
from graftbook.actions.trade.trade_columns import FOR_PEOPLE
from graftbook.book import find
from graftbook.book.ledger import OwnRow
from graftbook.errors import Refused, UsageProblem

Cells = Mapping[str, str]

MOST_WORDS = 8

_SHORT_NAMES = {
    "pairs": {"scion": "scion_taxon", "cultivar": "scion_cultivar", "stock": "stock_taxon", "clone": "stock_clone",
              "interstem": "interstem_taxon"},
}  # fmt: skip


@dataclass(frozen=True)
class TableRow:
    """One table of the trade with the number of its rows, the grower's own among them."""

    table: str
    rows: int
    own_rows: int
    takes_own_rows: bool
    headings: ClassVar = {"own_rows": "your own", "takes_own_rows": "open to yours"}


def list_tables(desk: Desk) -> Report:
    """Every table with its counts."""
    from graftbook.trade import own, tables

    with desk.book.read() as session:
        mine = {name: len(find.own_rows(session, name)) for name in tables.names()}
    rows = tuple(
        TableRow(name, len(tables.rows(name)) + mine[name], mine[name], name in own.OPEN_TABLES)
        for name in tables.names()
    )
    return Report(TableRow, rows, ("Print one: graftbook trade pairs apple pear",))


def show_table(desk: Desk, table: str, words: Sequence[str] = (), limit: int = 200, page: int = 1) -> Report:
    """One page of the rows of a table in which every word is found, the grower's own first; the sources follow as notes.

    A word may be any name of a kind, a rootstock or a method; case and accents do not count. Raises UsageProblem for a
    name that is no table.
    """
    from graftbook.trade import tables

    name = _table_name(table)
    with desk.book.read() as session:
        held: tuple[Cells, ...] = (*find.own_rows(session, name), *tables.rows(name))
    wanted = _phrases(words)
    found = [row for row in held if _matches(row, wanted)]
    start = (page - 1) * limit
    row_type = _row_type(name)
    shown = found[start : start + limit]
    rows = tuple(row_type(**_values(name, row)) for row in shown)
    notes = (
        *page_notes(len(rows), len(found), limit, page, "row"),
        *_differing(name, shown),
        *_sources(shown),
        *_own_note(name, words, found),
    )
    return Report(
        row_type, rows, notes, {"table": name, "total": len(found), "page": page}, title=f"{name}, as the trade has it"
    )


def _table_name(text: str) -> str:
    from graftbook.trade import tables

    name = text.strip().lower().replace("-", "_").replace(" ", "_")
    if name not in tables.names():
        raise UsageProblem(f"a table: {', '.join(tables.names())}", repr(text))
    return name


@cache
def _row_type(table: str) -> type:
    """The class of a table's rows: a field a column for programs, and a property a column that people see."""
    from graftbook.trade import tables

    columns = {f"column_{place}": column for place, column in enumerate(FOR_PEOPLE[table])}
    namespace: dict[str, Any] = {name: property(read) for name, (_, read) in columns.items()}
    namespace["shown"] = tuple(columns)
    namespace["headings"] = {name: heading for name, (heading, _) in columns.items()}
    return make_dataclass(
        f"{table.title()}Row", [(name, Any) for name in tables.columns(table)], frozen=True, namespace=namespace
    )


def _values(table: str, row: Cells) -> dict[str, Any]:
    from graftbook.trade import schema

    values: dict[str, Any] = {}
    for column in schema.table(table).columns:
        text = row.get(column.name, "")
        if text == "":
            values[column.name] = None
        elif column.kind == "whole":
            values[column.name] = int(text)
        else:
            values[column.name] = float(text) if column.kind == "number" else text
    return values


def _phrases(words: Sequence[str]) -> tuple[tuple[tuple[str, ...], ...], ...]:
    """The ways to read the words, each a run of things to find, each of those with the spellings that will do.

    Words are read one by one, and also together where a run of them names a kind, such as `sweet cherry`.
    """
    from graftbook.trade import taxa

    left = [word for text in words for word in text.split()]
    if len(left) > MOST_WORDS:
        raise UsageProblem(f"at most {MOST_WORDS} words to look for", f"{len(left)}")
    ways: list[list[tuple[tuple[str, ...], ...]]] = [[()]]
    for end in range(1, len(left) + 1):
        ways.append([])
        for start in range(max(0, end - 4), end):
            run = " ".join(left[start:end])
            if end - start == 1 or taxa.find(run) is not None:
                ways[end] += [(*way, _spellings(run)) for way in ways[start]]
    return tuple(ways[-1])


def _spellings(text: str) -> tuple[str, ...]:
    from graftbook.trade import clones, methods, taxa
    from graftbook.trade.words import plain

    taxon, clone, method = taxa.find(text), clones.find(text), methods.find(text)
    names = (
        text, taxon.taxon if taxon is not None else "", clone.key if clone is not None else "",
        method.method if method is not None else "",
    )  # fmt: skip
    return tuple(dict.fromkeys(plain(name) for name in names if plain(name)))


def _matches(row: Cells, ways: Sequence[Sequence[tuple[str, ...]]]) -> bool:
    from graftbook.trade.words import plain

    if ways == ((),):
        return True
    text = " " + plain(" | ".join(row.values()))
    return any(all(any(f" {spelling}" in text for spelling in spellings) for spellings in way) for way in ways)


def _sources(rows: Sequence[Cells]) -> tuple[str, ...]:
    from graftbook.trade import sources

    keys = dict.fromkeys(row.get("source", "") for row in rows if row.get("basis") == "published")
    return tuple(f"{key}: {sources.cite(key)}." for key in sorted(keys) if sources.get(key) is not None)


def _differing(table: str, rows: Sequence[Cells]) -> tuple[str, ...]:
    """Pairs of which the rows shown do not all say the same, each in a sentence with the words and whose they are."""
    if table != "pairs":
        return ()
    from graftbook.trade import pairs

    said: dict[tuple[str, ...], dict[str, str]] = {}
    for row in rows:
        if not row["condition"] and not row["interstem_taxon"]:
            key = tuple(row[name] for name in ("scion_taxon", "scion_cultivar", "stock_taxon", "stock_clone"))
            said.setdefault(key, {}).setdefault(row["verdict"], pairs.whose(pairs.from_row(row)))
    return tuple(
        f"Sources differ on {' '.join(key[:2]).strip()} on {' '.join(key[2:]).strip()}: "
        + "; ".join(f"{word}, {whose}" for word, whose in words.items())
        + ". The more cautious counts."
        for key, words in said.items()
        if len(words) > 1
    )


def _own_note(table: str, words: Sequence[str], found: Sequence[Cells]) -> tuple[str, ...]:
    if found or not words:
        return ()
    return (f"No row of {table} has all of these: {', '.join(words)}. Fewer words find more.",)


def add_row(
    desk: Desk, table: str, cells: Mapping[str, str], who: str | None = None, note: str | None = None
) -> Recorded:
    """Add a row of the grower's own, checked as the trade's are. Raises UsageProblem for what cannot stand, Refused for a
    name this grower has used already."""
    from graftbook.trade import own, schema

    name = _table_name(table)
    row = own.parse(name, {_SHORT_NAMES.get(name, {}).get(key, key): text for key, text in cells.items()})
    with desk.book.write("trade add", desk.person(who)) as unit:
        key = schema.table(name).key
        for held in find.own_rows(unit.session, name) if key else ():
            if all(held[column] == row[column] for column in key):
                raise Refused(
                    f"there is a row of your own for {row[key[0]]!r} already",
                    "",
                    "Undo that entry first, or use another name",
                )
        unit.add(OwnRow, trade_table=name, fields=dict(row))
        cells_given = ", ".join(f"{column} {text}" for column, text in row.items() if text and column != "basis")
        entry = unit.commit(f"Added your own row to {name}: {cells_given}" + (f" ({note})" if note else ""))
    return Recorded(f"{entry.summary}.", entry.id)
