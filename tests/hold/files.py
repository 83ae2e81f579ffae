"""Files that are not what they ought to be, made from a short table: what each is, and what an import must answer.

The table has a row for each kind of damage and for each column of the book's own files; from it come the files. Cells that a
spreadsheet or a terminal would run are those of the lists "CSV Injection" (Open Worldwide Application Security Project) and
"Terminal escape injection" of the same place, from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from graftbook.actions.exchange.csv_shapes import SHAPES, Column, Shape


class BadFile(NamedTuple):
    """A file, and what must be said of it: the exit code, and words of the message (empty for a file that is taken)."""

    name: str
    file: str
    content: bytes
    code: int
    said: str


GOOD = "code,kind,taxon,note\nP901,stock,apple,a note\nP902,stock,apple,\n"
FORMULAS = (
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(1)",
    "\t=1",
    "\r=1",
    "=cmd|' /C calc'!A0",
    '=HYPERLINK("http://tag.example","x")',
    "＝1",
    "'=1",
)
"""Cells that begin a formula."""
ESCAPES = (
    "\x1b[31m",
    "\x1b]0;title\x07",
    "\x9b2J",
    "\x1bP+q\x1b\\",
    "\x08\x08",
    "\x7f",
    "\u202egnp",
    "\u2066x",
    "\u200f",
    "a\x85b",
)
"""Words that steer a terminal or turn the order of signs."""

WHOLE: tuple[tuple[str, bytes, int, str], ...] = (
    ("nothing", b"", 3, "an empty file"), ("blank lines", b"\n\n\r\n", 3, "an empty file"),
    ("mark alone", b"\xef\xbb\xbf", 3, "an empty file"),
    ("utf-16", GOOD.encode("utf-16"), 3, "UTF-16"), ("utf-16 without mark", GOOD.encode("utf-16-le"), 3, "NUL"),
    ("utf-32", GOOD.encode("utf-32"), 3, "UTF-16"), ("latin", "code,kind,place\nP901,stock,Grø\n".encode("cp1252"), 3, "cp1252"),
    ("zip", b"PK\x03\x04\x14\x00\x06\x00" + bytes(60), 3, "NUL"), ("pdf", b"%PDF-1.6\n1 0 obj\n", 3, "no column kind"),
    ("png", b"\x89PNG\r\n\x1a\n" + bytes(20), 3, "byte 0x89"), ("sqlite", b"SQLite format 3\0" + bytes(100), 3, "NUL"),
    ("gzip", b"\x1f\x8b\x08\x00\x00\x00\x00\x00", 3, "byte 0x8B"), ("nul", b"code,kind\nP901,st\0ck\n", 3, "NUL"),
    ("html", b"<html><body>404</body></html>\n", 3, "no column kind"), ("json", b'{"rows": []}\n', 3, "no column kind"),
    ("half a letter", "code,kind,place\nP901,stock,Gr\u00f8".encode()[:-1], 3, "byte 0xC3"),
    ("surrogates", b"code,kind,place\nP901,stock,\xed\xa0\x80\n", 3, "byte 0xED"),
    ("overlong", b"code,kind\nP901,\xc0\xaf\n", 3, "byte 0xC0"),
    ("open quote", b'code,kind,note\nP901,stock,"never closed\nP902,stock,\n', 3, "never closed"),
    ("quote inside", b'code,kind,note\nP901,stock,"a "b" c"\n', 3, "a quote inside a cell"),
    ("short row", b"code,kind,note\nP901,stock\n", 3, "cut short"), ("long row", b"code,kind\nP901,stock,x\n", 3, "3 cells"),
    ("header twice", b"code,kind,kind\nP901,stock,stock\n", 3, "twice"),
    ("unknown header", b"code,kind,klone\nP901,stock,x\n", 3, "clone"),
    ("headers alone", b"code,kind\n", 0, ""), ("no headers", b"P901,stock\nP902,stock\n", 3, "no column kind"),
    ("row twice", b"code,kind\nP901,stock\nP901,stock\n", 3, "earlier line"), ("code held", b"code,kind\nP3,tree\n", 3, "P3"),
    ("many columns", ",".join(f"x{n}" for n in range(5_000)).encode() + b"\n", 3, "5,000 columns"),
    ("huge cell", b"code,kind,note\nP901,stock," + b"x" * 1_000_001 + b"\n", 3, "too large"),
    ("long note", b"code,kind,note\nP901,stock," + b"x" * 4_001 + b"\n", 3, "at most 4,000 signs"),
    ("deep json", b"table,fields\nmethods," + b'"' + b"[" * 5_000 + b'"\n', 3, "as JSON"),
    ("semicolons", GOOD.replace(",", ";").encode(), 0, ""),
    ("tabs", GOOD.replace(",", "\t").encode(), 0, ""), ("carriage returns", GOOD.replace("\n", "\r").encode(), 0, ""),
    ("windows", b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode(), 0, ""),
    ("upper case", GOOD.replace("code,kind", "CODE, Kind ").encode(), 0, ""),
    ("blank lines between", GOOD.replace("\n", "\n\n\n").encode(), 0, ""),
    ("no last line end", GOOD.rstrip("\n").encode(), 0, ""),
    ("quoted line break", b'code,kind,note\nP901,stock,"a\nb"\n', 0, ""),
    ("cells over, all empty", b"code,kind\nP901,stock,,,\n", 0, ""),
)  # fmt: skip

BAD_CELLS: dict[str, tuple[str, ...]] = {
    "code": ("X1", "P0", "P", "P9999999999", "G1-Z", "1", "P1-P9"), "whole": ("x", "-1000000000", "9" * 400, "1.5", "1e3"),
    "length": ("x", "9parsecs", "9" * 400, "-1", "2027-03-08"), "day": ("x", "2027-02-30", "2999-01-01", "-9999w",
    "9999-12-31", "1/2/3/4"),
    "later day": ("x", "2027-02-30", "9999-12-31"), "flag": ("perhaps", "2"), "word": ("xyzzy", "1"), "uid": ("x", "0" * 36),
    "temperature": ("x", "999C", "9" * 400), "share": ("x", "101%", "1e400000000"), "chance": ("x", "1.1", "nan", "inf"),
    "bearing": ("x", "361", "NNNW"), "state": ("xyzzy",), "care": ("xyzzy",), "json": ("x", "[]", '{"a": 1}'),
    "codes": ("x", "G2-G1"),
    "latitude": ("x", "91", "-33S"), "temperatures": ("x", "1 2 x", "99"), "reserved code": ("P1", "x"),
    "text": ("x" * 201,), "long": ("x" * 4_001,),
}  # fmt: skip
"""For each kind of column, cells that no such column takes."""


def cells() -> Iterator[BadFile]:
    """For each column of each of the book's own files, a file with a bad cell in it for each that its kind refuses."""
    for shape in SHAPES:
        for column in shape.columns:
            for at, bad in enumerate(BAD_CELLS[column.kind]):
                name = f"{shape.name}.{column.header} {at}"
                yield BadFile(name, f"{shape.name}.csv", _with(shape, column, bad), 3, column.header)


def _with(shape: Shape, column: Column, cell: str) -> bytes:
    headers = list(dict.fromkeys([*shape.needed, column.header]))
    quoted = '"' + cell.replace('"', '""') + '"'
    return (
        f"{','.join(headers)}\n{','.join(quoted if header == column.header else '' for header in headers)}\n".encode()
    )


def every() -> list[BadFile]:
    """Every file of the corpus."""
    whole = [BadFile(name, "plants.csv" if name != "deep json" else "own_rows.csv", *rest) for name, *rest in WHOLE]
    steer = [BadFile(f"steering {at}", "plants.csv", f"code,kind,{text}\nP901,shrub{text},x\n".encode(), 3, "unknown column")
             for at, text in enumerate(ESCAPES)]  # fmt: skip
    return [*whole, *steer, *cells()]
