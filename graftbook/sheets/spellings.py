"""Spellings of cultivars in one table that may be one name: suggested with counts, never made one unasked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from graftbook.trade.words import squeezed

_LIKE = 86


@dataclass(frozen=True)
class Spelling:
    """A name that may be a misspelling of another, with how often each stands there."""

    name: str
    rows: int
    perhaps: str
    perhaps_rows: int


def suggestions(names: Iterable[str]) -> tuple[Spelling, ...]:
    """Names that are spelled much like one that stands there more often; those alike but for case, blanks and quotes are one
    name to the book already and need no word. Names that differ in their figures are different seedlings."""
    from rapidfuzz import fuzz, process

    counted: dict[str, Counter[str]] = {}
    for name in names:
        counted.setdefault(squeezed(name), Counter())[name] += 1
    keys = sorted(counted, key=lambda key: (-counted[key].total(), key))
    found = []
    for at, key in enumerate(keys[1:], start=1):
        hits = process.extract(key, keys[:at], scorer=fuzz.ratio, score_cutoff=_LIKE, limit=5)
        near = next((hit[0] for hit in hits if _figures(hit[0]) == _figures(key)), None)
        if near is not None and len(key) > 3:
            found.append(
                Spelling(_usual(counted[key]), counted[key].total(), _usual(counted[near]), counted[near].total())
            )
    return tuple(found)


def _usual(spellings: Counter[str]) -> str:
    return min(spellings, key=lambda name: (-spellings[name], name))


def _figures(text: str) -> str:
    return "".join(sign for sign in text if sign.isdigit())
