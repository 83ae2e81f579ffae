"""Sheets of growers' own imported: what is new in them taken or held, every line of them accounted for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, count
from graftbook.actions.exchange import sheets_again, sheets_seen
from graftbook.actions.exchange.sheets_again import AgainFound
from graftbook.actions.exchange.sheets_seen import TableRead
from graftbook.actions.exchange.sheets_taking import Row, RowsTaken, take_rows
from graftbook.actions.exchange.sheets_things import codes_text
from graftbook.book import asking, sheet_queries
from graftbook.book.limits import LONG, SHORT
from graftbook.book.sheets_kept import SheetLine, SheetRead
from graftbook.book.unit import Unit
from graftbook.errors import BadData, Problem, Refused
from graftbook.sheets.doubt import Doubt
from graftbook.sheets.reading import to_words
from graftbook.sheets.row_reading import SheetRowRead


def import_sheets(
    desk: Desk, tables: Sequence[TableRead], *, all_or_nothing: bool = False, dry_run: bool = False, who: str | None = None,
    note: str | None = None, progress: Any = None,
) -> Recorded:  # fmt: skip
    """Take every clear row of these tables as one entry, and hold the others; with `all_or_nothing` none is held. Raises Refused
    while a question about a whole table stands open, BadData with every row that would be held where none may be."""
    asked = sheets_seen.questions(tables)
    if asked:
        raise Refused(" ".join(asked), "", "Nothing was recorded")
    with desk.book.read() as session:
        again = {id(each): sheets_again.compare(session, each) for each in tables}
    rows: list[Row] = []
    later: dict[int, list[str]] = {}
    for each in tables:
        later |= _changes(each, again[id(each)])
        rows += [(each, row) for row in each.rows if id(row) not in again[id(each)].known]
    said = _again_notes(tables, again)
    if not rows:
        return Recorded(f"Nothing new. {_balance(tables, 0, 0)}", notes=said)
    files = ", ".join(dict.fromkeys(f"{each.path.parent.name}/{each.path.name}".lstrip("/") for each in tables))

    def keep(unit: Unit, taken: RowsTaken) -> str:
        if all_or_nothing:
            _none_held(rows, taken)
        _keep(desk, unit, tables, again, taken)
        return f"Imported {taken.what or 'rows to be mended'} from {files}" + (f": {note}" if note else "")

    taken = take_rows(desk, "import", rows, keep, who=who, dry_run=dry_run, progress=progress, later=later)
    held = [row for _each, row in rows if id(row) not in taken.made]
    balance = _balance(tables, len(rows) - len(held), len(held))
    notes = (*said, *_held_notes(held), *taken.notes)
    if dry_run:
        line = f"Nothing was recorded (--dry-run). It would have imported {taken.what or 'nothing'}. {balance}"
        return Recorded(line, None, (), notes)
    codes = tuple(dict.fromkeys(code for _each, row in rows for code in taken.made.get(id(row), ())))
    return Recorded(f"Imported {taken.what or 'nothing'}. {balance}", taken.entry, codes, notes)


def _changes(each: TableRead, again: AgainFound) -> dict[int, list[str]]:
    """The grafts, by the identity of their row, of rows that now say what became of them; any other row that says otherwise than
    the one that was taken gets a doubt, and one that was held then is simply read again."""
    later: dict[int, list[str]] = {}
    for row in each.rows:
        old = again.changed.get(id(row))
        if old is None or old.fate != "taken":
            continue
        grafts = sheets_again.grafts_seen_later(each, row, old)
        if grafts:
            later[id(row)] = grafts
            continue
        made = f" as {old.made}" if old.made else ""
        accepted = f"the row as it was taken{made}; amend what differs, then: graftbook held drop"
        row.doubts = [("", Doubt(sheets_again.change_words(row.cells, old.cells), accepted))]
    return later


def _none_held(rows: Sequence[Row], taken: RowsTaken) -> None:
    problems = [
        Problem(each.label, row.line, _column(each, heading), heading, doubt.found, doubt.accepted)
        for each, row in rows if id(row) not in taken.made for heading, doubt in row.doubts
    ]  # fmt: skip
    if problems:
        files = {problem.file for problem in problems}
        raise BadData(problems, problems[0].file if len(files) == 1 else count(len(files), "file"))


def _column(each: TableRead, heading: str) -> int:
    return each.table.headings.index(heading) + 1 if heading in each.table.headings else 0


def preview(desk: Desk, tables: Sequence[TableRead]) -> Report:
    """How these tables would be read, and what of them the book knows already."""
    report = sheets_seen.report(desk, tables)
    with desk.book.read() as session:
        again = {id(each): sheets_again.compare(session, each) for each in tables}
    known = [
        f"{count(len(again[id(each)].known), 'row')} of {each.label} are there already." for each in tables
        if again[id(each)].known
    ]  # fmt: skip
    return replace(report, notes=(*known, *_again_notes(tables, again), *report.notes))


def _keep(desk: Desk, unit: Unit, tables: Sequence[TableRead], again: dict[int, AgainFound], taken: RowsTaken) -> None:
    """Keep every new row with what became of it; a held row that came again mended is dropped for the new one."""
    number = asking.next_number(unit.session, SheetLine)
    for each in tables:
        found = again[id(each)]
        new = [row for row in each.rows if id(row) not in found.known]
        if not new:
            continue
        sheet = unit.add(
            SheetRead, number=asking.next_number(unit.session, SheetRead), on=desk.today, file=each.path.name[-SHORT:],
            sheet=each.sheet[:SHORT] or None, reading=to_words(each.reading),
        )  # fmt: skip
        kept = []
        for row in new:
            old = found.changed.get(id(row))
            kept.append({"number": number, "sheet_read_id": sheet.id, **row_fate(row, taken), "cells": row.cells,
                         "was": None if old is None else old.number})  # fmt: skip
            number += 1
        unit.add_many(SheetLine, [{key: value for key, value in row.items() if value is not None} for row in kept])
        before = [old.number for old in found.changed.values() if old.fate == "held"]
        for held in sheet_queries.kept_by_number(unit.session, before).values():
            unit.amend(held, fate="dropped")


def row_fate(row: SheetRowRead, taken: RowsTaken) -> dict[str, Any]:
    """What became of a row, as the book keeps it."""
    if id(row) in taken.made:
        return {"line": row.line, "fate": "taken", "made": codes_text(taken.made[id(row)])}
    return {"line": row.line, "fate": "held", "why": row.why[:LONG], "offers": row.offers or None}


def _balance(tables: Sequence[TableRead], taken: int, held: int) -> str:
    """The sentence that accounts for every line of the tables; it must come out even."""
    lines = sum(each.table.lines for each in tables)
    sums = sum(len(each.table.totals) for each in tables)
    notes = sum(len(each.table.notes) + len(each.table.repeats) for each in tables)
    known = sum(len(each.rows) for each in tables) - taken - held
    if known < 0 or lines != taken + held + known + sums + notes:
        raise RuntimeError(f"{lines} lines are not {taken} + {held} + {known} + {sums} + {notes}")
    parts = [f"{taken:,} taken", f"{held:,} held"]
    parts += [f"{number:,} {words}" for number, words in (
        (known, "there already"), (sums, "sum" if sums == 1 else "sums"), (notes, "no rows"),
    ) if number]  # fmt: skip
    return f"{count(lines, 'line')} in: {', '.join(parts)}."


def _again_notes(tables: Sequence[TableRead], again: dict[int, AgainFound]) -> tuple[str, ...]:
    said = []
    for each in tables:
        found = again[id(each)]
        changed = [(row, old) for row in each.rows if (old := found.changed.get(id(row))) and old.fate == "taken"]
        seen = [row for row, old in changed if sheets_again.grafts_seen_later(each, row, old)]
        if found.file:
            said.append(f"{each.label} holds rows that came from {found.file} before.")
        if seen:
            said.append(
                f"{count(len(seen), 'row')} of {each.label} say what became of grafts made before: looks at them."
            )
        if len(changed) > len(seen):
            other = next((row, old) for row, old in changed if row not in seen)
            said.append(
                f"{count(len(changed) - len(seen), 'row')} of {each.label} say otherwise than when they were taken, and are "
                f"held; line {other[0].line}: {sheets_again.change_words(other[0].cells, other[1].cells)}."
            )
        if found.gone and (found.known or found.changed):
            said.append(
                f"{count(found.gone, 'row')} taken or held before are not in {each.label} now; they stay as they are."
            )
    return tuple(said)


def _held_notes(held: Sequence[SheetRowRead]) -> tuple[str, ...]:
    if not held:
        return ()
    return ("List what is held: graftbook held. Mend it: graftbook held mend NUMBERS --set 'HEADING=VALUE'.",)
