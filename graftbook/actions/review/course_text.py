"""What the courses of grafts say, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf
from typing import TYPE_CHECKING, Any

from graftbook.actions.review.course_facts import Courses, KindCourse, name_of
from graftbook.actions.review.graft_stages import EVENTS
from graftbook.paper.courses import CourseLine, CoursePanel, course_figure
from graftbook.stats.survival import Course

if TYPE_CHECKING:
    from graftbook.paper.pictures import Figure

FEW = 5

_HAD = {"push": "had pushed", "growth": "were lengthening", "loss": "were lost"}

_SEEN = {"push": "pushing", "growth": "lengthening", "loss": "gone"}


def moment(name: str, event: str, curve: Course) -> str | None:
    """`apple: half had pushed between day 28 and day 41 after grafting (seen pushing: 61 of 80).`; None for too few."""
    if curve.n < FEW or not curve.steps:
        return None
    seen = f"seen {_SEEN[event]}: {curve.k} of {curve.n}"
    half = curve.when(0.5)
    if half is None:
        last = curve.steps[-1]
        return (f"{name}: fewer than half {_HAD[event]} by day {last.time:.0f} after grafting ({last.happened * 100:.0f} %; "
                f"{seen}).")  # fmt: skip
    since, by = half
    when = f"by day {by:.0f}" if since >= by else f"between day {since:.0f} and day {by:.0f}"
    return f"{name}: half {_HAD[event]} {when} after grafting ({seen})."


def time_notes(found: Courses, event: str, curves: Mapping[tuple[Any, ...], Course]) -> Iterator[str]:
    """When half of each kind had come so far, and how the curve was reckoned."""
    from graftbook.actions.review.course_facts import name_of

    for key, curve in curves.items():
        said = moment(name_of(key), event, curve)
        if said is not None:
            yield said
    methods = {curve.method for curve in curves.values() if curve.steps}
    if "turnbull" in methods:
        yield ("Looks were more than a week apart, so it is known only between which two it happened: the shares are those that "
               "make what was seen likeliest (Turnbull).")  # fmt: skip
    if "kaplan-meier" in methods:
        yield "Where looks were no more than a week apart, the day of the look stands for the day (Kaplan-Meier)."
    if methods:
        never = (
            ""
            if event == "loss"
            else " What died, of whatever cause, or never grew stays among those of whom it is taken."
        )
        yield (
            "The share is of all that were looked at; what is not decided or not found counts up to its last look alive."
            f"{never}"
        )


WORDS = {"push": "pushed", "growth": "lengthening", "loss": "lost"}


def course_panels(found: Courses) -> Figure:
    """Every kind of which enough were looked at, one under the other; the rest are named below."""
    shown = {key: kind for key, kind in found.kinds.items() if enough(kind)}
    panels = tuple(panel(found, key, kind) for key, kind in shown.items())
    return course_figure(panels, course_notes(found))


def enough(kind: KindCourse) -> bool:
    """Whether a kind has enough grafts that were looked at, and anything that happened to them, for a picture."""
    spans = kind.spans["push"].total() >= FEW
    return spans and any(by != inf for event in EVENTS for _after, by in kind.spans[event])


def course_notes(found: Courses) -> tuple[str, ...]:
    """What stands under the picture."""
    few = [f"{name_of(key)} {kind.tallies['made'].reached}" for key, kind in found.kinds.items() if not enough(kind)]
    left = (
        (f"Too few looked at for a picture (fewer than {FEW}), or nothing seen yet: {', '.join(few)}.",) if few else ()
    )
    return (
        f"{found.which.capitalize()}, as of {found.as_of.isoformat()}. Lines: share of all looked at that had come so far; "
        f"grey: its {found.level * 100:.4g} % range. They slant where it is only known between which two looks it came.", *left,
    )  # fmt: skip


def panel(found: Courses, key: tuple[Any, ...], kind: KindCourse) -> CoursePanel:
    """One kind's three curves."""
    curves = {event: kind.course(event, found.level) for event in EVENTS}
    last = max((step.time for curve in curves.values() for step in curve.steps), default=60.0)
    lines = tuple(
        CourseLine(f"{WORDS[event]}: {curve.k} of {curve.n} seen", *(tuple(getattr(step, name) for step in curve.steps)
                   for name in ("since", "time", "happened", "low", "high")))
        for event, curve in curves.items()
    )  # fmt: skip
    return CoursePanel(f"{name_of(key)}: {kind.tallies['made'].reached} made", lines, max(last * 1.05, 30.0))
