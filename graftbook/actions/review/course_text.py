"""The sentences of courses: when half of a kind had come so far, how that was estimated, and what the stages count."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from graftbook.actions.desk.results import count, first_of
from graftbook.actions.review.course_facts import Courses
from graftbook.actions.takes.early import so_far
from graftbook.actions.takes.take_rows import name_of
from graftbook.stats.survival import Course, Step

FEW = 5
"""Of fewer nothing is said but the count: a rule of this book."""
_HAD = {"push": "had pushed", "growth": "were lengthening", "loss": "were lost"}
_SEEN = {"push": "pushing", "growth": "lengthening", "loss": "gone"}


def halves(curves: Mapping[tuple[Any, ...], Course], event: str) -> Iterator[str]:
    """`apple: half had pushed between day 28 and day 41 after grafting (seen pushing: 61 of 80).`, kind by kind; nothing for
    too few."""
    for key, curve in curves.items():
        if curve.n < FEW or not curve.steps:
            continue
        seen, half, last = f"seen {_SEEN[event]}: {curve.k} of {curve.n}", curve.when(0.5), curve.steps[-1]
        if half is None:
            share = f"{last.happened * 100:.0f} %; " if 2 * last.known >= curve.n else ""
            yield f"{name_of(key)}: fewer than half {_HAD[event]} by day {last.time:.0f} after grafting ({share}{seen})."
            continue
        since, by = half
        step = next(step for step in curve.steps if step.time == by)
        if 2 * step.known < curve.n:
            yield (f"{name_of(key)}: whether half {_HAD[event]} cannot be told: of only {step.known} of {curve.n} it is known how "
                   f"they stood by day {by:.0f} ({seen}).")  # fmt: skip
            continue
        when = f"by day {by:.0f}" if since >= by else f"between day {since:.0f} and day {by:.0f}"
        yield f"{name_of(key)}: half {_HAD[event]} {when} after grafting ({seen})."


def almost_nobody(step: Step, curve: Course) -> bool:
    """Whether a step would rest on almost nobody: fewer than FEW, where most were followed for less."""
    return step.known < FEW and 2 * step.known < curve.n


def rests_on(curves: Mapping[tuple[Any, ...], Course]) -> Iterator[str]:
    """On how many the end of each curve rests, where most were followed for less."""
    for key, curve in curves.items():
        if curve.steps and 2 * curve.steps[-1].known < curve.n:
            first = next(step for step in curve.steps if 2 * step.known < curve.n)
            last = curve.steps[-1]
            yield (f"{name_of(key)}: from day {first.time:.0f} on it rests on few, on {last.known} of {curve.n} at day "
                   f"{last.time:.0f}; the rest had not been followed so long.")  # fmt: skip


def time_notes(found: Courses, event: str, curves: Mapping[tuple[Any, ...], Course]) -> Iterator[str]:
    """When half of each kind had come so far, and how the curve was estimated."""
    yield from halves(curves, event)
    yield from rests_on(curves)
    methods = {curve.method for curve in curves.values() if curve.steps}
    if "turnbull" in methods:
        yield ("Looks were more than a week apart, so it is known only between which two it happened: the shares are those that "
               "make what was seen likeliest (Turnbull). On a day between two looks it is so much or more. Ages that differ by a "
               "tenth or less count as one where they were seen in one round. Of grafts made on several days the ranges hold the "
               "truth somewhat less often than they say.")  # fmt: skip
    if "kaplan-meier" in methods:
        yield "Where looks were no more than a week apart, the day of the look stands for the day (Kaplan-Meier)."
    if methods:
        never = " What died, of whatever cause, or never grew stays among those of whom it is taken."
        yield ("The share is of all that were looked at; what is not decided or not found counts up to its last look alive."
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
        yield (
            f"Each stage counts those that reached the one before and of whom it is known. Ranges are {found.level * 100:.4g} % "
            "Wilson intervals. Lost: by the union, for another cause, or unsure (never grew, or nothing was said)."
        )
        yield (
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
