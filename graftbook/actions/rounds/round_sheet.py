"""The sheet of a round: its rows in walking order, put together where they want the same, and why in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from graftbook.actions.desk.results import Usual, code_list, count, filled
from graftbook.actions.desk.sorting import walked


@dataclass(frozen=True)
class DueRow:
    """One thing one graft wants, or one bundle of wood to use first.

    `since` is the day it fell due, None for wood whose keeping time is not known; `until` the last day of the time given
    for it, None where none is given; `why` a sentence, `basis` whose word it is; `driven_by` what made it due: calendar,
    warmth or growth.
    """

    place: str | None
    row: str | None
    order: int | None
    code: str
    cultivar: str | None
    host: str | None
    what: str
    since: date | None
    until: date | None
    why: str
    basis: str
    driven_by: str = "calendar"
    shown: ClassVar = ("row", "order", "code", "cultivar", "host", "what", "since", "until")
    headings: ClassVar = {"order": "no.", "host": "on"}


@dataclass(frozen=True)
class BriefRow:
    """What several grafts at one place want since the same day. `grafts` counts them; for wood it is None. `stocks` counts the
    stocks to be headed back, each once; for all else it is None."""

    place: str | None
    codes: str
    grafts: int | None
    what: str
    since: date | None
    until: date | None
    why: str
    basis: str
    driven_by: str
    stocks: int | None = None
    shown: ClassVar = ("codes", "grafts", "wanted", "since", "until")
    headings: ClassVar = {"wanted": "what"}

    @property
    def wanted(self) -> str:
        """What they want, for people: with the stocks, where these are what is cut."""
        return f"{self.what}, {count(self.stocks, 'stock')}" if self.stocks else self.what


def past_words(codes: Sequence[str]) -> tuple[str, ...]:
    """A sentence on wood that has lain too long to count on; nothing where there is none."""
    if not codes:
        return ()
    kept = "past the longest such wood is known to keep"
    return (f"{count(len(codes), 'bundle')} with sticks left, {kept}: {code_list(codes)}. Try the green under the bark, then "
            "graftbook wood discard what is dead.",)  # fmt: skip


def in_order(rows: list[DueRow]) -> list[DueRow]:
    """Rows in walking order: place, grafts before wood, row, order in the row, number. Rows of one graft stay together."""

    def key(row: DueRow) -> tuple[Any, ...]:
        nowhere, place, *in_it = walked(row.place, row.row, row.order)
        return nowhere, place, row.code[0] == "W", *in_it, int(row.code[1:])

    return sorted(rows, key=key)


def together(rows: Iterable[DueRow]) -> list[BriefRow]:
    """Rows that want the same since the same day at one place, in the order in which the first of them is walked to."""
    groups: dict[tuple[Any, ...], list[DueRow]] = {}
    for row in rows:
        groups.setdefault((row.place, row.what, row.since, row.until, row.why, row.basis, row.driven_by), []).append(
            row
        )
    found = []
    for alike in groups.values():
        codes = [row.code for row in alike]
        number = None if codes[0][0] == "W" else len(codes)
        stocks = _stocks(alike) or None
        found.append(filled(BriefRow, alike[0], codes=code_list(codes, len(codes)), grafts=number, stocks=stocks))
    return found


def _stocks(rows: Iterable[DueRow]) -> int:
    """How many stocks are to be headed back: one stock once, however many buds it carries."""
    return len({row.host for row in rows if row.what == "head back"})


def summed(rows: Sequence[DueRow]) -> str:
    """How many grafts and bundles the rows are about, each counted once."""
    grafts = {row.code for row in rows if row.code[0] == "G"}
    wood = {row.code for row in rows if row.code[0] == "W"}
    counted = [count(len(grafts), "graft")] if grafts else []
    counted += [f"{count(len(wood), 'bundle')} of wood"] if wood else []
    stocks = _stocks(rows)
    heading = f", {count(stocks, 'stock')} to head back" if stocks else ""
    return (" and ".join(counted) or "nothing") + heading


def whys(rows: Iterable[DueRow]) -> tuple[str, ...]:
    """Why each kind of thing is due, said once a kind: what the trade says as usual notes, wood and the grower's own rows not."""
    alike = {(row.what, row.why, row.basis, row.driven_by, row.code if row.code[0] == "W" else ""): row for row in rows}
    own = {row.what for row in alike.values() if row.code[0] == "W" or row.basis == "own"}
    lines = tuple(dict.fromkeys(_why(row) if row.what in own else Usual(_why(row)) for row in alike.values()))
    return lines if len(lines) <= 30 else (*lines[:30], f"And {len(lines) - 30} more reasons: --json gives every one.")


def _why(row: DueRow) -> str:
    if row.what == "forgotten":
        return "forgotten: not looked at for so many weeks; see how it stands."
    about = f"{row.code}, use first" if row.code[0] == "W" else row.what
    return f"{about}: {row.why.rstrip('.')}{basis_words(row)}."


def basis_words(row: DueRow) -> str:
    """Whose word a thing is, and what made it due where that was not the calendar: ` (own, by growth)`."""
    by = "" if row.driven_by == "calendar" else f"by {row.driven_by}"
    words = ", ".join(part for part in (row.basis, by) if part)
    return f" ({words})" if words else ""
