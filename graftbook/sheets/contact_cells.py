"""How to reach people, where a grower's own sheet says it: kept in the book as typed, and left out of what leaves it."""

from __future__ import annotations

import re
from collections.abc import Mapping

LEFT_OUT = "…"
_HEADINGS = re.compile(
    r"\b(phone|telephone|tel|mobile|cell ?phone|e ?-?mail|mail|contacts?|address|street|post ?code|zip( code)?)\b", re.IGNORECASE
)  # fmt: skip
_REACHED = re.compile(
    r"[^\s@,;<>()]+@[^\s@,;<>()]+\.[^\s@,;<>()]+"  # an address of e-mail
    r"|(?<![\w.])\+\d[\d ()/.-]{6,}\d(?!\w)"  # a telephone number with its country
    r"|(?<![\w.])\(?0\d{1,5}[)/ -]{1,2}\d[\d /-]{4,}\d(?!\w)"  # one with its area
)


def text_without(text: str | None) -> str | None:
    """A text with addresses of e-mail and telephone numbers written as `…`; None stays None."""
    return None if text is None else _REACHED.sub(LEFT_OUT, text)


def cells_without(cells: Mapping[str, str] | None) -> dict[str, str] | None:
    """Cells by heading without how to reach people: whole cells under a heading that says so, and in others what looks like an
    address of e-mail or a telephone number. None stays None."""
    if cells is None:
        return None
    return {
        heading: LEFT_OUT if text and _HEADINGS.search(heading.replace("_", " ")) else _REACHED.sub(LEFT_OUT, text)
        for heading, text in cells.items()
    }
