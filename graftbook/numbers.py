"""Numbers and runs of numbers as people type them: never longer than anything that is counted, and never guessed.

Whatever is longer is no number here. So no length of typing can reach what Python, the database or a run of codes would
make of it.
"""

from __future__ import annotations

import re
from fractions import Fraction

MOST_DIGITS = 9
"""The most figures of a whole number, and of each side of a fraction or of a decimal sign."""
LARGEST = 10**MOST_DIGITS - 1
"""The greatest whole number read; both databases hold it."""

DECIMAL = rf"\d{{0,{MOST_DIGITS}}}[.,]?\d{{1,{MOST_DIGITS}}}"
"""A number with or without a decimal sign, as a part of a pattern."""
_WHOLE = re.compile(rf"\d{{1,{MOST_DIGITS}}}$")
_RUN = re.compile(rf"(\d{{1,{MOST_DIGITS}}})(?:\s*(?:-|–|\.\.)\s*(\d{{1,{MOST_DIGITS}}}))?$")
_NUMBER = re.compile(rf"(?:{DECIMAL}|\d{{1,{MOST_DIGITS}}}/\d{{1,{MOST_DIGITS}}})$")


def whole(text: str, low: int = 0, high: int = LARGEST) -> int | None:
    """The whole number in a text, such as `12`, from `low` to `high`; a minus before it is read where `low` is below 0. None
    for anything else."""
    bare = text.strip()
    sign, digits = (-1, bare[1:]) if low < 0 and bare[:1] in ("-", "−") else (1, bare)
    if not _WHOLE.match(digits):
        return None
    number = sign * int(digits)
    return number if low <= number <= high else None


def run(text: str, low: int = 0, high: int = LARGEST) -> range | None:
    """The numbers of one number or a run, such as `12` or `3-7`, all from `low` to `high`; None for anything else."""
    match = _RUN.match(text.strip())
    if match is None:
        return None
    first, last = int(match[1]), int(match[2] or match[1])
    return range(first, last + 1) if low <= first <= last <= high else None


def number(text: str) -> Fraction | None:
    """The number in a text, such as `12`, `0.35`, `0,35` or `3/8`, exactly; None for anything else. It has no sign."""
    bare = text.strip()
    if not _NUMBER.match(bare):
        return None
    try:
        return Fraction(bare.replace(",", "."))
    except ZeroDivisionError:
        return None
