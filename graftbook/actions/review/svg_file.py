"""From what the verbs of take found to the plain values that pictures are drawn from, and the picture to a file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from graftbook.actions.desk.file_out import write_file
from graftbook.actions.review import curve_axes, curve_text
from graftbook.actions.review.curve_axes import Axis
from graftbook.errors import UsageProblem
from graftbook.paper import pictures
from graftbook.paper.curves import Counted, CurvePanel, curve_figure
from graftbook.stats.curve import Curve
from graftbook.stats.interval import wilson

if TYPE_CHECKING:
    from graftbook.actions.review.curve_facts import Curves, KindCurve
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
    return curve_figure(panels, f"{found.endpoint}, %", curve_notes(found))


def curve_notes(found: Curves) -> tuple[str, ...]:
    """What stands under the picture: what was counted and when, what the marks mean, and each kind's sentence."""
    level = f"{found.level * 100:.4g}"
    return (
        f"{found.endpoint.capitalize()}, {found.which}, as of {found.as_of.isoformat()}. Circles: k of n as counted. Line: "
        f"smoothed; grey: its range, {level} % at any one place; dotted: {level} % for the whole line; hatched: where the best "
        "may lie.",
        *curve_text.sentences(found),
    )


def curve_panel(found: Curves, one: KindCurve) -> CurvePanel:
    """One kind's counts, with its line where there is one."""
    curve, axis = one.curve, found.axis
    title = f"{one.name}: {curve.k} of {curve.n} {curve_text.verb(found.endpoint)}"
    label = axis.word if axis.dated else f"{axis.word}, {axis.unit}"
    counts = _counted(found, one)
    if not isinstance(curve, Curve):
        xs = [x for x, _day in one.counts.cells]
        ticks = _ticks(axis, min(xs), max(xs), found.hemisphere)
        return CurvePanel(title, (min(xs), max(xs)), (), (), (), (), (), counts, ticks, label)
    columns = [tuple(getattr(point, name) if point.counted else None for point in curve.points)
               for name in ("chance", "low", "high", "low_whole", "high_whole")]  # fmt: skip
    window = (curve.window.first, curve.window.last) if curve.window is not None else None
    ticks = _ticks(axis, curve.points[0].x, curve.points[-1].x, found.hemisphere)
    return CurvePanel(title, tuple(point.x for point in curve.points), *columns, counts, ticks, label, window)


def _counted(found: Curves, one: KindCurve) -> tuple[Counted, ...]:
    axis, xs, counts = found.axis, [x for x, _day in one.counts.cells], []
    for first, after in curve_axes.cuts(axis, xs):
        inside = [held for (x, _day), held in one.counts.cells.items() if first <= x < after]
        if inside:
            last = min(after - 1 if axis.dated else after, max(xs))
            range_ = wilson(sum(k for k, _ in inside), sum(n for _, n in inside), found.level)
            counts.append(Counted(max(first, min(xs)), last, range_.k, range_.n, range_.low, range_.high))
    return tuple(counts)


def _ticks(axis: Axis, first: float, last: float, hemisphere: str) -> tuple[tuple[float, str], ...]:
    """At most seven or so even places with what to write there."""
    step = curve_axes.step_for(axis, last - first, 7)
    place = first if axis.dated else -(-first // step) * step
    ticks = []
    while place <= last:
        said = f"{curve_axes.day_of(place, hemisphere):%d %b}".lstrip("0") if axis.dated else f"{place:g}"
        ticks.append((place, said))
        place += step
    return tuple(ticks)
