"""take next: the balanced split that would tell two ways apart, and what the wood in store can make of it.

Half of each bundle goes each way, so that wood, kind and mother tree cannot be mistaken for the method. How many are
needed is computed from the rates this book has within kinds, or from those the person names. Only wood that will be usable
on the day of grafting is split (of two days, on both), and a split that cannot be made is refused.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date

from graftbook.actions.compare import compare_phrase
from graftbook.actions.compare.compare_phrase import Comparison
from graftbook.actions.compare.split_wood import SplitRow, SplitWood, reasons, split_wood
from graftbook.actions.compare.trial_rates import named, of_book
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, Usual, code_list, count
from graftbook.actions.outcome import alive
from graftbook.actions.takes import advice
from graftbook.errors import UsageProblem
from graftbook.stats.power import detectable_difference, fisher_power, needed_per_group
from graftbook.trade import taxa

USUAL_BUDS = 2
MOST_EXACT = 200


def plan(
    desk: Desk, text: str, endpoint: str = "took", power: float = 0.8, rates: str | None = None, buds: int = USUAL_BUDS,
    species: str | None = None, as_of: str | None = None, season: str | None = None, on: str | None = None,
) -> Report:  # fmt: skip
    """How many grafts a side would tell two ways apart, and how the wood in store is split to make them.

    `rates` names the two rates to tell apart (`0.7,0.9`); None takes those of this book, as of a day and of one season
    where these are given. `on` is the day of grafting, that of the first half where days are compared (None: today). `power` is
    the chance, 0 to 1, of showing the difference. Raises UsageProblem for what cannot be asked, and where neither the book nor
    the person gives two rates.
    """
    asked = compare_phrase.read(desk, text)
    _check(asked, buds)
    days, each = _days(desk, asked, on), _buds(asked, buds)
    told = named(rates) if rates is not None else of_book(desk, text, endpoint, as_of, season, species)
    first, second = told.first, told.second
    with desk.book.read() as session:
        wood = split_wood(session, days, each, species)
    rows = tuple(wood.rows)
    a_side = sum(row.each_way for row in rows)
    needed = needed_per_group(first, second, power) if first != second else None
    facts = {"as_of": desk.today, "power": power, "rate_first": first, "rate_second": second, "a_side": a_side,
             "needed_a_side": needed}  # fmt: skip
    title = _sentence(asked.sides, first, second, told.origin, a_side, needed, power)
    notes = (*told.notes, *_left_out(wood), *_can(rows, first, second, a_side, power), *_stocks(desk, rows, days),
             *_how(rows, asked, each, days))  # fmt: skip
    return Report(SplitRow, rows, notes, facts, title=title)


def _check(asked: Comparison, buds: int) -> None:
    if len(asked.sides) != 2:
        raise UsageProblem("two ways to compare", f"{len(asked.sides)}", "Compare two at a time")
    if not advice.splits_a_bundle(asked.factor) and asked.factor != "on":
        raise UsageProblem(
            "something that halves of one bundle can differ in, such as method, stock, tie or on (a day)", asked.factor,
            advice.advice(asked.factor),
        )  # fmt: skip
    if not 1 <= buds <= 20:
        raise UsageProblem("from 1 to 20 buds a scion", str(buds))


def _days(desk: Desk, asked: Comparison, on: str | None) -> tuple[date, ...]:
    """The days on which the halves are to be grafted: one, or two where days are compared. Raises UsageProblem for days that
    cannot be."""
    day = desk.day(on, future=True)
    if asked.factor != "on":
        return (day,)
    days = [asked.bound] if asked.bound is not None else [date.fromisoformat(side) for side in asked.sides]
    days = sorted({day, *days} if asked.bound is not None else set(days))
    if len(days) < 2 or days[0] < day:
        hint = "The first half is grafted on the day said with --on (default: today), the other on the later day"
        late = " and ".join(sorted(one.isoformat() for one in days))
        raise UsageProblem(f"two days to graft on, none before {day.isoformat()}", late, hint)
    return tuple(days)


def _buds(asked: Comparison, buds: int) -> tuple[int, int]:
    """Buds of a scion on each side. Raises UsageProblem where buds are compared by something else than two numbers."""
    if asked.factor != "buds":
        return buds, buds
    if not all(side.isdigit() and int(side) for side in asked.sides):
        raise UsageProblem("two numbers of buds, such as buds=1,2", " and ".join(asked.sides))
    first, second = map(int, asked.sides)
    return first, second


def _sentence(
    sides: Sequence[str], first: float, second: float, origin: str, a_side: int, needed: int | None, power: float
) -> str:
    ask = f"To tell {sides[0]} at {first:.0%} from {sides[1]} at {second:.0%} ({origin})"
    if needed is None:
        return f"{ask} no number is enough: the rates are alike. Name a difference worth knowing with --rates."
    able = "enough" if a_side >= needed else f"{needed - a_side} a side too few"
    wanted = f"{count(needed, 'graft')} a side are needed"
    return f"{ask} with a chance of {power:.0%}, {wanted}; the wood in store makes {a_side}: {able}."


def _left_out(wood: SplitWood) -> Iterator[str]:
    if wood.left_out:
        yield f"Left out: {reasons(wood.left_out)}."


def _can(rows: Sequence[SplitRow], first: float, second: float, a_side: int, power: float) -> Iterator[str]:
    """What the wood in store can show."""
    if not rows:
        yield "There is no wood with sticks left to split that is usable then."
    if not a_side:
        return
    shown = False
    if first != second and a_side <= MOST_EXACT:
        shown = True
        yield (f"With {a_side} a side that difference is shown with a chance of {fisher_power(a_side, first, second):.0%} "
               "(Fisher's exact test).")  # fmt: skip
    fall, rise = detectable_difference(a_side, first, power), detectable_difference(a_side, 1 - first, power)
    ways = [*([f"a fall from {first:.0%} to {max(first - fall, 0):.0%}, or more"] if fall is not None else []),
            *([f"a rise from {first:.0%} to {min(first + rise, 1):.0%}, or more"] if rise is not None else [])]  # fmt: skip
    if ways:
        can = f"{a_side} a side would show {', and '.join(ways)}, with a chance of {power:.0%}."
        yield Usual(can) if shown else can
    else:
        yield f"{a_side} a side would show no difference at all with that chance."


def _stocks(desk: Desk, rows: Sequence[SplitRow], days: Sequence[date]) -> Iterator[str]:
    """How many stocks stand ready, by kind, beside how many both sides want."""
    wanted = 2 * sum(row.each_way for row in rows)
    if not wanted:
        return
    with desk.book.read() as session:
        free = alive.free_stocks(session, days[0])
        kinds = Counter(taxa.common_name(plant.taxon) or "kind not recorded" for plant in free)
    by_kind = f" ({', '.join(f'{kind} {number}' for kind, number in sorted(kinds.items()))})" if kinds else ""
    lack = f"; {wanted - len(free)} too few" if len(free) < wanted else ""
    stand = count(len(free), "stock stands", "stocks stand")
    yield f"Both sides want {count(wanted, 'place')} to graft on; {stand} free{by_kind}{lack}."


def _how(rows: Sequence[SplitRow], asked: Comparison, buds: tuple[int, int], days: Sequence[date]) -> Iterator[str]:
    """The balanced split in words."""
    if not rows:
        return
    kinds: Counter[str] = Counter()
    for row in rows:
        kinds[row.species or "kind not recorded"] += row.each_way
    if len(kinds) > 1:
        yield Usual(f"A side by kind: {', '.join(f'{kind} {number}' for kind, number in sorted(kinds.items()))}.")
    short = [row.wood for row in rows if not row.scions]
    if short:
        yield f"Too few buds on a stick for {_scion_words(buds)}: {code_list(tuple(short))}."
    if len(days) > 1:
        first, second = (day.isoformat() for day in days)
        yield (f"Graft half of each bundle on {first} and half on {second}, drawn by lot, {advice.alike(asked.factor)}; "
               f"{_scion_words(buds)}. The later half is {count((days[1] - days[0]).days, 'day')} older wood, which no split "
               "separates from the day.")  # fmt: skip
    else:
        yield (f"Give half of each bundle to {asked.sides[0]} and half to {asked.sides[1]}, drawn by lot, "
               f"{advice.alike(asked.factor)}; {_scion_words(buds)}.")  # fmt: skip
    yield "Record each with graft --trial NAME --block BUNDLE: take compare then holds the bundles apart."
    yield Usual("Needed a side by Fleiss' formula with its correction, two-sided at 0.05.")


def _scion_words(buds: tuple[int, int]) -> str:
    first, second = buds
    return f"scions of {count(first, 'bud')}" if first == second else f"scions of {first} and of {count(second, 'bud')}"
