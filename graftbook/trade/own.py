"""Rows a person adds to the trade's tables in their own book, checked as the shipped ones are."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from graftbook.errors import UsageProblem
from graftbook.trade import cells, clones, methods, schema, stages, tables, taxa

OPEN_TABLES = ("pairs", "methods", "keeping", "aftercare", "cautions", "bark", "takes")


def parse(table: str, fields: Mapping[str, str]) -> Mapping[str, str]:
    """A person's own row, whole and checked: every column of the table, empty where not given, basis `own`.

    Kinds, clones, methods and stages may be given under any of their names and come back under the tables' own. The
    source is the person's words and need not be in the sources table. Raises UsageProblem naming every cell that cannot
    stand, every field the table does not have, or a table that takes no rows.
    """
    if table not in OPEN_TABLES:
        raise UsageProblem(f"a table that takes your own rows: {', '.join(OPEN_TABLES)}", repr(table))
    described = schema.table(table)
    strange = [name for name in fields if name not in described.header()]
    if strange:
        raise UsageProblem(
            f"columns of the {table} table: {', '.join(described.header())}", ", ".join(repr(name) for name in strange)
        )
    row = dict.fromkeys(described.header(), "") | {name: text.strip() for name, text in fields.items()}
    row = {column.name: _known_by(column, row[column.name]) for column in described.columns} | {"basis": "own"}
    faults = tuple(cells.faults(described, row, _known_with(described, row)))
    if faults:
        raise UsageProblem(
            "; ".join(f"{fault.column}: {fault.accepted}" for fault in faults),
            "; ".join(f"{fault.column} {fault.found}" for fault in faults),
            f"Nothing was added; mend the columns named and add the {table} row again",
        )
    return row


def _known_by(column: schema.TableColumn, text: str) -> str:
    """The name the tables know something by, where it is found; otherwise the text as typed."""
    finders: dict[str, tuple[Callable[[str], Any], str]] = {
        "taxon": (taxa.find, "taxon"), "clone": (clones.find, "key"), "method": (methods.find, "method"),
        "stage": (stages.find, "word"),
    }  # fmt: skip
    if not text or column.kind not in finders:
        return text
    find, name = finders[column.kind]
    return getattr(find(text), name, text)


def _known_with(described: schema.TradeTable, row: Mapping[str, str]) -> cells.KnownNames:
    """The names a row may use: those of the tables, a species of a genus they know, and a stock's name of one's own."""
    typed = [(column.kind, row[column.name]) for column in described.columns if row[column.name]]
    kin = {text for kind, text in typed if kind == "taxon" and taxa.genus_of(text) is not None}
    stocks = {text for kind, text in typed if kind == "clone"}
    known = _known()
    return replace(known, taxa=known.taxa | kin, clones=known.clones | stocks)


@lru_cache(maxsize=1)
def _known() -> cells.KnownNames:
    return cells.known_names({name: tables.rows(name) for name in ("taxa", "methods", "clones", "stages", "sources")})
