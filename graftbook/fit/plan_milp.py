"""The plan as a mixed-integer linear programme (MILP): decision variables, constraints, and a row for each objective.

Integer decision variables: grafts through each piece arc and each host arc, sticks cut in each way, and one binary for each
column of `plan_columns` of a must-have or of the last wood of a cultivar. Continuous: sites lacking, and trees up to the number
wanted and past it. The variables stand in this order: piece arcs, host arcs, ways of cutting, and the rest.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_columns import Kind, Reach, chance_columns
from graftbook.fit.plan_facts import PlanProblem, WantFact
from graftbook.fit.plan_network import PlanNetwork
from graftbook.fit.plan_objectives import (
    A_STICK,
    OBJECTIVES,
    cap,
    is_certain,
    is_must_have,
    new_sites,
    old_sites,
    room,
    spare_room,
    trees_needed,
    weakness,
    wear_of,
    weight,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True)
class MilpModel:
    """What the solver is handed, for m constraints and n decision variables.

    `matrix` is sparse, m x n; `row_lower`, `row_upper` (m) its limits, infinite where there is none; `integrality` (n) 1 for
    an integer variable; `lower`, `upper` (n) the bounds of the variables; `objective[name]` (n) the coefficients of that
    objective, to be maximised; `exact` when no chances were merged.
    """

    matrix: Any
    row_lower: NDArray[Any]
    row_upper: NDArray[Any]
    integrality: NDArray[Any]
    lower: NDArray[Any]
    upper: NDArray[Any]
    objective: dict[str, NDArray[Any]]
    exact: bool


@dataclass(frozen=True)
class ScionMix:
    """The grafts of a want (by its place among the wants) by the buds of their scions."""

    want: int
    grafts: Mapping[int, int]


def build_model(
    network: PlanNetwork, problem: PlanProblem, upper: bool = False, other_than: ScionMix | None = None
) -> MilpModel:
    """The MILP of a plan.

    `upper` takes merged chances as the highest of them, so that the optimum is an upper bound; otherwise as the lowest.
    `other_than` forbids that a want is grafted with these very numbers of scions.
    """
    builder = _ModelBuilder(network, problem.hold_back)
    builder.add_flow()
    builder.add_cuts()
    by_want: list[list[int]] = [[] for _ in network.wants]
    for at, piece_arc in enumerate(network.piece_arcs):
        by_want[piece_arc.want].append(at)
    exact = True
    for at, (want, some) in enumerate(zip(network.wants, by_want, strict=True)):
        if some:
            builder.add_sites(want, some)
            builder.add_value(want, some, problem.spare)
            exact &= builder.add_chance(at, some, problem.sure, upper)
    if other_than is not None:
        builder.add_other_than(by_want[other_than.want], other_than.grafts)
    return builder.model(exact)


def build_reassignment(
    network: PlanNetwork, incumbent: NDArray[Any], hold_back: int, keep_hosts: bool = False
) -> MilpModel:
    """The MILP of which pieces, hosts and cuts serve the grafts of an incumbent (decision variables, piece arcs first).

    As many grafts of each want and chance are made, on the same sites where a want asks for several, as many on each where it
    is a must-have, so that every objective before the strength of joints keeps its value; with `keep_hosts` through the
    same host arcs too. Its variables are piece arcs, host arcs and ways of cutting.
    """
    builder = _ModelBuilder(network, hold_back)
    builder.add_flow()
    held: dict[tuple[int, str | None, float], _Terms] = defaultdict(list)
    stands: dict[tuple[int, str | None], _Terms] = defaultdict(list)
    grafts: Counter[tuple[int, str | None, float]] = Counter()
    taken: dict[tuple[int, str | None], None] = {}
    for at, (piece_arc, number) in enumerate(zip(network.piece_arcs, incumbent, strict=False)):
        there = piece_arc.want, network.sites[piece_arc.node]
        key = piece_arc.want, there[1] if network.sites_asked[piece_arc.want] else None, piece_arc.chance
        held[key].append((at, 1.0))
        stands[there].append((at, 1.0))
        grafts[key] += int(number)
        if number and there[1] is not None:
            taken[there] = None
    for key, terms in held.items():
        builder.add(terms, grafts[key], grafts[key])
    for there in taken:
        builder.add(stands[there], 1, inf)
    builder.add_cuts()
    model = builder.model(True)
    if keep_hosts:
        place = slice(*network.ends[:2])
        model.lower[place] = model.upper[place] = incumbent[place]
    return model


_Terms = list[tuple[int, float]]


class _ModelBuilder:
    """Decision variables numbered as they are asked for, and the constraints on them."""

    def __init__(self, network: PlanNetwork, hold_back: int) -> None:
        self.network, self.hold_back = network, hold_back
        self.supply = _supplies(network)
        self.places: Counter[tuple[int, float]] = Counter()
        for host_arc in network.host_arcs:
            self.places[host_arc.node, host_arc.how.chance] += network.hosts[host_arc.host].places
        self.upper: list[float] = []
        self.integrality: list[int] = []
        self.objective: dict[str, dict[int, float]] = {objective: {} for objective in OBJECTIVES}
        self.row: list[int] = []
        self.column: list[int] = []
        self.value: list[float] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def variable(self, most: float, integrality: bool) -> int:
        """A new variable from 0 to `most`."""
        self.upper.append(most)
        self.integrality.append(int(integrality))
        return len(self.upper) - 1

    def add(self, terms: _Terms, low: float, high: float) -> None:
        """A constraint: the sum of value x variable over the terms lies between the limits; none where there is no term."""
        if terms:
            self.row += [len(self.low)] * len(terms)
            self.column += [column for column, _ in terms]
            self.value += [value for _, value in terms]
            self.low.append(low)
            self.high.append(high)

    def add_flow(self) -> None:
        """Flow is conserved at each node and chance; no host class takes more than its places."""
        both: dict[tuple[int, float], _Terms] = defaultdict(list)
        on: list[_Terms] = [[] for _ in self.network.hosts]
        places = [host.places for host in self.network.hosts]
        for piece_arc in self.network.piece_arcs:
            at = self.variable(self.supply[piece_arc.piece], True)
            both[piece_arc.node, piece_arc.chance].append((at, 1.0))
            self.objective["wear"][at] = wear_of(self.network.pieces[piece_arc.piece].wear)
        for host_arc in self.network.host_arcs:
            at = self.variable(places[host_arc.host], True)
            both[host_arc.node, host_arc.how.chance].append((at, -1.0))
            on[host_arc.host].append((at, 1.0))
            self.objective["strong"][at] = -weakness(host_arc.how)
        for terms in both.values():
            self.add(terms, 0, 0)
        for terms, most in zip(on, places, strict=True):
            self.add(terms, 0, most)

    def add_cuts(self) -> None:
        """No more pieces than the cuts give, no more cuts than sticks, and so many buds of each label held back."""
        of: list[_Terms] = [[] for _ in self.network.pieces]
        taken: dict[str, _Terms] = defaultdict(list)
        for at, piece_arc in enumerate(self.network.piece_arcs):
            piece = self.network.pieces[piece_arc.piece]
            of[piece_arc.piece].append((at, 1.0))
            taken[piece.label].append((at, float(piece.taken)))
        for stick in self.network.sticks:
            cuts = [self.variable(stick.number, True) for _ in stick.ways]
            self.objective["strong"].update(dict.fromkeys(cuts, -A_STICK))
            self.add([(at, 1.0) for at in cuts], 0, stick.number)
            for at, way in zip(cuts, stick.ways, strict=True):
                for place, count in way:
                    of[place].append((at, -float(count)))
        for terms in of:
            self.add(terms, -inf, 0)
        for label, terms in taken.items() if self.hold_back else ():
            self.add(terms, 0, max(0, self.network.buds[label] - self.hold_back))

    def add_sites(self, want: WantFact, some: list[int]) -> None:
        """Sites lacking of a want; for one that is no must-have only as far as there are grafts. `some` are its piece arcs."""
        asked = new_sites(want)
        if asked == 0:
            return
        by_site: dict[str, _Terms] = defaultdict(list)
        for at in some:
            by_site[self.network.site(self.network.piece_arcs[at])].append((at, -1.0))
        short = self.variable(asked, False)
        terms = [(short, 1.0)]
        for site, there in by_site.items():
            if site not in old_sites(want):
                stands = self.variable(1, True)
                self.add([(stands, 1.0), *there], -inf, 0)
                terms.append((stands, 1.0))
        self.objective["sites" if is_must_have(want) else "spread"][short] = -weight(want)
        if is_must_have(want):
            self.add(terms, asked, inf)
            return
        most = sum(self.upper[at] for at in some)
        for number in range(1, asked + 1):
            reached = self.variable(1, True)
            self.add([*((at, 1.0) for at in some), (reached, -most)], -inf, number - 1)
            terms.append((reached, -1.0))
        self.add(terms, 0, inf)

    def add_value(self, want: WantFact, some: list[int], spare: float) -> None:
        """The trees to be expected of a want up to the number wanted, and those past it that are asked for to spare, no more
        in all than of its piece arcs `some`."""
        terms = [(at, -self.network.piece_arcs[at].chance) for at in some]
        for name, most in (("value", room(want)), ("spare", spare_room(want, spare))):
            if most > 0:
                at = self.variable(most, False)
                terms.append((at, 1.0))
                self.objective[name][at] = weight(want)
        if len(terms) > len(some):
            self.add(terms, -inf, 0)

    def add_chance(self, number: int, some: list[int], sure: float, upper: bool) -> bool:
        """Choose one column (a mix of grafts) of a want by its place that is a must-have or the last of its kind, and make at
        least its grafts through its piece arcs `some`; True when nothing was merged."""
        want, sites = self.network.wants[number], self.network.sites_asked[number]
        count = trees_needed(want)
        if not is_certain(want) or count == sites == 0:
            return True
        kinds = {at: self._kind(want, at, sites) for at in some}
        found = chance_columns(count, self._reach(want, kinds, sites), cap(want, sure), upper)
        chosen = [self.variable(1, True) for _ in found.chance]
        self.add([(at, 1.0) for at in chosen], 1, 1)
        for at, chance in zip(chosen, found.chance.tolist(), strict=True):
            if is_must_have(want):
                self.objective["chance"][at] = weight(want) * min(sure, chance)
            if want.last:
                self.objective["last"][at] = weight(want) * chance
        places = [(found.place_of[kind], at) for at, kind in kinds.items() if kind in found.place_of]
        for place, site in enumerate(found.site_of):
            better = [each for each in range(place + 1) if found.site_of[each] == site]
            asked = found.mixes[:, better].sum(axis=1).tolist()
            terms = [(at, float(grafts)) for at, grafts in zip(chosen, asked, strict=True) if grafts]
            self.add([*terms, *((at, -1.0) for each, at in places if each in better)], -inf, 0)
        return found.exact

    def _reach(self, want: WantFact, kinds: Mapping[int, Kind], sites: int) -> Reach:
        """The most grafts of each kind, the fewest buds that one takes, and the buds and places in all."""
        most: dict[Kind, int] = defaultdict(int)
        buds: dict[Kind, int] = {}
        for at, kind in kinds.items():
            arc = self.network.piece_arcs[at]
            taken = self.network.pieces[arc.piece].taken
            most[kind] += min(self.supply[arc.piece], self.places[arc.node, arc.chance])
            buds[kind] = min(buds.get(kind, taken), taken)
        room = max(0, self.network.buds[want.label] - self.hold_back)
        places = sum(host.places for host in self.network.hosts)
        return Reach(most, buds, room, places, sites, max(1, sum(asked > 0 for asked in self.network.sites_asked)))

    def _kind(self, want: WantFact, at: int, sites: int) -> Kind:
        """For which site a piece arc counts, and its chance."""
        arc = self.network.piece_arcs[at]
        site = self.network.site(arc)
        return None if not sites or site in old_sites(want) else site, arc.chance

    def add_other_than(self, some: list[int], grafts: Mapping[int, int]) -> None:
        """More or fewer grafts of some number of buds through these piece arcs than there are of it."""
        terms: dict[int, _Terms] = defaultdict(list)
        for at in some:
            arc = self.network.piece_arcs[at]
            terms[self.network.pieces[arc.piece].buds].append((at, 1.0))
        either: _Terms = []
        for buds, through in terms.items():
            made = grafts.get(buds, 0)
            more, fewer = self.variable(1, True), self.variable(1, True)
            most = sum(self.upper[at] for at, _ in through)
            self.add([*through, (more, -float(made + 1))], 0, inf)
            self.add([*through, (fewer, most - made + 1)], -inf, most)
            either += [(more, 1.0), (fewer, 1.0)]
        self.add(either, 1, inf)

    def model(self, exact: bool) -> MilpModel:
        """All of it as the solver is handed it."""
        import numpy as np
        from scipy.sparse import csr_array

        width = len(self.upper)
        objectives = {}
        for name, terms in self.objective.items():
            objectives[name] = np.zeros(width)
            objectives[name][list(terms)] = list(terms.values())
        matrix = csr_array((self.value, (self.row, self.column)), shape=(len(self.low), width))
        limits = np.array(self.low, float), np.array(self.high, float)
        bounds = np.array(self.integrality, np.uint8), np.zeros(width), np.array(self.upper, float)
        return MilpModel(matrix, *limits, *bounds, objectives, exact)


def _supplies(network: PlanNetwork) -> list[int]:
    """How many pieces of each class there would be, were every stick cut for it alone: an upper bound."""
    found = [0] * len(network.pieces)
    for stick in network.sticks:
        most: dict[int, int] = {}
        for way in stick.ways:
            for piece, count in way:
                most[piece] = max(most.get(piece, 0), count)
        for piece, count in most.items():
            found[piece] += stick.number * count
    return found
