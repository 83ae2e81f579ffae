"""The lexicographic objective of a plan: six objectives in their order, all maximised.

1. `sites`: minus the sites that must-haves lack of the number asked for, weighted.
2. `chance`: for each must-have the chance that at least `living` live (Poisson binomial distribution), capped at the
   problem's `sure`; weighted sum.
3. `spread`: minus the sites that the grafts of other wants lack: each graft on a site of its own up to the number asked for.
4. `value`: the expected living trees of each want, concave: trees past the number wanted count less (PAST_WANT); weighted sum.
5. `share`: minus the sum of (1 - share) over all grafts, `share` being what their joint meets: better joints, and no graft
   that adds nothing.
6. `wear`: minus the sum of (1 - wear) over all grafts: wood that keeps worst first.

An objective decides only between plans with equal values of all before it. What is counted is a choice made here and stated
to the grower; nothing in it forecasts beyond the chances handed in.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from graftbook.fit.plan_facts import WantFact
from graftbook.stats.binomial import at_least

OBJECTIVES = ("sites", "chance", "spread", "value", "share", "wear")
# Up to this many times the number wanted, each tree more counts so much of a wanted one; beyond the last, nothing.
PAST_WANT = ((1.0, 1.0), (1.5, 0.25))
# The share assumed for a joint without a model.
UNKNOWN_SHARE = 0.5
# Values that differ by no more are equal: rounding.
ALIKE = 2e-6


def weight(want: WantFact) -> float:
    """The weight of a want: 1 for priority 1, halved with each step down."""
    return 0.5 ** (want.priority - 1)


def is_must_have(want: WantFact) -> bool:
    """Whether the want is a must-have: some of its trees must live."""
    return want.living > 0


def trees_needed(want: WantFact) -> int:
    """How many of a must-have's trees must live beside those living already, 0 or more."""
    return max(0, want.living - want.living_already)


def new_sites(want: WantFact) -> int:
    """How many sites are asked for beside those where it lives already, 0 or more; 0 where one site alone is asked for."""
    return 0 if want.sites <= 1 else max(0, want.sites - len(old_sites(want)))


def short_of_sites(want: WantFact, grafts: int, sites: Collection[str]) -> int:
    """How many new sites, 0 or more, are lacking with `grafts` grafts on `sites`."""
    asked = new_sites(want) if is_must_have(want) else min(grafts, new_sites(want))
    return max(0, asked - len(set(sites) - old_sites(want))) if asked else 0


def old_sites(want: WantFact) -> frozenset[str]:
    """The sites where some of it live already."""
    return frozenset(site for site, count in want.already if count > 0)


def value_segments(want: WantFact) -> tuple[tuple[float, float], ...]:
    """The piecewise linear value of further trees: (width in trees, value of each), values falling, so it is concave."""
    found, done = [], float(want.living_already)
    for times, each in PAST_WANT:
        room = want.number * times - done
        if room > 0:
            found.append((room, each))
            done += room
    return tuple(found)


def tree_value(want: WantFact, expected: float) -> float:
    """The value, before weighting, of `expected` trees (0 or more) beside those living already."""
    total = 0.0
    for room, each in value_segments(want):
        total += each * min(room, expected)
        expected -= min(room, expected)
    return total


def met_share(share: float | None) -> float:
    """The share of a joint that is counted, 0 to 1; None takes UNKNOWN_SHARE."""
    return UNKNOWN_SHARE if share is None else share


def chance_of(want: WantFact, each: Sequence[float]) -> float:
    """The chance that at least `living` of the want live, given the chance of each graft (independent, 0 to 1)."""
    return at_least(trees_needed(want), each)


def outranks(one: Sequence[float], other: Sequence[float]) -> bool:
    """Whether one plan is lexicographically better: greater in the first objective in which they differ by more than ALIKE.

    Both hold the objectives in their order; ValueError where their lengths differ.
    """
    for mine, theirs in zip(one, other, strict=True):
        if abs(mine - theirs) > ALIKE:
            return mine > theirs
    return False
