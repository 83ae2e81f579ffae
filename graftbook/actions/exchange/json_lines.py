"""The whole book as JSON Lines, for other programs: one object a line, in UTF-8, each row of the book once.

An object has `kind` (the name of the CSV file that the row would stand in), `uid` (None for settings and counts) and
`fields`: the headers of that file with their values, dates as ISO 8601 text, lengths and temperatures as numbers in mm and
C, lists as lists, and null for what is not known. The form is that of jsonlines.org.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import IO, Any

from graftbook.actions.desk.desk import Desk, Progress
from graftbook.actions.desk.file_out import may_go, write_file
from graftbook.actions.desk.results import Report
from graftbook.actions.exchange.csv_shapes import SHAPES, Shape
from graftbook.actions.exchange.exported_rows import ThingRow, not_twice, rows_of, said
from graftbook.book import bulk
from graftbook.visible import in_json

_OURS = b'{"kind": "settings", "uid": null, "fields": {"setting": "name"'


def export_lines(desk: Desk, file: Path, force: bool, progress: Progress | None, contacts: bool) -> Report:
    """Write every row of the book into one file; how to reach people only with `contacts`.

    Raises Refused where there is such a file (unless `force`), CannotWrite for one that is none of these or a disk that
    says no.
    """
    may_go(file, (_OURS,))
    not_twice(file, force)
    counted: list[ThingRow] = []

    def fill(out: IO[bytes]) -> None:
        for shape, lines in _every(desk, contacts):
            written = 0
            for line in lines:
                out.write(line)
                written += 1
                if progress is not None and written % 5000 == 0:
                    progress(5000)
            counted.append(ThingRow(shape.name, shape.many, written))

    write_file(file, fill, (_OURS,))
    return said(desk, file, counted, ())


def _every(desk: Desk, contacts: bool) -> Iterator[tuple[Shape, Iterator[bytes]]]:
    with desk.book.read() as session:
        bulk.steady(session)
        for shape in SHAPES:
            yield shape, (_line(shape, row) for row in rows_of(session, desk, shape, contacts))


def _line(shape: Shape, row: Any) -> bytes:
    fields = dict(zip(shape.headers, row, strict=True))
    uid = fields.pop("uid", None)
    text = json.dumps({"kind": shape.name, "uid": uid, "fields": fields}, ensure_ascii=False, default=_plain)
    return (in_json(text) + "\n").encode()


def _plain(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no place in JSON")
