"""Rows of growers' sheets into the book: what is clear by the way of the book's own files, all else held with its reason.

The clear rows are tried together; those that the book's own checks object to are held as well, and the rest tried again, each
time in a unit of work of its own that leaves nothing behind, until nothing is objected to. So a row that stands on a held one
is held too, and rows in are always rows taken, held, known and left out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from graftbook.actions.desk.copied_before import copied_if_many
from graftbook.actions.desk.desk import Desk
from graftbook.actions.exchange import importing
from graftbook.actions.exchange.csv_cells import Reader
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.actions.exchange.sheets_seen import TableRead
from graftbook.actions.exchange.sheets_things import Making, Unclear, bundle_key
from graftbook.book import bulk, sheet_queries
from graftbook.book.unit import Unit
from graftbook.errors import BadData, Problem
from graftbook.sheets.doubt import Doubt
from graftbook.sheets.reading import from_words
from graftbook.sheets.row_reading import SheetRowRead, read_typed

_WOOD = re.compile(r"W\d+")
Row = tuple[TableRead, SheetRowRead]

_FIELDS = {
    "taxon": "species", "clone": "rootstock", "donor": "from", "made_on": "date", "acquired_on": "date", "cut_on": "cut",
    "received_on": "date", "stored_on": "stored", "died_on": "died", "scion_mm": "scion", "stock_mm": "stock", "on": "looked",
    "diameter_mm": "diameter", "diameter_min_mm": "diameter", "length_mm": "length", "shoot_mm": "shoot", "state": "result",
    "host": "plant", "source": "plant", "from": "from", "temperature_c": "temperature", "buds_per_stick": "buds",
}  # fmt: skip
"""The field of a sheet that a header of the book's own files comes from, where the two are called otherwise."""


@dataclass
class RowsTaken:
    """What came of some rows: the codes each made, by its identity, the words and the number of the entry (None where nothing
    was recorded), and what there is to say."""

    made: dict[int, list[str]] = field(default_factory=dict)
    what: str | None = None
    entry: int | None = None
    notes: tuple[str, ...] = ()


def take_rows(
    desk: Desk, verb: str, rows: Sequence[Row], keep: Callable[[Unit, RowsTaken], str], *, who: str | None = None,
    dry_run: bool = False, progress: Any = None, later: Mapping[int, list[str]] = MappingProxyType({}),
) -> RowsTaken:  # fmt: skip
    """Take the rows that are clear and that the book does not object to; the others get doubts. `keep` records what became of
    all of them in the same unit of work, and gives the line of the entry. `later` are the grafts that were made before of
    rows (by identity) that now say what became of them."""
    while True:
        with desk.book.write(verb, desk.person(who)) as unit:
            making = _made(desk, unit, rows, later)
            batch = Batch(list(making.sheets.values()))
            taken = RowsTaken(making.made)
            try:
                taken.what = importing.take_in(desk, batch, unit, progress) if batch.sheets else None
            except BadData as error:
                if not _object(making, error.problems):
                    raise
                continue
            taken.notes = batch.all_notes()
            line = keep(unit, taken)
            if not dry_run:
                kept = copied_if_many(desk.book.location, "import", desk.now(), len(rows))
                taken.entry = unit.commit(line).id
                taken.notes = (*kept, *taken.notes)
            return taken


def _made(desk: Desk, unit: Unit, rows: Sequence[Row], later: Mapping[int, list[str]]) -> Making:
    """What the clear rows make; a row that the book's own words do not hold is no longer clear."""
    making = Making(bulk.counters(unit.session), Reader(desk.today), _bundles_before(desk, unit, rows), later)
    for each, row in rows:
        if not row.doubts:
            try:
                making.take(each, row)
            except Unclear as unclear:
                row.doubts.append((each.reading.heading_of(unclear.field) or "", unclear.doubt))
    return making


def _bundles_before(desk: Desk, unit: Unit, rows: Sequence[Row]) -> dict[tuple[str, ...], str]:
    """The bundles that earlier rows of the same sheets made, by what later rows share with them."""
    found: dict[tuple[str, ...], str] = {}
    same = {(each.path.name, each.sheet or None) for each, _row in rows if each.reading.thing == "grafts"}
    for kept in sheet_queries.rows_kept(unit.session, "taken") if same else ():
        wood = _WOOD.search(kept.made or "")
        if wood is not None and (kept.file, kept.sheet) in same:
            row = read_typed(kept.line, {**kept.cells, **(kept.mends or {})}, from_words(kept.reading), desk.today)
            if "date" in row.days:
                found[bundle_key(row)] = wood[0]
    return found


def _object(making: Making, problems: Sequence[Problem]) -> bool:
    """Give every row behind a problem its doubt, and say whether any got one; rows that share the wood of a row that fails follow
    when they are tried."""
    found = False
    for problem in problems:
        each, row = making.source[problem.file, problem.line]
        name = _FIELDS.get(problem.header, problem.header)
        doubt = Doubt(problem.found.strip("'"), problem.accepted)
        if all(doubt != other for _heading, other in row.doubts):
            row.doubts.append((each.reading.heading_of(name) or "", doubt))
            found = True
    return found
