"""Take rates: k of n by the factors asked for, with a range, and everything not decided beside them.

Grafts and buds are never put in one row. Totals reconcile: made = took + failed + lost otherwise + waiting + unknown.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import field, make_dataclass
from datetime import date
from functools import lru_cache, partial
from typing import Any, ClassVar

from graftbook.actions import factors, judging
from graftbook.actions.desk import Desk
from graftbook.actions.endpoints import COUNTED_AS_KNOWN, ENDPOINTS, RULES
from graftbook.actions.results import Report, count
from graftbook.actions.together import Watch
from graftbook.errors import UsageProblem
from graftbook.season import turn
from graftbook.stats.interval import INTERVALS, Interval

SMALL = 10
_COUNTS = ("made", "took", "failed", "lost_otherwise", "waiting", "unknown", "k", "n")
UNITS = ("graft", "stock")


class _Shown:
    """What people read of a row: k of n before any percentage."""

    @property
    def counted(self) -> str:
        """`12 grafts`: how many were made, with what was counted."""
        return count(self.made, self.unit)

    @property
    def k_of_n(self) -> str:
        """`11 of 15`; says so where nothing is decided."""
        return f"{self.k} of {self.n}" if self.n else "none yet"

    @property
    def rate_and_range(self) -> str:
        """`73% (48-89)`, empty where nothing is decided."""
        return f"{self.rate * 100:.0f}% ({self.low * 100:.0f}-{self.high * 100:.0f})" if self.n else ""


@lru_cache(maxsize=64)
def row_type(by: tuple[str, ...], endpoint: str) -> type:
    """The class of a take row: a field a factor, then the promised ones."""
    fields: list[Any] = [(factors.field_name(name), "str | None") for name in by]
    fields += [("unit", str), *((name, int) for name in _COUNTS)]
    fields += [(name, "float | None", field(default=None)) for name in ("rate", "low", "high")]
    fields.append(("level", float, field(default=0.95)))
    shown = (*(factors.field_name(name) for name in by), "counted", "k_of_n", "rate_and_range", "waiting", "unknown",
             "lost_otherwise")  # fmt: skip
    headings = {"counted": "made", "k_of_n": endpoint, "rate_and_range": "rate (range)", "waiting": "not yet",
                "unknown": "not known", "lost_otherwise": "lost"}  # fmt: skip
    namespace = {"shown": shown, "headings": headings, "__annotations__": {"shown": ClassVar, "headings": ClassVar}}
    return make_dataclass("TakeRow", fields, bases=(_Shown,), frozen=True, namespace=namespace)


def take(
    desk: Desk,
    by: Sequence[str] = (),
    endpoint: str = "took",
    as_of: str | None = None,
    season: str | None = None,
    level: float = 0.95,
    unit: str = "graft",
    interval: str = "wilson",
) -> Report:
    """Rates by any of the factors. `season` None means every season; `unit` is `graft` (buds in rows of their own) or
    `stock` (a stock took when any of its grafts did); `interval` is `wilson`, `exact` or `jeffreys`. Raises UsageProblem
    for an unknown factor, endpoint, level or interval."""
    names = factors.check(by)
    _check(endpoint, unit, level)
    said, reckon = _interval(interval)
    day = desk.day(as_of, future=True)
    bounds = turn.season_bounds(season, desk.settings.hemisphere) if season is not None else (None, None)
    watch = Watch(names)
    with desk.book.read() as session:
        judged = judging.judge(session, desk.settings.hemisphere, names, endpoint, day, bounds, unit == "stock", watch)
    kind, reckon = row_type(names, endpoint), partial(reckon, level=level)
    rows = tuple(
        _row(kind, group, cells, endpoint, reckon) for group, cells in sorted(judged.cells.items(), key=_order)
    )
    facts = {"as_of": day, "season": season, "endpoint": endpoint, "level": level, "by": names,
             "interval": interval.strip().lower()}  # fmt: skip
    notes = (*_notes(judged, names, rows, endpoint, day, said), *watch.sentences())
    return Report(kind, rows, notes, facts, title=_title(endpoint, day, season))


def _check(endpoint: str, unit: str, level: float) -> None:
    if endpoint not in ENDPOINTS:
        raise UsageProblem(f"an endpoint is one of {', '.join(ENDPOINTS)}", repr(endpoint))
    if unit not in UNITS:
        raise UsageProblem("the unit counted is graft or stock", repr(unit))
    if not 0 < level < 1:
        raise UsageProblem("a level between 0 and 1, such as 0.95", repr(level))


def _order(item: tuple[tuple[Any, ...], Counter]) -> tuple:
    return tuple(("" if part is None else str(part)) for part in item[0])


def _interval(asked: str) -> tuple[str, Callable[..., Interval]]:
    """The interval asked for: its name for people, and what reckons it."""
    for name, said, reckon in INTERVALS:
        if name == asked.strip().lower():
            return said, reckon
    raise UsageProblem(f"an interval is one of {', '.join(entry[0] for entry in INTERVALS)}", repr(asked))


def _row(
    kind: type, group: tuple[Any, ...], cells: Counter, endpoint: str, reckon: Callable[[int, int], Interval]
) -> Any:
    made = cells.total()
    yes, failed, lost = cells["yes"], cells["failed"], cells["lost"]
    n = yes + failed + (lost if endpoint in COUNTED_AS_KNOWN else 0)
    if made != yes + failed + lost + cells["waiting"] + cells["unknown"]:
        raise AssertionError(f"take does not add up for {group}: {dict(cells)}")
    found = reckon(yes, n)
    return kind(*group, made, yes, failed, lost, cells["waiting"], cells["unknown"], yes, n, found.rate, found.low,
                found.high, found.level)  # fmt: skip


def _title(endpoint: str, day: date, season: str | None) -> str:
    which = f"grafts of {season}" if season is not None else "grafts of all seasons"
    return f"{endpoint.capitalize()}, {which}, as of {day.isoformat()}"


def _notes(
    judged: judging.Judged, names: tuple[str, ...], rows: Sequence[Any], endpoint: str, day: date, said: str
) -> tuple[str, ...]:
    notes = [RULES[endpoint][1], f"The range is a {rows[0].level * 100:.4g} % {said} interval." if rows else ""]
    if judged.waiting:
        notes.append(
            f"{count(judged.waiting, 'is', 'are')} not decided by {day.isoformat()} and counted neither way. Failures often "
            "show before takes, so while many wait a percentage may read low."
        )
    if judged.unsure:
        notes.append(f"In {count(judged.unsure, 'loss', 'losses')} the cause was unsure; those count as failed.")
    if any(row.lost_otherwise for row in rows):
        notes.append("Lost: gone before it could be judged, for a cause that was not the union.")
    if any(0 < row.n < SMALL for row in rows):
        notes.append(f"Some rows rest on fewer than {SMALL} decided: read the range, not the percentage.")
    if "species" not in names and len(judged.species) > 1:
        kinds = ", ".join(f"{name} {number}" for name, number in judged.species.most_common(6))
        notes.append(f"This pools kinds that take differently ({kinds}): add species to --by before comparing.")
    notes += judged.notes
    return tuple(note for note in notes if note)
