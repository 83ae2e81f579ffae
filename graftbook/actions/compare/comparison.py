"""take compare: did one way do better than another, how sure is that, and what else changed at the same time.

Only what is decided is counted: k of n on each side, within strata of one kind and one unit (and of one block, for grafts
that are part of a trial). The answer over all strata is that of Mantel and Haenszel; its p-value is exact while the numbers
are small, and by the test of Cochran, Mantel and Haenszel when they are not. The crude (pooled) rates stand beside it,
since the two may point different ways.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from graftbook.actions.compare import compare_phrase
from graftbook.actions.compare.compare_counts import BLOCKS, Sides, count_sides
from graftbook.actions.compare.compare_rows import CompareRow, PairComparison, chance, rows
from graftbook.actions.compare.compare_text import all_at_once, sentence, warnings
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, Usual, count
from graftbook.actions.outcome.endpoints import RULES
from graftbook.actions.takes import confounders, factors, green_tip
from graftbook.actions.takes.question import FIRST_ONLY, TakeQuestion, ask
from graftbook.actions.takes.timing import any_effect
from graftbook.errors import NotFound
from graftbook.stats.difference import holm
from graftbook.stats.interval import check_level
from graftbook.stats.strata import breslow_day, mantel_haenszel

CLUSTERED = 1.25
"""From so many grafts to a plant, in the mean, a caution says that they are not independent: a rule of this book."""


def compare(
    desk: Desk, text: str, endpoint: str = "took", as_of: str | None = None, season: str | None = None, level: float = 0.95,
    within: Sequence[str] = ("species",), attempt: str = "any",
    of: str = "decided",
) -> Report:  # fmt: skip
    """Two or more ways compared within strata, of those decided or, where `of` is `made`, of all made. `attempt` `first` leaves
    out what was grafted on a stock after its first day. Raises UsageProblem for what cannot be asked, NotFound when one of the
    sides has no graft at all."""
    asked = compare_phrase.read(desk, text)
    question = ask(desk, endpoint, as_of, season, attempt=attempt, of=of)
    check_level(level)
    strata = tuple(name for name in factors.check(within) if name != asked.factor)
    with desk.book.read() as session:
        sides = count_sides(session, question, asked, strata)
        tip = (green_tip.sentence(session, question),) if asked.factor == green_tip.FACTOR else ()
    _none_missing(asked, sides)
    within = tuple(dict.fromkeys((*strata, *(BLOCKS if sides.blocked else ()))))
    pairs = _holm_adjusted([_found(sides, pair, endpoint, level) for pair in combinations(asked.sides, 2)])
    confounded = [
        confounders.find_confounders(*sides.tables(found.first, found.second), asked.factor, within) for found in pairs
    ]
    effect = any_effect(tuple(sides.dates.values()), shared_luck=True) if sides.dates else None
    names = tuple(dict.fromkeys(one.name for those in confounded for one in those if one.strong))
    facts = {**question.facts, "level": level, "within": within, "together_with": names,
             "p_any_effect": None if effect is None else effect.p}  # fmt: skip
    notes = (*tip, *confounders.sentences(asked.factor, confounded), *_notes(pairs, sides, question, within, asked))
    said = (sentence(*found, asked.factor, endpoint, within, effect) for found in zip(pairs, confounded, strict=True))
    title = " ".join(dict.fromkeys(said))
    found_rows = tuple(row for found in pairs for row in rows(found, level))
    return Report(CompareRow, found_rows, notes, facts, title=title, group="pair" if len(pairs) > 1 else None)


def _none_missing(asked: compare_phrase.Comparison, sides: Sides) -> None:
    missing = [side for side in asked.sides if side not in sides.made]
    if missing:
        dated = asked.factor == "on"
        what = f"no graft {'made' if dated else f'with {asked.factor}'} {' or '.join(missing)}"
        raise NotFound(what, "", f"See what there is with: graftbook take --by {'month' if dated else asked.factor}")


def _found(sides: Sides, pair: tuple[str, str], endpoint: str, level: float) -> PairComparison:
    pairs = tuple(sides.pairs(*pair))
    informative = [pair for _label, pair in pairs]
    p, test = chance(informative)
    alike = breslow_day(informative)
    odds = mantel_haenszel(informative, level)
    return PairComparison(
        *pair, pairs, odds, p, test, alike.p if alike is not None else None, tuple(sides.early(*pair, endpoint))
    )


def _holm_adjusted(pairs: Sequence[PairComparison]) -> list[PairComparison]:
    """The p-values of several comparisons, Holm-adjusted (stats/difference.py)."""
    adjusted = iter(holm([found.p for found in pairs if found.p is not None]))
    return [replace(found, p=next(adjusted)) if found.p is not None else found for found in pairs]


def _notes(
    pairs: Sequence[PairComparison], sides: Sides, question: TakeQuestion, strata: Sequence[str],
    asked: compare_phrase.Comparison,
) -> Iterator[str]:  # fmt: skip
    for found in pairs:
        yield from warnings(found, strata)
    if len(pairs) > 1:
        yield from all_at_once(
            sides.ways(tuple(dict.fromkeys(side for found in pairs for side in (found.first, found.second))))
        )
    if sides.dates:
        yield ("A day chosen after looking at what took shows more than luck would give: then believe the test of any effect of "
               "date, which is of all days, and not the p-value of the cut.")  # fmt: skip
    if asked.both_units:
        yield ("Buds are compared with grafts, as was asked by name: a bud is one bud against a scion of several, it is judged a "
               "season later, and it was set in another season.")  # fmt: skip
    if sides.undecided:
        yield Usual(f"{count(sides.undecided, 'is', 'are')} not decided or not known by {question.as_of.isoformat()} and "
                    "counted on neither side.")  # fmt: skip
    if sides.decided > CLUSTERED * len(sides.hosts):
        yield (f"The {count(sides.decided, 'graft')} decided stand on {count(len(sides.hosts), 'plant')}: those of one plant share "
               "its luck, so the ranges and the p-value are surer than they should be.")  # fmt: skip
    if len(pairs) > 1:
        yield Usual("Several were compared at once; each p-value is adjusted for that (Holm).")
    if question.of != "decided":
        all_of = "made" if question.of == "made" else "whose stock was headed back"
        yield f"Counted are all {all_of}: what is not decided or not known has not got there yet, and may."
    if question.attempt == "first":
        yield FIRST_ONLY
    yield Usual(f"{RULES[question.endpoint][1]} {_how(pairs)}")


def _how(pairs: Sequence[PairComparison]) -> str:
    tests = {found.test for found in pairs if found.p is not None}
    by = "exact within strata" if tests <= {"exact"} else "by the test of Cochran, Mantel and Haenszel"
    return f"Ranges are Newcombe's; the p-value is {by}{', exact where few' if len(tests) > 1 else ''}."
