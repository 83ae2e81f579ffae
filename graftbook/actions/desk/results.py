"""What verbs give back: something recorded, or a report of rows.

Rows are frozen dataclasses whose field names are the promised names in JSON and CSV; units and kinds are in the names.
Notes are whole sentences; those that are `Usual` people read when they ask for them. Facts belong to the report as a
whole, such as the date it speaks as of.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from types import MappingProxyType
from typing import Any, TypeVar

Filled = TypeVar("Filled")


class Usual(str):
    """A note on how an answer is to be read that changes nothing a person would do: what is counted, how a range was computed,
    what a word means. People are told how many there are and read them with --notes; programs get every one.

    Never one of these: a caution, a doubt, what cannot be told, what to do next.
    """

    __slots__ = ()


@dataclass(frozen=True)
class Recorded:
    """One entry written: the line that says what, the codes it is about, notes and cautions in full sentences.

    `entry_id` is None when nothing needed writing.
    """

    line: str
    entry_id: int | None = None
    codes: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Report:
    """Rows of one kind with what is true of all of them.

    `row_type` is the dataclass of the rows, so that an empty report still has its headers. `group` names the field by
    which people read it in blocks (None: in one table). `title` is a short line for people only, and `empty` what they read
    where there are no rows. `most` is how many rows they see at first (None: all), the others being under --all.
    """

    row_type: type
    rows: tuple[Any, ...]
    notes: tuple[str, ...] = ()
    facts: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    title: str = ""
    group: str | None = None
    cautions: tuple[str, ...] = ()
    empty: str = "Nothing to show."
    most: int | None = None


def filled(row_type: type[Filled], *sources: Any, **given: Any) -> Filled:
    """A row of a dataclass: each field is what was given for it, else what the first source that has one of that name holds.

    Raises StopIteration where no source has it.
    """
    kind: Any = row_type
    names = [each.name for each in fields(kind) if each.name not in given]
    taken = {name: next(getattr(each, name) for each in sources if hasattr(each, name)) for name in names}
    return row_type(**taken, **given)


def count(number: int, one: str, many: str | None = None) -> str:
    """`1 graft`, `3 grafts`: a number with what was counted."""
    return f"{number:,} {one if number == 1 else many if many is not None else one + 's'}"


def code_runs(codes: Iterable[str]) -> list[str]:
    """Codes in their order, those that count up written as runs: `G7`, `P1-P60`."""
    runs: list[list[str]] = []
    for code in codes:
        if runs and code[0] == runs[-1][-1][0] and code[1:].isdigit() and int(code[1:]) == int(runs[-1][-1][1:]) + 1:
            runs[-1].append(code)
        else:
            runs.append([code])
    return [run[0] if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs]


def code_list(codes: Iterable[str], most: int = 6) -> str:
    """Codes for one line: runs as ranges, long lists cut in the middle by an ellipsis."""
    words = code_runs(codes)
    return ", ".join(words if len(words) <= most else [*words[: most - 1], "…", words[-1]])


def first_of(parts: Sequence[str], most: int = 10, joint: str = "; ") -> str:
    """Words for one line: the first of them, and how many more there are."""
    more = f"{joint.replace(',', '')}and {len(parts) - most} more" if len(parts) > most else ""
    return joint.join(parts[:most]) + more


def page_notes(shown: int, total: int, limit: int, page: int, what: str) -> tuple[str, ...]:
    """How to see more of a list that does not fit one page; nothing where it does."""
    if shown == total:
        return ()
    pages = -(-total // limit)
    if shown == 0:
        return (f"There is no page {page}: {count(total, what)} on {count(pages, 'page')}.",)
    first = (page - 1) * limit + 1
    more = f" Next: --page {page + 1}." if page < pages else ""
    return (f"{first:,} to {first + shown - 1:,} of {count(total, what)}; --limit N shows N at once.{more}",)
