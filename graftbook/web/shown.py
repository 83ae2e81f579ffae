"""What actions give back as pages show it: reports as tables with links, lines of an entry, words with blanks for hyphens.

Sentences that only name a command line are for a terminal and are left out of pages; nothing else of what an action said is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, fields
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report
from graftbook.errors import GraftbookError
from graftbook.output import table
from graftbook.visible import visible

_CODE = re.compile(r"\b[PWG][1-9]\d{0,6}\b(?![-/.]\d)")
_SENTENCE = re.compile(r"(?<=[.!?]) +(?=[A-Z0-9])")
_COMMAND = re.compile(r"\bgraftbook [a-z]|(?:^|[\s(])--[a-z]")


@dataclass(frozen=True)
class Part:
    """A piece of text, and the address of what it names, '' where it names nothing."""

    text: str
    link: str = ""


@dataclass(frozen=True)
class ShownTable:
    """Rows under one heading ('' for none): the cells of each, in the order of the heads; `numbers` tells which columns stand to
    the right."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[tuple[Part, ...], ...], ...]
    numbers: tuple[bool, ...]


def blocks(report: Report, desk: Desk, hide: Iterable[str] = ()) -> tuple[ShownTable, ...]:
    """A report's rows in tables, a table a group, as people read them; codes are links. `hide` leaves columns out."""
    row_type = report.row_type
    shown = getattr(row_type, "shown", tuple(field.name for field in fields(row_type)))
    names = tuple(name for name in shown if name != report.group and name not in set(hide))
    view = table.View(desk.settings.units, desk.settings.temperature)
    groups: dict[str, list[Any]] = {}
    for row in report.rows:
        key = str(getattr(row, report.group) or "place not recorded") if report.group else ""
        groups.setdefault(key, []).append(row)
    heads = tuple(table.heading(row_type, name) for name in names)
    return tuple(
        ShownTable(
            visible(key), heads,
            tuple(tuple(linked(table.cell(name, getattr(row, name), view)) for name in names) for row in rows),
            tuple(all(isinstance(getattr(row, name), int | float | None) for row in rows) for name in names),
        )
        for key, rows in groups.items()
    )  # fmt: skip


def linked(text: str) -> tuple[Part, ...]:
    """A text in parts, each code in it with the address of its page."""
    parts, at = [], 0
    for found in _CODE.finditer(text):
        if found.start() > at:
            parts.append(Part(text[at : found.start()]))
        parts.append(Part(found[0], f"/{found[0]}"))
        at = found.end()
    return (*parts, Part(text[at:])) if at < len(text) or not parts else tuple(parts)


def sentences(said: Iterable[str]) -> tuple[str, ...]:
    """Notes without the sentences that name a command line; a note that was nothing else is left out."""
    kept = (" ".join(one for one in _SENTENCE.split(note) if not _COMMAND.search(one)) for note in said)
    return tuple(visible(note) for note in kept if note)


def refusal(error: GraftbookError) -> str:
    """Why something was not done, without what to type instead: the first sentence stands whatever it names."""
    first, *others = _SENTENCE.split(error.message())
    return " ".join((first, *(one for one in others if not _COMMAND.search(one))))


def notes(report: Report) -> tuple[str, ...]:
    """What a report says beside its rows."""
    return sentences((*report.notes, *report.cautions))


def word(kept: str) -> str:
    """A word of the book as it is read: `no-movement` as no movement."""
    return kept.replace("-", " ")
