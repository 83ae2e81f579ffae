"""The sentences of courses: when half of a kind had come so far, how that was estimated, and what the stages count."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from graftbook.actions.desk.results import Usual, count, first_of
from graftbook.actions.review.course_facts import Courses
from graftbook.actions.takes.early import so_far
from graftbook.actions.takes.take_rows import name_of
from graftbook.stats.survival import Course, Step

FEW, LEAST = 5, 3
"""Of fewer than FEW nothing is said but the count, and no step rests on fewer than LEAST unless nearly all were followed: rules of
this book."""
_HAD = {"push": "had pushed", "growth": "were lengthening", "loss": "were lost"}
_SEEN = {"push": "pushing", "growth": "lengthening", "loss": "gone"}


def halves(curves: Mapping[tuple[Any, ...], Course], event: str) -> Iterator[str]:
    """`apple: half had pushed between day 28 and day 41 after grafting (seen pushing: 61 of 80).`, kind by kind; nothing for
    too few."""
    for key, curve in curves.items():
        if curve.n < FEW or not curve.steps:
            continue
        seen, half, steps = f"seen {_SEEN[event]}: {curve.k} of {curve.n}", curve.when(0.5), estimable_steps(curve)
        untold = half is not None and (not steps or half[1] > steps[-1].time)
        if untold or (half is None and len(steps) < len(curve.steps)):
            yield f"{name_of(key)}: whether half {_HAD[event]} cannot be told: too few were followed so long ({seen})."
            continue
        if half is None:
            last = steps[-1]
            yield (f"{name_of(key)}: fewer than half {_HAD[event]} by day {last.time:.0f} after grafting "
                   f"({last.happened * 100:.0f} %; {seen}).")  # fmt: skip
            continue
        since, by = half
        when = f"by day {by:.0f}" if since >= by else f"between day {since:.0f} and day {by:.0f}"
        yield f"{name_of(key)}: half {_HAD[event]} {when} after grafting ({seen})."


def estimable_steps(curve: Course) -> tuple[Step, ...]:
    """The steps up to the first that rests on too few: fewer than a third of those to whom it had not happened yet were followed
    so long, or only one or two, where most were not. A rule of this book."""
    few = (place for place, step in enumerate(curve.steps) if 3 * step.followed < step.at_risk
           or (step.followed < LEAST and 2 * step.followed < step.at_risk))  # fmt: skip
    return curve.steps[: next(few, len(curve.steps))]


def rests_on(curves: Mapping[tuple[Any, ...], Course]) -> Iterator[str]:
    """Where each curve ends because too few were followed, and on how many its end rests where most were followed for less."""
    for key, curve in curves.items():
        steps = estimable_steps(curve)
        if len(steps) < len(curve.steps):
            step = curve.steps[len(steps)]
            yield (f"{name_of(key)}: what came by day {step.time:.0f} cannot be told: of {step.at_risk} to whom it might "
                   f"have happened only {step.followed} were followed so long.")  # fmt: skip
        elif steps and 2 * steps[-1].followed < steps[-1].at_risk:
            last = steps[-1]
            yield (f"{name_of(key)}: the end, by day {last.time:.0f}, rests on few: of {last.at_risk} to whom it might "
                   f"have happened {last.followed} were followed so long.")  # fmt: skip


def time_notes(found: Courses, event: str, curves: Mapping[tuple[Any, ...], Course]) -> Iterator[str]:
    """When half of each kind had come so far, and how the curve was estimated."""
    yield from halves(curves, event)
    yield from rests_on(curves)
    methods = {curve.method for curve in curves.values() if curve.steps}
    if "turnbull" in methods:
        yield Usual(
            "Looks were more than a week apart, so it is known only between which two it happened: the shares are those that "
            "make what was seen likeliest (Turnbull). On a day between two looks it is so much or more. Ages that differ by a "
            "tenth or less count as one where they were seen in one round. Of grafts made on several days the ranges hold the "
            "truth somewhat less often than they say."
        )
    if "kaplan-meier" in methods:
        yield Usual(
            "Where looks were no more than a week apart, the day of the look stands for the day (Kaplan-Meier)."
        )
    if methods:
        never = " What died, of whatever cause, or never grew stays among those of whom it is taken."
        yield Usual("The share is of all that were looked at; what is not decided or not found counts up to its last look alive."
               f"{never if event != 'loss' else ''}")  # fmt: skip


def stage_notes(found: Courses) -> Iterator[str]:
    """The notes under the stages: when half of each kind pushed and grew, and what each stage counts."""
    for key, kind in found.kinds.items():
        for event in ("push", "growth"):
            yield from halves({key: kind.course(event, found.level)}, event)
    early = [f"{name_of(key)}, {stage}: {so_far(tally.reached, tally.known, tally.waits, stage, 'were lost')}"
             for key, kind in found.kinds.items() for stage, tally in kind.tallies.items() if tally.early]  # fmt: skip
    if early:
        yield f"Too early for a rate: {first_of(early, 6, '. ')}."
    if found.kinds:
        yield Usual(
            f"Each stage counts those that reached the one before and of whom it is known. Ranges are {found.level * 100:.4g} % "
            "Wilson intervals. Lost: by the union, for another cause, or unsure (never grew, or nothing was said)."
        )
        yield Usual(
            "Moved: buds opened. Took: lengthening when old enough to judge, or at looks on two days. Leaf fall: the end of "
            "the first growing season. Established: growing in a later one."
        )
    yield from unseen(found)


def unseen(found: Courses) -> Iterator[str]:
    """Cautions under every table: kinds pooled, and grafts never looked at."""
    if found.kinds and "species" not in found.by:
        yield "This pools kinds, which may fare differently: add species to --by to keep them apart."
    unseen = sum(kind.unseen for kind in found.kinds.values())
    if unseen:
        yield f"{count(unseen, 'was', 'were')} never looked at: made, and nothing more is known of them."
