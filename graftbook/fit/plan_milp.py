"""The plan as a mixed-integer linear programme (MILP): decision variables, constraints, and a row for each objective.

Integer decision variables: grafts through each piece arc and each host arc, sticks cut in each way, and one binary for each
column of `plan_columns` of a must-have. Continuous: sites lacking, and trees in each segment of the value. The variables
stand in this order: piece arcs, host arcs, ways of cutting, and the rest.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_columns import chance_columns
from graftbook.fit.plan_facts import WantFact
from graftbook.fit.plan_network import PlanNetwork
from graftbook.fit.plan_objectives import (
    OBJECTIVES,
    is_must_have,
    met_share,
    new_sites,
    old_sites,
    trees_needed,
    value_segments,
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


def build_model(network: PlanNetwork, hold_back: int, sure: float, upper: bool = False) -> MilpModel:
    """The MILP of a plan.

    `hold_back` buds (0 or more) of every label stay uncut; a must-have's chance counts up to `sure` (above 0, at most 1).
    `upper` takes merged chances as the highest of them, so that the optimum is an upper bound; otherwise as the lowest.
    """
    builder = _ModelBuilder(network)
    builder.add_flow()
    builder.add_cuts(hold_back)
    by_want: list[list[int]] = [[] for _ in network.wants]
    for at, piece_arc in enumerate(network.piece_arcs):
        by_want[piece_arc.want].append(at)
    exact = True
    for want, some in zip(network.wants, by_want, strict=True):
        if some:
            builder.add_sites(want, some)
            builder.add_value(want, some)
            exact &= builder.add_chance(want, some, sure, upper)
    return builder.model(exact)


def build_reassignment(
    network: PlanNetwork, incumbent: NDArray[Any], hold_back: int, keep_hosts: bool = False
) -> MilpModel:
    """The MILP of which pieces, hosts and cuts serve the grafts of an incumbent (decision variables, piece arcs first).

    As many grafts of each want and chance are made, on the same sites where a want asks for several, so that every objective
    up to the value keeps its value; with `keep_hosts` through the same host arcs too. Its variables are piece arcs, host arcs
    and ways of cutting.
    """
    builder = _ModelBuilder(network)
    builder.add_flow()
    held: dict[tuple[int, float], _Terms] = defaultdict(list)
    stands: dict[tuple[int, str | None], _Terms] = defaultdict(list)
    grafts: Counter[tuple[int, float]] = Counter()
    taken: dict[tuple[int, str | None], None] = {}
    for at, (piece_arc, number) in enumerate(zip(network.piece_arcs, incumbent, strict=False)):
        key, there = (piece_arc.want, piece_arc.chance), (piece_arc.want, network.sites[piece_arc.node])
        held[key].append((at, 1.0))
        stands[there].append((at, 1.0))
        grafts[key] += int(number)
        if number and there[1] is not None:
            taken[there] = None
    for key, terms in held.items():
        builder.add(terms, grafts[key], grafts[key])
    for there in taken:
        builder.add(stands[there], 1, inf)
    builder.add_cuts(hold_back)
    model = builder.model(True)
    if keep_hosts:
        place = slice(*network.ends[:2])
        model.lower[place] = model.upper[place] = incumbent[place]
    return model


_Terms = list[tuple[int, float]]


class _ModelBuilder:
    """Decision variables numbered as they are asked for, and the constraints on them."""

    def __init__(self, network: PlanNetwork) -> None:
        self.network = network
        self.supply = _supplies(network)
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
            self.objective["wear"][at] = self.network.pieces[piece_arc.piece].wear - 1.0
        for host_arc in self.network.host_arcs:
            at = self.variable(places[host_arc.host], True)
            both[host_arc.node, host_arc.how.chance].append((at, -1.0))
            on[host_arc.host].append((at, 1.0))
            self.objective["share"][at] = met_share(host_arc.how.share) - 1.0
        for terms in both.values():
            self.add(terms, 0, 0)
        for terms, most in zip(on, places, strict=True):
            self.add(terms, 0, most)

    def add_cuts(self, hold_back: int) -> None:
        """No more pieces than the cuts give, no more cuts than sticks, and so many buds of each label held back."""
        of: list[_Terms] = [[] for _ in self.network.pieces]
        taken: dict[str, _Terms] = defaultdict(list)
        for at, piece_arc in enumerate(self.network.piece_arcs):
            piece = self.network.pieces[piece_arc.piece]
            of[piece_arc.piece].append((at, 1.0))
            taken[piece.label].append((at, float(piece.taken)))
        for stick in self.network.sticks:
            cuts = [self.variable(stick.number, True) for _ in stick.ways]
            self.add([(at, 1.0) for at in cuts], 0, stick.number)
            for at, way in zip(cuts, stick.ways, strict=True):
                for place, count in way:
                    of[place].append((at, -float(count)))
        for terms in of:
            self.add(terms, -inf, 0)
        for label, terms in taken.items() if hold_back else ():
            self.add(terms, 0, max(0, self.network.buds[label] - hold_back))

    def add_sites(self, want: WantFact, some: list[int]) -> None:
        """Sites lacking of a want; for one that is no must-have only as far as there are grafts. `some` are its piece arcs."""
        asked = new_sites(want)
        if asked == 0:
            return
        by_site: dict[str, _Terms] = defaultdict(list)
        for at in some:
            by_site[self.network.sites[self.network.piece_arcs[at].node] or ""].append((at, -1.0))
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

    def add_value(self, want: WantFact, some: list[int]) -> None:
        """The trees to be expected in each segment of the value of a want, no more in all than of its piece arcs `some`."""
        terms = [(at, -self.network.piece_arcs[at].chance) for at in some]
        for room, each in value_segments(want):
            at = self.variable(room, False)
            terms.append((at, 1.0))
            self.objective["value"][at] = weight(want) * each
        if len(terms) > len(some):
            self.add(terms, -inf, 0)

    def add_chance(self, want: WantFact, some: list[int], sure: float, upper: bool) -> bool:
        """Choose one column (a mix of grafts) of a must-have, and make at least its grafts through its piece arcs `some`; True
        when no chances were merged."""
        count = trees_needed(want)
        if count == 0:
            return True
        most: dict[float, int] = defaultdict(int)
        for piece_arc in (self.network.piece_arcs[at] for at in some):
            most[piece_arc.chance] += self.supply[piece_arc.piece]
        found = chance_columns(count, most, sure, upper)
        chosen = [self.variable(1, True) for _ in found.chance]
        self.add([(at, 1.0) for at in chosen], 1, 1)
        for at, chance in zip(chosen, found.chance.tolist(), strict=True):
            self.objective["chance"][at] = weight(want) * chance
        kind_of = [(found.place_of[self.network.piece_arcs[at].chance], at) for at in some]
        for kind in range(found.mixes.shape[1]):
            asked = found.mixes[:, : kind + 1].sum(axis=1).tolist()
            terms = [(at, float(number)) for at, number in zip(chosen, asked, strict=True) if number]
            self.add([*terms, *((at, -1.0) for place, at in kind_of if place <= kind)], -inf, 0)
        return found.exact

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
