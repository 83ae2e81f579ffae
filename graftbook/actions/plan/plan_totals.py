"""A plan for people: its lines while they are few, else a page of totals by cultivar, stock and day."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from graftbook.actions.desk.results import Report, count
from graftbook.actions.plan.plan_lines import PlanLine, SiteLine, TrialLine
from graftbook.units import show_length, show_range

# Up to so many lines are a page by themselves; longer plans are shown in totals, of which so many a table.
MOST_LINES, MOST_ROWS = 24, 14

# So many lines are read at first, and no more rows of totals than one table of them has.
FIRST = 10


@dataclass(frozen=True)
class PlanTotal:
    """Grafts of a plan that have something in common: so many sticks are cut for them, on so many stocks, and so many trees are
    to be expected of them."""

    by: str
    what: str
    grafts: int
    sticks: int
    stocks: int
    trees: float
    headings: ClassVar = {"what": "", "trees": "trees expected"}


def report(
    lines: Sequence[PlanLine], notes: tuple[str, ...], facts: Mapping[str, Any], title: str, every: bool, unit: str
) -> Report:
    """The lines, or totals where they are more than a page and not `every` one is asked for."""
    if every or len(lines) <= MOST_LINES:
        kind: type[PlanLine] = type(lines[0]) if lines else PlanLine
        if kind is not TrialLine and len({line.site or line.place for line in lines}) > 1:
            kind = SiteLine
        most = None if every else FIRST
        return Report(kind, tuple(lines), notes, facts, title=title, group="cultivar", most=most)
    rows = [row for by, named in _KINDS.items() for row in _totals(by, lines, named, unit)]
    more = "Every line: --all, --json, or the sheet (graftbook plan sheet PLAN)."
    return Report(PlanTotal, tuple(rows), (more, *notes), facts, title=title, group="by")


def stock_words(line: PlanLine, unit: str) -> str:
    """The stock of a line as a lot: `MM.106 6-9 mm`."""
    size = "size not known"
    if line.grade_min_mm is not None and line.grade_max_mm is not None:
        size = show_range(line.grade_min_mm, line.grade_max_mm, unit)
    if line.stock_mm is not None:
        size = show_length(line.stock_mm, unit)
    return f"{line.clone or 'rootstock not known'} {size}"


def _day(line: PlanLine, _unit: str) -> str:
    crew = "" if line.crew is None else f", crew {line.crew}"
    return f"{line.day.isoformat()}{crew}: plan {line.plan}"


_KINDS: dict[str, Callable[[PlanLine, str], str]] = {
    "By cultivar": lambda line, _unit: line.cultivar or "cultivar not recorded",
    "By stock": stock_words,
    "By site": lambda line, _unit: line.site or line.place or "site not recorded",
    "By method": lambda line, _unit: f"{line.method}, {count(line.buds, 'bud')}",
    "By day": _day,
}


def _totals(
    by: str, lines: Sequence[PlanLine], named: Callable[[PlanLine, str], str], unit: str
) -> Iterator[PlanTotal]:
    held: dict[str, list[PlanLine]] = {}
    for line in lines:
        held.setdefault(named(line, unit), []).append(line)
    if by == "By site" and len(held) == 1:
        return
    order = list(held) if by == "By day" else sorted(held, key=lambda what: -len(held[what]))
    for what in order[:MOST_ROWS]:
        yield _total(by, what, held[what])
    if rest := [line for what in order[MOST_ROWS:] for line in held[what]]:
        yield _total(by, f"{len(order) - MOST_ROWS} more", rest)


def _total(by: str, what: str, lines: Sequence[PlanLine]) -> PlanTotal:
    sticks = len({(line.plan, line.wood, line.stick) for line in lines})
    stocks = len({line.host for line in lines})
    return PlanTotal(by, what, len(lines), sticks, stocks, round(sum(line.chance for line in lines), 1))
