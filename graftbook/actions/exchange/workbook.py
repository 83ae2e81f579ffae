"""The whole book as one workbook for a spreadsheet: a sheet a thing, the columns of its CSV file, written row by row.

Days are days and numbers are numbers; everything else is text, made inert by the rule that the CSV files keep, and typed as
text besides, so that no spreadsheet takes it for a formula, even when the sheet is saved as CSV and opened again. Signs
that XML cannot hold are shown by their numbers. Things of which the book has none get no sheet.

Limits of a workbook: 1,048,576 rows a sheet and 32,767 signs a cell (ISO/IEC 29500 leaves both to programs; these are the
limits that spreadsheets document, from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from pathlib import Path
from typing import IO, Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

from graftbook.actions.desk.desk import Desk, Progress
from graftbook.actions.desk.file_out import may_go, write_file
from graftbook.actions.desk.results import Report, count
from graftbook.actions.exchange.csv_cells import text_of
from graftbook.actions.exchange.csv_shapes import SHAPES, Column, Shape
from graftbook.actions.exchange.exported_rows import ThingRow, not_twice, rows_of, said
from graftbook.book import bulk
from graftbook.visible import inert, visible

MOST_ROWS = 1_048_576
MOST_SIGNS = 32_767
_WIDTHS = {"day": 12, "later day": 12, "length": 12, "whole": 10, "flag": 8, "uid": 14, "long": 40, "code": 9}


def export_workbook(desk: Desk, file: Path, force: bool, progress: Progress | None, contacts: bool) -> Report:
    """Write every row of the book into one XLSX file; how to reach people only with `contacts`.

    Raises Refused where there is such a file (unless `force`), CannotWrite for one that was not written by this or was
    changed since, and for a disk that says no.
    """
    may_go(file)
    not_twice(file, force)
    filling = _Filling(progress)

    def fill(out: IO[bytes]) -> None:
        with desk.book.read() as session:
            bulk.steady(session)
            for shape in SHAPES:
                filling.add(shape, rows_of(session, desk, shape, contacts))
        filling.save(out)

    write_file(file, fill)
    cut = f"{count(filling.cut, 'text')} longer than a cell can be ends in …; the CSV files have it whole."
    return said(desk, file, filling.counted, (cut,) if filling.cut else ())


@dataclass
class _Filling:
    """A workbook on its way to the disk, and what went into it."""

    progress: Progress | None
    counted: list[ThingRow] = field(default_factory=list)
    cut: int = 0

    def __post_init__(self) -> None:
        from openpyxl import Workbook
        from openpyxl.cell import WriteOnlyCell
        from openpyxl.styles import Font

        self._made, self._cell, self._bold = Workbook(write_only=True), WriteOnlyCell, Font(bold=True)
        self._made.properties.creator = "Graftbook"

    def add(self, shape: Shape, rows: Iterable[Sequence[Any]]) -> None:
        """A sheet for a thing, and as many more as its rows need; none where it has no rows."""
        written, sheet, on_sheet = 0, None, 0
        for row in rows:
            if sheet is None or on_sheet == MOST_ROWS:
                sheet = self._sheet(shape, "" if sheet is None else f" {written // (MOST_ROWS - 1) + 1}")
                on_sheet = 1
            sheet.append(list(self._cells(sheet, row)))
            written, on_sheet = written + 1, on_sheet + 1
            if self.progress is not None and written % 1000 == 0:
                self.progress(1000)
        self.counted.append(ThingRow(shape.name, shape.many, written))

    def _sheet(self, shape: Shape, more: str) -> Any:
        from openpyxl.utils import get_column_letter

        sheet: Any = self._made.create_sheet(f"{shape.name}{more}")
        sheet.freeze_panes = "B2"
        sheet.auto_filter.ref = f"A1:{get_column_letter(len(shape.columns))}{MOST_ROWS}"
        for number, column in enumerate(shape.columns, 1):
            sheet.column_dimensions[get_column_letter(number)].width = _width(column)
        heads = [self._cell(sheet, column.header) for column in shape.columns]
        for head in heads:
            head.font = self._bold
        sheet.append(heads)
        return sheet

    def _cells(self, sheet: Any, row: Sequence[Any]) -> Iterator[Any]:
        for value in row:
            if value is None or (isinstance(value, int | float) and not isinstance(value, bool)):
                yield value
                continue
            if isinstance(value, date):
                cell = self._cell(sheet, datetime.combine(value, time()))
                cell.number_format = "yyyy-mm-dd"
            else:
                cell = self._cell(sheet, self._short(inert(visible(text_of(value)))))
                cell.data_type = "s"
            yield cell

    def _short(self, text: str) -> str:
        if len(text) <= MOST_SIGNS:
            return text
        self.cut += 1
        return text[: MOST_SIGNS - 1] + "…"

    def save(self, out: IO[bytes]) -> None:
        """Put the workbook into an open file."""
        from openpyxl.writer.excel import ExcelWriter

        ExcelWriter(self._made, _Marked(out, "w", ZIP_DEFLATED, allowZip64=True)).save()


class _Marked(ZipFile):
    """A ZIP archive whose part on who made it is stored as it is, so that the file can be known as one of ours until a
    spreadsheet has saved it anew."""

    def writestr(self, zinfo_or_arcname: Any, data: Any, *more: Any, **named: Any) -> None:
        """The part put in, that of its maker without compression."""
        if zinfo_or_arcname == "docProps/core.xml":
            more, named = (ZIP_STORED,), {}
        super().writestr(zinfo_or_arcname, data, *more, **named)


def _width(column: Column) -> int:
    return max(_WIDTHS.get(column.kind, 16), len(column.header) + 3)
