"""CSV files of people's own making, read whole: which thing each holds, its rows, and everything wrong with it.

A file may come from any spreadsheet: with a byte order mark, commas, semicolons or tabs, line breaks inside quotes, any
line ending, blank lines, headers in any case and order. Nothing is guessed in silence: an encoding that does not fit,
a column nobody knows, a row that is too short are problems, each with its place.
"""

from __future__ import annotations

import csv
import difflib
import hashlib
import io
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from graftbook.actions.exchange.csv_cells import BLANKS, Bad, Reader
from graftbook.actions.exchange.csv_shapes import SHAPES, Column, Shape, named
from graftbook.errors import Problem, UsageProblem

ENCODINGS = ("utf-8", "cp1252")
MOST_COLUMNS, LARGEST_CELL = 200, 1_000_000
"""The most columns of a file, and the most signs of a cell: far beyond any file of ours, and soon told."""

_UTF16 = (b"\xff\xfe", b"\xfe\xff")

Line = tuple[int, dict[str, Any]]
"""A row as read: its line in the file, and its values by the book's own names, empty cells left out."""


@dataclass
class CsvSheet:
    """One file as read. `shape` is None where nobody could tell what it holds; `places` are columns by header, from 1;
    `broken` are the codes of rows with problems, so that other rows may still speak of them; `mark` is a fingerprint of
    the file, and `bare` says that some plant, bundle or graft in it brings neither code nor uid of its own."""

    file: str
    shape: Shape | None = None
    places: dict[str, int] = field(default_factory=dict)
    rows: list[Line] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)
    mark: str = ""
    bare: bool = False

    def object_to(self, line: int, header: str, found: Any, accepted: str) -> None:
        """Note a problem with one cell, or with a whole line where `header` is ''."""
        shown = found if isinstance(found, str) else str(found)
        self.problems.append(Problem(self.file, line, self.places.get(header, 0), header, _short(shown), accepted))


def _short(text: str) -> str:
    return text if len(text) <= 120 else f"{text[:117]}..."


@dataclass(frozen=True)
class SheetColumns:
    """How the cells of a row become values: place, column and reading of each known header, and the values of headers
    that the file lacks."""

    cells: tuple[tuple[int, Column, Callable[[str], Any]], ...]
    width: int
    given: dict[str, Any]


def read_sheet(path: Path, reader: Reader, kind: Shape | None = None, encoding: str = "utf-8") -> CsvSheet:
    """One file, read and converted; its problems are in the sheet. Raises OSError where it cannot be read."""
    data = path.read_bytes()
    sheet = CsvSheet(str(path), mark=hashlib.sha256(data).hexdigest()[:10])
    text = _decoded(sheet, data, encoding)
    if text is None:
        return sheet
    records = _records(sheet, text)
    header = next(records, None)
    if header is not None and len(header[1]) > MOST_COLUMNS:
        sheet.object_to(
            header[0], "", f"{len(header[1]):,} columns", f"at most {MOST_COLUMNS}; is this the right file?"
        )
        return sheet
    if header is None:
        if not sheet.problems:
            sheet.object_to(0, "", "an empty file", "a line of headers, then rows")
        return sheet
    plan = _plan(sheet, header, reader, kind, path.stem)
    if plan is not None:
        _fill(sheet, records, plan)
    if sheet.shape is not None and sheet.shape.letter:
        sheet.bare = any("code" not in values and "uid" not in values for _line, values in sheet.rows)
    return sheet


def _decoded(sheet: CsvSheet, data: bytes, encoding: str) -> str | None:
    if data[:2] in _UTF16:
        sheet.object_to(1, "", "UTF-16 text", "UTF-8: save it as 'CSV UTF-8'")
        return None
    try:
        text = data.decode("utf-8-sig" if encoding == "utf-8" else encoding)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        byte = error.start - (data.rfind(b"\n", 0, error.start) + 1) + 1
        way = " (or, if an old Windows program wrote it, import with --encoding cp1252)" if encoding == "utf-8" else ""
        found = f"byte 0x{data[error.start]:02X} at place {byte} of the line"
        sheet.object_to(line, "", found, f"{encoding.upper()} text{way}")
        return None
    if "\0" in text:
        sheet.object_to(text.count("\n", 0, text.index("\0")) + 1, "", "a NUL sign", "a text file; this one is damaged")
        return None
    return text


def _records(sheet: CsvSheet, text: str) -> Iterator[tuple[int, list[str]]]:
    """Every record that is not blank, with the line it begins on; a broken quote ends the file with a problem."""
    csv.field_size_limit(LARGEST_CELL)
    stream = io.StringIO(text, newline="")
    lines = csv.reader(stream, delimiter=delimiter_of(text), strict=True, skipinitialspace=True)
    while True:
        start = lines.line_num + 1
        try:
            record = next(lines)
        except StopIteration:
            return
        except csv.Error as error:
            _broken_quote(sheet, start, str(error))
            return
        if any(cell and not cell.isspace() for cell in record):
            yield start, record


def _broken_quote(sheet: CsvSheet, line: int, reason: str) -> None:
    if "limit" in reason:
        accepted = f"cells of at most {LARGEST_CELL:,} signs; a quote may be opened here and never closed"
        sheet.object_to(line, "", "a cell that is too large", accepted)
    elif "end of data" in reason:
        accepted = "a closing quote; the file may have been cut short"
        sheet.object_to(line, "", "a quote that is opened here and never closed", accepted)
    else:
        accepted = 'cells in whole quotes, a quote inside written twice: "5 ""x"" 3"'
        sheet.object_to(line, "", f"a quote inside a cell ({reason})", accepted)


def delimiter_of(text: str) -> str:
    """Comma, semicolon or tab: whichever parts the first line that is not blank; quoted stretches do not count."""
    first = next((line for line in re.split(r"[\r\n]+", text[:100_000]) if line.strip()), "")
    bare = re.sub(r'"[^"]*"', "", first)
    return max(",;\t", key=lambda sign: (bare.count(sign), sign == ","))


def _plan(
    sheet: CsvSheet, header: tuple[int, list[str]], reader: Reader, kind: Shape | None, stem: str
) -> SheetColumns | None:
    line, cells = header
    names = [re.sub(r"[\s-]+", "_", cell.strip(BLANKS).casefold()) for cell in cells]
    shape = kind if kind is not None else shape_of(names, stem)
    if shape is None:
        sheet.object_to(line, "", f"the headers {', '.join(names)}", f"those of one of {', '.join(s.name for s in SHAPES)}; "
                        "name the file after one of these, or say --kind")  # fmt: skip
        return None
    sheet.shape = shape
    known = {column.header: column for column in shape.columns}
    plan: list[tuple[int, Column, Callable[[str], Any]]] = []
    for place, name in enumerate(names, start=1):
        if name in sheet.places:
            sheet.object_to(line, name, f"the header {name} twice", "each header once")
        elif name in known:
            sheet.places[name] = place
            plan.append((place - 1, known[name], reader.remembered(known[name])))
        elif name:
            _unknown(sheet, line, place, name, shape)
    days = (c for c in shape.columns if c.kind == "day" and c.need == "cell" and c.header not in sheet.places)
    given = {c.field: reader.default_on for c in days if reader.default_on is not None}
    missing = [c.header for c in shape.columns if c.need and c.header not in sheet.places and c.field not in given]
    for name in missing:
        sheet.object_to(line, name, f"no column {name}", f"a file of {shape.many} with {', '.join(shape.needed)}")
    return None if missing else SheetColumns(tuple(plan), len(names), given)


def _unknown(sheet: CsvSheet, line: int, place: int, name: str, shape: Shape) -> None:
    near = difflib.get_close_matches(name, shape.headers, 2, 0.6)
    hint = f"; did you mean {' or '.join(near)}?" if near else ""
    accepted = f"the columns of {shape.name}: {', '.join(shape.headers)}{hint}"
    sheet.problems.append(Problem(sheet.file, line, place, name, f"the unknown column {name}", accepted))


def shape_of(headers: Sequence[str], stem: str = "") -> Shape | None:
    """Which thing these headers speak of: the shape that needs no more than they give and knows most of them; failing
    that, the one the file is named after; else None."""
    held = set(headers)
    by_name = named(stem)
    whole = [shape for shape in SHAPES if held.issuperset(shape.needed)]
    if by_name is not None and (by_name in whole or not whole):
        return by_name
    ranked = sorted(((len(held.intersection(shape.headers)), shape.name) for shape in whole or SHAPES), reverse=True)
    if (len(ranked) > 1 and ranked[0][0] == ranked[1][0]) or ranked[0][0] < 2:
        return None
    return named(ranked[0][1])


def _fill(sheet: CsvSheet, records: Iterator[tuple[int, list[str]]], plan: SheetColumns) -> None:
    for line, record in records:
        if len(record) != plan.width and not _right_width(sheet, line, record, plan.width):
            _speak_for(sheet, record, plan)
            continue
        values = dict(plan.given)
        sound = True
        for place, column, read in plan.cells:
            value = read(record[place])
            if value is None:
                continue
            if type(value) is Bad:
                sheet.object_to(line, column.header, _found(record[place]), value.accepted)
                sound = False
            else:
                values[column.field] = value
        if sound:
            sheet.rows.append((line, values))
        elif isinstance(values.get("code"), str):
            sheet.broken.add(values["code"])


def _speak_for(sheet: CsvSheet, record: list[str], plan: SheetColumns) -> None:
    for place, column, read in plan.cells:
        if column.header == "code" and place < len(record) and isinstance(code := read(record[place]), str):
            sheet.broken.add(code)


def _found(text: str) -> str:
    return repr(text.strip(BLANKS)) if text.strip(BLANKS) else "an empty cell"


def _right_width(sheet: CsvSheet, line: int, record: list[str], width: int) -> bool:
    """Whether a row of another width can stand: one with nothing but empty cells over."""
    if len(record) > width and not any(cell.strip(BLANKS) for cell in record[width:]):
        return True
    few = len(record) < width
    sheet.object_to(
        line, "", f"{len(record)} cells where the headers name {width}",
        "as many cells as headers" + ("; the line may be cut short" if few else "; put a cell that holds the delimiter in quotes"),
    )  # fmt: skip
    return False


def check_encoding(encoding: str) -> str:
    """The encoding by its usual name. Raises UsageProblem for one that is not taken."""
    plain = encoding.strip().lower().replace("_", "-")
    known = {"utf-8": "utf-8", "utf8": "utf-8", "cp1252": "cp1252", "windows-1252": "cp1252", "latin1": "cp1252"}
    if plain not in known:
        raise UsageProblem(f"an encoding: {' or '.join(ENCODINGS)}", repr(encoding))
    return known[plain]
