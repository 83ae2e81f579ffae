"""Cells of the book's own CSV files: values into text and text into values, with every doubt said.

What `text_of` writes, `Reader` reads back as the same value. People's own files may be looser: any date, length or
temperature that the command line takes is taken here too.
"""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Any

from graftbook import codes, dates, numbers, units
from graftbook.actions.desk.results import code_runs
from graftbook.actions.desk.typed import _DEGREES, nearest_word, read_latitude
from graftbook.actions.exchange.csv_shapes import Column
from graftbook.actions.outcome import states
from graftbook.book import limits
from graftbook.errors import GraftbookError, Refused, UsageProblem
from graftbook.lineage import positions
from graftbook.visible import as_typed, inert

BLANKS = " \t\r\n\xa0\ufeff"

MOST_TEXT = MappingProxyType({"text": limits.SHORT, "long": limits.LONG})
_WHOLE = re.compile(r"[-+−]?\d{1,9}(?:[.,]0{1,9})?$")
_PLAIN = re.compile(r"\d{1,6}(?:\.\d{1,2})?$")
_UID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$")
_FLAGS = MappingProxyType({
    "yes": True, "y": True, "true": True, "1": True, "no": False, "n": False, "false": False, "0": False,
})  # fmt: skip


@dataclass(frozen=True)
class Bad:
    """A cell that cannot be read: what would be accepted instead."""

    accepted: str


def text_of(value: Any) -> str:
    """A value as its cell is written: None as nothing, dates as ISO, yes and no, numbers without needless zeros."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() else repr(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, list):
        return ", ".join(code_runs(value))
    return json.dumps(value, ensure_ascii=False) if isinstance(value, dict) else str(value)


def quoted(text: str) -> str:
    """A cell as RFC 4180 writes it: in quotes where it holds a comma, a quote, a line break or an outer blank."""
    if text and (text[0] in BLANKS or text[-1] in BLANKS or any(sign in text for sign in ',"\r\n;\t')):
        return '"' + text.replace('"', '""') + '"'
    return text


def line_of(cells: Sequence[Any]) -> str:
    """One line of a file, ending in a line feed; text that a spreadsheet would run is made inert."""
    return ",".join([quoted(inert(cell)) if isinstance(cell, str) else quoted(text_of(cell)) for cell in cells]) + "\n"


@dataclass
class Reader:
    """Reads cells for one import. `order` is how dates are written (None: only those that can mean one day are read);
    `default_on` stands where a row gives no day of its own (None: it must).

    The same text under the same header is read once and remembered.
    """

    today: date
    order: str | None = None
    default_on: date | None = None
    _seen: dict[Column, dict[str, Any]] = field(default_factory=dict)

    def remembered(self, column: Column) -> Callable[[str], Any]:
        """The function from a cell's text to its value, None for an empty cell, or Bad."""
        held = self._seen.setdefault(column, {})

        def cell(text: str) -> Any:
            found = held.get(text, held)
            if found is held:
                found = self._read(column, text)
                if column.kind not in _NOT_REMEMBERED:
                    held[text] = found
            return found

        return cell

    def _read(self, column: Column, text: str) -> Any:
        bare = as_typed(text.strip(BLANKS))
        if not bare:
            return self._empty(column)
        try:
            if column.kind in _OF_TEXT:
                return _OF_TEXT[column.kind](bare)
            return _day(self, column, bare) if column.kind in _DAYS else _OF_COLUMN[column.kind](column, bare)
        except GraftbookError as error:
            return Bad(". ".join(part.rstrip(".") for part in (error.expected, error.next_step) if part))

    def _empty(self, column: Column) -> Any:
        if column.need != "cell":
            return None
        if column.kind == "day" and self.default_on is not None:
            return self.default_on
        return Bad(f"something under {column.header}, which every row needs{_such_as(column)}")


def _such_as(column: Column) -> str:
    return {
        "day": ", such as 2027-01-14", "word": f": {', '.join(column.words)}", "code": f", such as {_example(column)}",
    }.get(column.kind, "")  # fmt: skip


def _example(column: Column) -> str:
    return "G231" if column.kind == "reserved code" else " or ".join(f"{letter}12" for letter in column.letters)


def _text(column: Column, text: str) -> str:
    most = MOST_TEXT[column.kind]
    if len(text) > most:
        raise Refused(f"at most {most:,} signs under {column.header}; these are {len(text):,}")
    return text


def _code(column: Column, text: str) -> str:
    code = codes.read_one(text)
    if code.letter not in column.letters or code.stick is not None:
        names = " or ".join(codes.KINDS[letter] for letter in column.letters)
        raise UsageProblem(f"the code of a {names}, such as {_example(column)}")
    return code.base


def _day(reader: Reader, column: Column, text: str) -> date:
    try:
        day = dates.read_date(text, reader.today, reader.order)
    except UsageProblem as error:
        if reader.order is None and _two_days(reader, text):
            raise UsageProblem(
                "a date that can mean one day only: write it as 2027-01-14, or import with --dates day-first or "
                "--dates month-first"
            ) from error
        raise
    if day > reader.today and column.kind == "day":
        raise Refused(f"a day up to today, {reader.today.isoformat()}; what has not happened cannot be recorded")
    return day


def _two_days(reader: Reader, text: str) -> bool:
    try:
        return len({dates.read_date(text, reader.today, order) for order in dates.ORDERS}) == 2
    except UsageProblem:
        return False


def _length(column: Column, text: str) -> float:
    limit = column.limit
    if limit is None:
        raise UsageProblem(f"no length under {column.header}")
    if _PLAIN.match(text):
        value = float(text)
        if limit.low <= value <= limit.high:
            return value
    return units.read_length(text, limit, "mm")


def _whole(column: Column, text: str) -> int:
    number = (
        numbers.whole(re.split(r"[.,]", text.removeprefix("+"))[0], column.low, column.high)
        if _WHOLE.match(text)
        else None
    )
    if number is None:
        raise UsageProblem(f"a whole number from {column.low:,} to {column.high:,}")
    return number


def _chance(text: str) -> float:
    with suppress(ValueError):
        found = float(text.replace(",", "."))
        if 0 <= found <= 1:
            return found
    raise UsageProblem("a chance or a share from 0 to 1, such as 0.85")


def _word(column: Column, text: str) -> str:
    found = nearest_word(text, column.words)
    if found is None:
        near = difflib.get_close_matches(text.casefold(), column.words, 2, 0.6)
        hint = f". Did you mean {' or '.join(near)}?" if near else ""
        raise UsageProblem(f"one of {', '.join(column.words)}{hint}")
    return found


def _flag(text: str) -> bool:
    found = _FLAGS.get(text.casefold())
    if found is None:
        raise UsageProblem("yes or no")
    return found


def _uid(text: str) -> str:
    low = text.lower()
    if not _UID.match(low):
        raise UsageProblem("a uid as Graftbook writes it (36 signs), or nothing: the line may be cut short")
    return low


def _json(text: str) -> Mapping[str, str]:
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict) or not all(isinstance(value, str) for value in found.values()):
        raise UsageProblem('the columns of the row as JSON, such as {"taxon": "Malus domestica"}')
    return found


def _temperatures(text: str) -> str:
    words = text.split()
    wrong = [word for word in words if word != "." and not (_DEGREES.match(word) and -90 <= float(word) <= 60)]
    if wrong or len(words) > 366:
        raise UsageProblem(
            "a temperature in C for each day of a year, from -90 to 60, a full stop for a day without one"
        )
    return " ".join(words)


_DAYS = frozenset({"day", "later day"})

_OF_COLUMN: Mapping[str, Callable[[Column, str], Any]] = MappingProxyType({
    "text": _text, "long": _text, "code": _code, "reserved code": _code, "length": _length, "whole": _whole, "word": _word,
})  # fmt: skip

_OF_TEXT: Mapping[str, Callable[[str], Any]] = MappingProxyType({
    "temperature": lambda text: units.read_temperature(text, "C"), "share": units.read_share, "state": states.state,
    "care": states.care, "bearing": positions.bearing, "flag": _flag, "uid": _uid, "json": _json,
    "codes": lambda text: [code.base for code in codes.read_many(text)], "latitude": read_latitude,
    "temperatures": _temperatures, "chance": _chance,
})  # fmt: skip

_NOT_REMEMBERED = frozenset({"uid", "long", "json", "codes", "temperatures"})
