"""Rows of growers' sheets that are held: listed, mended one by one or by a rule, dropped, or tried again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, count, first_of
from graftbook.actions.exchange.sheets_again import grafts_seen_later
from graftbook.actions.exchange.sheets_importing import row_fate
from graftbook.actions.exchange.sheets_seen import TableRead
from graftbook.actions.exchange.sheets_taking import Row, RowsTaken, take_rows
from graftbook.book import sheet_queries
from graftbook.book.sheet_queries import KeptRow
from graftbook.book.unit import Unit
from graftbook.errors import NotFound, Refused, UsageProblem
from graftbook.numbers import run
from graftbook.sheets.cell_days import OrderSeen
from graftbook.sheets.layout import SheetTable
from graftbook.sheets.reading import fold, from_words
from graftbook.sheets.row_reading import read_typed


@dataclass(frozen=True)
class HeldRow:
    """One row that is held: where it stood, why, what may be meant, and its words as typed with what was mended."""

    number: int
    file: str
    sheet: str
    line: int
    why: str
    perhaps: str
    text: str
    shown: ClassVar = ("number", "file", "line", "why", "text")


def held(desk: Desk) -> Report:
    """Every row that is held, by number."""
    with desk.book.read() as session:
        kept = sheet_queries.rows_kept(session, "held")
    rows = tuple(
        HeldRow(
            row.number,
            row.file,
            row.sheet or "",
            row.line,
            row.why or "",
            _cells_text(row.offers or {}),
            _row_text(row),
        )
        for row in kept
    )
    notes: tuple[str, ...] = ()
    offered = [row for row in kept if row.offers]
    if offered:
        notes = (
            f"Of {count(len(offered), 'row')} all that is unclear may be guessed: graftbook held mend --as-offered.",
        )
    return Report(HeldRow, rows, notes, {"as_of": desk.today}, empty="No row is held.")


def _cells_text(cells: Mapping[str, str]) -> str:
    return "; ".join(f"{heading}: {text}" for heading, text in cells.items())


def _row_text(row: KeptRow) -> str:
    mended = f" (mended: {_cells_text(row.mends)})" if row.mends else ""
    return _cells_text(row.cells) + mended


@dataclass(frozen=True)
class Mending:
    """How rows are mended: `cells` are new texts by heading, `where` the texts that rows must hold to be meant, and whether
    what is offered is what was meant."""

    cells: Mapping[str, str]
    where: Mapping[str, str]
    as_offered: bool = False


def mend(desk: Desk, numbers: str | None, how: Mending, who: str | None = None, note: str | None = None) -> Recorded:
    """Mend held rows and take those that are clear then. Without numbers every row that `where` means, or that has an offer.

    Raises UsageProblem where nothing says which rows or what to do, NotFound where no row is meant.
    """
    if not how.cells and not how.as_offered:
        raise UsageProblem("what to mend: --set 'HEADING=VALUE', or --as-offered", "neither")
    if numbers is None and not how.where and not how.as_offered:
        raise UsageProblem("which rows: their numbers, or --where 'HEADING=TEXT'", "neither")
    rows = [row for row in _meant(desk, numbers) if _holds(row, how.where) and (row.offers or not how.as_offered)]
    if not rows:
        raise NotFound("no held row is meant", "", "List them: graftbook held")
    mends = {
        row.number: {**(row.mends or {}), **(row.offers or {} if how.as_offered else {}), **_named(row, how.cells)}
        for row in rows
    }
    return _try(desk, rows, mends, "Mended", who, note)


def take(desk: Desk, numbers: str | None, who: str | None = None, note: str | None = None) -> Recorded:
    """Try held rows again as they are; what has become clear since is taken."""
    rows = _meant(desk, numbers)
    if not rows:
        raise NotFound("no row is held")
    return _try(desk, rows, {row.number: dict(row.mends or {}) for row in rows}, "Tried", who, note)


def drop(desk: Desk, numbers: str, who: str | None = None, note: str | None = None) -> Recorded:
    """Hold rows no longer; they are kept as dropped and do not come again with their sheet."""
    rows = _meant(desk, numbers)
    with desk.book.write("held", desk.person(who)) as unit:
        for kept in sheet_queries.kept_by_number(unit.session, [row.number for row in rows]).values():
            unit.amend(kept, fate="dropped")
        entry = unit.commit(f"Dropped {_rows_text(rows)}" + (f": {note}" if note else ""))
    return Recorded(f"{entry.summary}.", entry.id)


def _rows_text(rows: Sequence[KeptRow]) -> str:
    return f"{count(len(rows), 'held row')} ({first_of([str(row.number) for row in rows], 8, ', ')})"


def _meant(desk: Desk, numbers: str | None) -> list[KeptRow]:
    with desk.book.read() as session:
        if numbers is None:
            return sheet_queries.rows_kept(session, "held")
        wanted: dict[int, None] = {}
        for part in numbers.replace(",", " ").split():
            found = run(part, 1, 1_000_000)
            if found is None or len(found) > 100_000:
                raise UsageProblem("numbers of held rows, such as 3 or 3-7", repr(part))
            wanted.update(dict.fromkeys(found))
        rows = sheet_queries.rows_kept(session, "held", wanted)
    missing = wanted.keys() - {row.number for row in rows}
    if missing:
        raise NotFound(f"no held row {min(missing)}", "", "List them: graftbook held")
    return rows


def _holds(row: KeptRow, where: Mapping[str, str]) -> bool:
    cells = {fold(heading): fold(text) for heading, text in {**row.cells, **(row.mends or {})}.items()}
    return all(cells.get(fold(heading)) == fold(text) for heading, text in where.items())


def _named(row: KeptRow, cells: Mapping[str, str]) -> dict[str, str]:
    """New texts under the headings as the sheet spells them. Raises UsageProblem for one it has not got."""
    columns = [name.removeprefix("columns:") for name in row.reading if name.startswith("columns:")]
    spelled = {fold(heading): heading for heading in columns}
    for heading in cells:
        if fold(heading) not in spelled:
            raise UsageProblem(f"a heading of {row.file}: {', '.join(columns)}", repr(heading))
    return {spelled[fold(heading)]: text for heading, text in cells.items()}


def _try(
    desk: Desk,
    rows: Sequence[KeptRow],
    mends: Mapping[int, dict[str, str]],
    did: str,
    who: str | None,
    note: str | None,
) -> Recorded:
    tables: dict[int, TableRead] = {}
    tried: list[Row] = []
    for row in rows:
        each = tables.setdefault(row.sheet_number, _table_of(row))
        read = read_typed(row.line, {**row.cells, **mends[row.number]}, each.reading, desk.today)
        tried.append((each, read))
    later = _later(desk, rows, tried)

    def keep(unit: Unit, taken: RowsTaken) -> str:
        kept = sheet_queries.kept_by_number(unit.session, [row.number for row in rows])
        for old, (_each, read) in zip(rows, tried, strict=True):
            fate = {"why": None, "offers": None, "made": None, **row_fate(read, taken)}
            unit.amend(kept[old.number], mends=mends[old.number] or None, **fate)
        what = f"; took {taken.what}" if taken.what else ""
        return f"{did} {_rows_text(rows)}{what}" + (f": {note}" if note else "")

    taken = take_rows(desk, "held", tried, keep, who=who, later=later)
    left = [(old, read) for old, (_each, read) in zip(rows, tried, strict=True) if id(read) not in taken.made]
    line = f"{did} {_rows_text(rows)}: took {taken.what or 'nothing'}; {count(len(left), 'row')} still held."
    notes = tuple(f"{old.number}: {read.why}." for old, read in left[:8])
    codes = tuple(dict.fromkeys(code for _each, read in tried for code in taken.made.get(id(read), ())))
    return Recorded(line, taken.entry, codes, (*notes, *taken.notes))


def _later(desk: Desk, rows: Sequence[KeptRow], tried: Sequence[Row]) -> dict[int, list[str]]:
    """The grafts, by the identity of the row, of rows that came again and now say what became of them. Raises Refused for a
    row that says otherwise than the one that was taken: it would make everything a second time."""
    with desk.book.read() as session:
        before = {old.number: old for old in sheet_queries.rows_kept(session, "taken", {row.was or 0 for row in rows})}
    found: dict[int, list[str]] = {}
    for row, (each, read) in zip(rows, tried, strict=True):
        old = before.get(row.was or 0)
        if old is None:
            continue
        found[id(read)] = grafts_seen_later(each, read, old)
        if not found[id(read)]:
            raise Refused(
                f"row {row.number} is a later state of one that was taken", "",
                "Amend what it made by hand, then drop this row",
            )  # fmt: skip
    return found


def _table_of(row: KeptRow) -> TableRead:
    how = from_words(row.reading)
    table = SheetTable(row.sheet or "", 1, tuple(how.columns), (), how.epoch)
    return TableRead(Path(row.file), table, how, OrderSeen(), [])
