"""Take rates: k of n by the factors asked for, with a range, and everything not decided beside them.

Grafts and buds are never put in one row. Totals reconcile: made = took + failed + lost otherwise + waiting + unknown.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, Usual
from graftbook.actions.outcome.endpoints import Fate
from graftbook.actions.takes import factor_text, factors, green_tip, judging
from graftbook.actions.takes.confounding_screen import ConfoundingScreen
from graftbook.actions.takes.question import ask
from graftbook.actions.takes.take_notes import import_notes, notes
from graftbook.actions.takes.take_rows import ExtraColumns, row_of, row_type, waits_of
from graftbook.book import sources
from graftbook.errors import UsageProblem
from graftbook.stats.interval import INTERVALS, Interval
from graftbook.stats.shrink import LEAST_CELLS, shrink


def take(
    desk: Desk, by: Sequence[str], endpoint: str = "took", as_of: str | None = None, season: str | None = None,
    level: float = 0.95, unit: str = "graft", interval: str = "wilson", attempt: str = "any",
    of: str = "decided", extra: ExtraColumns = ExtraColumns(),
) -> Report:  # fmt: skip
    """Rates by any of the factors.

    `season` None means every season; `unit` is `graft` (buds in rows of their own), `bud`, `stock` or `tree` (one got there
    when any of its grafts did); `interval` is `wilson`, `exact` or `jeffreys`; `of` is `decided` or `made`; `attempt` `first`
    leaves out what was grafted on a stock after the first day it was grafted. Raises UsageProblem for a word or a level that is
    none of these.
    """
    names = factors.check(by)
    asked = ask(desk, endpoint, as_of, season, unit, attempt, of)
    _check(unit, of, level, names, extra)
    name, interval_of = _interval(interval)
    screen = ConfoundingScreen(names)
    with desk.book.read() as session:
        judged = judging.judge(session, asked, names, screen, extra.losses)
        imports = sources.imports(session, asked.span)
        tip = (green_tip.sentence(session, asked),) if green_tip.FACTOR in names else ()
    kind = row_type(names, endpoint if of == "decided" else f"{endpoint} of {of.replace('-', ' ')}", extra)
    cells = sorted(judged.cells.items(), key=lambda item: [factor_text.sort_key(part) for part in item[0]])
    ranged = partial(interval_of, level=level)
    rows = tuple(row_of(kind, group, cell, asked, ranged, extra) for group, cell in cells)
    rows, why_not = shrunk(rows) if extra.shrink else (rows, ())
    facts = {**asked.facts, "level": level, "by": names, "interval": interval.strip().lower(),
             "waits": _waits(names, cells), **({"causes": _causes(names, judged)} if extra.losses else {})}  # fmt: skip
    under = (
        *notes(judged, names, rows, asked, name, extra),
        *tip,
        *why_not,
        *screen.sentences(),
        *import_notes(imports),
    )
    first = ", first attempts" if attempt == "first" else ""
    title = f"{endpoint.capitalize()}{asked.of_what}, {asked.which}{first}, as of {asked.as_of.isoformat()}"
    return Report(kind, rows, under, facts, title=title, empty=asked.nothing)


def _waits(names: Sequence[str], cells: Sequence[tuple[tuple[Any, ...], Counter[Fate]]]) -> tuple[dict[str, Any], ...]:
    """What waits, by row and by the state it was last seen in (None: never looked at)."""
    keys = (*map(factors.field_name, names), "unit")
    return tuple({**dict(zip(keys, group, strict=True)), "last_seen": state, "waiting": many}
                 for group, cell in cells for state, many in waits_of(cell).items())  # fmt: skip


def _causes(names: Sequence[str], judged: judging.Judged) -> tuple[dict[str, Any], ...]:
    """What losses were said to be caused by, by row; what was not said stands as such."""
    keys = (*map(factors.field_name, names), "unit")
    return tuple({**dict(zip(keys, group, strict=True)), "cause": cause, "died": many}
                 for group, held in judged.causes.items() for cause, many in held.items())  # fmt: skip


def _check(unit: str, of: str, level: float, names: Sequence[str], extra: ExtraColumns) -> None:
    if not 0 < level < 1:
        raise UsageProblem("a level between 0 and 1, such as 0.95", repr(level))
    if extra.bounds and of != "decided":
        raise UsageProblem("--bounds with --of decided", f"--of {of}", "Of all made, what is not known counts already")
    if extra.losses and unit in ("stock", "tree"):
        raise UsageProblem("--losses with --unit graft or bud", f"--unit {unit}", "Losses are counted by grafts")
    if extra.shrink and ("species" not in names or len(names) < 2):
        asked = "species and another factor in --by with --shrink"
        raise UsageProblem(asked, ", ".join(names) or "none", "A row is drawn towards the others of its kind")


def _interval(asked: str) -> tuple[str, Callable[..., Interval]]:
    """The interval asked for: its name for people, and the function that computes it."""
    for name, title, interval_of in INTERVALS:
        if name == asked.strip().lower():
            return title, interval_of
    raise UsageProblem(f"an interval is one of {', '.join(entry[0] for entry in INTERVALS)}", repr(asked))


_SHRINKAGE_NOTE = Usual(
    "Shrunk: each row drawn towards the others of its kind, by as much as those differ among themselves and as few as stand in "
    "the row; a guess at what the row would come to with many more, and not a count."
)


def shrunk(rows: Sequence[Any]) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    """The rows with rates by partial pooling within each kind (stats/shrink.py), and the notes on it."""
    kinds: dict[tuple[str | None, str], list[int]] = {}
    for place, row in enumerate(rows):
        if row.rate is not None or not row.n:
            kinds.setdefault((row.species, row.unit), []).append(place)
    done, without = list(rows), []
    for (species, unit), places in kinds.items():
        found = shrink([(rows[at].k, rows[at].n) for at in places], rows[places[0]].level)
        if found is None:
            without.append(f"{species or 'kind not recorded'} {unit}s")
            continue
        for at, one in zip(places, found, strict=True):
            done[at] = replace(rows[at], shrunk_rate=one.rate, shrunk_low=one.low, shrunk_high=one.high)
    notes: list[str] = [_SHRINKAGE_NOTE] if len(without) < len(kinds) else []
    if without:
        notes.append(
            f"Not shrunk: {', '.join(without)}; that takes {LEAST_CELLS} rows of a kind or more, in one of which some took and "
            "some did not."
        )
    return tuple(done), tuple(notes)
