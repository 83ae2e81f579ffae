"""Every graft judged by one endpoint and counted into cells by factors, in one pass over the looks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import lru_cache
from typing import Any

from sqlmodel import Session

from graftbook.actions import factors
from graftbook.actions.endpoints import RULES, Frame
from graftbook.book import seen
from graftbook.season import turn

DEFAULT_JUDGE_DAYS = 60
_ALWAYS = ("id", "unit", "method", "made_on", "taxon", "host_taxon", "host_plant_id", "host_graft_id")


@dataclass
class Judged:
    """Outcomes by cell: the factors' values and the unit, then how many of each outcome."""

    cells: dict[tuple[Any, ...], Counter] = field(default_factory=dict)
    species: Counter = field(default_factory=Counter)
    unsure: int = 0
    waiting: int = 0
    notes: tuple[str, ...] = ()


@lru_cache(maxsize=256)
def judge_days(method: str) -> int:
    """Days after which a take by this method may be judged: from the table, 60 where it lacks the method."""
    from graftbook.trade import methods

    found = methods.find(method)
    return found.judge_days if found is not None else DEFAULT_JUDGE_DAYS


@lru_cache(maxsize=8192)
def frame(made_on: date, days: int, hemisphere: str, as_of: date) -> Frame:
    """The days a graft made on a day is judged by."""
    return Frame(made_on, made_on + timedelta(days=days), turn.growth_deadline(made_on, hemisphere), as_of)


def judge(
    session: Session,
    hemisphere: str,
    by: Sequence[str],
    endpoint: str,
    as_of: date,
    made: tuple[date | None, date | None],
    by_stock: bool,
) -> Judged:
    """Count outcomes of every graft made within `made` (None: no bound) and not after the as-of day."""
    needed = tuple(name for factor in by for name in factors.FACTORS[factor].columns if name != "hemisphere")
    columns = tuple(dict.fromkeys((*_ALWAYS, *needed)))
    last = as_of if made[1] is None else min(as_of, made[1])
    lines = seen.graft_columns(session, columns, made[0], last)
    looks = dict(seen.looks(session, as_of))
    home = seen.gone_home(session, as_of)
    rule = RULES[endpoint][0]
    said = [(factors.FACTORS[name].say, _positions(factors.FACTORS[name], columns, hemisphere)) for name in by]
    judged = Judged()
    stocks: dict[Any, tuple[tuple[Any, ...], list[str]]] = {}
    for line in lines:
        unit, method, made_on = line[1], line[2], line[3]
        if endpoint == "set" and unit != "bud":
            continue
        own = looks.get(line[0], [])
        outcome = rule(own, frame(made_on, judge_days(method), hemisphere, as_of))
        if outcome == "waiting" and line[0] in home:
            outcome = "unknown"
        judged.species[factors.species(line[4], line[5])] += 1
        judged.unsure += outcome == "failed" and bool(own) and own[-1][2] == "unsure"
        group = tuple(say(*(line[at] if isinstance(at, int) else at for at in places)) for say, places in said)
        if by_stock:
            host = ("P", line[6]) if line[6] is not None else ("G", line[7])
            stocks.setdefault(host, ((*group, "stock"), []))[1].append(outcome)
        else:
            _count(judged, (*group, unit), outcome)
    for group, outcomes in stocks.values():
        _count(judged, group, _stock_outcome(outcomes))
    if by_stock and by:
        judged.notes = ("A stock with several grafts stands under what its first graft was.",)
    return judged


def _positions(factor: factors.Factor, columns: tuple[str, ...], hemisphere: str) -> tuple[Any, ...]:
    return tuple(hemisphere if name == "hemisphere" else columns.index(name) for name in factor.columns)


def _count(judged: Judged, group: tuple[Any, ...], outcome: str) -> None:
    judged.cells.setdefault(group, Counter())[outcome] += 1
    judged.waiting += outcome == "waiting"


def _stock_outcome(outcomes: Sequence[str]) -> str:
    """A stock got there when any of its grafts did; it is not decided while any of them may still."""
    for outcome in ("yes", "waiting", "unknown", "failed", "lost"):
        if outcome in outcomes:
            return outcome
    raise AssertionError("a stock without grafts cannot be judged")
