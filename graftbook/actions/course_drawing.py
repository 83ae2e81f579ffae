"""From the courses that were found to the plain values their picture is drawn from."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from graftbook.actions.course_words import FEW
from graftbook.actions.coursing import Courses, Kind, name_of
from graftbook.actions.happenings import EVENTS
from graftbook.paper.courses import CourseLine, CoursePanel, course_figure

if TYPE_CHECKING:
    from typing import Any

    from matplotlib.figure import Figure

WORDS = {"push": "pushed", "growth": "lengthening", "loss": "lost"}


def course_panels(found: Courses) -> Figure:
    """Every kind of which enough were looked at, one under the other; the rest are named below."""
    shown = {key: kind for key, kind in found.kinds.items() if enough(kind)}
    panels = tuple(panel(found, key, kind) for key, kind in shown.items())
    return course_figure(panels, course_notes(found))


def enough(kind: Kind) -> bool:
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


def panel(found: Courses, key: tuple[Any, ...], kind: Kind) -> CoursePanel:
    """One kind's three curves."""
    curves = {event: kind.course(event, found.level) for event in EVENTS}
    last = max((step.time for curve in curves.values() for step in curve.steps), default=60.0)
    lines = tuple(
        CourseLine(f"{WORDS[event]}: {curve.k} of {curve.n} seen", *(tuple(getattr(step, name) for step in curve.steps)
                   for name in ("since", "time", "happened", "low", "high")))
        for event, curve in curves.items()
    )  # fmt: skip
    return CoursePanel(f"{name_of(key)}: {kind.tallies['made'].reached} made", lines, max(last * 1.05, 30.0))
