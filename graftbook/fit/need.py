"""Back from an order: how many grafts must be made so that enough trees come out at the end, and what they take.

Losses multiply: of what one stage lets through, the next takes its share. So the number is computed backwards, from the
trees to the grafts, in fractions that are rounded up once at the end. What stands already has only the losses before it that
are still ahead: a graft that took has come through the take, one that grew a second year through its first winter.
Even then luck falls short of the order about every second time, since the numbers are only what is to be expected; the
number that meets the order with a chance asked for comes from the binomial distribution, each graft coming through all stages
with the product of their rates. It takes the rates as known and grafts as independent; a bad winter takes many at once, and
the lower confidence limits of the rates show what such a year would ask for.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, inf, prod
from statistics import NormalDist

from graftbook.errors import UsageProblem
from graftbook.stats.binomial import binomial_at_least, fewest_trials
from graftbook.stats.interval import wilson


@dataclass(frozen=True)
class StageRate:
    """A stage on the way from graft to tree, such as take, winter or grade: the share `rate` that comes through, above 0.

    `k` of `n` is the count it rests on, `low` and `high` its range; where only the count is known, the range is Wilson's
    at 95 %. All of these None: a single value without a range. `basis` says whose rate it is.
    """

    name: str
    rate: float
    low: float | None = None
    high: float | None = None
    k: int | None = None
    n: int | None = None
    basis: str = ""

    @property
    def exact(self) -> Fraction:
        """The rate without rounding: k of n where counted, else the decimal as written."""
        return Fraction(self.k, self.n) if self.k is not None and self.n else Fraction(repr(float(self.rate)))

    @property
    def least(self) -> Fraction | None:
        """The low end of its range; None when it has none."""
        if self.low is not None:
            return Fraction(repr(float(self.low)))
        if self.k is not None and self.n:
            return Fraction(repr(wilson(self.k, self.n).low))
        return None


@dataclass(frozen=True)
class StageNeed:
    """One stage: `into` grafts must go in so that `out` come out, those standing counted in, each rounded up; `low` is the low
    end of its rate's range."""

    name: str
    rate: float
    low: float | None
    into: int
    out: int


@dataclass(frozen=True)
class Need:
    """What an order asks for.

    `standing` grafts give `gives` trees, and `short` are lacking, above 0 or 0. `steps` run from the graft to the tree.
    `exact` is what must go into the first stage for what is lacking, `grafts` that rounded up, `chance` how likely they and
    what stands meet the order; `sure_grafts` meet it with the chance `sureness`; `low_grafts` is `grafts` with every stage at
    the low end of its range (None where none has one). `flat_grafts` is the order with a flat share on top, all losses added up
    where none was given, from which `flat_trees` are to be expected.
    """

    order: int
    steps: tuple[StageNeed, ...]
    through: float
    standing: int
    gives: float
    short: float
    exact: Fraction
    grafts: int
    chance: float
    sureness: float
    sure_grafts: int
    low_grafts: int | None
    flat: float | None
    flat_grafts: int
    flat_trees: float

    @property
    def on_top(self) -> tuple[str, ...]:
        """What a flat percentage on top would give, as a whole sentence; nothing where it would do."""
        sentences = []
        if self.flat is not None:
            sentences.append(
                f"{self.flat:.0%} on top would be {self.flat_grafts:,} grafts and give {self.flat_trees:,.0f} trees of "
                f"{self.order:,}."
            )
        elif not self.standing and self.flat_grafts < self.grafts:
            lost, several = sum(1 - step.rate for step in self.steps), len(self.steps) > 1
            on_top = f"{lost:.1%} on top{', all losses added up,' if several else ''}"
            share = "losses are shares" if several else "the loss is a share"
            sentences.append(
                f"{on_top} would be {self.flat_grafts} grafts and leave {self.flat_trees:.0f} trees of {self.order}: "
                f"{share} of what is grafted, which is more than what is ordered, so it takes {self.grafts}."
            )
        return tuple(sentences)

    @property
    def surer(self) -> tuple[str, ...]:
        """How often the grafts meet the order, and how many would do so as surely as asked, as a whole sentence; nothing
        where they do."""
        if self.sure_grafts <= self.grafts:
            return ()
        more = " more" if self.standing else ""
        return (
            f"{self.grafts:,} grafts{more} meet the order in {self.chance:.0%} of years like these rates; to meet it in "
            f"{self.sureness:.0%}, make {self.sure_grafts:,}{more}.",
        )


def grafts_needed(
    order: int,
    stages: Sequence[StageRate],
    sureness: float = 0.9,
    standing: Sequence[int] = (),
    flat: float | None = None,
) -> Need:
    """How many grafts an order of trees (1 or more) takes through these stages, first stage first.

    `standing` counts grafts by how many stages they have come through, from none on (what is missing is 0). `sureness` is the
    chance of meeting the order asked for, above 0 and below 1, `flat` a share to put on top for comparison, 0 or more. Raises
    UsageProblem naming everything that cannot be: no trees, no stage, a rate of 0 or above 1, a range that does not hold it,
    counts that are none.
    """
    _check(order, stages, sureness, standing, flat)
    rates = [stage.exact for stage in stages]
    lows = [rate if stage.least is None else stage.least for stage, rate in zip(stages, rates, strict=True)]
    ranged = any(stage.least is not None for stage in stages) and all(lows)
    through = prod(rates, start=Fraction(1))
    gives = _trees(standing, rates)
    lacking = max(Fraction(0), order - gives)
    exact = lacking / through
    into = [_before(order, rates[at:], standing[at + 1 :]) for at in range(len(rates))]
    steps = tuple(
        StageNeed(stage.name, float(rate), None if stage.least is None else float(stage.least), number, out)
        for stage, rate, number, out in zip(stages, rates, into, [*into[1:], order], strict=True)
    )
    low_lacking = max(Fraction(0), order - _trees(standing, lows))
    low_grafts = ceil(low_lacking / prod(lows, start=Fraction(1))) if ranged else None
    spread = _Spread(standing, rates, through)
    lost = sum(1 - rate for rate in rates)
    flat_grafts = ceil(order * (1 + (lost if flat is None else Fraction(repr(float(flat))))))
    sure = spread.fewest(order, sureness)
    return Need(
        order, steps, float(through), sum(standing), float(gives), float(lacking), exact, ceil(exact),
        spread.chance(order, ceil(exact)), sureness, sure, low_grafts, flat, flat_grafts, float(flat_grafts * through),
    )  # fmt: skip


def apportioned(exact: Sequence[Fraction]) -> list[int]:
    """Fractions of 0 or more as whole numbers that sum to their sum, rounded up once: the largest remainders are rounded up."""
    whole = [floor(each) for each in exact]
    more = ceil(sum(exact, start=Fraction(0))) - sum(whole)
    for at in sorted(range(len(exact)), key=lambda at: whole[at] - exact[at])[:more]:
        whole[at] += 1
    return whole


def _trees(standing: Sequence[int], rates: Sequence[Fraction]) -> Fraction:
    """The trees to be expected of what stands, each with the losses still ahead of it."""
    return sum((number * prod(rates[at:], start=Fraction(1)) for at, number in enumerate(standing)), start=Fraction(0))


def _before(order: int, rates: Sequence[Fraction], later: Sequence[int]) -> int:
    """What must go into the first of these stages, beside those standing that have come further."""
    return ceil(max(Fraction(0), order - _trees(later, rates[1:])) / prod(rates, start=Fraction(1)))


class _Spread:
    """The number of trees by luck: exact binomial for grafts to be made alone, the normal distribution beside what stands."""

    def __init__(self, standing: Sequence[int], rates: Sequence[Fraction], through: Fraction) -> None:
        self.through = float(through)
        each = [(number, float(prod(rates[at:], start=Fraction(1)))) for at, number in enumerate(standing) if number]
        self.mean, self.variance = sum(n * p for n, p in each), sum(n * p * (1 - p) for n, p in each)
        self.stands = bool(each)

    def chance(self, order: int, grafts: int) -> float:
        """The chance of `order` trees or more with so many grafts more."""
        if not self.stands:
            return binomial_at_least(order, grafts, self.through)
        mean = self.mean + grafts * self.through
        sd = (self.variance + grafts * self.through * (1 - self.through)) ** 0.5
        return float(mean >= order) if sd == 0 else NormalDist().cdf((mean - order + 0.5) / sd)

    def fewest(self, order: int, sureness: float) -> int:
        """The fewest grafts more with which that chance is reached."""
        if not self.stands:
            return fewest_trials(order, self.through, sureness)
        high = 1
        while self.chance(order, high) < sureness:
            high *= 2
        return bisect_left(range(high), sureness, key=lambda grafts: self.chance(order, grafts))


def _check(
    order: int, stages: Sequence[StageRate], sureness: float, standing: Sequence[int], flat: float | None
) -> None:
    faults = []
    if len(standing) > len(stages) + 1 or any(number < 0 for number in standing):
        faults.append((f"counts of 0 or more by stages come through, up to {len(stages)}", f"{list(standing)}"))
    if flat is not None and not 0 <= flat < inf:
        faults.append(("a flat share of 0 or more", f"{flat:g}"))
    if order < 1:
        faults.append(("an order of 1 tree or more", str(order)))
    if not stages:
        faults.append(("at least one stage, such as take=0.85", "none"))
    if not 0 < sureness < 1:
        faults.append(("a chance of meeting the order between 0 and 1, such as 0.9", f"{sureness:g}"))
    for stage in stages:
        if (stage.k is None) != (stage.n is None) or (
            stage.k is not None and stage.n is not None and not 0 < stage.k <= stage.n
        ):
            faults.append((f"a count for {stage.name} with 1 or more come through", f"{stage.k} of {stage.n}"))
        elif not 0 < stage.rate <= 1:
            faults.append((f"a rate for {stage.name} above 0 and at most 1", f"{stage.rate:g}"))
        elif stage.k is not None and stage.n is not None and abs(stage.k / stage.n - stage.rate) > 0.005:
            faults.append((f"a rate for {stage.name} that is its count", f"{stage.rate:g} and {stage.k} of {stage.n}"))
        low = 0.0 if stage.low is None else stage.low
        high = 1.0 if stage.high is None else stage.high
        if not 0 <= low <= stage.rate <= high <= 1:
            faults.append((f"a range for {stage.name} around its rate", f"{low:g} to {high:g} around {stage.rate:g}"))
    if faults:
        raise UsageProblem("; ".join(wanted for wanted, _ in faults), "; ".join(found for _, found in faults))


def sticks_for(grafts: int, buds_per_graft: int, buds_per_stick: int) -> int:
    """How many sticks give so many scions (0 or more) of `buds_per_graft` buds, no scion spanning two sticks.

    Raises UsageProblem where a stick has too few buds for one scion.
    """
    if buds_per_graft < 1 or buds_per_stick < buds_per_graft or grafts < 0:
        raise UsageProblem(
            f"sticks of at least {max(buds_per_graft, 1)} buds for scions of 1 bud or more",
            f"{buds_per_stick} and {buds_per_graft}",
        )
    return ceil(Fraction(grafts, buds_per_stick // buds_per_graft))
