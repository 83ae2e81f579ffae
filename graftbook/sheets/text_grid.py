"""Text files from any spreadsheet as a grid: UTF-8, UTF-16 or Windows-1252, parted by commas, semicolons, tabs or bars."""

from __future__ import annotations

import csv
import io
from collections import Counter

from graftbook.errors import UsageProblem
from graftbook.sheets.grid import MOST_LINES, MOST_PLACES, Cells, SheetGrid, tidy

_DELIMITERS = ",;\t|"
_MOST_TRIED = 60
_LARGEST_CELL = 1_000_000


def read_text(data: bytes, encoding: str | None = None) -> SheetGrid:
    """The grid of a text file; `encoding` None: seen from its bytes. Raises UsageProblem for what is no such text."""
    text, said = _decoded(data, encoding)
    if "\0" in text:
        raise UsageProblem("a text file", "one with NUL signs in it: it is damaged, or no text")
    records = _records(text, delimiter(text))
    lines = []
    for number, record in records:
        cells = tuple(tidy(cell) for cell in record[:MOST_PLACES])
        if any(cell is not None for cell in cells):
            lines.append((number, cells))
        if len(lines) > MOST_LINES:
            raise UsageProblem(f"at most {MOST_LINES:,} lines", "more", "Is this the right file?")
    return SheetGrid("", tuple(lines), encoding=said)


def _decoded(data: bytes, encoding: str | None) -> tuple[str, str]:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace"), "UTF-16"
    head = data[:4000]
    if len(head) > 3 and head[1::2].count(0) > 0.4 * len(head[1::2]):
        return data.decode("utf-16-le", "replace"), "UTF-16"
    if len(head) > 3 and head[::2].count(0) > 0.4 * len(head[::2]):
        return data.decode("utf-16-be", "replace"), "UTF-16"
    tried = ("utf-8-sig", "cp1252") if encoding in (None, "utf-8") else (encoding,)
    for name in tried:
        try:
            return data.decode(name), {"utf-8-sig": "UTF-8", "cp1252": "Windows-1252"}.get(name, name)
        except UnicodeDecodeError:
            continue
    raise UsageProblem("text in UTF-8, UTF-16 or Windows-1252", "bytes that are none of them", "Save it as 'CSV UTF-8'")


def delimiter(text: str) -> str:
    """The sign that parts most lines into the same number of cells."""
    best, most = ",", 0.0
    head = "\n".join(text.splitlines()[: 2 * _MOST_TRIED])
    for sign in _DELIMITERS:
        widths = Counter(len(record) for _line, record in _records(head, sign) if len(record) > 1)
        total = sum(widths.values())
        if total:
            width, times = max(widths.items(), key=lambda each: (each[1], each[0]))
            score = times * min(width, 30) * (times / total)
            if score > most:
                best, most = sign, score
    return best


def _records(text: str, sign: str) -> list[tuple[int, list[str]]]:
    csv.field_size_limit(_LARGEST_CELL)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign, skipinitialspace=True)
    found = []
    start = 1
    try:
        for record in reader:
            found.append((start, record))
            start = reader.line_num + 1
    except csv.Error as error:
        raise UsageProblem("cells of less than a million signs", f"{error} on line {start}") from error
    return found


def same_width(cells: Cells, width: int) -> Cells:
    """A row made as wide as the table."""
    return cells[:width] if len(cells) >= width else (*cells, *(None,) * (width - len(cells)))
