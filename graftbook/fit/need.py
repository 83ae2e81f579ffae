"""Back from an order: how many grafts must be made so that enough trees come out at the end, and what they take.

Losses multiply: of what one stage lets through, the next takes its share. So the number is computed backwards, from the
trees to the grafts, and rounded up at every stage: a part of a tree cannot be sold, and a part of a graft cannot be made.
Even then luck falls short of the order about every second time, since the numbers are only what is to be expected; the
number that meets the order with a chance asked for comes from the binomial distribution, each graft coming through all stages
with the product of their rates. It takes the rates as known and grafts as independent; a bad winter takes many at once, and
the lower confidence limits of the rates show what such a year would ask for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, prod

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
    """One stage: `into` grafts must go in so that `out` come out, rounded up; `low` is the low end of its rate's range."""

    name: str
    rate: float
    low: float | None
    into: int
    out: int


@dataclass(frozen=True)
class Need:
    """What an order asks for.

    `steps` run from the graft to the tree, each rounded up. `grafts` is what goes into the first, `chance` how likely they
    meet the order; `sure_grafts` meet it with the chance `sureness`; `low_grafts` is `grafts` with every stage at the low
    end of its range (None where none has one). `flat_grafts` is the order with all losses added up and put on top, from
    which `flat_trees` are to be expected.
    """

    order: int
    steps: tuple[StageNeed, ...]
    through: float
    grafts: int
    chance: float
    sureness: float
    sure_grafts: int
    low_grafts: int | None
    flat_grafts: int
    flat_trees: float

    @property
    def why(self) -> tuple[str, ...]:
        """Whole sentences: why a flat percentage on top is too few, and how many grafts are surer."""
        sentences = []
        if self.flat_grafts < self.grafts:
            lost, several = sum(1 - step.rate for step in self.steps), len(self.steps) > 1
            on_top = f"{lost:.1%} on top{', all losses added up,' if several else ''}"
            share = "losses are shares" if several else "the loss is a share"
            sentences.append(
                f"{on_top} would be {self.flat_grafts} grafts and leave {self.flat_trees:.0f} trees of {self.order}: "
                f"{share} of what is grafted, which is more than what is ordered, so it takes {self.grafts}."
            )
        if self.sure_grafts > self.grafts:
            sentences.append(
                f"{self.grafts} grafts meet the order in {self.chance:.0%} of years like these rates; to meet it in "
                f"{self.sureness:.0%}, make {self.sure_grafts}."
            )
        return tuple(sentences)


def grafts_needed(order: int, stages: Sequence[StageRate], sureness: float = 0.9) -> Need:
    """How many grafts an order of trees (1 or more) takes through these stages, first stage first.

    `sureness` is the chance of meeting the order asked for, above 0 and below 1. Raises UsageProblem naming everything
    that cannot be: no trees, no stage, a rate of 0 or above 1, a range that does not hold it, counts that are none.
    """
    _check(order, stages, sureness)
    rates = [stage.exact for stage in stages]
    lows = [stage.least for stage in stages]
    through = prod(rates, start=Fraction(1))
    into = _chain(order, rates)
    low_into = None
    if any(low is not None for low in lows):
        worst = [rate if low is None else low for rate, low in zip(rates, lows, strict=True)]
        low_into = _chain(order, worst) if all(worst) else None
    steps = tuple(
        StageNeed(stage.name, float(rate), None if low is None else float(low), number, out)
        for stage, rate, low, number, out in zip(stages, rates, lows, into, [*into[1:], order], strict=True)
    )
    flat = ceil(order * (1 + sum(1 - rate for rate in rates)))
    sure = fewest_trials(order, float(through), sureness)
    chance = binomial_at_least(order, into[0], float(through))
    low_grafts = None if low_into is None else low_into[0]
    numbers = into[0], chance, sureness, sure, low_grafts, flat, float(flat * through)
    return Need(order, steps, float(through), *numbers)


def _chain(order: int, rates: Sequence[Fraction]) -> list[int]:
    """What must go into each stage, first stage first."""
    found, wanted = [], order
    for rate in reversed(rates):
        wanted = ceil(wanted / rate)
        found.append(wanted)
    return found[::-1]


def _check(order: int, stages: Sequence[StageRate], sureness: float) -> None:
    faults = []
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
