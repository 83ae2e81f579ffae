"""take curve: the chance of take as a smooth line over a date, the age of the wood or a diameter, kind by kind.

Only what is decided is counted. A line is drawn where the counts carry one (graftbook.stats.curve); elsewhere the counts
stand alone and a sentence says why. Confounders of x are named, since no line can separate their effect from that of x.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from functools import lru_cache
from itertools import repeat
from operator import attrgetter
from pathlib import Path
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, Usual, count
from graftbook.actions.outcome.endpoints import RULES
from graftbook.actions.review import curve_axes, curve_text
from graftbook.actions.review.curve_axes import Axis, Read
from graftbook.actions.review.curve_facts import BANDS, SCREENED, Curves, KindCounts, KindCurve
from graftbook.actions.takes import factors, green_tip, judging, question
from graftbook.actions.takes.take_rows import SHARE, CountedRow, percent_and_range, row_class
from graftbook.actions.takes.timing import any_effect, by_x
from graftbook.errors import Refused
from graftbook.stats.curve import Curve, NoCurve, Point, curve
from graftbook.stats.interval import check_level


class CurveRowText(CountedRow):
    """What people read of a row. `first` and `last` are the ends of its stretch of x."""

    first: str | float
    last: str | float
    chance: float | None

    @property
    def chance_and_range(self) -> str:
        """`73% (48-89)`; empty where no line is drawn."""
        return percent_and_range(self.chance, self.low, self.high)

    @property
    def span(self) -> str:
        """`03-28 to 04-03`, or `30 to 35`."""
        first, last = (f"{part:g}" if isinstance(part, float) else str(part) for part in (self.first, self.last))
        return f"{first} to {last}" if first != last else first


@lru_cache(maxsize=64)
def row_type(by: tuple[str, ...], x: str, word: str, endpoint: str) -> type:
    """The class of a row: a field a factor, the stretch of x, then counts, chance and the two ranges."""
    ends = (f"{x}_from", f"{x}_to")
    fields = {**dict.fromkeys(ends, "str | float"), "k": int, "n": int, **dict.fromkeys(BANDS, SHARE), "level": float}
    headings = {"span": word, "k_of_n": endpoint, "chance_and_range": "chance (range)"}
    shown = (*map(factors.field_name, by), "unit", *headings)
    first, last = (property(attrgetter(name)) for name in ends)
    return row_class(CurveRowText, by, fields, shown, headings, first=first, last=last)


def take_curve(
    desk: Desk, x: str = "date", by: Sequence[str] = ("species",), endpoint: str = "took", as_of: str | None = None,
    season: str | None = None, level: float = 0.95, output: Path | None = None, of: str = "decided",
) -> Report:  # fmt: skip
    """The chance over `x` by kind, as rows and sentences; drawn to `output` (PNG, PDF or SVG) where one is named.

    Raises UsageProblem for what cannot be asked, Refused when `output` is named and there is no line to draw, CannotWrite
    when it cannot be written; then nothing is.
    """
    from graftbook.actions.review import take_figures

    if output is not None:
        take_figures.kind_of(output)
    found = curves(desk, question.ask(desk, endpoint, as_of, season, of=of), x, by, level)
    if output is not None:
        if not any(isinstance(one.curve, Curve) for one in found.kinds):
            reasons = " ".join(curve_text.sentences(found)) or "Nothing is decided."
            raise Refused(f"no line can be drawn. {reasons}", "", "See the counts without -o")
        take_figures.write(output, take_figures.curve_panels(found))
    kind = row_type(found.by, found.axis.field, found.axis.word, endpoint)
    facts = {**found.asked.facts, "level": level, "by": found.by, "x": found.axis.name,
             "curves": tuple(curve_text.facts(found, one) for one in found.kinds)}  # fmt: skip
    rows = tuple(row for one in found.kinds for row in _rows(kind, found, one))
    asked = found.asked
    title = f"Chance over {found.axis.word} ({endpoint}{asked.of_what}), {asked.which}, as of {asked.as_of.isoformat()}"
    return Report(kind, rows, tuple(_notes(found)), facts, title=title, empty=asked.nothing)


def curves(
    desk: Desk, asked: question.TakeQuestion, x: str, by: Sequence[str] = ("species",), level: float = 0.95
) -> Curves:
    """The line of every kind. Raises UsageProblem for an axis, factors and a level that cannot be asked."""
    axis, names = curve_axes.axis_named(x), factors.check(by)
    check_level(level)
    gathered = _gather(desk, axis, names, asked)
    kinds = tuple(
        _kind(key, held, axis, level)
        for key, held in sorted(gathered.items(), key=lambda item: [str(part or "") for part in item[0]])
    )
    whose = ""
    if axis.name == green_tip.FACTOR:
        with desk.book.read() as session:
            whose = green_tip.sentence(session, asked)
    return Curves(asked, axis, names, level, kinds, whose)


def _kind(key: tuple[Any, ...], held: KindCounts, axis: Axis, level: float) -> KindCurve:
    """One kind; a window stands only where the test of any effect of x, which every verb words alike, shows one."""
    found = _line(held, level)
    effect = None if held.early else any_effect([by_x(held.cells)], axis.of_the_day)
    if isinstance(found, Curve):
        if effect is None or not effect.shown:
            found = replace(found, window=None, no_window="level")
        elif found.no_window == "level":
            found = replace(found, no_window="unclear")
    return KindCurve(key, held, found, effect)


def _line(held: KindCounts, level: float) -> Curve | NoCurve:
    """The line of one kind, or why there is none; while it is too early for a rate of the whole, that is why."""
    places = held.places()
    if held.early:
        k, n = sum(place.k for place in places), sum(place.n for place in places)
        return NoCurve("early", k, n, len({place.x for place in places}))
    return curve(places, level)


def _gather(
    desk: Desk, axis: Axis, names: tuple[str, ...], asked: question.TakeQuestion
) -> dict[tuple[Any, ...], KindCounts]:
    """The grafts counted by kind, x and day, in one pass over the book by columns."""
    others = tuple(name for name in SCREENED if name not in names)
    cells: Counter[tuple[Any, ...]] = Counter()
    beside: dict[str, Counter[tuple[Any, ...]]] = {name: Counter() for name in others}
    with desk.book.read() as session:
        read = axis.reader(session, desk)
        for held, fates in judging.judged(session, asked, (*names, *others), axis.columns):
            keys = list(zip(*(judging.factor_values(held, name) for name in names), held["unit"], strict=True))
            results = [(fate.outcome, fate.waits) for fate in fates]
            at = list(zip(*(held[name] for name in axis.columns), strict=True))
            days = map(date.toordinal, held["made_on"]) if axis.of_the_day else repeat(None, len(at))
            cells.update(zip(keys, results, at, days, strict=True))
            for name, counts in beside.items():
                counts.update(zip(keys, results, judging.factor_values(held, name), at, strict=True))
    return _by_kind(cells, beside, read, asked.decided, axis.of_the_day)


def _by_kind(
    cells: Counter[tuple[Any, ...]],
    beside: dict[str, Counter[tuple[Any, ...]]],
    read: Read,
    known: frozenset[str],
    dated: bool,
) -> dict[tuple[Any, ...], KindCounts]:
    """The counts, kind by kind; x read once for grafts that are alike."""
    found: dict[tuple[Any, ...], KindCounts] = defaultdict(KindCounts)
    for (key, (result, state), at, day), number in cells.items():
        kind = found[key]
        if result not in known:
            kind.undecided += number if result != "lost" else 0
            if result == "waiting":
                kind.waits[state] += number
                if state is not None and (x := read(*at)) is not None:
                    kind.open_days[x][state] += number
            continue
        x = read(*at)
        if x is None:
            kind.without += number
            continue
        cell = kind.cells[x, day]
        cell[0] += number if result == "yes" else 0
        cell[1] += number
    for name, counts in beside.items():
        for (key, (result, _state), value, at), number in counts.items():
            x = read(*at) if result in known else None
            if x is not None:
                found[key].beside[name][value, x] += number
    for kind in found.values():
        kind.settle(dated)
    return found


def _rows(kind: type, found: Curves, one: KindCurve) -> Iterator[Any]:
    """The counts cut into stretches of x, with the line at the middle of each."""
    xs = [x for x, _day in one.counts.cells]
    if not xs:
        return
    axis, lowest, highest = found.axis, min(xs), max(xs)
    for first, after in curve_axes.cuts(axis, xs):
        inside = [cell for (x, _day), cell in one.counts.cells.items() if first <= x < after]
        if not inside:
            continue
        middle = min(max((first + after - (1 if axis.dated else 0)) / 2, lowest), highest)
        point = at(one.curve, middle) if isinstance(one.curve, Curve) else None
        bands = [getattr(point, name, None) for name in BANDS]
        last = min(after - 1, highest) if axis.dated else after
        yield kind(*one.key, found.stored(first), found.stored(last), sum(k for k, _n in inside), sum(n for _k, n in inside),
                   *bands, found.level)  # fmt: skip


def at(found: Curve, x: float) -> Point:
    """The point of the line nearest to an x."""
    first, last = found.points[0].x, found.points[-1].x
    place = round((x - first) / (last - first) * (len(found.points) - 1))
    return found.points[min(max(place, 0), len(found.points) - 1)]


def _notes(found: Curves) -> Iterator[str]:
    yield from curve_text.sentences(found)
    yield from curve_text.young(found)
    if found.whose:
        yield found.whose
    undecided = sum(one.counts.undecided for one in found.kinds)
    if undecided:
        yield Usual(
            f"{count(undecided, 'is', 'are')} not decided or not known by {found.asked.as_of.isoformat()} and left out."
        )
    without = sum(one.counts.without for one in found.kinds)
    if without:
        yield Usual(f"{count(without, 'was', 'were')} decided, but the {found.axis.word} is not recorded; left out.")
    yield from curve_text.pooled(found)
    if any(isinstance(one.curve, Curve) for one in found.kinds):
        yield Usual(f"The chance is smoothed in the middle of each stretch; its range holds it {found.level * 100:.4g} times in "
                    "100. A window is named only where no level line fits the band of the whole.")  # fmt: skip
    if found.kinds:
        yield Usual(RULES[found.asked.endpoint][1])
