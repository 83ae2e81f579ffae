"""Every graft judged by one endpoint and counted into cells by factors, by columns and in one pass.

A graft's looks come as a story; each story of one day and method is judged once, however many grafts share it, and the rest
is counting, so that a book of hundreds of thousands needs no loop over its grafts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from itertools import compress, repeat
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.results import Usual
from graftbook.actions.outcome import alive
from graftbook.actions.outcome.alive import End
from graftbook.actions.outcome.endpoints import Fate, Frame, fate, frame, judge_days, outcome_by
from graftbook.actions.takes import computed_factors, factors
from graftbook.actions.takes.confounding_screen import ConfoundingScreen
from graftbook.actions.takes.factor_text import as_recorded
from graftbook.actions.takes.question import TakeQuestion
from graftbook.book import columns, seen
from graftbook.book.columns import Columns, Span
from graftbook.book.seen import UNSEEN, Story, StoryLook

PROBED = 2_000
"""About so many grafts of a large book are screened for confounding first."""

_WORST_LAST = ("yes", "waiting", "unknown", "failed", "lost")


@dataclass
class Judged:
    """How many of each fate by cell: the factors' values, then the unit; and what was said to have caused the losses of each, where
    that was asked."""

    cells: dict[tuple[Any, ...], Counter[Fate]] = field(default_factory=dict)
    species: Counter = field(default_factory=Counter)
    causes: dict[tuple[Any, ...], Counter[str]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    def total(self, **wanted: Any) -> int:
        """How many in all cells have a fate like this: `outcome="waiting"`."""
        return sum(
            number for cell in self.cells.values() for held, number in cell.items()
            if all(getattr(held, name) == value for name, value in wanted.items())
        )  # fmt: skip


def _judge(asked: TakeQuestion) -> Callable[[Story | None, date, str, End | None], Fate]:
    """The fate of a graft by its story, the day it was made, its method and how it ended unseen, each worked out once."""

    @cache
    def judge(story: Story | None, made_on: date, method: str, ended: End | None) -> Fate:
        days = frame(made_on, judge_days(method), asked.hemisphere, asked.as_of)
        return fate((story or UNSEEN).looks, days, asked.endpoint, ended)

    return judge


def factor_values(held: Columns, name: str) -> Sequence[Any]:
    """A factor's value for every graft of a chunk."""
    factor = factors.FACTORS[name]
    read = [held[column] for column in factor.columns]
    return read[0] if factor.value is as_recorded else list(map(factor.value, *read))


def columns_of(names: Sequence[str]) -> tuple[str, ...]:
    """The columns that factors read."""
    return tuple(dict.fromkeys(column for name in names for column in factors.FACTORS[name].columns))


def judged(
    session: Session, asked: TakeQuestion, names: Sequence[str], more: Sequence[str] = ()
) -> Iterator[tuple[Columns, list[Fate]]]:
    """Chunk by chunk, the columns that the factors named read, and `more`, and the fate of every graft the question is
    about."""
    stories, ended, fate_of = (
        seen.stories(session, asked.as_of),
        alive.ended_unseen(session, asked.as_of),
        _judge(asked),
    )
    for held in about(session, asked, names, asked.span, more):
        ids = held["id"]
        fates = map(fate_of, map(stories.get, ids), held["made_on"], held["method"], map(ended.get, ids))
        yield held, list(fates)


def about(
    session: Session, asked: TakeQuestion, names: Sequence[str], span: Span, more: Sequence[str] = ()
) -> Iterator[Columns]:
    """Chunk by chunk, the grafts that the question is about: buds where only they set, stocks, first attempts."""
    on_host = asked.by_host or asked.attempt == "first" or asked.of == "headed-back"
    hosts = ("host_id", "host_kind", "host_plant_id") if on_host else ()
    headed = seen.headed_back(session, asked.as_of) if asked.of == "headed-back" else None
    wanted = dict.fromkeys(("id", "unit", "method", "made_on", *columns_of(names), *hosts, *more))
    first = columns.first_days(session) if asked.attempt == "first" else None
    for held in computed_factors.chunks(session, wanted, span, asked):
        masks = []
        if asked.endpoint == "set" or asked.unit == "bud":
            masks.append([unit == "bud" for unit in held["unit"]])
        if asked.by_host:
            masks.append([kind == asked.unit for kind in held["host_kind"]])
        if first is not None:
            on_plant = zip(held["host_plant_id"], held["made_on"], strict=True)
            masks.append([first.get(plant, made) == made for plant, made in on_plant])
        if headed is not None:
            masks.append([graft in headed.grafts or plant in headed.plants
                          for graft, plant in zip(held["id"], held["host_plant_id"], strict=True)])  # fmt: skip
        if masks:
            keep = [all(mask) for mask in zip(*masks, strict=True)]
            held = {name: list(compress(column, keep)) for name, column in held.items()}
        yield held


NOT_SAID = "not said"


def judge(
    session: Session,
    asked: TakeQuestion,
    by: Sequence[str],
    screen: ConfoundingScreen | None = None,
    causes: bool = False,
) -> Judged:
    """Count the fates of every graft, or stock, the question is about. `screen` is given what else was recorded; `causes` asks
    what was said to have caused the losses."""
    others = _others(session, asked, by, screen)
    result, said = Judged(), seen.causes(session, asked.as_of) if causes else {}
    found: Counter[tuple[Any, ...]] = Counter()
    stocks: dict[int, tuple[tuple[Any, ...], list[Fate]]] = {}
    for held, fates in judged(session, asked, (*by, *others, "species")):
        groups = [factor_values(held, name) for name in by]
        result.species.update(factor_values(held, "species"))
        if asked.by_host:
            of_all = zip(*groups, strict=True) if groups else repeat((), len(fates))
            for host, group, one in zip(held["host_id"], of_all, fates, strict=True):
                stocks.setdefault(host, (group, []))[1].append(one)
        else:
            found.update(zip(*groups, held["unit"], fates, strict=True))
            for graft_id, *cell, one in zip(held["id"], *groups, held["unit"], fates, strict=True) if causes else ():
                if one.loss is not None:
                    result.causes.setdefault(tuple(cell), Counter())[said.get(graft_id, NOT_SAID)] += 1
        if screen is not None and screen.open_pairs:
            _screen(screen, held, groups)
    if asked.by_host:
        found.update((*group, asked.unit, _best(fates)) for group, fates in stocks.values())
        result.species = Counter()
        result.notes = tuple(
            map(Usual, (*_host_notes(asked.unit, by), *_several(fates for _group, fates in stocks.values())))
        )
    for (*cell, one), number in found.items():
        result.cells.setdefault(tuple(cell), Counter())[one] += number
    return result


def _others(
    session: Session, asked: TakeQuestion, by: Sequence[str], screen: ConfoundingScreen | None
) -> tuple[str, ...]:
    """The factors still to be screened after a sample, in a book so large that a pass over all of them would cost."""
    if screen is None:
        return ()
    every = columns.how_many(session) // PROBED
    if every > 4 and screen.open_pairs:
        span = Span(asked.span.made_from, asked.span.made_to, every)
        for held in about(session, asked, (*by, *screen.open_factors), span):
            _screen(screen, held, [factor_values(held, name) for name in by])
        screen.start_over()
    return screen.open_factors


def _screen(screen: ConfoundingScreen, held: Columns, groups: Sequence[Sequence[Any]]) -> None:
    screen.add_chunk([*groups, held["unit"]], {name: factor_values(held, name) for name in screen.open_factors})


def _best(fates: Sequence[Fate]) -> Fate:
    """A stock got there when any of its grafts did; it is not decided while any of them may still."""
    best = min(fates, key=lambda one: (_WORST_LAST.index(one.outcome), one.waits is None))
    return Fate(best.outcome, waits=best.waits)


def _several(fates_of_all: Iterable[list[Fate]]) -> Iterator[str]:
    """Of hosts with several grafts, on how many of these it got there: both, one or none."""
    held: dict[int, Counter[int | None]] = {}
    for fates in fates_of_all:
        if len(fates) > 1:
            waits = any(one.outcome in ("waiting", "unknown") for one in fates)
            got = sum(one.outcome == "yes" for one in fates)
            held.setdefault(len(fates), Counter())[None if waits else got] += 1
    for grafts, counts in sorted(held.items()):
        words = {0: "none", grafts: "both" if grafts == 2 else "all", 1: "one"}
        counted = [f"{words.get(got, str(got))} {counts[got]:,}" for got in range(grafts, -1, -1) if counts[got]]
        counted += [f"not all decided {counts[None]:,}"] if counts[None] else []
        yield f"On {counts.total():,} there were {grafts} grafts or buds each; of those it got there on: {', '.join(counted)}."


def _host_notes(unit: str, by: Sequence[str]) -> tuple[str, ...]:
    other = {"stock": "trees", "tree": "stocks"}[unit]
    counted = f"Counted are {unit}s on which at least one graft got there; grafts on {other} are left out."
    return (counted, f"A {unit} with several grafts stands under what its first graft was.") if by else (counted,)


@dataclass(frozen=True, slots=True)
class GraftHistory:
    """Grafts with one story: `graft` or `bud`, their looks in order, the days they are judged by, how they ended where no
    look at them says so (None: it is not known to have ended so), and how many they are."""

    unit: str
    looks: Sequence[StoryLook]
    frame: Frame
    ended: End | None = None
    times: int = 1

    def outcome(self, endpoint: str) -> str:
        """What became of them: one of outcome.endpoints.OUTCOMES."""
        return outcome_by(endpoint, self.looks, self.frame, self.ended)


def histories(
    session: Session, asked: TakeQuestion, names: Sequence[str]
) -> Iterator[tuple[tuple[Any, ...], GraftHistory]]:
    """Every graft the question is about, those alike together: the values of the factors named and the unit, then what there
    is to follow."""
    stories, ended = seen.stories(session, asked.as_of), alive.ended_unseen(session, asked.as_of)
    held: Counter[tuple[Any, ...]] = Counter()
    for found in about(session, asked, names, asked.span):
        groups = [factor_values(found, name) for name in names]
        judged_by = map(stories.get, found["id"]), map(ended.get, found["id"])
        held.update(zip(*groups, found["unit"], found["made_on"], found["method"], *judged_by, strict=True))
    for (*group, unit, made_on, method, story, end), times in held.items():
        days = frame(made_on, judge_days(method), asked.hemisphere, asked.as_of)
        yield (*group, unit), GraftHistory(unit, (story or UNSEEN).looks, days, end, times)
