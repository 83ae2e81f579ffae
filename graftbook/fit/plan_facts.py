"""The planning problem of a grafting day and its solution: plain facts, filled in by whoever holds the book.

Things that are alike share a `kind`: a piece's kind names a row and a stock's kind a column of what is possible, so that
gates, joints and chances are computed once for each pair of kinds and never for each pair of things. None always means
"not known". Chances and shares run from 0 to 1, lengths are mm, days whole days.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class PieceFact:
    """One scion that a way of cutting gives.

    `kind` is the same for all pieces that may stand for one another on every stock (cultivar, buds, size class, taxon,
    notes); `buds` are those it keeps, 1 or more, `lost` those its cut takes; diameter at its thick end and length in mm.
    """

    kind: str
    buds: int
    lost: int = 0
    butt_mm: float | None = None
    length_mm: float | None = None


WayFact = tuple[PieceFact, ...]


@dataclass(frozen=True)
class StickFact:
    """A stick, or `many` sticks of one bundle that are alike.

    `label` is what wants ask for: the cultivar. `ways` are the ways it can be cut, pieces from the butt on; any piece of a
    way may be left uncut. `buds` counts all its sound buds. `wear` is 0 for wood that will keep as long as any and 1 for
    wood at its end: worn wood is used first among equals. `barred` holds whole sentences why the stick may not be used (a
    health or rights note); with any of them it is not.
    """

    key: str
    bundle: str
    label: str
    ways: tuple[WayFact, ...]
    buds: int
    many: int = 1
    wear: float = 0.0
    barred: tuple[str, ...] = ()


@dataclass(frozen=True)
class HostFact:
    """A stock, tree or limb with `positions` free places for a graft, or a lot of that many stocks alike.

    `kind` is the same for all hosts that gates and joints cannot tell apart (taxon, clone, size class, stage, bark,
    notes); it need not hold the site. `clone` and `grade` are shown in shortages; a want may ask for clones. `barred`
    holds whole sentences why nothing may go on it; with any of them nothing does.
    """

    key: str
    kind: str
    site: str = ""
    clone: str = ""
    grade: str = ""
    positions: int = 1
    diameter_mm: float | None = None
    barred: tuple[str, ...] = ()


@dataclass(frozen=True)
class Possible:
    """A kind of piece that may go on a kind of host by a method, since no gate says no.

    `chance` is that such a graft lives; `share` is what the joint meets, None where there is no model of it (counted as
    `plan_objectives.UNKNOWN_SHARE`); `short` the share of a full scion's buds that the piece lacks, 0 to below 1.
    """

    piece: str
    host: str
    method: str
    chance: float
    share: float | None = None
    short: float = 0.0


@dataclass(frozen=True)
class WantFact:
    """What is wanted of a cultivar.

    `number` trees that live are wanted, 1 or more; `living` of them at the least, which makes it a must-have (0: none is
    a must), on `sites` sites or more: a must-have is had when so many live and one at least on each of so many sites.
    `priority` 1 comes first; each step down halves the weight. `clones` names the only rootstocks it may stand on (empty:
    any). `already` says how many live already, by site. `last` when the wood of the plan is all there is of it: no tree
    lives from which more could be cut.
    """

    key: str
    label: str
    number: int
    living: int = 0
    sites: int = 1
    priority: int = 1
    clones: tuple[str, ...] = ()
    already: tuple[tuple[str, int], ...] = ()
    last: bool = False

    @property
    def living_already(self) -> int:
        """How many live already, on all sites."""
        return sum(count for _, count in self.already)


@dataclass(frozen=True)
class PlanProblem:
    """A grafting day to be planned.

    `hold_back` buds of every wanted cultivar are kept uncut, as far as there are so many. A must-have counts as safe once
    the chance that it is had is `sure`, above 0 and at most 1: beyond it, grafts of it weigh like any other, so that
    the last thousandth of a chance takes no stock from another. `spare` is the share of trees past the number wanted that
    are asked for too, 0 or more, once every want has its number. `seconds` is the time limit of the solver, above 0; on a
    large day, the assignment to single sticks may take a second more. `gap` is the relative optimality gap at which the
    solver may stop, 0 or more and below 1 (None: only when proven, or for a large problem at 0.05 % of the value and 0.2 %
    of the joints).
    """

    sticks: tuple[StickFact, ...]
    hosts: tuple[HostFact, ...]
    possible: tuple[Possible, ...]
    wants: tuple[WantFact, ...]
    hold_back: int = 0
    sure: float = 0.95
    seconds: float = 60.0
    gap: float | None = None
    spare: float = 0.0

    @property
    def free_hosts(self) -> tuple[HostFact, ...]:
        """The hosts that may be grafted and have a free place."""
        return tuple(host for host in self.hosts if not host.barred and host.positions > 0)


@dataclass(frozen=True)
class Pair:
    """One graft of the plan.

    The piece is number `piece` (from 1, from the butt) of stick number `stick_number` (from 1 to the fact's `many`) cut as
    the plan's cut of that stick says; it goes on `host` at place number `position` (1 to the fact's `positions`) for the
    want `want`.
    """

    stick: str
    stick_number: int
    piece: int
    cut: PieceFact
    host: str
    position: int
    site: str
    method: str
    chance: float
    share: float | None
    want: str


@dataclass(frozen=True)
class StickCut:
    """How one stick is cut: the pieces that are used, from the butt on, and how many buds stay on wood that is not cut."""

    stick: str
    stick_number: int
    pieces: tuple[PieceFact, ...]
    buds_left: int


@dataclass(frozen=True)
class Shortage:
    """What one unmet want lacks: `of` one of these, how many of it (0: cannot be counted), and a whole sentence.

    `sticks`: no wood; `buds`: all its wood is used or held back; `stocks`: every host that would do is taken or there is
    none, `clone` and `grade` saying which would do best; `fit`: wood and hosts are left but no gate lets them meet;
    `sites`: too few sites have a host that would do; `chance`: the grafts that can be made leave the must in doubt.
    """

    want: str
    of: str
    number: int
    words: str
    clone: str = ""
    grade: str = ""


@dataclass(frozen=True)
class WantResult:
    """What the plan gives one want.

    `chance` that it is had: `living` live, those living already counted in, and one at least on each site asked for (None
    where none is a must); `expected` trees
    alive, those already alive counted in, with `expected` = already + the sum of chances; `sites` where it lives or is
    grafted. `met` when the expected trees reach the number, every site is had, and a must-have is at least as likely
    alive as the question's `sure`.
    """

    key: str
    label: str
    grafts: int
    already: int
    chance: float | None
    expected: float
    sites: tuple[str, ...]
    met: bool
    shortages: tuple[Shortage, ...] = ()


@dataclass(frozen=True)
class ObjectiveResult:
    """One objective, in the order in which they were optimised.

    `value` is reached, computed exactly; `bound` is an upper bound over all plans with equal values of the objectives before.
    `gap` is their difference over the larger of them, 0 when `proven` optimal.
    """

    name: str
    words: str
    value: float
    bound: float
    gap: float
    proven: bool


@dataclass(frozen=True)
class LeftOver:
    """What the plan does not use: `of` is `wood` or `host`, `number` its buds or places, and why in a whole sentence."""

    of: str
    key: str
    number: int
    why: str


@dataclass(frozen=True)
class SolvedPlan:
    """A plan, or why there is none.

    `status` is `optimal` (every objective proven), `gap` (some objective has an optimality gap, see `objectives`) or `none` (no
    graft can be made: `in_the_way` says why and `nearest` what would have to change first). `message` is one sentence of the
    solver's state for people, `seconds` the time it took, and `timed_out` whether that ended the search before all was proven.
    """

    status: str
    pairs: tuple[Pair, ...] = ()
    cuts: tuple[StickCut, ...] = ()
    wants: tuple[WantResult, ...] = ()
    objectives: tuple[ObjectiveResult, ...] = ()
    left_over: tuple[LeftOver, ...] = ()
    in_the_way: tuple[str, ...] = ()
    nearest: str = ""
    message: str = ""
    seconds: float = 0.0
    timed_out: bool = False

    @property
    def shortages(self) -> tuple[Shortage, ...]:
        """The shortages of all wants."""
        return tuple(short for want in self.wants for short in want.shortages)


@dataclass(frozen=True)
class HoldingCost:
    """What holding more buds back of every wanted cultivar costs one want: the chance of a must-have with and without (None
    where none is), and so many trees to be expected."""

    want: str
    chance: float | None
    chance_held: float | None
    expected_lost: float

    @property
    def chance_lost(self) -> float | None:
        """How much of the chance of a must-have it costs; None where none is."""
        return None if self.chance is None or self.chance_held is None else self.chance - self.chance_held


@dataclass(frozen=True)
class NextBest:
    """The best plan in which one want is grafted with other numbers of scions, and what it would come to.

    `scions` are grafts by buds, most buds first; `chance` and `expected` those of the want (None where none is a must);
    `others_lose` trees to be expected of all other wants, below 0 where they gain; `costs` names the first objective in
    which it is worse than the plan, '' where it is worse in none.
    """

    want: str
    scions: tuple[tuple[int, int], ...]
    chance: float | None
    expected: float
    others_lose: float
    costs: str
