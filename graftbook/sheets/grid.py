"""A sheet as cells: what a spreadsheet or a text file holds, before anything is made of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

CellValue = str | int | float | bool | date | datetime | None
"""What a cell holds; None where it is empty. Days are days, whatever the sheet shows them as."""

Cells = tuple[CellValue, ...]

BLANKS = " \t\r\n\xa0\ufeff\u2009\u200b"

MOST_LINES, MOST_PLACES = 200_000, 200
"""The most lines and columns of a sheet that are read."""


@dataclass(frozen=True)
class SheetGrid:
    """One sheet. `lines` are its rows with their numbers from 1, empty ones left out; `name` is '' for a text file, which has
    but one. `epoch` is the year from which numbers of days are counted, 1900 or 1904; `encoding` that of a text file."""

    name: str
    lines: tuple[tuple[int, Cells], ...]
    epoch: int = 1900
    encoding: str = ""


def tidy(value: object) -> CellValue:
    """A value as a cell holds it: outer blanks gone, midnight gone from days, nothing where nothing is left."""
    if value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, datetime):
        return value.date() if value.time() == time() else value
    if isinstance(value, float):
        return int(value) if value.is_integer() and abs(value) < 1e15 else value
    if isinstance(value, date):
        return value
    if isinstance(value, time | timedelta):
        return str(value)
    return str(value).strip(BLANKS) or None


def written(value: CellValue) -> str:
    """The text of a cell, as it is kept and shown: days as ISO, yes and no, numbers without needless zeros."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, datetime):
        return value.isoformat(" ", "minutes")
    return value.isoformat() if isinstance(value, date) else str(value)


def filled(cells: Cells) -> list[int]:
    """The places of the cells that hold something."""
    return [place for place, cell in enumerate(cells) if cell is not None]
