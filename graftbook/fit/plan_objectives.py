"""The lexicographic objective of a plan: eight objectives in their order, all maximised.

1. `sites`: minus the sites that must-haves lack of the number asked for, weighted.
2. `chance`: for each must-have the chance that it is had (`living_chance`: at least `living` live, and one or more on each of
   the sites asked for), capped at the problem's `sure`; weighted sum.
3. `spread`: minus the sites that the grafts of other wants lack: each graft on a site of its own up to the number asked for.
4. `value`: the expected living trees of each want up to the number wanted, weighted sum: a tree past it is worth nothing.
5. `spare`: the same for the trees past the number, up to the share of it that the problem asks for as `spare`.
6. `last`: for each want whose wood is the last of its kind, the chance that it is had at all, capped at LAST_SURE.
7. `strong`: minus the sum over all grafts of what their joint misses and of the share of buds that their scion is short of, and
   a little for each stick that is cut.
8. `wear`: minus the sum of (1 - wear) over all grafts, and so much more for each: wood that keeps worst first, then fewest stocks.

An objective decides only between plans with equal values of all before it. What is counted is a choice made here and stated
to the grower; nothing in it forecasts beyond the chances handed in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence

from graftbook.fit.plan_facts import Possible, WantFact
from graftbook.fit.plan_law import had_everywhere

OBJECTIVES = ("sites", "chance", "spread", "value", "spare", "last", "strong", "wear")
# The share assumed for a joint without a model.
UNKNOWN_SHARE = 0.5
# The last wood of a cultivar is used until the chance that it is had is this: one in a thousand is left to luck.
LAST_SURE = 0.999
# A stick that is cut weighs as much as so much of a joint: none is opened for the sake of a hair's breadth.
A_STICK = 0.1
# A stock weighs as much as so much of the wear of one graft.
A_STOCK = 0.01
# Values that differ by no more are equal: rounding.
ALIKE = 2e-6


def weight(want: WantFact) -> float:
    """The weight of a want: 1 for priority 1, halved with each step down."""
    return 0.5 ** (want.priority - 1)


def is_must_have(want: WantFact) -> bool:
    """Whether the want is a must-have: some of its trees must live."""
    return want.living > 0


def is_certain(want: WantFact) -> bool:
    """Whether a chance is computed for the want: a must-have, or one whose wood is the last of its kind."""
    return want.last or is_must_have(want)


def trees_needed(want: WantFact) -> int:
    """How many trees must live beside those living already, 0 or more; of the last wood one at the least."""
    return max(0, max(want.living, int(want.last)) - want.living_already)


def cap(want: WantFact, sure: float) -> float:
    """The chance beyond which a further graft of the want counts for no more, `sure` being that of must-haves."""
    return max(sure, LAST_SURE) if want.last else sure


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


def room(want: WantFact) -> float:
    """How many trees more are wanted, 0 or more."""
    return max(0.0, float(want.number - want.living_already))


def spare_room(want: WantFact, spare: float) -> float:
    """How many trees past the number wanted are asked for, `spare` being a share of it of 0 or more."""
    return max(0.0, want.number * (1 + spare) - want.living_already) - room(want)


def met_share(share: float | None) -> float:
    """The share of a joint that is counted, 0 to 1; None takes UNKNOWN_SHARE."""
    return UNKNOWN_SHARE if share is None else share


def weakness(how: Possible) -> float:
    """What a graft is short of, 0 to 2: what its joint misses, and the share of a full scion's buds that it lacks."""
    return 1 - met_share(how.share) + how.short


def wear_of(wear: float) -> float:
    """What a graft of wood so worn (0 to 1) adds to the objective `wear`, below 0."""
    return wear - 1 - A_STOCK


def living_chance(want: WantFact, grafts: Iterable[tuple[str, float]], sites: int | None = None) -> float:
    """The chance that a want is had: as many live as must, and one at least on each new site asked for.

    `grafts` are the site and the chance of each (independent, 0 to 1); `sites` None takes the new sites asked for. A want
    that is no must-have is had when one lives.
    """
    here: dict[str, list[float]] = defaultdict(list)
    for site, chance in grafts:
        here["" if site in old_sites(want) else site].append(chance)
    asked = (new_sites(want) if is_must_have(want) else 0) if sites is None else sites
    if not asked:
        return had_everywhere(trees_needed(want), 0, (), [chance for some in here.values() for chance in some])
    old = here.pop("", []) if old_sites(want) else []
    return had_everywhere(trees_needed(want), asked, tuple(here.values()), old)


def outranks(one: Sequence[float], other: Sequence[float]) -> bool:
    """Whether one plan is lexicographically better: greater in the first objective in which they differ by more than ALIKE.

    Both hold the objectives in their order; ValueError where their lengths differ.
    """
    for mine, theirs in zip(one, other, strict=True):
        if abs(mine - theirs) > ALIKE:
            return mine > theirs
    return False
