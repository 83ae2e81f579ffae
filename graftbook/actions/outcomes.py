"""Every graft with the columns asked for, its looks, and what became of it: for reports that need more than counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from operator import itemgetter
from typing import Any

from sqlmodel import Session

from graftbook.actions import factors, judging
from graftbook.actions.endpoints import RULES, Frame
from graftbook.book import seen
from graftbook.book.seen import Seen

FIRST = ("id", "unit", "method", "made_on")


@dataclass(frozen=True, slots=True)
class Followed:
    """One graft: its columns, its looks in order, the days it is judged by, and whether it went home unreported."""

    line: Sequence[Any]
    looks: Sequence[Seen]
    frame: Frame
    home: bool

    @property
    def unit(self) -> str:
        """`graft` or `bud`."""
        return self.line[1]

    def outcome(self, endpoint: str) -> str:
        """What became of it: one of graftbook.actions.endpoints.OUTCOMES."""
        found = RULES[endpoint][0](self.looks, self.frame)
        return "unknown" if found == "waiting" and self.home else found


def each(
    session: Session, hemisphere: str, columns: Sequence[str], as_of: date, made: tuple[date | None, date | None]
) -> Iterator[Followed]:
    """Every graft made within `made` (None: no bound) and not after the as-of day. A line holds FIRST, then the `columns`
    named that are not among them (see `places`)."""
    last = as_of if made[1] is None else min(as_of, made[1])
    lines = seen.graft_columns(session, _all(columns), made[0], last)
    looks, home = seen.looks(session, as_of), seen.gone_home(session, as_of)
    for line in lines:
        number, _, method, made_on = line[:4]
        frame = judging.frame(made_on, judging.judge_days(method), hemisphere, as_of)
        yield Followed(line, looks.get(number, ()), frame, number in home)


def _all(columns: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*FIRST, *columns)))


def places(columns: Sequence[str], wanted: Sequence[str]) -> itemgetter:
    """What fetches the `wanted` columns off a line that was asked for with `columns`; a tuple even for one."""
    every = _all(columns)
    at = [every.index(name) for name in wanted]
    return itemgetter(*at) if len(at) != 1 else lambda line: (line[at[0]],)


def sayer(factor: str, columns: Sequence[str], hemisphere: str) -> Any:
    """What says a factor of take off a line; `columns` must hold what the factor reads."""
    reads, say = factors.FACTORS[factor].columns, factors.FACTORS[factor].say
    fetch = places(columns, [name for name in reads if name != "hemisphere"])
    if "hemisphere" in reads:
        return lambda line: say(*fetch(line), hemisphere)
    return lambda line: say(*fetch(line))


def columns_of(names: Sequence[str]) -> tuple[str, ...]:
    """The columns that factors of take read."""
    return tuple(
        dict.fromkeys(one for name in names for one in factors.FACTORS[name].columns if one != "hemisphere")
    )  # fmt: skip
