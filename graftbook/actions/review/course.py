"""take course: how grafts fare from the day they are made to their second year, and when they push, grow and are lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import field, make_dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, count
from graftbook.actions.review import graft_stages
from graftbook.actions.review.course_facts import Courses, KindCourse, KindRow, name_of
from graftbook.actions.review.course_text import FEW, moment, time_notes
from graftbook.actions.review.graft_stages import EVENTS, STAGES, StageTally, count_into
from graftbook.actions.takes import factors, judging, question
from graftbook.errors import Refused, UsageProblem
from graftbook.season import turn
from graftbook.stats.interval import wilson
from graftbook.stats.survival import Course

MOMENTS = (14, 28, 42, 56, 70, 84, 112, 140, 182, 273, 365, 547, 730)
"""Days since grafting at which a curve is told in a table."""


class StageRowText(KindRow):
    """What people read of a stage."""

    @property
    def k_of_n(self) -> str:
        """`52 of 61`."""
        if self.stage == STAGES[0]:
            return count(self.k, self.unit)
        return f"{self.k} of {self.n}" if self.n else "none yet"

    @property
    def rate_and_range(self) -> str:
        """`85% (74-92)`."""
        return f"{self.rate * 100:.0f}% ({self.low * 100:.0f}-{self.high * 100:.0f})" if self.rate is not None else ""


class MomentRowText(KindRow):
    """What people read of a moment."""

    @property
    def share_and_range(self) -> str:
        """`62% (51-73)`."""
        return f"{self.share * 100:.0f}% ({self.low * 100:.0f}-{self.high * 100:.0f})"

    @property
    def k_of_n(self) -> str:
        """`31 of 50`."""
        return f"{self.k} of {self.n}"


@lru_cache(maxsize=64)
def stage_type(by: tuple[str, ...]) -> type:
    """The class of a stage's row."""
    numbers = ("k", "n", "lost", "lost_union", "lost_not_union", "lost_unsure", "not_known")
    fields: list[Any] = [*_keys(by), ("stage", str), *((name, int) for name in numbers)]
    fields += [(name, "float | None", field(default=None)) for name in ("rate", "low", "high")]
    fields.append(("level", float, field(default=0.95)))
    shown = ("stage", "k_of_n", "rate_and_range", "lost_union", "lost_not_union", "lost_unsure", "not_known")
    headings = {"k_of_n": "of those before", "rate_and_range": "rate (range)", "lost_union": "lost: union",
                "lost_not_union": "lost: other", "lost_unsure": "lost: unsure", "not_known": "not known"}  # fmt: skip
    return _made("StageRow", by, fields, StageRowText, shown, headings)


@lru_cache(maxsize=64)
def moment_type(by: tuple[str, ...], event: str) -> type:
    """The class of a row that tells one moment of an event's curve."""
    fields: list[Any] = [*_keys(by), ("event", str), ("days", int), ("k", int), ("n", int), ("share", float), ("low", float),
                         ("high", float), ("method", str), ("level", float)]  # fmt: skip
    headings = {"days": "by day", "k_of_n": f"{event} seen, of those known", "share_and_range": "share (range)"}
    return _made("MomentRow", by, fields, MomentRowText, ("days", "k_of_n", "share_and_range"), headings)


def _keys(by: tuple[str, ...]) -> list[Any]:
    return [*((factors.field_name(name), "str | None") for name in by), ("unit", str)]


def _made(name: str, by: tuple[str, ...], fields: list[Any], base: type, shown: tuple, headings: dict) -> type:
    spaces = {"shown": shown, "headings": headings, "factors": tuple(factors.field_name(one) for one in by),
              "__annotations__": dict.fromkeys(("shown", "headings", "factors"), ClassVar)}  # fmt: skip
    return make_dataclass(name, fields, bases=(base,), frozen=True, namespace=spaces)


def take_course(
    desk: Desk, by: Sequence[str] = ("species",), event: str | None = None, as_of: str | None = None,
    season: str | None = None, level: float = 0.95, output: Path | None = None,
) -> Report:  # fmt: skip
    """The stages of each kind with the losses between, or the curve of one `event` of EVENTS; drawn to `output` where named.

    Raises UsageProblem for what cannot be asked, Refused when `output` is named and nothing was looked at, CannotWrite.
    """
    from graftbook.actions.review import course_text, svg_file

    if output is not None:
        svg_file.kind_of(output)
    if event is not None and event not in EVENTS:
        raise UsageProblem(f"what happened, one of {', '.join(EVENTS)}", repr(event))
    found = courses(desk, by, as_of, season, level)
    if output is not None:
        if not any(map(course_text.enough, found.kinds.values())):
            raise Refused(
                f"a kind of which {FEW} or more were looked at",
                f"none among {found.which}",
                "See the counts without -o",
            )
        svg_file.write(output, course_text.course_panels(found))
    facts = {"as_of": found.as_of, "season": season, "level": level, "by": found.by, "event": event}
    if event is None:
        rows = tuple(row for key, kind in found.kinds.items() for row in _stage_rows(found, key, kind))
        title = f"Course of {found.which}, as of {found.as_of.isoformat()}"
        return Report(stage_type(found.by), rows, tuple(_stage_notes(found)), facts, title=title, group="kind")
    kinds = {key: kind.course(event, level) for key, kind in found.kinds.items()}
    rows = tuple(row for key, curve in kinds.items() for row in _moment_rows(found, key, event, curve))
    title = f"Share by day since grafting ({event}), {found.which}, as of {found.as_of.isoformat()}"
    notes = (*time_notes(found, event, kinds), *_unseen(found))
    return Report(moment_type(found.by, event), rows, notes, facts, title=title, group="kind")


def courses(
    desk: Desk,
    by: Sequence[str] = ("species",),
    as_of: str | None = None,
    season: str | None = None,
    level: float = 0.95,
) -> Courses:
    """Every kind's stages and times, in one pass. Raises UsageProblem for what cannot be asked."""
    names, hemisphere = factors.check(by), desk.settings.hemisphere
    wilson(0, 1, level)
    day = desk.day(as_of, future=True)
    bounds = turn.season_bounds(season, hemisphere) if season is not None else (None, None)
    asked = question.TakeQuestion("took", day, hemisphere, bounds)
    held: dict[tuple[Any, ...], KindCourse] = defaultdict(KindCourse)
    with desk.book.read() as session:
        for key, graft in judging.histories(session, asked, names):
            kind = held[key]
            count_into(kind.tallies, graft)
            kind.unseen += 0 if graft.looks else graft.times
            for event in EVENTS if graft.looks else ():
                kind.spans[event][graft_stages.span(graft, event)] += graft.times
    ordered = dict(sorted(held.items(), key=lambda item: [str(part or "") for part in item[0]]))
    return Courses(names, day, season, level, ordered)


def _stage_rows(found: Courses, key: tuple[Any, ...], kind: KindCourse) -> Iterator[Any]:
    row = stage_type(found.by)
    for stage in STAGES:
        tally = kind.tallies.get(stage)
        if tally is None and (stage == "set" and key[-1] != "bud"):
            continue
        tally = tally if tally is not None else StageTally()
        if stage == STAGES[0]:
            yield row(*key, stage, tally.reached, tally.reached, 0, 0, 0, 0, 0, None, None, None, found.level)
            continue
        range_ = wilson(tally.reached, tally.known, found.level)
        yield row(*key, stage, tally.reached, tally.known, tally.lost, tally.union, tally.not_union, tally.unsure,
                  tally.not_known, range_.rate, range_.low, range_.high, found.level)  # fmt: skip


def _moment_rows(found: Courses, key: tuple[Any, ...], event: str, curve: Course) -> Iterator[Any]:
    row, spans = moment_type(found.by, event), found.kinds[key].spans[event]
    last = curve.steps[-1].time if curve.steps else 0
    shown = [day for day in MOMENTS if curve.steps and curve.steps[0].time <= day]
    for day in shown[: sum(day < last for day in shown) + 1]:
        step = curve.at(day)
        seen = sum(many for (_after, by), many in spans.items() if by <= day)
        yield row(*key, event, day, seen, seen + sum(many for (after, by), many in spans.items() if by > day and after >= day),
                  step.happened, step.low, step.high, curve.method, found.level)  # fmt: skip


def _stage_notes(found: Courses) -> Iterator[str]:
    for key, kind in found.kinds.items():
        for event in ("push", "growth"):
            said = moment(name_of(key), event, kind.course(event, found.level))
            if said is not None:
                yield said
    if found.kinds:
        yield (
            f"Each stage counts those that reached the one before and of whom it is known. Ranges are {found.level * 100:.4g} % "
            "Wilson intervals. Lost: by the union, for another cause, or unsure (never grew, or nothing was said)."
        )
        yield (
            "Moved: buds opened. Took: lengthening when old enough to judge, or at looks on two days. Leaf fall: the end of "
            "the first growing season. Established: growing in a later one."
        )
    yield from _unseen(found)


def _unseen(found: Courses) -> Iterator[str]:
    if found.kinds and "species" not in found.by:
        yield "Kinds are thrown together here, which may fare differently: add species to --by to keep them apart."
    unseen = sum(kind.unseen for kind in found.kinds.values())
    if unseen:
        yield f"{count(unseen, 'was', 'were')} never looked at: made, and nothing more is known of them."
