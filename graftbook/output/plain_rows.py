"""Result rows as plain values under their promised names, and as JSON or CSV text."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import fields
from datetime import date, datetime
from typing import Any

from graftbook.actions.results import Recorded, Report


def names(report: Report) -> tuple[str, ...]:
    """The promised names of a report's rows, in order; a name that Python keeps for itself is written `from_` in code."""
    return tuple(field.name.rstrip("_") for field in fields(report.row_type))


def plain(value: Any) -> Any:
    """A value as JSON can hold it: dates as ISO text, tuples as lists, floats that are whole as they are."""
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [plain(part) for part in value]
    return value


def rows(report: Report) -> list[dict[str, Any]]:
    """A report's rows as flat dictionaries."""
    keys = [(name, field.name) for name, field in zip(names(report), fields(report.row_type), strict=True)]
    return [{name: plain(getattr(row, held)) for name, held in keys} for row in report.rows]


def json_text(report: Report) -> str:
    """One JSON document: rows, notes, and the facts of the whole."""
    document = {
        "rows": rows(report),
        "notes": [*report.notes, *report.cautions],
        **{key: plain(value) for key, value in report.facts.items()},
    }
    return json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def csv_text(report: Report) -> str:
    """CSV with a header line and LF line ends; lists inside a cell are joined by a semicolon. Notes and facts stay out."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(names(report))
    for row in rows(report):
        writer.writerow(["; ".join(map(str, cell)) if isinstance(cell, list) else cell for cell in row.values()])
    return out.getvalue()


def recorded_json(recorded: Recorded) -> str:
    """One JSON document for something recorded: a row a code, the line, the entry."""
    document = {
        "rows": [{"code": code} for code in recorded.codes],
        "notes": [*recorded.notes, *recorded.cautions],
        "recorded": recorded.line,
        "entry": recorded.entry_id,
    }
    return json.dumps(document, ensure_ascii=False, indent=1) + "\n"


def recorded_csv(recorded: Recorded) -> str:
    """The codes recorded, one a line under the header `code`."""
    return "".join(f"{line}\n" for line in ("code", *recorded.codes))
