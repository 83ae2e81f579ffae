"""Pictures of curves and courses: from what was found to the plain values they are drawn from, and on to a file."""

from __future__ import annotations

from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, Any

from graftbook.actions.desk.file_out import write_file
from graftbook.actions.review import curve_axes, curve_text
from graftbook.actions.review.course_facts import Courses, KindCourse
from graftbook.actions.review.course_text import FEW, estimable_steps, rests_on
from graftbook.actions.review.curve_axes import Axis
from graftbook.actions.review.curve_facts import BANDS, Curves, KindCurve
from graftbook.actions.review.graft_stages import EVENTS
from graftbook.actions.takes import early
from graftbook.actions.takes.take_rows import name_of
from graftbook.errors import UsageProblem
from graftbook.paper import pictures
from graftbook.paper.courses import CourseLine, CoursePanel, course_figure
from graftbook.paper.curves import CurvePanel, StretchCount, curve_figure
from graftbook.stats.curve import Curve
from graftbook.stats.interval import wilson

if TYPE_CHECKING:
    from graftbook.paper.pictures import Figure


def kind_of(output: Path) -> str:
    """The kind of picture a file's name asks for. Raises UsageProblem for another."""
    kind = output.suffix.lower().lstrip(".")
    if kind not in pictures.KINDS:
        raise UsageProblem("a name that ends in .png, .pdf or .svg", repr(output.name))
    return kind


def write(output: Path, figure: Figure) -> None:
    """The figure in its file, whole or not at all. Raises UsageProblem, CannotWrite."""
    with pictures.look():
        write_file(output, pictures.saved(figure, kind_of(output)))


def curve_panels(found: Curves) -> Figure:
    """Every line that could be drawn, one under the other; the notes say what they rest on and what was left out."""
    kinds = [one for one in found.kinds if isinstance(one.curve, Curve)]
    panels = tuple(curve_panel(found, one) for one in kinds)
    return curve_figure(panels, f"{found.asked.endpoint}, %", curve_notes(found))


def curve_notes(found: Curves) -> tuple[str, ...]:
    """The notes under the picture of curves: what was counted and when, what the marks mean, and each kind's sentence."""
    level, asked = f"{found.level * 100:.4g}", found.asked
    return (
        f"{asked.endpoint.capitalize()}, {asked.which}, as of {asked.as_of.isoformat()}. Circles: k of n as counted. Line: "
        f"smoothed; grey: its range, {level} % at any one place; dotted: {level} % for the whole line; hatched: where the best "
        "may lie.",
        *curve_text.sentences(found),
    )


def curve_panel(found: Curves, one: KindCurve) -> CurvePanel:
    """One kind's counts, with its line where there is one."""
    curve, axis = one.curve, found.axis
    title = f"{one.name}: {curve.k} of {curve.n} {early.verb(found.asked.endpoint)}"
    window = getattr(curve, "window", None)
    points = curve.points if isinstance(curve, Curve) else ()
    counted = [x for x, _day in one.counts.cells]
    xs = tuple(point.x for point in points) or (min(counted), max(counted))
    line, low, high, low_whole, high_whole = (
        tuple(getattr(point, name) if point.counted else None for point in points) for name in BANDS
    )
    ticks = _ticks(axis, xs[0], xs[-1], found.asked.hemisphere)
    label = axis.word if axis.dated else f"{axis.word}, {axis.unit}"
    ends = (window.first, window.last) if window is not None else None
    return CurvePanel(title, xs, line, low, high, low_whole, high_whole, _counted(found, one), ticks, label, ends)


def _counted(found: Curves, one: KindCurve) -> tuple[StretchCount, ...]:
    axis, xs, counts = found.axis, [x for x, _day in one.counts.cells], []
    for first, after in curve_axes.cuts(axis, xs):
        here = {x for x in xs if first <= x < after}
        inside = [held for (x, _day), held in one.counts.cells.items() if x in here]
        if inside:
            range_ = wilson(sum(k for k, _ in inside), sum(n for _, n in inside), found.level)
            if range_.low is not None and range_.high is not None:
                counts.append(StretchCount(min(here), max(here), range_.k, range_.n, range_.low, range_.high))
    return tuple(counts)


def _ticks(axis: Axis, first: float, last: float, hemisphere: str) -> tuple[tuple[float, str], ...]:
    """At most seven or so even places with what to write there."""
    step = curve_axes.step_for(axis, last - first, 7)
    place = first if axis.dated else -(-first // step) * step
    ticks = []
    while place <= last:
        label = f"{curve_axes.day_of(place, hemisphere):%d %b}".lstrip("0") if axis.dated else f"{place:g}"
        ticks.append((place, label))
        place += step
    return tuple(ticks)


_EVENT_WORDS = {"push": "pushed", "growth": "lengthening", "loss": "lost"}


def course_panels(found: Courses) -> Figure:
    """Every kind of which enough were looked at, one under the other; the rest are named below."""
    shown = {key: kind for key, kind in found.kinds.items() if enough(kind)}
    panels = tuple(course_panel(found, key, kind) for key, kind in shown.items())
    return course_figure(panels, course_notes(found))


def enough(kind: KindCourse) -> bool:
    """Whether a kind has enough grafts that were looked at, and anything that happened to them, for a picture."""
    looked_at = kind.spans["push"].total() >= FEW
    return looked_at and any(by != inf for event in EVENTS for _after, by in kind.spans[event])


def course_notes(found: Courses) -> tuple[str, ...]:
    """The notes under the picture of courses."""
    few = [f"{name_of(key)} {kind.tallies['made'].reached}" for key, kind in found.kinds.items() if not enough(kind)]
    left = (
        [f"Too few looked at for a picture (fewer than {FEW}), or nothing seen yet: {', '.join(few)}."] if few else []
    )
    rests = [f"{event.capitalize()}, {text}" for event in EVENTS for text in rests_on(
        {key: kind.course(event, found.level) for key, kind in found.kinds.items() if enough(kind)})]  # fmt: skip
    return (
        f"{found.asked.which.capitalize()}, as of {found.asked.as_of.isoformat()}. Lines: share of all looked at that had come "
        f"so far; grey: its {found.level * 100:.4g} % range. They slant where it is only known between which two looks it came.",
        *rests,
        *left,
    )


def course_panel(found: Courses, key: tuple[Any, ...], kind: KindCourse) -> CoursePanel:
    """One kind's three curves."""
    curves = {event: kind.course(event, found.level) for event in EVENTS}
    steps = {event: estimable_steps(curve) for event, curve in curves.items()}
    last = max((step.time for held in steps.values() for step in held), default=60.0)
    names = ("since", "time", "happened", "low", "high")
    lines = tuple(
        CourseLine(f"{_EVENT_WORDS[event]}: {curve.k} of {curve.n} seen",
                   *(tuple(getattr(step, name) for step in steps[event]) for name in names))
        for event, curve in curves.items()
    )  # fmt: skip
    return CoursePanel(f"{name_of(key)}: {kind.tallies['made'].reached} made", lines, max(last * 1.05, 30.0))
