"""The wood saved at a prune, read from one phrase: `24 sticks 6-9mm 30cm 6 buds`."""

from __future__ import annotations

import re
from dataclasses import dataclass

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.typed import between
from graftbook.book import limits
from graftbook.book.wood import Bundle
from graftbook.errors import UsageProblem

MOST_STICKS = 100_000

_EXPECTED = 'what was saved, such as "24 sticks 6-9mm 30cm 6 buds" (sticks, thickness, length, buds a stick)'

_STICKS = re.compile(r"(\d{1,9})\s*sticks?\b[\s,]*(.*)$", re.I | re.S)

_BUDS = re.compile(r"(.*?)[\s,]*\b(\d{1,9})\s*buds?(?:\s+(?:each|a stick|per stick))?$", re.I | re.S)

_JOINS = ("-", "–", "to", "..")


@dataclass(frozen=True)
class Saved:
    """One bundle as said: sticks, diameters and length in mm, buds a stick; None where not said."""

    sticks: int
    diameter_min_mm: float | None = None
    diameter_max_mm: float | None = None
    length_mm: float | None = None
    buds_per_stick: int | None = None


def read_saved(desk: Desk, text: str) -> Saved:
    """The bundle in a phrase. The first size is the thickness, the second the length; `long` or `thick` after a size says
    which it is. Raises UsageProblem for a phrase that cannot be read, Refused for a size out of bounds."""
    match = _STICKS.match(text.strip())
    if match is None:
        raise UsageProblem(_EXPECTED, repr(text))
    sticks, rest = int(match[1]), match[2].strip()
    buds = _BUDS.match(rest)
    if buds is not None:
        rest = buds[1].strip()
    thick, long = _which(_sizes(rest, text), text)
    low, high = desk.lengths(thick, limits.length(Bundle, "diameter_min_mm")) if thick is not None else (None, None)
    return Saved(
        stick_count(sticks, text), low, high,
        desk.length(long, limits.length(Bundle, "length_mm")) if long is not None else None,
        between(int(buds[2]), *limits.bounds(Bundle, "buds_per_stick"), "buds a stick", text) if buds is not None else None,
    )  # fmt: skip


def stick_count(number: int, text: str = "", least: int = 1) -> int:
    """The count of sticks, from `least` to 100,000. Raises UsageProblem otherwise."""
    return between(number, least, MOST_STICKS, "sticks", text)


def _sizes(rest: str, text: str) -> list[tuple[str, str]]:
    """The sizes in a phrase, each with `long`, `thick` or '' as it was called."""
    found: list[list[str]] = []
    called: list[str] = []
    for word in rest.replace(",", " , ").split():
        if word == ",":
            continue
        if word.lower() in ("long", "thick"):
            if not found or called[-1]:
                raise UsageProblem(_EXPECTED, repr(text))
            called[-1] = word.lower()
        elif word[0].isdigit() and not (found and _goes_on(found[-1], word)):
            found.append([word])
            called.append("")
        elif found and not called[-1]:
            found[-1].append(word)
        else:
            raise UsageProblem(_EXPECTED, repr(text))
    return [(" ".join(words), name) for words, name in zip(found, called, strict=True)]


def _goes_on(words: list[str], word: str) -> bool:
    return words[-1].lower() in _JOINS or words[-1][-1] in "-–" or (words[-1].isdigit() and "/" in word)


def _which(sizes: list[tuple[str, str]], text: str) -> tuple[str | None, str | None]:
    thick = [size for size, name in sizes if name == "thick"]
    long = [size for size, name in sizes if name == "long"]
    for size, name in sizes:
        if not name:
            (long if thick else thick).append(size)
    if len(thick) > 1 or len(long) > 1:
        raise UsageProblem(_EXPECTED, repr(text))
    return (thick[0] if thick else None), (long[0] if long else None)
