"""Rows of growers' sheets as the book keeps them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from sqlalchemy import select
from sqlmodel import Session

from graftbook.book.asking import rows, things_with
from graftbook.book.sheets_kept import SheetLine, SheetRead


class KeptRow(NamedTuple):
    """One row of a sheet with the file it stood in."""

    number: int
    line: int
    fate: str
    why: str | None
    made: str | None
    was: int | None
    cells: Mapping[str, str]
    mends: Mapping[str, str] | None
    offers: Mapping[str, str] | None
    file: str
    sheet: str | None
    reading: Mapping[str, str]
    sheet_number: int


def rows_kept(session: Session, fate: str | None = None, numbers: Iterable[int] | None = None) -> list[KeptRow]:
    """Every row kept, in the order of their numbers; with a fate only those, with numbers only these."""
    query = select(
        SheetLine.number, SheetLine.line, SheetLine.fate, SheetLine.why, SheetLine.made, SheetLine.was, SheetLine.cells,
        SheetLine.mends, SheetLine.offers, SheetRead.file, SheetRead.sheet, SheetRead.reading,
        SheetRead.number.label("sheet_number"),
    ).join(SheetRead, SheetLine.sheet_read_id == SheetRead.id)  # fmt: skip
    if fate is not None:
        query = query.where(SheetLine.fate == fate)
    found: list[Any] = rows(session, query.order_by(SheetLine.number), SheetLine.number, numbers)
    return sorted((KeptRow(*row) for row in found), key=lambda row: row.number)


def kept_by_number(session: Session, numbers: Iterable[int]) -> dict[int, SheetLine]:
    """The rows of these numbers, by number."""
    return {row.number: row for row in things_with(session, SheetLine, SheetLine.number, numbers)}
