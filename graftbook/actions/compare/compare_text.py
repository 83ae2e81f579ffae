"""What a comparison says, in sentences: first the answer, then what stands against it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from graftbook.actions.compare.compare_rows import Found
from graftbook.actions.takes.confounders import Tied, listed, word
from graftbook.stats.strata import TwoByTwo

RARELY = 0.01

FEW_TOGETHER = 40


def sentence(found: Found, tied: Sequence[Tied], asked: str, endpoint: str, within: Sequence[str]) -> str:
    """The answer for one pair of sides, numbers first."""
    if not found.crude.n1 or not found.crude.n2:
        return f"Nothing to compare yet: {_counts(found, found.crude)} decided."
    if found.p is None:
        why = "everything, or nothing, got there" if found.both.total else "only one of the two was used"
        return f"Nothing can be told: {_counts(found, found.crude)}, and in every stratum {why}."
    counts = f"{_counts(found, found.both)} ({endpoint}{', where both were used' if found.alone else ''})"
    if not found.sure:
        return _not_shown(found, counts, within)
    luck = "rarely" if found.p < RARELY else "seldom"
    if _sum_points_to(found.both, found) == found.points_to:
        said = f"{found.points_to} did better: {counts}, which luck alone would {luck} do"
    else:
        said = (f"Within {_strata(within)} {found.points_to} did better, which luck alone would {luck} do, though thrown "
                f"together that does not show: {counts}")  # fmt: skip
    named = [word(one.name) for one in tied if one.strong]
    if not named:
        return f"{said}."
    neither = "neither {} can" if len(named) == 1 else "none of {} can"
    own = word(asked)
    listing = f"{own} nor {named[0]}" if len(named) == 1 else listed([own, *named])
    return f"{said}; but {listed(named)} changed with it, so {neither.format(listing)} be named as the cause."


def _not_shown(found: Found, counts: str, within: Sequence[str]) -> str:
    if found.only_crude:
        return (f"No difference shown within {_strata(within)}: {counts}. Thrown together one looks better, but the strata "
                "differ in how they take and in which way was used.")  # fmt: skip
    few = f" With {found.both.total} decided side by side, only a large difference would show."
    return f"No difference shown: {counts}.{few if found.both.total < FEW_TOGETHER else ''}"


def _counts(found: Found, pair: TwoByTwo) -> str:
    """`cleft 3 of 6, bark 4 of 6`, with a colon after a side that is itself a number or a date."""
    sides = ((found.first, pair.k1, pair.n1), (found.second, pair.k2, pair.n2))
    return ", ".join(f"{side}{':' if side[-1].isdigit() else ''} {k} of {n}" for side, k, n in sides)


def _sum_points_to(pair: TwoByTwo, found: Found) -> str | None:
    gap = pair.k1 * pair.n2 - pair.k2 * pair.n1
    return None if gap == 0 else found.first if gap > 0 else found.second


def _strata(within: Sequence[str]) -> str:
    return listed([word(name) for name in within]) if within else "grafts and buds apart"


def warnings(found: Found, within: Sequence[str]) -> Iterator[str]:
    """What stands against reading the sum of one pair."""
    both = f"{found.first} and {found.second}"
    if found.turned:
        yield (f"{both} point one way thrown together and the other within {_strata(within)}: believe the strata, not the "
               "sum.")  # fmt: skip
    if found.differ is not None and found.differ < 0.05:
        yield f"How {both} compare does not seem the same in every stratum: read the rows, not the sum."
    if found.close:
        yield f"The range and the chance for {both} do not agree: it is a close thing, and wants more grafts."
    if found.alone:
        verbs = ("stands", "says") if found.alone == 1 else ("stand", "say")
        yield f"{found.alone:,} {verbs[0]} in strata where only one of {both} was used, and {verbs[1]} nothing."
