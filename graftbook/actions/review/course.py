"""take course: how grafts fare from the day they are made to their second year, and when they push, grow and are lost."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report
from graftbook.actions.review import course_text, graft_stages
from graftbook.actions.review.course_facts import Courses, KindCourse, moment_type, stage_type
from graftbook.actions.review.course_text import FEW
from graftbook.actions.review.graft_stages import EVENTS, STAGES, StageTally, count_into
from graftbook.actions.takes import factors, judging, question
from graftbook.errors import Refused, UsageProblem
from graftbook.stats.interval import check_level, wilson
from graftbook.stats.survival import Course

MOMENTS = (14, 28, 42, 56, 70, 84, 112, 140, 182, 273, 365, 547, 730)
"""Days since grafting at which a table gives the share."""


def take_course(
    desk: Desk, by: Sequence[str] = ("species",), event: str | None = None, as_of: str | None = None,
    season: str | None = None, level: float = 0.95, output: Path | None = None,
) -> Report:  # fmt: skip
    """The stages of each kind with the losses between, or the curve of one `event` of EVENTS; drawn to `output` where named.

    Raises UsageProblem for what cannot be asked, Refused when `output` is named and nothing was looked at, CannotWrite.
    """
    from graftbook.actions.review import take_figures

    if output is not None:
        take_figures.kind_of(output)
    if event is not None and event not in EVENTS:
        raise UsageProblem(f"what happened, one of {', '.join(EVENTS)}", repr(event))
    found = courses(desk, question.ask(desk, "took", as_of, season), by, level)
    which, until = found.asked.which, found.asked.as_of
    if output is not None:
        if not any(map(take_figures.enough, found.kinds.values())):
            shown = f"no kind of {which} has {FEW} grafts or more that were looked at"
            raise Refused(shown, "", "See the counts without -o")
        take_figures.write(output, take_figures.course_panels(found))
    facts = {"as_of": until, "season": season, "level": level, "by": found.by, "event": event}
    if event is None:
        rows = tuple(row for key, kind in found.kinds.items() for row in _stage_rows(found, key, kind))
        title = f"Course of {which}, as of {until.isoformat()}"
        notes = tuple(course_text.stage_notes(found))
        return Report(stage_type(found.by), rows, notes, facts, title=title, group="kind", empty=found.asked.nothing)
    kinds = {key: kind.course(event, level) for key, kind in found.kinds.items()}
    rows = tuple(row for key, curve in kinds.items() for row in _moment_rows(found, key, event, curve))
    title = f"Share by day since grafting ({event}), {which}, as of {until.isoformat()}"
    notes = (*course_text.time_notes(found, event, kinds), *course_text.unseen(found))
    return Report(
        moment_type(found.by, event), rows, notes, facts, title=title, group="kind", empty=found.asked.nothing
    )


def courses(desk: Desk, asked: question.TakeQuestion, by: Sequence[str], level: float) -> Courses:
    """Every kind's stages and times, in one pass. Raises UsageProblem for factors and a level that cannot be asked."""
    names = factors.check(by)
    check_level(level)
    held: dict[tuple[Any, ...], KindCourse] = defaultdict(KindCourse)
    found: dict[tuple[Any, ...], dict[str, Counter[tuple[float, float, date | None]]]] = defaultdict(
        lambda: defaultdict(Counter)
    )
    with desk.book.read() as session:
        for key, graft in judging.histories(session, asked, names):
            kind = held[key]
            count_into(kind.tallies, graft)
            kind.unseen += 0 if graft.looks else graft.times
            for event in EVENTS:
                interval = graft_stages.span(graft, event)
                if interval is not None:
                    found[key][event][(*interval, graft_stages.marked_on(graft, interval))] += graft.times
    for key, events in found.items():
        held[key].spans |= {event: graft_stages.one_round(spans) for event, spans in events.items()}
    ordered = dict(sorted(held.items(), key=lambda item: [str(part or "") for part in item[0]]))
    return Courses(asked, names, level, ordered)


def _stage_rows(found: Courses, key: tuple[Any, ...], kind: KindCourse) -> Iterator[Any]:
    row = stage_type(found.by)
    for stage in STAGES:
        if stage == "set" and key[-1] != "bud" and stage not in kind.tallies:
            continue
        tally = kind.tallies.get(stage, StageTally())
        if stage == STAGES[0]:
            yield row(*key, stage, tally.reached, tally.reached, 0, 0, 0, 0, 0, None, None, None, found.level)
            continue
        range_ = wilson(tally.reached, tally.known, found.level)
        share = (None, None, None) if tally.early else (range_.rate, range_.low, range_.high)
        yield row(*key, stage, tally.reached, tally.known, tally.lost, tally.union, tally.not_union, tally.unsure,
                  tally.not_known, *share, found.level)  # fmt: skip


def _moment_rows(found: Courses, key: tuple[Any, ...], event: str, curve: Course) -> Iterator[Any]:
    row, spans = moment_type(found.by, event), found.kinds[key].spans[event]
    last = curve.steps[-1].time if curve.steps else 0
    estimable = course_text.estimable_steps(curve)
    shown = [day for day in MOMENTS if curve.steps and curve.steps[0].time <= day]
    for day in shown[: sum(day < last for day in shown) + 1]:
        step = curve.at(day)
        if step is not None:
            between = curve.between(day)
            shares = (step.happened, step.low, step.high if between is None else between.high)
            shown_shares = shares if step in estimable and (between is None or between in estimable) else (None,) * 3
            seen = sum(many for (_after, by), many in spans.items() if by <= day)
            later = sum(many for (after, by), many in spans.items() if by > day and after >= min(day, last))
            yield row(
                *key, event, day, seen, seen + later, *shown_shares, curve.method, found.level, between is not None
            )
