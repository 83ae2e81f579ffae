"""Words as typed, read the same way by every verb: blanks, whole numbers, the nearest word."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from graftbook import numbers
from graftbook.errors import UsageProblem

Value = TypeVar("Value")

_LATITUDE = re.compile(r"\s*([-+−]?\d{1,2}(?:[.,]\d+)?)\s*°?\s*([NnSs])?\s*$")

_DEGREES = re.compile(r"-?\d{1,2}(?:\.\d{1,2})?$")


def nearest_word(text: str, words: Sequence[str]) -> str | None:
    """The word meant, whatever its case and with blanks or hyphens; None when it is none of them."""
    plain = re.sub(r"[\s_-]+", "-", text.casefold())
    return next((word for word in words if re.sub(r"[\s_-]+", "-", word.casefold()) == plain), None)


def read_latitude(text: str) -> float:
    """A latitude in degrees, north above 0, from `52.3`, `52.3N` or `-33.9`, `33.9 S`. Raises UsageProblem otherwise."""
    match = _LATITUDE.match(text)
    number = float(match[1].replace(",", ".").replace("−", "-")) if match is not None else 91.0
    if match is None or abs(number) > 90 or (match[2] and number < 0):
        raise UsageProblem("a latitude in degrees, such as 52.3 or 33.9S", repr(text))
    return -number if (match[2] or "").upper() == "S" else number


def blank(text: str | None) -> str | None:
    """The text without blanks at either end; None for one that is empty."""
    return (text.strip() or None) if text is not None else None


def unless_blank(text: str, read: Callable[[str], Value]) -> Value | None:
    """What is read of a text; None for one that is empty, which takes a fact away."""
    return read(text) if text.strip() else None


def values_of(words: Any, readers: Mapping[str, tuple[str, Callable[[str], Any]]]) -> dict[str, Any]:
    """What was stated, by the book's own names: of each field of `words` that is not None, under the name in `readers`, what
    its reader makes of it; None for an empty text."""
    stated = ((name, getattr(words, field), read) for field, (name, read) in readers.items())
    return {name: unless_blank(text, read) for name, text, read in stated if text is not None}


def between(number: int, low: int, high: int, what: str, text: str = "") -> int:
    """The number, from `low` to `high` of something. Raises UsageProblem otherwise, naming the `text` it was read in."""
    if not low <= number <= high:
        raise UsageProblem(f"from {low:,} to {high:,} {what}", repr(text) if text else f"{number:,}")
    return number


def whole(text: str, what: str, low: int, high: int) -> int | None:
    """A whole number between two bounds; an empty text gives None. Raises UsageProblem for anything else."""
    cleaned = text.strip()
    if not cleaned:
        return None
    number = numbers.whole(cleaned, low, high)
    if number is None:
        raise UsageProblem(f"{what} as a whole number from {low:,} to {high:,}", repr(text))
    return number
