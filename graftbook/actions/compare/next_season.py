"""take next: the balanced split that would tell two ways apart, and what the wood in store can make of it.

Half of each bundle goes each way, so that wood, kind and mother tree cannot be mistaken for the method. How many are
needed is computed from the rates this book has, or from those the person names.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from graftbook.actions.compare import compare_phrase, comparison
from graftbook.actions.compare.compare_rows import ALL
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, code_list, count
from graftbook.actions.names import shown_names
from graftbook.actions.outcome import alive
from graftbook.actions.takes import factors
from graftbook.book import wood_queries
from graftbook.book.balances import balances
from graftbook.errors import UsageProblem
from graftbook.stats.interval import wilson
from graftbook.stats.power import detectable_difference, fisher_power, needed_per_group
from graftbook.trade import taxa

USUAL_BUDS = 2
MOST_EXACT = 200
NOT_SPLIT = ("species", "cultivar", "wood", "season", "trial", "block")
"""Factors that both halves of a bundle share, so that no trial can split it by them."""


@dataclass(frozen=True)
class SplitRow:
    """One bundle: scions it can make from the sticks left, and how many go each way, the odd one kept back. A stick whose
    buds were not counted is counted as one scion."""

    wood: str
    cultivar: str | None
    species: str | None
    sticks: int
    scions: int
    each_way: int
    kept_back: int
    headings: ClassVar = {"each_way": "each way", "kept_back": "kept back"}


def plan(
    desk: Desk, text: str, endpoint: str = "took", power: float = 0.8, rates: str | None = None, buds: int = USUAL_BUDS,
    species: str | None = None, as_of: str | None = None, season: str | None = None,
) -> Report:  # fmt: skip
    """How many grafts a side would tell two ways apart, and how the wood in store is split to make them.

    `rates` names the two rates to tell apart (`0.7,0.9`); None takes those of this book, as of a day and of one season
    where these are given. `power` is the chance, 0 to 1, of showing the difference. Raises UsageProblem for what cannot be
    asked, and where neither the book nor the person gives two rates.
    """
    asked = compare_phrase.read(desk, text)
    if len(asked.sides) != 2:
        raise UsageProblem("two ways to compare", f"{len(asked.sides)}", "Compare two at a time")
    if asked.factor in NOT_SPLIT:
        raise UsageProblem(
            "something that halves of one bundle can differ in, such as method, stock or on", asked.factor
        )
    if not 1 <= buds <= 20:
        raise UsageProblem("from 1 to 20 buds a scion", str(buds))
    first, second, origin, unsure = _rates(desk, text, endpoint, rates, as_of, season)
    rows = tuple(_rows(desk, buds, species))
    a_side = sum(row.each_way for row in rows)
    needed = needed_per_group(first, second, power) if first != second else None
    facts = {"as_of": desk.today, "power": power, "rate_first": first, "rate_second": second, "a_side": a_side,
             "needed_a_side": needed}  # fmt: skip
    title = _sentence(asked.sides, first, second, origin, a_side, needed, power)
    notes = (*unsure, *_can(rows, first, second, a_side, power), *_stocks(desk, rows), *_how(rows, asked, buds))
    return Report(SplitRow, rows, notes, facts, title=title)


def _rates(
    desk: Desk, text: str, endpoint: str, rates: str | None, as_of: str | None, season: str | None
) -> tuple[float, float, str, tuple[str, ...]]:
    """Two rates, where they come from, and how unsure they are."""
    if rates is not None:
        try:
            first, second = (float(part.strip().rstrip("%")) / (100 if "%" in part else 1) for part in rates.split(","))
        except ValueError:
            raise UsageProblem("two rates, such as 0.7,0.9", repr(rates)) from None
        return first, second, "the rates named", ()
    found = comparison.compare(desk, text, endpoint, as_of, season).rows
    held = next((row for row in reversed(found) if row.stratum == ALL and row.n_first and row.n_second), found[-1])
    if not held.n_first or not held.n_second:
        raise UsageProblem(
            "decided grafts on both sides", "none on one", "Name the rates to tell apart with --rates 0.7,0.9"
        )
    ends = [(side, wilson(k, n)) for side, k, n in (
        (held.first, held.k_first, held.n_first), (held.second, held.k_second, held.n_second))]  # fmt: skip
    ranges = " and ".join(f"{side} {end.k} of {end.n}, from {end.low:.0%} to {end.high:.0%}" for side, end in ends)
    note = f"The rates of this book could be others: {ranges}. If they lie closer, more are needed."
    return held.k_first / held.n_first, held.k_second / held.n_second, "the rates of this book", (note,)


def _rows(desk: Desk, buds: int, species: str | None) -> Iterator[SplitRow]:
    with desk.book.read() as session:
        left = balances(session)
        bundles = wood_queries.bundles(session)
        names = shown_names.of(session, bundles)
        for bundle in bundles:
            sticks = left[bundle.id].left if bundle.id in left else 0
            kind = taxa.common_name(bundle.taxon)
            if sticks > 0 and (species is None or species.casefold() in (kind or "").casefold()):
                scions = sticks if bundle.buds_per_stick is None else sticks * (bundle.buds_per_stick // buds)
                yield SplitRow(bundle.code, names.of(bundle).cultivar, kind, sticks, scions, scions // 2, scions % 2)


def _sentence(
    sides: Sequence[str], first: float, second: float, origin: str, a_side: int, needed: int | None, power: float
) -> str:
    ask = f"To tell {sides[0]} at {first:.0%} from {sides[1]} at {second:.0%} ({origin})"
    if needed is None:
        return f"{ask} no number is enough: the rates are alike. Name a difference worth knowing with --rates."
    able = "enough" if a_side >= needed else f"{needed - a_side} a side too few"
    wanted = f"{count(needed, 'graft')} a side are needed"
    return f"{ask} with a chance of {power:.0%}, {wanted}; the wood in store makes {a_side}: {able}."


def _can(rows: Sequence[SplitRow], first: float, second: float, a_side: int, power: float) -> Iterator[str]:
    """What the wood in store can show."""
    if not rows:
        yield "There is no wood with sticks left to split."
    if not a_side:
        return
    if first != second and a_side <= MOST_EXACT:
        yield (f"With {a_side} a side that difference is shown with a chance of {fisher_power(a_side, first, second):.0%} "
               "(Fisher's exact test).")  # fmt: skip
    fall, rise = detectable_difference(a_side, first, power), detectable_difference(a_side, 1 - first, power)
    ways = [*([f"a fall from {first:.0%} to {max(first - fall, 0):.0%}, or more"] if fall is not None else []),
            *([f"a rise from {first:.0%} to {min(first + rise, 1):.0%}, or more"] if rise is not None else [])]  # fmt: skip
    if ways:
        yield f"{a_side} a side would show {', and '.join(ways)}, with a chance of {power:.0%}."
    else:
        yield f"{a_side} a side would show no difference at all with that chance."


def _stocks(desk: Desk, rows: Sequence[SplitRow]) -> Iterator[str]:
    """How many stocks stand ready, by kind, beside how many both sides want."""
    wanted = 2 * sum(row.each_way for row in rows)
    if not wanted:
        return
    with desk.book.read() as session:
        free = alive.free_stocks(session, desk.today)
        kinds = Counter(taxa.common_name(plant.taxon) or "kind not recorded" for plant in free)
    by_kind = f" ({', '.join(f'{kind} {number}' for kind, number in sorted(kinds.items()))})" if kinds else ""
    lack = f"; {wanted - len(free)} too few" if len(free) < wanted else ""
    stand = count(len(free), "stock stands", "stocks stand")
    yield f"Both sides want {count(wanted, 'place')} to graft on; {stand} free{by_kind}{lack}."


def _how(rows: Sequence[SplitRow], asked: compare_phrase.Comparison, buds: int) -> Iterator[str]:
    """The balanced split in words."""
    if not rows:
        return
    kinds: Counter[str] = Counter()
    for row in rows:
        kinds[row.species or "kind not recorded"] += row.each_way
    if len(kinds) > 1:
        yield f"A side by kind: {', '.join(f'{kind} {number}' for kind, number in sorted(kinds.items()))}."
    short = [row.wood for row in rows if not row.scions]
    if short:
        yield f"Too few buds on a stick for a scion of {count(buds, 'bud')}: {code_list(tuple(short))}."
    yield (f"Give half of each bundle to {asked.sides[0]} and half to {asked.sides[1]}, drawn by lot, {_alike(asked.factor)}; "
           f"scions of {count(buds, 'bud')}.")  # fmt: skip
    yield "Record each with graft --trial NAME --block BUNDLE: take compare then holds the bundles apart."
    yield "Needed a side by Fleiss' formula with its correction, two-sided at 0.05."


def _alike(factor: str) -> str:
    """What both halves are to have in common."""
    if factor in factors.DATED:
        return "on like stocks and by the same hands"
    return f"on the same days{'' if factor == 'stock' else ', stocks'} and by the same hands"
