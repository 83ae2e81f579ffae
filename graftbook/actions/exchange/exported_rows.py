"""Every row of the book as it is written out, whatever the form: the columns of its shape, in a fixed order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, count
from graftbook.actions.exchange.csv_shapes import OWN_ROWS, PEOPLE, SETTINGS, SHEET_ROWS, Shape
from graftbook.book import bulk
from graftbook.errors import Refused
from graftbook.sheets.contact_cells import cells_without, text_without


@dataclass(frozen=True)
class ThingRow:
    """One kind of thing written into a file that holds them all: its name there, what it is, and how many."""

    kind: str
    holds: str
    rows: int
    shown: ClassVar = ("kind", "holds", "rows")


def rows_of(session: Session, desk: Desk, shape: Shape, contacts: bool) -> Iterable[Sequence[Any]]:
    """The rows of a shape, the values under its headers; how to reach people only with `contacts`, else None."""
    if shape is SETTINGS:
        return [(field.name, getattr(desk.settings, field.name)) for field in fields(desk.settings)]
    if shape.table is None:
        return list(bulk.counters(session).items())
    rows = bulk.every(session, shape.table, [column.field for column in shape.columns])
    if shape is PEOPLE and not contacts:
        at = shape.headers.index("contact")
        return [(*row[:at], None, *row[at + 1 :]) for row in rows]
    if shape is SHEET_ROWS and not contacts:
        return (_sheet_row_without_contacts(shape, row) for row in rows)
    return sorted(rows, key=lambda row: row[0]) if shape is OWN_ROWS else rows


_REACHED: dict[str, Callable[[Any], Any]] = {
    "cells": cells_without, "mends": cells_without, "offers": cells_without, "why": text_without,
}  # fmt: skip


def _sheet_row_without_contacts(shape: Shape, row: Sequence[Any]) -> tuple[Any, ...]:
    return tuple(
        _REACHED[header](value) if header in _REACHED else value
        for header, value in zip(shape.headers, row, strict=True)
    )


def not_twice(file: Path, force: bool) -> None:
    """Raise Refused where there is something at the place of an export already, unless `force`."""
    if not force and file.exists() and file.stat().st_size:
        raise Refused(f"there is a file {file} already", "", "Name another file, or write over it with --force")


def said(desk: Desk, file: Path, rows: Sequence[ThingRow], notes: Sequence[str]) -> Report:
    """What was written into one file."""
    title = f"Wrote {count(sum(row.rows for row in rows), 'row')} to {file}"
    return Report(ThingRow, tuple(rows), tuple(notes), {"as_of": desk.today, "file": str(file)}, title=title)
