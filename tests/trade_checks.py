"""Whether the data files hold what they must, every problem at once.

Three laws: every cell is of its column's kind; a published row names a source that exists and no other row names one;
a name of a kind, a clone, a method or a stage is one the tables know, and no name stands for two things.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from graftbook.errors import Problem
from graftbook.trade import cells, schema
from graftbook.trade.words import parted, plain, squeezed

Row = Mapping[str, str]


@dataclass(frozen=True)
class Lines:
    """A file's header and its rows, each with the line it starts on (the header is line 1)."""

    file: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]


def read_lines(name: str, folder: Path) -> Lines:
    """One table's file, UTF-8, commas; a missing file comes back with an empty header and no rows."""
    path = folder / f"{name}.csv"
    if not path.exists():
        return Lines(path.name, (), ())
    with path.open(encoding="utf-8", newline="") as stream:
        reader = csv.reader(stream)
        header = tuple(next(reader, ()))
        rows = tuple((reader.line_num, tuple(row)) for row in reader)
    return Lines(path.name, header, rows)


@dataclass(frozen=True)
class _Numbered:
    line: int
    row: Row


def problems(folder: Path) -> tuple[Problem, ...]:
    """Every problem in a folder of data files, in file and line order; empty when all is well."""
    lines = {table.name: read_lines(table.name, folder) for table in schema.TABLES}
    found: list[Problem] = []
    read: dict[str, list[_Numbered]] = {}
    for table in schema.TABLES:
        shape, read[table.name] = _shape(table, lines[table.name])
        found += shape
    known = cells.known_names({name: [entry.row for entry in entries] for name, entries in read.items()})
    for table in schema.TABLES:
        for entry in read[table.name]:
            found += _row_problems(table, entry, known)
        found += _repeats(table, read[table.name])
    for name, key, names, spell in _NAMED:
        found += _shared_names(name, read[name], key, names, spell)
    return tuple(sorted(found))


def _shape(table: schema.TradeTable, lines: Lines) -> tuple[list[Problem], list[_Numbered]]:
    if lines.header != table.header():
        accepted = ",".join(table.header())
        return [Problem(lines.file, 1, 0, "", ",".join(lines.header) or "nothing", accepted)], []
    found, rows = [], []
    for line, row in lines.rows:
        if len(row) != len(table.columns):
            accepted = f"{len(table.columns)} cells"
            found.append(Problem(lines.file, line, 0, "", f"{len(row)} cells", accepted))
        else:
            rows.append(_Numbered(line, dict(zip(table.header(), row, strict=True))))
    return found, rows


def _row_problems(table: schema.TradeTable, entry: _Numbered, known: cells.KnownNames) -> Iterator[Problem]:
    header = table.header()
    for fault in cells.faults(table, entry.row, known):
        column = header.index(fault.column) + 1
        yield Problem(f"{table.name}.csv", entry.line, column, fault.column, fault.found, fault.accepted)


def _repeats(table: schema.TradeTable, entries: Iterable[_Numbered]) -> Iterator[Problem]:
    seen: dict[tuple[str, ...], int] = {}
    for entry in entries if table.key else ():
        key = tuple(entry.row[name] for name in table.key)
        if key in seen:
            accepted = f"one row each; line {seen[key]} has it already"
            yield Problem(f"{table.name}.csv", entry.line, 1, table.key[0], " ".join(key), accepted)
        seen.setdefault(key, entry.line)


_NAMED: tuple[tuple[str, str, tuple[str, ...], Callable[[str], str]], ...] = (
    ("taxa", "taxon", ("common", "names"), plain),
    ("methods", "method", ("names",), plain),
    ("clones", "clone", ("aliases",), squeezed),
)


def _shared_names(
    table: str, entries: Iterable[_Numbered], key: str, columns: tuple[str, ...], spell: Callable[[str], str]
) -> Iterator[Problem]:
    """Names that would stand for two things: the first to claim a name has it."""
    entries = list(entries)
    owner = {spell(entry.row[key]): entry.row[key] for entry in reversed(entries)}
    for entry in entries:
        for column in columns:
            for name in (name for name in parted(entry.row[column]) if name not in schema.SHARED_NAMES):
                holder = owner.setdefault(spell(name), entry.row[key])
                if holder != entry.row[key]:
                    number = schema.table(table).header().index(column) + 1
                    yield Problem(f"{table}.csv", entry.line, number, column, name, f"a name {holder} does not have")
