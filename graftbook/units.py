"""Lengths and temperatures as people write them, in and out.

Lengths come in as `9mm`, `0.9cm`, `3/8in`, `3/8"`, `1 1/2 in`, `0.35 in` or a bare number in the book's unit, and ranges
as `6-9mm` or `5/16-3/8in`. Everything is kept in millimetres, rounded to a hundredth (a sixty-fourth of an inch is
0.40 mm). Limits are those of the thing measured: a 90 mm scion is a slip of the pen and is asked about, not stored.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from graftbook.errors import Refused, UsageProblem
from graftbook.numbers import DECIMAL, MOST_DIGITS, number

MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
_SPELLINGS = {
    "": "", "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "m": "m",
    "in": "in", "in.": "in", "inch": "in", "inches": "in", '"': "in", "''": "in", "″": "in", "”": "in",
    "ft": "ft", "'": "ft", "feet": "ft", "foot": "ft",
}  # fmt: skip
_FRACTION = rf"\d{{1,{MOST_DIGITS}}}/\d{{1,{MOST_DIGITS}}}"
_NUMBER = rf"(?:\d{{1,{MOST_DIGITS}}}\s+{_FRACTION}|{_FRACTION}|{DECIMAL})"
_UNIT = r"(?:[A-Za-z]+\.?|''|\"|'|″|”)?"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*({_UNIT})\s*(?:(?:-|–|to|\.\.)\s*({_NUMBER})\s*({_UNIT})\s*)?$")
_DATE_LIKE = re.compile(
    r"\s*(\d{1,2}[-. ](jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*|\d{4}-\d\d-\d\d)", re.I
)


@dataclass(frozen=True)
class Limit:
    """What a kind of length may be, in mm: outside `low..high` it is refused with a question."""

    name: str
    low: float
    high: float


SCION_DIAMETER = Limit("a scion's diameter", 1.0, 50.0)
STOCK_DIAMETER = Limit("a stock's diameter at the graft", 1.0, 500.0)
PLANT_DIAMETER = Limit("a plant's calliper", 1.0, 2000.0)
STICK_LENGTH = Limit("the length of a stick", 20.0, 2000.0)
SHOOT_LENGTH = Limit("the length of a shoot", 0.0, 5000.0)
HEIGHT = Limit("a height along the stem", 0.0, 20000.0)


def read_length_range(text: str, limit: Limit, unit: str = "mm") -> tuple[float, float]:
    """The smaller and the larger length in mm of a length or a range; a single length comes back twice.

    `unit` is what a bare number means. Raises UsageProblem for what is no length, or for a size that a spreadsheet has
    turned into a date; raises Refused for a length outside the limit.
    """
    if _DATE_LIKE.match(text):
        raise UsageProblem(
            f"{limit.name}, such as 9mm or 3/8in", f"{text!r}, which looks like a date",
            "A spreadsheet may have turned a size such as 3/8 into a date: write it as 3/8in or 9.5mm",
        )  # fmt: skip
    match = _LENGTH.match(text)
    if match is None:
        raise UsageProblem(f"{limit.name}, such as 9mm, 0.9cm, 3/8in or 5/16-3/8in", repr(text))
    first, first_unit, second, second_unit = match.groups()
    if second is None:
        value = _mm(first, first_unit, unit, text, limit)
        return value, value
    low = _mm(first, first_unit or second_unit, unit, text, limit)
    high = _mm(second, second_unit or first_unit, unit, text, limit)
    return min(low, high), max(low, high)


def read_length(text: str, limit: Limit, unit: str = "mm") -> float:
    """One length in mm. Raises as read_length_range, and UsageProblem for a range."""
    low, high = read_length_range(text, limit, unit)
    if low != high:
        raise UsageProblem(f"one length for {limit.name}", f"the range {text!r}")
    return low


def _mm(size: str, unit: str, default: str, text: str, limit: Limit) -> float:
    name = _SPELLINGS.get(unit.lower())
    if name is None:
        raise UsageProblem(f"a length in mm, cm, m, in or ft for {limit.name}", repr(text))
    parts = [number(part) for part in size.split()]
    if None in parts:
        raise UsageProblem(f"{limit.name}, such as 9mm or 3/8in", repr(text))
    value = round(float(sum(part for part in parts if part is not None)) * MM_PER_UNIT[name or default], 2)
    if not limit.low <= value <= limit.high:
        within, ask = (
            f"between {show_length(limit.low)} and {show_length(limit.high)}",
            "Is the unit right? Write it out",
        )
        raise _outside(limit.name, within, text, show_length(value), f"{ask}, such as 9mm or 3/8in")
    return value


def _outside(what: str, within: str, text: str, value: str, ask: str) -> Refused:
    this = repr(text.strip())
    statement = f"{what} must lie {within}, and {this} is {value}"
    return Refused(f"{what} {within}", f"{this}, which is {value}", ask, statement=statement)


def show_length(mm: float | None, unit: str = "mm") -> str:
    """A length for people, with its unit; inches to the nearest sixteenth where that is within 0.2 mm. None gives ''."""
    if mm is None:
        return ""
    if unit != "in":
        return f"{mm:.10g} mm"
    sixteenths = round(mm / 25.4 * 16)
    if abs(sixteenths * 25.4 / 16 - mm) > 0.2:
        return f"{mm / 25.4:.2f} in"
    whole, part = divmod(Fraction(sixteenths, 16), 1)
    words = [str(whole)] if whole or not part else []
    return " ".join([*words, *([str(part)] if part else [])]) + " in"


def show_range(low: float | None, high: float | None, unit: str = "mm") -> str:
    """A range of lengths for people, such as `6-9 mm`; one length where both are the same or one is None."""
    if low is None or high is None or low == high:
        return show_length(low if low is not None else high, unit)
    if unit == "in":
        return f"{show_length(low, unit).removesuffix(' in')}-{show_length(high, unit)}"
    return f"{low:.10g}-{high:.10g} mm"


_TEMPERATURE = re.compile(r"\s*([-+−]?\d{1,9}(?:[.,]\d{1,9})?)\s*(?:°|º|deg(?:rees)?)?\s*([CcFf])?\s*$")


def read_temperature(text: str, unit: str = "C") -> float:
    """A temperature in degrees C, from `3C`, `38F`, `3.5 °C` or a bare number in `unit`.

    Raises UsageProblem for what is no temperature, Refused outside -40 to 60 C.
    """
    match = _TEMPERATURE.match(text)
    if match is None:
        raise UsageProblem("a temperature, such as 3C or 38F", repr(text))
    degrees = float(match[1].replace(",", ".").replace("−", "-"))
    celsius = round((degrees - 32) / 1.8, 1) if (match[2] or unit).upper() == "F" else round(degrees, 1)
    if not -40 <= celsius <= 60:
        raise _outside("a temperature", "between -40 and 60 C", text, f"{celsius:.10g} C", "Is it in C or in F?")
    return celsius


def show_temperature(celsius: float | None, unit: str = "C") -> str:
    """A temperature for people, with its unit; None gives ''."""
    if celsius is None:
        return ""
    return f"{celsius:.10g} C" if unit != "F" else f"{celsius * 1.8 + 32:.0f} F"


def read_share(text: str) -> int:
    """A share in whole per cent, 0 to 100, from `30%`, `30` or `0.3`; `1/3` gives 33. Raises UsageProblem otherwise."""
    cleaned = text.strip().rstrip("%").strip()
    value = number(cleaned)
    if value is None:
        raise UsageProblem("a share such as 30% or 1/3", repr(text))
    if "%" not in text and value < 1:
        value *= 100
    if value > 100:
        raise UsageProblem("a share between 0% and 100%", repr(text))
    return round(value)
