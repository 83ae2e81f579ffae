"""take compare: did one way do better than another, how sure is that, and what else changed at the same time.

Only what is decided is counted: k of n on each side, within strata of one kind and one unit (and of one block, where all
are part of a trial). The answer over all strata is that of Mantel and Haenszel; its chance is exact while the numbers are
small, and by the test of Cochran, Mantel and Haenszel when they are not. The crude answer stands beside it, since the two
may point different ways.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import combinations
from typing import Any

from graftbook.actions import compare_words, factors, judging, together
from graftbook.actions.compare_rows import CompareRow, Found, chance, rows
from graftbook.actions.compare_sentences import sentence, warnings
from graftbook.actions.desk import Desk
from graftbook.actions.endpoints import COUNTED_AS_KNOWN, ENDPOINTS, RULES
from graftbook.actions.results import Report, count
from graftbook.errors import NotFound, UsageProblem
from graftbook.season import turn
from graftbook.stats.difference import newcombe
from graftbook.stats.several import holm
from graftbook.stats.strata import Pair, breslow_day, mantel_haenszel

BLOCKS = ("trial", "block")


@dataclass
class Cell:
    """Grafts of one side that are alike in every factor: how many got there, were decided, and are not known yet."""

    side: str
    values: dict[str, Any]
    k: int = 0
    n: int = 0
    undecided: int = 0


def compare(
    desk: Desk, text: str, endpoint: str = "took", as_of: str | None = None, season: str | None = None, level: float = 0.95,
    within: Sequence[str] = ("species",),
) -> Report:  # fmt: skip
    """Two or more ways compared within strata. Raises UsageProblem for what cannot be asked, NotFound when one of the sides
    has no graft at all."""
    asked = compare_words.read(desk, text)
    if endpoint not in ENDPOINTS:
        raise UsageProblem(f"an endpoint is one of {', '.join(ENDPOINTS)}", repr(endpoint))
    newcombe(0, 1, 0, 1, level)
    strata = tuple(name for name in factors.check(within) if name != asked.factor)
    day = desk.day(as_of, future=True)
    cells = _cells(desk, asked, strata, endpoint, day, season)
    _none_missing(asked, cells)
    if asked.factor not in BLOCKS and all(cell.values["block"] is not None for cell in cells):
        strata = tuple(dict.fromkeys((*strata, *BLOCKS)))
    pairs = _in_company([_found(cells, pair, strata, level) for pair in combinations(asked.sides, 2)])
    tied = [_tied(cells, (found.first, found.second), asked.factor, strata) for found in pairs]
    names = tuple(dict.fromkeys(one.name for those in tied for one in those if one.strong))
    facts = {"as_of": day, "season": season, "endpoint": endpoint, "level": level, "within": strata,
             "together_with": names}  # fmt: skip
    notes = (*together.sentences(tied), *_notes(pairs, cells, endpoint, day, strata))
    title = " ".join(
        sentence(found, those, asked.factor, endpoint, strata) for found, those in zip(pairs, tied, strict=True)
    )
    found_rows = tuple(row for found in pairs for row in rows(found, level))
    return Report(CompareRow, found_rows, notes, facts, title=title, group="pair" if len(pairs) > 1 else None)


def _cells(
    desk: Desk, asked: compare_words.Asked, strata: Sequence[str], endpoint: str, day: date, season: str | None
) -> list[Cell]:
    """Every graft of a side, judged and counted with those like it."""
    bounds = turn.season_bounds(season, desk.settings.hemisphere) if season is not None else (None, None)
    names = tuple(dict.fromkeys((asked.factor, *strata, *together.OTHERS, *BLOCKS)))
    known = frozenset({"yes", "failed", "lost"} if endpoint in COUNTED_AS_KNOWN else {"yes", "failed"})
    held: dict[tuple[Any, ...], Counter] = {}
    with desk.book.read() as session:
        for values, outcome in judging.each(
            session,
            desk.settings.hemisphere,
            names,
            endpoint,
            day,
            bounds,
            lambda value: asked.side_of(value) is not None,
        ):
            counts = held.get(values)
            if counts is None:
                counts = held[values] = Counter()
            counts[outcome] += 1
    return [
        Cell(asked.side_of(values[0]), dict(zip((*names, "unit"), values, strict=True)), counts["yes"],
             sum(counts[outcome] for outcome in known), counts["waiting"] + counts["unknown"])
        for values, counts in held.items()
    ]  # fmt: skip


def _none_missing(asked: compare_words.Asked, cells: Sequence[Cell]) -> None:
    held = {cell.side for cell in cells}
    missing = [side for side in asked.sides if side not in held]
    if missing:
        dated = asked.factor == "on"
        what = (
            f"no graft made {' or '.join(missing)}" if dated else f"no graft with {asked.factor} {' or '.join(missing)}"
        )
        raise NotFound(what, "", f"See what there is with: graftbook take --by {'month' if dated else asked.factor}")


def _label(cell: Cell, strata: Sequence[str]) -> str:
    return ", ".join(
        str(cell.values[name] if cell.values[name] is not None else "not recorded") for name in (*strata, "unit")
    )


def _found(cells: Sequence[Cell], sides: tuple[str, str], strata: Sequence[str], level: float) -> Found:
    sums: dict[str, list[int]] = {}
    for cell in cells:
        if cell.side in sides and cell.n:
            held = sums.setdefault(_label(cell, strata), [0, 0, 0, 0])
            place = 2 * sides.index(cell.side)
            held[place] += cell.k
            held[place + 1] += cell.n
    pairs = tuple((label, Pair(*held)) for label, held in sorted(sums.items()))
    told = [pair for _label, pair in pairs]
    p, test = chance(told)
    alike = breslow_day(told)
    odds = mantel_haenszel(told, level)
    return Found(*sides, pairs, odds, p, test, alike.p if alike is not None else None)


def _in_company(pairs: Sequence[Found]) -> list[Found]:
    """The chances of several comparisons made larger for the company they are in (Holm)."""
    larger = iter(holm([found.p for found in pairs if found.p is not None]))
    return [replace(found, p=next(larger)) if found.p is not None else found for found in pairs]


def _tied(
    cells: Sequence[Cell], sides: tuple[str, str], asked: str, strata: Sequence[str]
) -> tuple[together.Tied, ...]:
    """What moved with two sides among their grafts that count; all that were made, while none are decided."""
    theirs = [cell for cell in cells if cell.side in sides]
    decided = [cell for cell in theirs if cell.n] or theirs
    columns = {name: [cell.values[name] for cell in decided] for name in together.OTHERS}
    weights = [cell.n or cell.undecided for cell in decided]
    labels = [_label(cell, strata) for cell in decided]
    return together.tied(columns, [cell.side for cell in decided], weights, labels, asked, strata)


def _notes(
    pairs: Sequence[Found], cells: Sequence[Cell], endpoint: str, day: date, strata: Sequence[str]
) -> Iterator[str]:
    for found in pairs:
        yield from warnings(found, strata)
    undecided = sum(cell.undecided for cell in cells)
    if undecided:
        yield f"{count(undecided, 'is', 'are')} not decided or not known by {day.isoformat()} and counted on neither side."
    if len(pairs) > 1:
        yield "Several were compared at once; each chance is made larger for that (Holm)."
    tests = {found.test for found in pairs if found.p is not None}
    by = "exact within strata" if tests <= {"exact"} else "by the test of Cochran, Mantel and Haenszel"
    few = ", exact where few" if len(tests) > 1 else ""
    yield f"{RULES[endpoint][1]} Ranges are Newcombe's; the chance is {by}{few}."
