"""take curve: the chance of take as a smooth line over a date, the age of the wood or a diameter, kind by kind.

Only what is decided is counted. A line is drawn where the counts carry one (graftbook.stats.curve); elsewhere the counts
stand alone and a sentence says why. Confounders of x are named, since no line can separate their effect from that of x.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import field, make_dataclass
from datetime import date
from functools import lru_cache
from itertools import repeat
from pathlib import Path
from typing import Any, ClassVar

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, count
from graftbook.actions.outcome.endpoints import COUNTED_AS_KNOWN, ENDPOINTS, RULES
from graftbook.actions.review import curve_axes, curve_text
from graftbook.actions.review.curve_axes import Axis, Read
from graftbook.actions.review.curve_facts import SCREENED, Curves, KindCounts, KindCurve
from graftbook.actions.takes import factors, judging, question
from graftbook.errors import Refused, UsageProblem
from graftbook.season import turn
from graftbook.stats.curve import Curve, Point, curve


class CurveRowText:
    """What people read of a row. `first` and `last` are the ends of its stretch of x."""

    k: int
    n: int
    first: str | float
    last: str | float
    chance: float | None
    low: float | None
    high: float | None

    @property
    def k_of_n(self) -> str:
        """`11 of 15`."""
        return f"{self.k} of {self.n}"

    @property
    def chance_and_range(self) -> str:
        """`73% (48-89)`; empty where no line is drawn."""
        if self.chance is None or self.low is None or self.high is None:
            return ""
        return f"{self.chance * 100:.0f}% ({self.low * 100:.0f}-{self.high * 100:.0f})"

    @property
    def span(self) -> str:
        """`03-28 to 04-03`, or `30 to 35`."""
        first, last = (f"{part:g}" if isinstance(part, float) else str(part) for part in (self.first, self.last))
        return f"{first} to {last}" if first != last else first


@lru_cache(maxsize=64)
def row_type(by: tuple[str, ...], x: str, word: str, endpoint: str) -> type:
    """The class of a row: a field a factor, the stretch of x, then counts, chance and the two ranges."""
    fields: list[Any] = [(factors.field_name(name), "str | None") for name in by]
    fields += [("unit", str), (f"{x}_from", "str | float"), (f"{x}_to", "str | float"), ("k", int), ("n", int)]
    fields += [
        (name, "float | None", field(default=None)) for name in ("chance", "low", "high", "low_whole", "high_whole")
    ]
    fields.append(("level", float, field(default=0.95)))
    shown = (*(factors.field_name(name) for name in by), "unit", "span", "k_of_n", "chance_and_range")
    headings = {"span": word, "k_of_n": endpoint, "chance_and_range": "chance (range)"}
    spaces = {"shown": shown, "headings": headings, "first": property(lambda row: getattr(row, f"{x}_from")),
              "last": property(lambda row: getattr(row, f"{x}_to")),
              "__annotations__": {"shown": ClassVar, "headings": ClassVar}}  # fmt: skip
    return make_dataclass("CurveRow", fields, bases=(CurveRowText,), frozen=True, namespace=spaces)


def take_curve(
    desk: Desk, x: str = "date", by: Sequence[str] = ("species",), endpoint: str = "took", as_of: str | None = None,
    season: str | None = None, level: float = 0.95, output: Path | None = None,
) -> Report:  # fmt: skip
    """The chance over `x` by kind, as rows and sentences; drawn to `output` (PNG, PDF or SVG) where one is named.

    Raises UsageProblem for what cannot be asked, Refused when `output` is named and there is no line to draw, CannotWrite
    when it cannot be written; then nothing is.
    """
    from graftbook.actions.review import take_figures

    if output is not None:
        take_figures.kind_of(output)
    found = curves(desk, x, by, endpoint, as_of, season, level)
    if output is not None:
        _write(found, output)
    kind = row_type(found.by, found.axis.field, found.axis.word, endpoint)
    facts = {"as_of": found.as_of, "season": season, "endpoint": endpoint, "level": level, "by": found.by,
             "x": found.axis.name, "curves": _facts(found)}  # fmt: skip
    rows = tuple(row for one in found.kinds for row in _rows(kind, found, one))
    title = f"Chance over {found.axis.word} ({endpoint}), {found.which}, as of {found.as_of.isoformat()}"
    return Report(kind, rows, tuple(_notes(found)), facts, title=title)


def curves(
    desk: Desk, x: str = "date", by: Sequence[str] = ("species",), endpoint: str = "took", as_of: str | None = None,
    season: str | None = None, level: float = 0.95,
) -> Curves:  # fmt: skip
    """The line of every kind. Raises UsageProblem for what cannot be asked."""
    axis, names = curve_axes.axis_named(x), factors.check(by)
    if endpoint not in ENDPOINTS:
        raise UsageProblem(f"an endpoint is one of {', '.join(ENDPOINTS)}", repr(endpoint))
    curve((), level)
    day = desk.day(as_of, future=True)
    gathered = _gather(desk, axis, names, endpoint, day, season)
    kinds = tuple(
        KindCurve(key[:-1], key[-1], held, curve(held.places(), level))
        for key, held in sorted(gathered.items(), key=lambda item: [str(part or "") for part in item[0]])
    )
    return Curves(axis, desk.settings.hemisphere, names, endpoint, day, season, level, kinds)


def _gather(
    desk: Desk, axis: Axis, names: tuple[str, ...], endpoint: str, day: date, season: str | None
) -> dict[tuple[Any, ...], KindCounts]:
    """The grafts counted by kind, x and day, in one pass over the book by columns."""
    hemisphere = desk.settings.hemisphere
    bounds = turn.season_bounds(season, hemisphere) if season is not None else (None, None)
    asked = question.TakeQuestion(endpoint, day, hemisphere, bounds)
    others = tuple(name for name in SCREENED if name not in names)
    cells: Counter[tuple[Any, ...]] = Counter()
    beside: dict[str, Counter[tuple[Any, ...]]] = {name: Counter() for name in others}
    with desk.book.read() as session:
        read = axis.reader(session, desk)
        for held, fates in judging.judged(session, asked, (*names, *others), axis.columns):
            keys = list(zip(*(judging.factor_values(held, name) for name in names), held["unit"], strict=True))
            results = [fate.outcome for fate in fates]
            at = list(zip(*(held[name] for name in axis.columns), strict=True))
            days = map(date.toordinal, held["made_on"]) if axis.of_the_day else repeat(None, len(at))
            cells.update(zip(keys, results, at, days, strict=True))
            for name, counts in beside.items():
                counts.update(zip(keys, results, judging.factor_values(held, name), at, strict=True))
    return _by_kind(cells, beside, read, endpoint)


def _by_kind(
    cells: Counter[tuple[Any, ...]], beside: dict[str, Counter[tuple[Any, ...]]], read: Read, endpoint: str
) -> dict[tuple[Any, ...], KindCounts]:
    """The counts, kind by kind; x read once for grafts that are alike."""
    known = {"yes", "failed", "lost"} if endpoint in COUNTED_AS_KNOWN else {"yes", "failed"}
    found: dict[tuple[Any, ...], KindCounts] = defaultdict(KindCounts)
    for (key, result, at, day), number in cells.items():
        kind = found[key]
        if result not in known:
            kind.undecided += number if result != "lost" else 0
            continue
        x = read(*at)
        if x is None:
            kind.without += number
            continue
        cell = kind.cells[x, day]
        cell[0] += number if result == "yes" else 0
        cell[1] += number
    for name, counts in beside.items():
        for (key, result, value, at), number in counts.items():
            x = read(*at) if result in known else None
            if x is not None:
                found[key].beside[name][value, x] += number
    return found


def _rows(kind: type, found: Curves, one: KindCurve) -> Iterator[Any]:
    """The counts cut into stretches of x, with the line at the middle of each."""
    xs = [x for x, _day in one.counts.cells]
    if not xs:
        return
    axis, hemisphere, lowest, highest = found.axis, found.hemisphere, min(xs), max(xs)
    for first, after in curve_axes.cuts(axis, xs):
        inside = [cell for (x, _day), cell in one.counts.cells.items() if first <= x < after]
        if not inside:
            continue
        middle = min(max((first + after - (1 if axis.dated else 0)) / 2, lowest), highest)
        point = at(one.curve, middle) if isinstance(one.curve, Curve) else None
        ranges = (
            (None,) * 5 if point is None else (point.chance, point.low, point.high, point.low_whole, point.high_whole)
        )
        last = min(after - 1, highest) if axis.dated else after
        yield kind(*one.key, one.unit, curve_axes.stored(axis, first, hemisphere), curve_axes.stored(axis, last, hemisphere),
                   sum(k for k, _n in inside), sum(n for _k, n in inside), *ranges, found.level)  # fmt: skip


def at(found: Curve, x: float) -> Point:
    """The point of the line nearest to an x."""
    first, last = found.points[0].x, found.points[-1].x
    place = round((x - first) / (last - first) * (len(found.points) - 1))
    return found.points[min(max(place, 0), len(found.points) - 1)]


def _notes(found: Curves) -> Iterator[str]:
    yield from curve_text.sentences(found)
    undecided = sum(one.counts.undecided for one in found.kinds)
    if undecided:
        yield f"{count(undecided, 'is', 'are')} not decided or not known by {found.as_of.isoformat()} and left out."
    without = sum(one.counts.without for one in found.kinds)
    if without:
        yield f"{count(without, 'was', 'were')} decided, but the {found.axis.word} is not recorded; left out."
    yield from curve_text.pooled(found)
    if any(isinstance(one.curve, Curve) for one in found.kinds):
        yield (f"The chance is smoothed in the middle of each stretch; its range holds it {found.level * 100:.4g} times in 100. "
               "A window is named only where no level line fits the band of the whole.")  # fmt: skip
    if found.kinds:
        yield RULES[found.endpoint][1]


def _facts(found: Curves) -> tuple[dict[str, Any], ...]:
    """The facts of each kind's line as a whole, for JSON."""
    return tuple(curve_text.facts(found, one) for one in found.kinds)


def _write(found: Curves, output: Path) -> None:
    from graftbook.actions.review import take_figures

    if not any(isinstance(one.curve, Curve) for one in found.kinds):
        reasons = " ".join(curve_text.sentences(found)) or "Nothing is decided."
        raise Refused(f"no line can be drawn. {reasons}", "", "See the counts without -o")
    take_figures.write(output, take_figures.curve_panels(found))
