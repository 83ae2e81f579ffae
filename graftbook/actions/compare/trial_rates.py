"""The two rates that a trial is sized for: those named, or those of this book within kinds.

The pooled counts of two ways mix kinds that take differently with ways that were used on them unequally. So each rate is the
mean of its rates within the strata in which both ways were used, weighted alike for both: by n1 n2 / (n1 + n2), as Mantel and
Haenszel weigh strata.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from graftbook.actions.compare import comparison
from graftbook.actions.compare.compare_rows import ALL, CRUDE, CompareRow
from graftbook.actions.desk.desk import Desk
from graftbook.errors import UsageProblem
from graftbook.stats.interval import wilson


@dataclass(frozen=True)
class TrialRates:
    """Two rates from 0 to 1, where they come from, and how unsure they are."""

    first: float
    second: float
    origin: str
    notes: tuple[str, ...] = ()


def named(rates: str) -> TrialRates:
    """Rates as typed, `0.7,0.9` or `70%,90%`. Raises UsageProblem for anything else."""
    try:
        first, second = (float(part.strip().rstrip("%")) / (100 if "%" in part else 1) for part in rates.split(","))
    except ValueError:
        raise UsageProblem("two rates, such as 0.7,0.9", repr(rates)) from None
    return TrialRates(first, second, "the rates named")


def of_book(
    desk: Desk, text: str, endpoint: str, as_of: str | None, season: str | None, species: str | None
) -> TrialRates:
    """The rates of this book within kinds, of one kind where one is named. Raises UsageProblem where there are none, NotFound."""
    found = comparison.compare(desk, text, endpoint, as_of, season).rows
    strata = [row for row in found if row.stratum not in (ALL, CRUDE) and row.n_first and row.n_second
              and (species is None or species.casefold() in row.stratum.casefold())]  # fmt: skip
    if not strata:
        raise UsageProblem(
            "decided grafts on both sides", "none on one", "Name the rates to tell apart with --rates 0.7,0.9"
        )
    weights = [row.n_first * row.n_second / (row.n_first + row.n_second) for row in strata]
    first, second = (
        sum(
            weight * getattr(row, f"k_{side}") / getattr(row, f"n_{side}")
            for weight, row in zip(weights, strata, strict=True)
        )
        / sum(weights)
        for side in ("first", "second")
    )
    origin = "the rates of this book" if len(strata) == 1 else "the rates of this book within kinds"
    return TrialRates(first, second, origin, (_unsure(strata),))


def _unsure(strata: Sequence[CompareRow]) -> str:
    """How far the rates may be others, stratum by stratum."""
    texts = []
    for row in strata:
        ends = [(side, wilson(k, n)) for side, k, n in (
            (row.first, row.k_first, row.n_first), (row.second, row.k_second, row.n_second))]  # fmt: skip
        ranges = " and ".join(f"{side} {end.k} of {end.n}, from {end.low:.0%} to {end.high:.0%}" for side, end in ends)
        texts.append(f"{row.stratum}: {ranges}" if len(strata) > 1 else ranges)
    return f"The rates of this book could be others: {'; '.join(texts)}. If they lie closer, more are needed."
