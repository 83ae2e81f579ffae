"""Workbooks as grids: XLSX, XLS and ODS, each sheet by its name, cells that were merged downwards filled downwards."""

from __future__ import annotations

import io
import re
import zipfile
from typing import Any

from graftbook.errors import UsageProblem
from graftbook.sheets.grid import MOST_LINES, MOST_PLACES, SheetGrid, tidy

ENDINGS = (".xlsx", ".xlsm", ".xls", ".ods")
_MOST_UNPACKED = 400_000_000
_EPOCH = re.compile(rb"<(?:\w+:)?workbookPr[^>]*\bdate1904\s*=\s*[\"'](?:1|true|on)[\"']")


def read_workbook(data: bytes) -> tuple[SheetGrid, ...]:
    """Every sheet that is shown and holds something. Raises UsageProblem for what is no workbook, is locked or damaged."""
    import python_calamine as calamine

    epoch = _epoch(data)
    try:
        book = calamine.CalamineWorkbook.from_filelike(io.BytesIO(data))
        shown = calamine.SheetVisibleEnum.Visible
        names = [sheet.name for sheet in book.sheets_metadata if sheet.visible == shown]
        grids = [_grid(book.get_sheet_by_name(name), name, epoch) for name in names]
    except calamine.PasswordError as error:
        raise UsageProblem("a workbook without a password", "one that is locked", "Save a copy without one") from error
    except (calamine.CalamineError, OSError, ValueError) as error:
        raise UsageProblem("a workbook (XLSX, XLS or ODS)", f"what cannot be read as one: {error}") from error
    return tuple(grid for grid in grids if grid.lines)


def _epoch(data: bytes) -> int:
    """The year days are counted from, as the workbook states it; and a workbook that would unpack to too much is refused."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            size = sum(part.file_size for part in packed.infolist())
            if size > _MOST_UNPACKED:
                raise UsageProblem(
                    f"a workbook of at most {_MOST_UNPACKED // 10**6} MB", f"{size // 10**6:,} MB unpacked"
                )
            if "xl/workbook.xml" in packed.namelist():
                return 1904 if _EPOCH.search(packed.read("xl/workbook.xml")) else 1900
    except zipfile.BadZipFile:
        pass
    return 1900


def _grid(sheet: Any, name: str, epoch: int) -> SheetGrid:
    if sheet.total_height > MOST_LINES:
        raise UsageProblem(f"a sheet of at most {MOST_LINES:,} lines", f"{sheet.total_height:,} in {name}")
    rows = [[tidy(cell) for cell in row[:MOST_PLACES]] for row in sheet.to_python(skip_empty_area=False)]
    for (top, left), (bottom, _right) in sheet.merged_cell_ranges or ():
        for line in range(top + 1, min(bottom + 1, len(rows))):
            if left < len(rows[line]):
                rows[line][left] = rows[top][left]
    lines = ((number, tuple(row)) for number, row in enumerate(rows, start=1))
    return SheetGrid(
        name, tuple((number, row) for number, row in lines if any(cell is not None for cell in row)), epoch
    )
