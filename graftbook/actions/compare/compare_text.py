"""The sentences of a comparison: first the answer, then the cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from graftbook.actions.compare.compare_rows import SELDOM, PairComparison
from graftbook.actions.desk.results import Usual, first_of
from graftbook.actions.takes.confounders import Confounder, listed, word
from graftbook.actions.takes.timing import EffectTest, p_words
from graftbook.actions.takes.timing import sentence as effect_sentence
from graftbook.stats.score_test import exact_ways, ways
from graftbook.stats.strata import TwoByTwo

RARELY = 0.01
FEW_TOGETHER = 40
"""With fewer decided on both sides it is said that only a large difference would show: a rule of this book."""


def sentence(
    found: PairComparison, confounded: Sequence[Confounder], asked: str, endpoint: str, within: Sequence[str],
    effect: EffectTest | None = None,
) -> str:  # fmt: skip
    """The answer for one pair of sides, numbers first; where days are parted at one, with the test of any effect of date, which
    has the last word: a cut may have been chosen."""
    answer = _answer(found, confounded, asked, endpoint, within, effect)
    return answer if effect is None else f"{answer} {effect_sentence(effect, word(asked))}"


def _answer(
    found: PairComparison, confounded: Sequence[Confounder], asked: str, endpoint: str, within: Sequence[str],
    effect: EffectTest | None,
) -> str:  # fmt: skip
    if found.early and not found.both_decided:
        return f"Too early to compare: {first_of(found.early)}."
    if not found.both_decided:
        return f"Nothing to compare yet: {_counts(found, found.crude)} decided."
    if found.p is None:
        why = "everything, or nothing, got there" if found.both.total else "only one of the two was used"
        return f"No answer: {_counts(found, found.crude)}, and in every stratum {why}."
    counts = f"{_counts(found, found.both)} ({endpoint}{', where both were used' if found.unmatched else ''})"
    if not found.sure:
        return _not_shown(found, counts, within)
    if effect is not None and not effect.shown:
        return f"No effect of {word(asked)} shown over all days: {counts}. The cut alone looks like one, as a day chosen may."
    luck = "rarely" if found.p < RARELY else "seldom"
    if found.ahead(found.both) == found.points_to:
        answer = f"{found.points_to} did better: {counts}, which luck alone would {luck} do"
    else:
        answer = (f"Within {_strata(within)} {found.points_to} did better, which luck alone would {luck} do, though pooled "
                f"that does not show: {counts}")  # fmt: skip
    named = [word(one.name) for one in confounded if one.strong]
    if not named:
        return f"{answer}."
    neither = "neither {} can" if len(named) == 1 else "none of {} can"
    own = word(asked)
    listing = f"{own} nor {named[0]}" if len(named) == 1 else listed([own, *named])
    return f"{answer}; but {listed(named)} changed with it, so {neither.format(listing)} be named as the cause."


def _not_shown(found: PairComparison, counts: str, within: Sequence[str]) -> str:
    if found.only_when_pooled:
        return (f"No difference shown within {_strata(within)}: {counts}. Pooled, one looks better, but the strata "
                "differ in how they take and in which way was used.")  # fmt: skip
    few = f" With {found.both.total} decided side by side, only a large difference would show."
    return f"No difference shown: {counts}.{few if found.both.total < FEW_TOGETHER else ''}"


def _counts(found: PairComparison, pair: TwoByTwo) -> str:
    """`cleft 3 of 6, bark 4 of 6`, with a colon after a side that is itself a number or a date."""
    sides = ((found.first, pair.k1, pair.n1), (found.second, pair.k2, pair.n2))
    return ", ".join(f"{side}{':' if side[-1].isdigit() else ''} {k} of {n}" for side, k, n in sides)


def _strata(within: Sequence[str]) -> str:
    return listed([word(name) for name in within]) if within else "grafts and buds apart"


def all_at_once(strata: Sequence[Sequence[tuple[int, int]]]) -> Iterator[str]:
    """What one test of all the ways together says, exact where there is one small stratum; nothing where none could."""
    used = [stratum for stratum in strata if sum(n > 0 for _k, n in stratum) > 1]
    exact = exact_ways(used[0]) if len(used) == 1 else None
    test = ways(used)
    p = exact if exact is not None else test.p if test is not None else None
    if p is None:
        return
    how = "exact, Freeman and Halton" if exact is not None else "chi-square within strata"
    said = "luck alone would seldom make them differ so much" if p < SELDOM else "no difference shown"
    totals = ", ".join(f"{sum(k for k, _n in way)} of {sum(n for _k, n in way)}" for way in zip(*used, strict=True))
    yield f"All ways at once ({totals}): {said} ({p_words(p)}; {how})."


def warnings(found: PairComparison, within: Sequence[str]) -> Iterator[str]:
    """Cautions against taking the answer for one pair at its word."""
    both = f"{found.first} and {found.second}"
    if found.early and found.both_decided:
        yield f"Left out, since it is too early for a rate: {first_of(found.early)}."
    if found.is_reversed:
        yield (f"{both} point one way pooled and the other within {_strata(within)}: believe the strata, not "
               "the pooled counts.")  # fmt: skip
    if found.differ is not None and found.differ < 0.05:
        yield f"How {both} compare does not seem the same in every stratum: read the rows, not the one for all."
    if found.close:
        yield f"The range and the p-value for {both} do not agree: it is close, and wants more grafts."
    if found.unmatched:
        verbs = ("stands", "says") if found.unmatched == 1 else ("stand", "say")
        yield Usual(
            f"{found.unmatched:,} {verbs[0]} in strata where only one of {both} was used, and {verbs[1]} nothing."
        )
