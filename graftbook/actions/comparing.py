"""take compare: did one way do better than another, how sure is that, and what else changed at the same time.

Only what is decided is counted: k of n on each side, within strata of one kind and one unit (and of one block, where all
are part of a trial). The answer over all strata is that of Mantel and Haenszel, its chance exact while the numbers are
small. The crude answer stands beside it, since the two may point different ways.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import inf
from typing import Any, ClassVar

from graftbook.actions import compare_words, factors, judging
from graftbook.actions.compare_sentences import SELDOM, sentence, together_sentences
from graftbook.actions.desk import Desk
from graftbook.actions.endpoints import COUNTED_AS_KNOWN, ENDPOINTS, RULES
from graftbook.actions.results import Report, count
from graftbook.errors import NotFound, UsageProblem
from graftbook.season import turn
from graftbook.stats.association import Together, together
from graftbook.stats.difference import newcombe
from graftbook.stats.several import holm
from graftbook.stats.strata import Pair, breslow_day, cmh, exact_conditional, mantel_haenszel

EXACT_UP_TO = 3_000
TANGLED = ("species", "month", "stock", "cultivar", "wood", "tie", "stage", "place", "bench", "method")
ALL, CRUDE = "all strata", "thrown together"


@dataclass(frozen=True)
class CompareRow:
    """One stratum, or all of them: k of n on each side, the difference of the rates with its range (first less second).

    `odds_ratio` is the common odds ratio over strata, on the row of all strata only. None where a side has nothing decided.
    """

    first: str
    second: str
    stratum: str
    k_first: int
    n_first: int
    k_second: int
    n_second: int
    difference: float | None
    low: float | None
    high: float | None
    odds_ratio: float | None = None
    odds_low: float | None = None
    odds_high: float | None = None
    p: float | None = None
    level: float = 0.95
    shown: ClassVar = ("stratum", "side_one", "side_two", "gap")
    headings: ClassVar = {"side_one": "first", "side_two": "second", "gap": "difference, in points (range)"}

    @property
    def side_one(self) -> str:
        """`11 of 15`, the first side."""
        return f"{self.k_first} of {self.n_first}"

    @property
    def side_two(self) -> str:
        """`3 of 14`, the second side."""
        return f"{self.k_second} of {self.n_second}"

    @property
    def gap(self) -> str:
        """`+52 (+18 to +73)`; over several strata the common odds ratio; empty where a side has nothing decided."""
        if self.odds_ratio is not None and self.difference is None:
            ends = (
                f" ({self.odds_low:.2g}-{self.odds_high:.2g})"
                if self.odds_low is not None and self.odds_high is not None
                else ""
            )
            return f"odds ratio {self.odds_ratio:.2g}{ends}"
        if self.difference is None or self.low is None or self.high is None:
            return ""
        return f"{self.difference * 100:+.0f} ({self.low * 100:+.0f} to {self.high * 100:+.0f})"


@dataclass(frozen=True)
class Found:
    """One pair of sides: its strata, and what they say together. `p` is already larger for the company it is in."""

    first: str
    second: str
    strata: tuple[tuple[str, Pair], ...]
    odds: Any
    p: float | None
    differ: float | None

    @property
    def crude(self) -> Pair:
        """All strata thrown together."""
        return Pair(*(sum(getattr(pair, name) for _label, pair in self.strata) for name in ("k1", "n1", "k2", "n2")))

    @property
    def both(self) -> int:
        """Decided in strata in which both sides were used."""
        return sum(pair.total for _label, pair in self.strata if min(pair.n1, pair.n2))


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
    bounds = turn.season_bounds(season, desk.settings.hemisphere) if season is not None else (None, None)
    names = tuple(dict.fromkeys((asked.factor, *strata, *TANGLED, "trial", "block")))
    with desk.book.read() as session:
        judged = judging.judge(session, desk.settings.hemisphere, names, endpoint, day, bounds, False)
    cells = list(_cells(judged, names, asked))
    _none_missing(asked, cells)
    blocked = all(cell["block"] is not None for cell, _side, _outcomes in cells)
    strata = (*strata, *(("trial", "block") if blocked else ()))
    pairs = [_found(cells, pair, strata, endpoint, level) for pair in combinations(asked.sides, 2)]
    pairs = _in_company(pairs)
    rows = tuple(row for found in pairs for row in _rows(found, level))
    tied = _tied(cells, asked, strata)
    facts = {"as_of": day, "season": season, "endpoint": endpoint, "level": level, "within": strata,
             "together_with": tuple(name for name, how in tied if how.strong)}  # fmt: skip
    notes = tuple(_notes(pairs, tied, cells, asked, endpoint, day, strata))
    return Report(CompareRow, rows, notes, facts, title=" ".join(sentence(found, tied, endpoint) for found in pairs))


def _cells(
    judged: judging.Judged, names: tuple[str, ...], asked: compare_words.Asked
) -> Iterator[tuple[dict, str, Counter]]:
    """Each cell that belongs to a side: the factors' values, the side, the outcomes."""
    for values, outcomes in judged.cells.items():
        cell = {**dict(zip(names, values[:-1], strict=True)), "unit": values[-1]}
        side = asked.side_of(cell[asked.factor])
        if side is not None:
            yield cell, side, outcomes


def _none_missing(asked: compare_words.Asked, cells: Sequence[tuple[dict, str, Counter]]) -> None:
    held = {side for _cell, side, _outcomes in cells}
    missing = [side for side in asked.sides if side not in held]
    if missing:
        raise NotFound(
            f"no graft with {asked.factor} {' or '.join(missing)}", "",
            f"See what there is with: graftbook take --by {asked.factor if asked.factor != 'on' else 'month'}",
        )  # fmt: skip


def _decided(outcomes: Counter, endpoint: str) -> tuple[int, int]:
    lost = outcomes["lost"] if endpoint in COUNTED_AS_KNOWN else 0
    return outcomes["yes"], outcomes["yes"] + outcomes["failed"] + lost


def _found(cells: Sequence[tuple], sides: tuple[str, str], strata: Sequence[str], endpoint: str, level: float) -> Found:
    sums: dict[str, list[int]] = {}
    for cell, side, outcomes in cells:
        if side in sides:
            label = ", ".join(
                str(cell[name] if cell[name] is not None else "not recorded") for name in (*strata, "unit")
            )
            k, n = _decided(outcomes, endpoint)
            place = 2 * sides.index(side)
            held = sums.setdefault(label, [0, 0, 0, 0])
            held[place] += k
            held[place + 1] += n
    pairs = tuple((label, Pair(*held)) for label, held in sorted(sums.items()) if held[1] + held[3])
    told = [pair for _label, pair in pairs]
    small = sum(pair.total for pair in told) <= EXACT_UP_TO
    test = None if small else cmh(told)
    chance = exact_conditional(told) if small else test.p if test is not None else None
    same = breslow_day(told)
    return Found(*sides, pairs, mantel_haenszel(told, level), chance, same.p if same is not None else None)


def _turned(found: Found) -> bool:
    """Whether the sum points the other way than the strata, where either of them is more than luck."""
    crude, value = found.crude, found.odds.value
    gap = newcombe(crude.k1, crude.n1, crude.k2, crude.n2)
    if len(found.strata) < 2 or not gap.difference or value is None or value == 1:
        return False
    sure = gap.low > 0 or gap.high < 0 or (found.p is not None and found.p < SELDOM)
    return sure and (gap.difference > 0) != (value > 1)


def _in_company(pairs: Sequence[Found]) -> list[Found]:
    """The chances of several comparisons made larger for the company they are in (Holm)."""
    known = [found.p for found in pairs if found.p is not None]
    larger = iter(holm(known))
    return [replace(found, p=next(larger)) if found.p is not None else found for found in pairs]


def _rows(found: Found, level: float) -> Iterator[CompareRow]:
    for label, pair in found.strata:
        yield _row(found, label, pair, level)
    odds = found.odds
    ends = (None if value is None or value == inf else value for value in (odds.value, odds.low, odds.high))
    keys = ("odds_ratio", "odds_low", "odds_high")
    crude = _row(found, CRUDE, found.crude, level)
    if len(found.strata) > 1:
        used = [pair for _label, pair in found.strata if min(pair.n1, pair.n2)]
        both = Pair(*(sum(getattr(pair, name) for pair in used) for name in ("k1", "n1", "k2", "n2")))
        yield replace(_row(found, ALL, both, level), difference=None, low=None, high=None, p=found.p,
                      **dict(zip(keys, ends, strict=True)))  # fmt: skip
        yield crude
    else:
        yield replace(crude, stratum=ALL, p=found.p, **dict(zip(keys, ends, strict=True)))


def _row(found: Found, label: str, pair: Pair, level: float) -> CompareRow:
    gap = newcombe(pair.k1, pair.n1, pair.k2, pair.n2, level)
    return CompareRow(found.first, found.second, label, pair.k1, pair.n1, pair.k2, pair.n2, gap.difference, gap.low, gap.high,
                      level=level)  # fmt: skip


def _tied(cells: Sequence[tuple], asked: compare_words.Asked, strata: Sequence[str]) -> list[tuple[str, Together]]:
    """Every recorded factor that moved with the one asked about, most closely tied first; strata are held apart already."""
    found = []
    weights = [outcomes.total() for _cell, _side, outcomes in cells]
    sides = [side for _cell, side, _outcomes in cells]
    for name in TANGLED:
        dated = asked.factor in ("on", "week", "half-month", "month", "season") and name in ("month", "stage")
        if name != asked.factor and name not in strata and not dated:
            values = [cell[name] for cell, _side, _outcomes in cells]
            how = together(values, sides, weights) if any(value is not None for value in values) else None
            if how is not None:
                found.append((name, how))
    return sorted(found, key=lambda item: (not item[1].wholly, -item[1].v))


def _notes(
    pairs: Sequence[Found], tied: Sequence[tuple[str, Together]], cells: Sequence[tuple], asked: compare_words.Asked,
    endpoint: str, day: Any, strata: Sequence[str],
) -> Iterator[str]:  # fmt: skip
    yield from together_sentences(asked.factor, tied)
    for found in pairs:
        if _turned(found):
            yield (f"{found.first} and {found.second} point one way thrown together and the other within "
                   f"{' and '.join(strata)}: believe the strata, not the sum.")  # fmt: skip
        if found.differ is not None and found.differ < 0.05:
            yield f"How {found.first} and {found.second} compare is not the same in every stratum: read the rows, not the sum."
        alone = sum(pair.total for _label, pair in found.strata if not min(pair.n1, pair.n2))
        if alone:
            verbs = ("stands", "says") if alone == 1 else ("stand", "say")
            both = f"{found.first} and {found.second}"
            yield f"{alone:,} {verbs[0]} in strata where only one of {both} was used, and {verbs[1]} nothing."
    undecided = sum(outcomes["waiting"] + outcomes["unknown"] for _cell, _side, outcomes in cells)
    if undecided:
        yield f"{count(undecided, 'is', 'are')} not decided or not known by {day.isoformat()} and counted on neither side."
    if len(pairs) > 1:
        yield "Several were compared at once; each chance is made larger for that (Holm)."
    yield f"{RULES[endpoint][1]} Ranges are Newcombe's; the chance is exact within strata."
