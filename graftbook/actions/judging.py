"""Every graft judged by one endpoint and counted into cells by factors, in one pass over the looks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import lru_cache
from operator import itemgetter
from typing import Any

from sqlmodel import Session

from graftbook.actions import factors
from graftbook.actions.endpoints import RULES, Frame
from graftbook.actions.together import Watch
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
    watch: Watch | None = None,
) -> Judged:
    """Count outcomes of every graft made within `made` (None: no bound) and not after the as-of day. `watch` is shown every
    graft as long as it has something open."""
    columns = _columns((*by, *(watch.others if watch is not None else ())))
    said = _sayers(by, columns, hemisphere)
    bench, lines = _sit(session, hemisphere, columns, endpoint, as_of, made)
    if watch is not None:
        watch.sayers = dict(zip(watch.others, _sayers(watch.others, columns, hemisphere), strict=True))
    for line in lines:
        group = tuple([say(line) for say in said])
        bench.judge(line, group, by_stock)
        if watch is not None and watch.open:
            watch.see((*group, line[1]), line)
    return bench.done(bool(by))


def each(
    session: Session, hemisphere: str, names: Sequence[str], endpoint: str, as_of: date,
    made: tuple[date | None, date | None], keep: Callable[[Any], bool] = lambda value: True,
) -> Iterator[tuple[tuple[Any, ...], str]]:  # fmt: skip
    """Every graft judged, one by one: the values of the factors named and the unit, then the outcome. `keep` is asked of
    the first factor's value before the graft is judged."""
    columns = _columns(names)
    first, *rest = _sayers(names, columns, hemisphere)
    bench, lines = _sit(session, hemisphere, columns, endpoint, as_of, made)
    for line in lines:
        value = first(line)
        if keep(value):
            yield (value, *[say(line) for say in rest], line[1]), bench.outcome(line)


def _columns(names: Sequence[str]) -> tuple[str, ...]:
    needed = (name for factor in names for name in factors.FACTORS[factor].columns if name != "hemisphere")
    return tuple(dict.fromkeys((*_ALWAYS, *needed)))


def _sit(
    session: Session, hemisphere: str, columns: tuple[str, ...], endpoint: str, as_of: date,
    made: tuple[date | None, date | None],
) -> tuple[_Bench, Iterator[Sequence[Any]]]:  # fmt: skip
    """The bench, and the grafts that the endpoint is about."""
    last = as_of if made[1] is None else min(as_of, made[1])
    lines = seen.graft_columns(session, columns, made[0], last)
    bench = _Bench(hemisphere, endpoint, as_of, seen.looks(session, as_of), seen.gone_home(session, as_of))
    return bench, (line for line in lines if endpoint != "set" or line[1] == "bud")


def _sayers(names: Sequence[str], columns: tuple[str, ...], hemisphere: str) -> list[Callable[[Sequence[Any]], Any]]:
    """For each factor, what reads it off a graft's line."""
    return [_sayer(factors.FACTORS[name].say, _positions(factors.FACTORS[name], columns, hemisphere)) for name in names]


def _sayer(say: factors.Say, places: tuple[Any, ...]) -> Callable[[Sequence[Any]], Any]:
    if len(places) == 1 and isinstance(places[0], int):
        at = places[0]
        return itemgetter(at) if say is factors.same else lambda line: say(line[at])
    return lambda line: say(*[line[at] if isinstance(at, int) else at for at in places])


class _Bench:
    """Where grafts are judged one after the other; a line starts with the columns of _ALWAYS."""

    def __init__(self, hemisphere: str, endpoint: str, as_of: date, looks: dict, home: frozenset[int]) -> None:
        self._hemisphere, self._as_of, self._looks, self._home = hemisphere, as_of, looks, home
        self._rule = RULES[endpoint][0]
        self._judged = Judged()
        self._stocks: dict[Any, tuple[tuple[Any, ...], list[str]]] = {}

    def judge(self, line: Sequence[Any], group: tuple[Any, ...], by_stock: bool) -> None:
        """Judge one graft and count it in its cell, or keep it for its stock."""
        number, unit, _, _, taxon, host_taxon, plant_id, _ = line[: len(_ALWAYS)]
        outcome = self.outcome(line)
        looks = self._looks.get(number, ())
        self._judged.species[factors.species(taxon, host_taxon)] += 1
        if outcome == "failed" and looks and looks[-1][2] == "unsure":
            self._judged.unsure += 1
        if by_stock:
            self._stocks.setdefault(plant_id, ((*group, "stock"), []))[1].append(outcome)
        else:
            self._count((*group, unit), outcome)

    def outcome(self, line: Sequence[Any]) -> str:
        """What has become of one graft."""
        number, _, method, made_on = line[:4]
        looks = self._looks.get(number, ())
        outcome = self._rule(looks, frame(made_on, judge_days(method), self._hemisphere, self._as_of))
        return "unknown" if outcome == "waiting" and number in self._home else outcome

    def _count(self, group: tuple[Any, ...], outcome: str) -> None:
        cell = self._judged.cells.get(group)
        if cell is None:
            cell = self._judged.cells[group] = Counter()
        cell[outcome] += 1
        self._judged.waiting += outcome == "waiting"

    def done(self, split: bool) -> Judged:
        """Everything counted; stocks with several grafts once each."""
        for group, outcomes in self._stocks.values():
            self._count(group, _stock_outcome(outcomes))
        if self._stocks:
            self._judged.unsure, self._judged.species = 0, Counter()
            if split:
                self._judged.notes = ("A stock with several grafts stands under what its first graft was.",)
        return self._judged


def _positions(factor: factors.Factor, columns: tuple[str, ...], hemisphere: str) -> tuple[Any, ...]:
    return tuple(hemisphere if name == "hemisphere" else columns.index(name) for name in factor.columns)


def _stock_outcome(outcomes: Sequence[str]) -> str:
    """A stock got there when any of its grafts did; it is not decided while any of them may still."""
    for outcome in ("yes", "waiting", "unknown", "failed", "lost"):
        if outcome in outcomes:
            return outcome
    raise AssertionError("a stock without grafts cannot be judged")
