"""Texts in ever shorter forms, broken at spaces to rows of a width. Rows are slices, so that texts alike share the work."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from labels.lettering import em_width

Forms = tuple[str, ...]
"""A text and ever shorter forms of it."""
_WORD = re.compile(r"(?:× |\d+ (?=× )|\w{1,3}\.? (?=\d))*\S+(?: ·(?= ))?")
_BETWEEN = " · "


@dataclass(frozen=True, slots=True)
class RowSlice:
    """A row: which form it is of, from which character to which, its indent in em, and the characters."""

    form: int
    start: int
    end: int
    indent: float
    text: str


@lru_cache(maxsize=50_000)
def broken(forms: Forms, em: float, font: str, indent: float, cut: bool = False) -> tuple[RowSlice, ...] | None:
    """A text in rows no wider than `em`, later rows indented; None when a word is too wide.

    The first form is taken; with `cut` the first that has room on one row, else the last. A multiplication sign stays
    with the word after it and a figure before it, a short word with the figure after it, a dot between two texts with
    the word before.
    """
    for form in range(len(forms) if cut else 1):
        if em_width(forms[form], font) <= em:
            return (RowSlice(form, 0, len(forms[form]), 0.0, forms[form]),)
    form = len(forms) - 1 if cut else 0
    text, start, end = forms[form], 0, 0
    rows: list[RowSlice] = []
    for first, last in _words(text):
        shift = indent if rows else 0.0
        if end > start and em_width(text[start:last], font) + shift > em:
            rows.append(RowSlice(form, start, end, shift, text[start:end]))
            start, shift = first, indent
        if em_width(text[start:last], font) + shift > em:
            return None
        end = last
    return (*rows, RowSlice(form, start, end, indent if rows else 0.0, text[start:end]))


@lru_cache(maxsize=20_000)
def _words(text: str) -> tuple[tuple[int, int], ...]:
    return tuple(match.span() for match in _WORD.finditer(text))


def joined(lines: tuple[Forms, ...]) -> tuple[Forms, ...]:
    """All lines in one, each in its first form, a dot between two."""
    return ((_BETWEEN.join(forms[0] for forms in lines),),)
