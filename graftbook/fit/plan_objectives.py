"""What a plan is worth: the parts of the objective in their order, exactly reckoned for any list of pairs.

1. `sites`: must-haves stand on as many sites as asked, where more than one is (no fewer than can be helped).
2. `chance`: for each must-have the chance that at least `living` live, by the Poisson binomial law, no more than the
   question's `sure` being counted; added up with the weight of its priority.
3. `spread`: what is grafted of the other wants stands on as many sites as asked, or each graft on a site of its own.
4. `value`: the trees to be expected of each want, those past the number wanted counting ever less (PAST_WANT), weighted.
5. `share`: little of the joints left unmet, all grafts together: so the better joints, and no graft that adds nothing.
6. `wear`: wood that keeps worst first, all grafts together.

A part decides only between plans that are alike in all before it. What is counted is a choice, made here and told to the
grower; nothing in it forecasts beyond the chances handed in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence

from graftbook.fit.plan_facts import Pair, PlanProblem, PlanRating, WantFact
from graftbook.stats.poisson_binomial import at_least

# Up to this many times the number wanted, each tree more counts so much of a wanted one; beyond the last, nothing.
PAST_WANT = ((1.0, 1.0), (1.5, 0.25))
# What a joint without a model is taken to meet.
UNKNOWN_SHARE = 0.5
# Parts that differ by no more are alike: rounding.
ALIKE = 2e-6


def weight(want: WantFact) -> float:
    """The weight of a want: 1 for priority 1, halved with each step down."""
    return 0.5 ** (want.priority - 1)


def is_must_have(want: WantFact) -> bool:
    """Whether some of the trees wanted must live."""
    return want.living > 0


def trees_needed(want: WantFact) -> int:
    """How many of a must-have's trees must live beside those living already, 0 or more."""
    return max(0, want.living - want.living_already)


def new_sites(want: WantFact) -> int:
    """How many sites are asked for beside those where it lives already, 0 or more; one site alone is no spread."""
    return 0 if want.sites <= 1 else max(0, want.sites - len(old_sites(want)))


def short_of_sites(want: WantFact, grafts: int, sites: Collection[str]) -> int:
    """How many new sites are lacking for so many grafts on these sites."""
    asked = new_sites(want) if is_must_have(want) else min(grafts, new_sites(want))
    return max(0, asked - len(set(sites) - old_sites(want))) if asked else 0


def old_sites(want: WantFact) -> frozenset[str]:
    """The sites where some of it live already."""
    return frozenset(site for site, count in want.already if count > 0)


def value_segments(want: WantFact) -> tuple[tuple[float, float], ...]:
    """Room and value of a tree, from the trees living already on: (trees, value of each), values falling."""
    found, done = [], float(want.living_already)
    for times, each in PAST_WANT:
        room = want.number * times - done
        if room > 0:
            found.append((room, each))
            done += room
    return tuple(found)


def tree_value(want: WantFact, expected: float) -> float:
    """The value, before weighting, of so many trees expected beside those living already."""
    total = 0.0
    for room, each in value_segments(want):
        total += each * min(room, expected)
        expected -= min(room, expected)
    return total


def met_share(share: float | None) -> float:
    """The share of a joint that is counted."""
    return UNKNOWN_SHARE if share is None else share


def chance_of(want: WantFact, each: Sequence[float]) -> float:
    """The chance that at least `living` of the want live, given the chances of its grafts."""
    return at_least(trees_needed(want), each)


def outranks(one: Sequence[float], other: Sequence[float]) -> bool:
    """Whether the parts of one plan beat those of another: better in the first part in which they are not ALIKE. Both in
    the order of the objective and of one length."""
    for mine, theirs in zip(one, other, strict=True):
        if abs(mine - theirs) > ALIKE:
            return mine > theirs
    return False


def rate(problem: PlanProblem, pairs: Iterable[Pair]) -> PlanRating:
    """Every part of the objective for a list of pairs, whoever made it: higher is better, compared from the first on."""
    of: dict[str, list[Pair]] = defaultdict(list)
    for pair in pairs:
        of[pair.want].append(pair)
    wear = {stick.key: stick.wear for stick in problem.sticks}
    parts = dict.fromkeys(("sites", "chance", "spread", "value", "share", "wear"), 0.0)
    for want in problem.wants:
        made = of[want.key]
        short = short_of_sites(want, len(made), {pair.site for pair in made})
        parts["sites" if is_must_have(want) else "spread"] -= weight(want) * short
        if is_must_have(want):
            sure = min(problem.sure, chance_of(want, [pair.chance for pair in made]))
            parts["chance"] += weight(want) * sure
        parts["value"] += weight(want) * tree_value(want, sum(pair.chance for pair in made))
        parts["share"] -= sum(1 - met_share(pair.share) for pair in made)
        parts["wear"] -= sum(1 - wear[pair.stick] for pair in made)
    return PlanRating(**parts)
