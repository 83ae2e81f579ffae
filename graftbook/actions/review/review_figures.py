"""The pictures of the winter review: rates by kind and method, the stages, timing, and the age of the wood."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import Any

from graftbook.actions.review import curve_text, take_figures
from graftbook.actions.review.course_facts import Courses
from graftbook.actions.review.curve_facts import Curves
from graftbook.actions.review.graft_stages import STAGES, StageTally
from graftbook.actions.review.review_text import ReviewFindings
from graftbook.actions.takes.take_rows import name_of
from graftbook.paper.curves import curve_figure
from graftbook.paper.rates import MOST_LINES, RateLine, rate_figure
from graftbook.paper.review import CountTable, Drawing, ReviewPicture
from graftbook.paper.stage_bars import StageBar, StagePanel, stage_figure

ENOUGH_FOR_CURVE, ENOUGH_FOR_STAGES = 10, 20

CURVES_A_PICTURE, STAGES_A_PICTURE = 2, 3


def every(found: ReviewFindings) -> tuple[ReviewPicture, ...]:
    """All pictures, in order; a kind of picture with too little to show is left out."""
    return (*_named("What took, by kind and method", _rates(found)),
            *_named("Stages, and what was lost between", _stages(found)),
            *_named("By date", _curves(found, found.by_date)),
            *_named("By age of the wood", _curves(found, found.by_age)))  # fmt: skip


def _parted(rows: Sequence[Any], most: int) -> Iterator[Sequence[Any]]:
    """The rows in as few parts as may be of no more than `most`, and as even as can be."""
    size = -(-len(rows) // -(-len(rows) // most)) if rows else most
    for start in range(0, len(rows), size):
        yield rows[start : start + size]


def _named(heading: str, pictures: Iterable[Drawing]) -> Iterator[ReviewPicture]:
    """Pictures under one heading, which those after the first carry on."""
    for number, draw in enumerate(pictures):
        yield ReviewPicture(f"{heading}, continued" if number else heading, draw)


def _rates(found: ReviewFindings) -> Iterator[Drawing]:
    decided = [row for row in found.methods if row.n]
    notes = (f"Took, {found.dated}. Dot: k of n; bar: its {found.level * 100:.4g} % Wilson range. Ranges that overlap are no proof "
             "that two ways are alike, and ranges apart no proof of a cause: other things changed too.",)  # fmt: skip
    for rows in _parted(decided, MOST_LINES):
        lines = tuple(
            RateLine(f"{name_of((row.species, row.unit))} · {row.method}", _counted(row), row.rate, row.low, row.high)
            for row in rows
        )
        yield partial(rate_figure, lines, "", "took, % of those decided", notes)


def _counted(row: Any) -> str:
    return row.k_of_n if row.rate is not None else "too early"


def _curves(found: ReviewFindings, curves: Curves) -> Iterator[Drawing]:
    """Kinds with enough decided and more than one x, with a line where one can be drawn and else the counts alone."""
    shown = [
        one for one in curves.kinds if one.curve.n >= ENOUGH_FOR_CURVE and len({x for x, _ in one.counts.cells}) > 1
    ]
    left = [f"{one.name} {one.curve.k} of {one.curve.n}" for one in curves.kinds if one not in shown and one.curve.n]
    rest = f"Too few, or all at one {curves.axis.word}: {', '.join(left)}." if left else ""
    marks = (f"Took, {found.dated}. Circles: k of n as counted, with their own range where no line is drawn. Line: smoothed; grey: "
             "its range at any one place; dotted: for the whole line; hatched: where the best may lie.")  # fmt: skip
    for kinds in _parted(shown, CURVES_A_PICTURE):
        panels = tuple(take_figures.curve_panel(curves, one) for one in kinds)
        texts = [
            text for one in kinds for text in (curve_text.sentence(curves, one), *curve_text.confounded(curves, one))
        ]
        yield partial(curve_figure, panels, "took, %", (marks, *texts, *([rest] if rest else [])))


def _stages(found: ReviewFindings) -> Iterator[Drawing]:
    units = Counter(key[-1] for key in found.courses.kinds)
    alone = {unit for unit, kinds in units.items() if kinds == 1}
    panels = [*_panels(found.whole, lambda unit: None if unit in alone else 1),
              *_panels(found.courses, lambda unit: 1 if unit in alone else ENOUGH_FOR_STAGES)]  # fmt: skip
    notes = (f"{found.dated[:1].upper()}{found.dated[1:]}. Beside each bar: how many reached the stage, of those that reached the "
             "one before and of whom it is known. Lost, unsure why: never grew, or nothing was said of the cause.",)  # fmt: skip
    for some in _parted(panels, STAGES_A_PICTURE):
        yield partial(stage_figure, tuple(some), notes)


def _panels(courses: Courses, least: Callable[[str], int | None]) -> Iterator[StagePanel]:
    """A panel for each kind with as many made as `least` says of its unit; None: for none of them."""
    for key, kind in courses.kinds.items():
        made, enough = kind.tallies["made"].reached, least(key[-1] or "")
        if enough is not None and made >= enough:
            bars = [_bar(stage, kind.tallies[stage]) for stage in STAGES if stage in kind.tallies]
            yield StagePanel(f"{name_of(key)}: {made} made", "buds" if key[-1] == "bud" else "grafts", tuple(bars))


def _bar(stage: str, tally: StageTally) -> StageBar:
    counted = (
        str(tally.reached) if stage == STAGES[0] else f"{tally.reached} of {tally.known}" if tally.known else "none yet"
    )
    return StageBar(stage, counted, tally.reached, tally.union, tally.not_union, tally.unsure, tally.not_known)


def table(found: ReviewFindings) -> CountTable:
    """The counts by kind and method, for who wants to read them off."""
    rows = tuple(
        (name_of((row.species, row.unit)), row.method or "not recorded", str(row.made), row.k_of_n, row.rate_and_range,
         str(row.waiting), str(row.unknown), str(row.lost_otherwise))
        for row in found.methods
    )  # fmt: skip
    heads = ("kind", "method", "made", "took", "rate (range)", "not yet", "not known", "lost")
    return CountTable(f"Took, {found.dated}", heads, rows)
