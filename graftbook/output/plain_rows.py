"""Result rows as plain values under their promised names, and as JSON or CSV text."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from dataclasses import fields
from datetime import date, datetime
from operator import attrgetter
from typing import Any

from graftbook.actions.desk.results import Recorded, Report
from graftbook.visible import in_json, inert, visible


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


def _values(report: Report) -> Iterator[tuple[Any, ...]]:
    """The values of each row, in the order of the names."""
    fetch = attrgetter(*(field.name for field in fields(report.row_type)))
    single = len(fields(report.row_type)) == 1
    return ((fetch(row),) if single else fetch(row) for row in report.rows)


def json_text(report: Report | Recorded) -> str:
    """One JSON document: rows, a row a line, notes, and the facts of the whole; of something recorded a row a code."""
    if isinstance(report, Recorded):
        return _recorded_json(report)
    lines = ",\n  ".join(_row_lines(report))
    held = f"[\n  {lines}\n ]" if report.rows else "[]"
    rest = {"notes": [*report.notes, *report.cautions], **report.facts}
    parts = (f' "rows": {held}', *(f" {_json(key)}: {_json(value)}" for key, value in rest.items()))
    return in_json("{\n" + ",\n".join(parts) + "\n}\n")


def _recorded_json(recorded: Recorded) -> str:
    document = {
        "rows": [{"code": code} for code in recorded.codes],
        "notes": [*recorded.notes, *recorded.cautions],
        "recorded": recorded.line,
        "entry": recorded.entry_id,
    }
    return in_json(json.dumps(document, ensure_ascii=False, indent=1) + "\n")


def _row_lines(report: Report) -> Iterator[str]:
    """Each row as one JSON object: column by column, since most columns say the same few things over and over."""
    if not report.rows:
        return iter(())
    columns = zip(*_values(report), strict=True)
    starts = ("{", *[", "] * (len(names(report)) - 1))
    cells = [
        _cells(f"{start}{_json(name)}: ", column)
        for start, name, column in zip(starts, names(report), columns, strict=True)
    ]
    return (f"{''.join(row)}}}" for row in zip(*cells, strict=True))


def _cells(head: str, column: tuple[Any, ...]) -> list[str]:
    """The values of one column as JSON, each after the column's name; words and days are put into JSON once."""
    if not {type(value) for value in column} <= _REPEATED:
        return [head + _json(value) for value in column]
    once = {value: head + _json(value) for value in set(column)}
    return [once[value] for value in column]


_REPEATED = frozenset({str, int, date, type(None)})


_ENCODER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, default=plain)


def _json(value: Any) -> str:
    return _ENCODER.encode(value)


def csv_text(report: Report | Recorded) -> str:
    """CSV with a header line and LF line ends; lists inside a cell are joined by a semicolon. Notes and facts stay out,
    and no cell is one that steers a terminal or that a spreadsheet would run.

    Of something recorded it is the codes, one a line under the header `code`.
    """
    if isinstance(report, Recorded):
        return "".join(f"{line}\n" for line in ("code", *report.codes))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(names(report))
    for values in _values(report):
        writer.writerow(map(_csv_cell, values))
    return out.getvalue()


def _csv_cell(value: Any) -> Any:
    held = plain(value)
    text = "; ".join(map(str, held)) if isinstance(held, list) else held
    return inert(visible(text)) if isinstance(text, str) else text
