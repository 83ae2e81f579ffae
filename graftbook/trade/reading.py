"""The data files as they lie on disk: lines with their line numbers, before anything is made of them."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).parent / "data"


@dataclass(frozen=True)
class Lines:
    """A file's header and its rows, each with the line it starts on (the header is line 1)."""

    file: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]


def read_lines(name: str, folder: Path = FOLDER) -> Lines:
    """One table's file, UTF-8, commas; a missing file comes back with an empty header and no rows."""
    path = folder / f"{name}.csv"
    if not path.exists():
        return Lines(path.name, (), ())
    with path.open(encoding="utf-8", newline="") as stream:
        reader = csv.reader(stream)
        header = tuple(next(reader, ()))
        rows = tuple((reader.line_num, tuple(row)) for row in reader)
    return Lines(path.name, header, rows)
