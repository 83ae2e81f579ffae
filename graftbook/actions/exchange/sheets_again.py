"""Sheets that come again: rows are known by what they say and where they stand, so that only what is new is taken."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from sqlmodel import Session

from graftbook.actions.exchange.sheets_seen import TableRead
from graftbook.book import sheet_queries
from graftbook.book.sheet_queries import KeptRow
from graftbook.codes import read_many
from graftbook.sheets.row_reading import SheetRowRead, mark

_ALIKE = 0.5


@dataclass
class AgainFound:
    """What the book knows of a table: rows it has (by identity), rows that are a later state of one it has, and how many of
    its rows are not in the table any more; `file` is the other file they came from, '' for one of this name."""

    known: set[int] = field(default_factory=set)
    changed: dict[int, KeptRow] = field(default_factory=dict)
    gone: int = 0
    file: str = ""


def compare(session: Session, each: TableRead) -> AgainFound:
    """Which rows of a table the book knows."""
    kept = sheet_queries.rows_kept(session)
    name, sheet = each.path.name, each.sheet or None
    same = [row for row in kept if row.file == name and row.sheet == sheet]
    if same:
        return _match(each.rows, same)
    others: dict[tuple[str, str | None], list[KeptRow]] = defaultdict(list)
    for row in kept:
        others[row.file, row.sheet].append(row)
    best = AgainFound()
    for (file, _sheet), rows in others.items():
        found = _match(each.rows, rows)
        if 2 * len(found.known) >= len(each.rows) and len(found.known) > len(best.known):
            best, best.file = found, file
    return best


def _match(rows: Iterable[SheetRowRead], kept: Iterable[KeptRow]) -> AgainFound:
    replaced = {row.was for row in kept if row.was is not None}
    standing = [row for row in kept if row.number not in replaced]
    by_mark: dict[str, list[KeptRow]] = defaultdict(list)
    for each in reversed(standing):
        by_mark[mark(each.cells)].append(each)
    found, new, shifts, shift = AgainFound(), [], {}, 0
    for row in rows:
        same = by_mark.get(mark(row.cells))
        if same:
            shift = row.line - same.pop().line
            found.known.add(id(row))
        else:
            new.append(row)
            shifts[id(row)] = shift
    left = {old.line: old for rest in by_mark.values() for old in rest}
    for row in new:
        for line in dict.fromkeys((row.line - shifts[id(row)], row.line)):
            old = left.get(line)
            if old is not None and _alike(row.cells, old.cells):
                found.changed[id(row)] = left.pop(line)
                break
    found.gone = len(left)
    return found


def _alike(new: Mapping[str, str], old: Mapping[str, str]) -> bool:
    names = new.keys() | old.keys()
    return sum(new.get(name, "") == old.get(name, "") for name in names) >= _ALIKE * len(names)


_RESULTS = frozenset(("result", "took", "failed", "looked", "shoot", "cause", "note"))


def grafts_seen_later(each: TableRead, row: SheetRowRead, old: KeptRow) -> list[str]:
    """The grafts that were made of a row, where all that it says now and did not say then is what became of them; none where
    anything that was said is now said otherwise."""
    known = row.outcome is not None and (row.outcome.took is not None or row.outcome.state is not None)
    if each.reading.thing != "grafts" or old.fate != "taken" or not old.made or not known:
        return []
    for heading in row.cells.keys() | old.cells.keys():
        was, now = old.cells.get(heading, ""), row.cells.get(heading, "")
        if was != now and (was or each.reading.columns.get(heading, "") not in _RESULTS):
            return []
    return [code.base for part in old.made.split(", ") if part.startswith("G") for code in read_many(part)]


def change_words(new: Mapping[str, str], old: Mapping[str, str]) -> str:
    """What differs between two states of a row."""
    return "; ".join(
        f"{name} was {old.get(name) or 'empty'!r}, now {new.get(name) or 'empty'!r}"
        for name in dict.fromkeys((*new, *old))
        if new.get(name, "") != old.get(name, "")
    )
