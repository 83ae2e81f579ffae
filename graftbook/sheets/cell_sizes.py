"""Sizes in growers' cells: numbers in the unit of the column, fractions of an inch, words that are no number, and sizes that
a spreadsheet has made days of."""

from __future__ import annotations

import re
import unicodedata
from datetime import date
from fractions import Fraction

from graftbook import units
from graftbook.errors import GraftbookError
from graftbook.sheets.doubt import Doubt
from graftbook.sheets.grid import CellValue, written
from graftbook.units import Limit

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_AS_DAY = re.compile(r"(\d{1,2})[-./ ]([A-Za-z]{3,9})\.?$|([A-Za-z]{3,9})[-./ ](\d{1,2})$")
_FRACTION = re.compile(r"(?:\d+ )?\d+/\d+$")
_ABOUT = re.compile(r"^(?:~|≈|ca?\.|circa|about|approx\.?|approximately)\s*", re.I)
_DENOMINATORS = (2, 4, 8, 16, 32, 64)


class SizeWord(str):
    """A size said in words, such as pencil, or a range where one size is kept: no number is made of it."""


def plain_fractions(text: str) -> str:
    """The text with ⅜ as 3/8, 1½ as 1 1/2, and curly primes as inches."""
    spread = "".join(f" {unicodedata.normalize('NFKC', sign)}" if _is_fraction(sign) else sign for sign in text)
    return " ".join(spread.replace("⁄", "/").replace("∕", "/").replace("''", '"').translate(_PRIMES).split())


_PRIMES = str.maketrans("”“″〃", '""""')


def _is_fraction(sign: str) -> bool:
    return unicodedata.name(sign, "").startswith("VULGAR FRACTION") and "NUMERATOR" not in unicodedata.name(sign)


def read_size(
    value: CellValue, unit: str, limit: Limit, ranges: bool = False
) -> tuple[float, float] | SizeWord | Doubt:
    """The smaller and the larger size in mm that a cell means, both alike for one size; words as they are. `unit` is what a
    bare number means; a bare fraction is one of an inch, for no other unit is written so. A range is only read where `ranges`
    are kept.
    """
    if isinstance(value, date):
        return Doubt(
            written(value), "a size; a spreadsheet may have made a day of it", _fraction_of(value.day, value.month)
        )
    if isinstance(value, bool) or value is None:
        return Doubt(written(value), f"{limit.name}, such as 9mm or 3/8in")
    text = plain_fractions(written(value))
    day = _AS_DAY.match(text)
    if day is not None:
        number, name = int(day[1] or day[4]), (day[2] or day[3]).lower()
        month = next((at for at, each in enumerate(_MONTHS, start=1) if name.startswith(each)), 0)
        if month:
            return Doubt(text, "a size; a spreadsheet may have made a day of it", _fraction_of(number, month))
    if not any(sign.isdigit() for sign in text):
        return SizeWord(text)
    bare = _ABOUT.sub("", text)
    try:
        low, high = units.read_length_range(bare, limit, "in" if _bare_fraction(bare) else unit)
    except GraftbookError as error:
        return Doubt(text, ". ".join(part for part in (error.expected, error.next_step) if part))
    return SizeWord(text) if low != high and not ranges else (low, high)


def _bare_fraction(text: str) -> bool:
    parts = re.split(r"\s*(?:-|–|to)\s*", text)
    return all(_FRACTION.match(part) for part in parts if part)


def _fraction_of(day: int, month: int) -> str:
    """The fraction of an inch that was typed where a spreadsheet shows a day; '' where two or none would do."""
    found = [
        f"{top}/{under}in"
        for top, under in ((month, day), (day, month))
        if under in _DENOMINATORS and Fraction(top, under) < 2 and top % 2
    ]
    return found[0] if len(set(found)) == 1 else ""


def likely_unit(values: list[CellValue]) -> str | None:
    """The unit of most of these cells: the one they name, inches where they are fractions or small, mm where they are not;
    None where they do not tell."""
    votes: dict[str, int] = {}
    for value in values:
        text = plain_fractions(written(value)).casefold() if not isinstance(value, date | bool) else ""
        named = re.search(r"\d\s*(mm|cm|in\b|inch|\")", text)
        if named:
            unit = {"inch": "in", '"': "in"}.get(named[1], named[1])
        elif _bare_fraction(text):
            unit = "in"
        else:
            match = re.fullmatch(r"\d+(?:[.,]\d+)?", text)
            size = float(text.replace(",", ".")) if match else 0.0
            unit = "mm" if size >= 3 else "in" if 0 < size <= 1.5 else ""
        if unit:
            votes[unit] = votes.get(unit, 0) + 1
    return max(votes, key=lambda each: votes[each]) if votes else None
