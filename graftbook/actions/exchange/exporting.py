"""The whole book as CSV files, one a thing, from which the same book can be made again.

UTF-8, a comma between cells, a line feed after each line, sorted by code and then by day: two exports of one book are
the same byte for byte. The files are written beside the folder first and moved into it when all are whole.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import folder_beside, may_go
from graftbook.actions.desk.results import Report, count
from graftbook.actions.exchange.csv_cells import line_of
from graftbook.actions.exchange.csv_shapes import SHAPES, Shape
from graftbook.actions.exchange.exported_rows import rows_of
from graftbook.book import bulk
from graftbook.errors import CannotWrite, Refused, UsageProblem


@dataclass(frozen=True)
class FileRow:
    """One file written, and the rows in it (the line of headers not counted)."""

    file: str
    holds: str
    rows: int
    shown: ClassVar = ("file", "holds", "rows")


def export(desk: Desk, folder: Path, force: bool = False, progress: Any = None, contacts: bool = False) -> Report:
    """Write the book into a folder, which is made if need be; how to reach people only with `contacts`.

    Raises Refused where the folder holds such files already (unless `force`), UsageProblem where it is no folder,
    CannotWrite where such a file is none of an export or the disk says no; then nothing is left behind.
    """
    _check(folder, force)
    with folder_beside(folder) as made:
        rows = tuple(_write_all(desk, made, progress, contacts))
        _move(made, folder)
    note = f"Take them into an empty book with: graftbook --book NEW start, then graftbook --book NEW import {folder}."
    title = f"Wrote {count(len(rows), 'file')} with {count(sum(row.rows for row in rows), 'row')} to {folder}"
    return Report(FileRow, rows, (note,), {"as_of": desk.today, "folder": str(folder)}, title=title)


def _check(folder: Path, force: bool) -> None:
    if folder.exists() and not folder.is_dir():
        raise UsageProblem("a folder to write to", f"the file {folder}", "Name a folder")
    if not folder.absolute().parent.is_dir():
        raise CannotWrite(
            f"there is no folder {folder.absolute().parent} to make {folder.name} in", "", "Make it first"
        )
    there = [f"{shape.name}.csv" for shape in SHAPES if (folder / f"{shape.name}.csv").exists()]
    if there and not force:
        found = f"{folder} holds files of a book already: {', '.join(there)}"
        raise Refused(found, "", "Name another folder, or write over them with --force")
    for shape in SHAPES:
        may_go(folder / f"{shape.name}.csv", over=(_beginning(shape),))


def _beginning(shape: Shape) -> bytes:
    """How every file of this shape that was ever exported begins: columns came to it after the uid only."""
    headers = shape.headers
    kept = headers[: headers.index("uid") + 1] if "uid" in headers else headers
    return ",".join(kept).encode("utf-8")


def _write_all(desk: Desk, folder: Path, progress: Any, contacts: bool) -> Iterator[FileRow]:
    with desk.book.read() as session:
        bulk.steady(session)
        for shape in SHAPES:
            path = folder / f"{shape.name}.csv"
            with path.open("w", encoding="utf-8", newline="") as file:
                written = _write(file, shape, rows_of(session, desk, shape, contacts), progress)
                file.flush()
                os.fsync(file.fileno())
            yield FileRow(path.name, shape.many, written)


def _write(file: Any, shape: Shape, rows: Iterable[Sequence[Any]], progress: Any) -> int:
    file.write(line_of(shape.headers))
    written = 0
    for row in rows:
        file.write(line_of(row))
        written += 1
        if progress is not None and written % 5000 == 0:
            progress(5000)
    return written


def _move(made: Path, folder: Path) -> None:
    """Put the finished files where they belong: a folder of its own at once, otherwise file by file."""
    if not folder.exists():
        made.chmod(0o755)
        made.rename(folder)
        return
    for shape in SHAPES:
        os.replace(made / f"{shape.name}.csv", folder / f"{shape.name}.csv")
