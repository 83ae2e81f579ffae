"""The plan as a mixed-integer linear programme (MILP): decision variables, constraints, and a row for each objective.

Integer decision variables: grafts through each piece arc and each host arc, sticks cut in each way, and one binary for each
column of `plan_columns` of a must-have. Continuous: sites lacking, and trees in each segment of the value. The variables
stand in this order: piece arcs, host arcs, ways of cutting, and the rest.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_columns import ChanceColumns, chance_columns
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


@dataclass
class _Rows:
    """Constraints being gathered: coefficients by row, and their limits."""

    at: list[int]
    column: list[int]
    value: list[float]
    low: list[float]
    high: list[float]

    def add(self, terms: Sequence[tuple[int, float]], low: float, high: float) -> None:
        row = len(self.low)
        for column, value in terms:
            self.at.append(row)
            self.column.append(column)
            self.value.append(value)
        self.low.append(low)
        self.high.append(high)


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


class _ModelBuilder:
    """Decision variables numbered as they are asked for."""

    def __init__(self) -> None:
        self.rows = _Rows([], [], [], [], [])
        self.upper: list[float] = []
        self.integrality: list[int] = []
        self.objective: dict[str, dict[int, float]] = {objective: {} for objective in OBJECTIVES}

    def variable(self, most: float, integrality: bool) -> int:
        self.upper.append(most)
        self.integrality.append(int(integrality))
        return len(self.upper) - 1


def build_model(network: PlanNetwork, hold_back: int, sure: float, upper: bool = False) -> MilpModel:
    """The MILP of a plan.

    `hold_back` buds (0 or more) of every label stay uncut; a must-have's chance counts up to `sure` (above 0, at most 1).
    `upper` takes merged chances as the highest of them, so that the optimum is an upper bound; otherwise as the lowest.
    """
    builder = _ModelBuilder()
    supply = supplies(network)
    _flow_constraints(builder, network, supply)
    _cuts(builder, network)
    _hold_back(builder, network, hold_back)
    by_want: list[list[int]] = [[] for _ in network.wants]
    for at, piece_arc in enumerate(network.piece_arcs):
        by_want[piece_arc.want].append(at)
    exact = True
    for place, some in enumerate(by_want):
        if some:
            _site_constraints(builder, network, place, some)
            _value_constraints(builder, network, place, some)
            exact &= _chance_constraints(builder, network, place, some, supply, sure, upper)
    return _assembled(builder, exact)


@dataclass(frozen=True)
class GraftTotals:
    """How many grafts of each want (by index) and chance are to be made, and on which sites wants that ask for several
    must stand."""

    grafts: dict[tuple[int, float], int]
    stands: frozenset[tuple[int, str]]


def totals_of(network: PlanNetwork, piece_arcs: Sequence[int]) -> GraftTotals:
    """The totals of a number of grafts through each piece arc, in the order of `network.piece_arcs`."""
    grafts: dict[tuple[int, float], int] = defaultdict(int)
    stands = set()
    for piece_arc, number in zip(network.piece_arcs, piece_arcs, strict=True):
        if number:
            grafts[piece_arc.want, piece_arc.chance] += number
            site = network.sites[piece_arc.node]
            if site is not None:
                stands.add((piece_arc.want, site))
    return GraftTotals(dict(grafts), frozenset(stands))


def build_reassignment(
    network: PlanNetwork, totals: GraftTotals, hold_back: int, host_arcs: Sequence[int] | None = None
) -> MilpModel:
    """The MILP of which pieces, hosts and cuts serve fixed totals, so that every objective up to the value keeps its value.

    `host_arcs` fixes the grafts through these too; None leaves them free. Its variables are piece arcs, host arcs and ways of
    cutting.
    """
    builder = _ModelBuilder()
    _flow_constraints(builder, network, supplies(network))
    held: dict[tuple[int, float], list[tuple[int, float]]] = defaultdict(list)
    stands: dict[tuple[int, str | None], list[tuple[int, float]]] = defaultdict(list)
    for at, piece_arc in enumerate(network.piece_arcs):
        held[piece_arc.want, piece_arc.chance].append((at, 1.0))
        stands[piece_arc.want, network.sites[piece_arc.node]].append((at, 1.0))
    for key, terms in held.items():
        number = totals.grafts.get(key, 0)
        builder.rows.add(terms, number, number)
    for there in totals.stands:
        builder.rows.add(stands[there], 1, float("inf"))
    _cuts(builder, network)
    _hold_back(builder, network, hold_back)
    model = _assembled(builder, True)
    if host_arcs is not None:
        place = slice(len(network.piece_arcs), len(network.piece_arcs) + len(network.host_arcs))
        model.lower[place] = model.upper[place] = host_arcs
    return model


def supplies(network: PlanNetwork) -> list[int]:
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


def _flow_constraints(builder: _ModelBuilder, network: PlanNetwork, supply: list[int]) -> None:
    """Flow is conserved at each node and chance; no host class takes more than its places."""
    both: dict[tuple[int, float], list[tuple[int, float]]] = defaultdict(list)
    on: list[list[tuple[int, float]]] = [[] for _ in network.hosts]
    places = [host.places for host in network.hosts]
    for piece_arc in network.piece_arcs:
        at = builder.variable(supply[piece_arc.piece], True)
        both[piece_arc.node, piece_arc.chance].append((at, 1.0))
        builder.objective["wear"][at] = network.pieces[piece_arc.piece].wear - 1.0
    for host_arc in network.host_arcs:
        at = builder.variable(places[host_arc.host], True)
        both[host_arc.node, host_arc.how.chance].append((at, -1.0))
        on[host_arc.host].append((at, 1.0))
        builder.objective["share"][at] = met_share(host_arc.how.share) - 1.0
    for terms in both.values():
        builder.rows.add(terms, 0, 0)
    for terms, most in zip(on, places, strict=True):
        if terms:
            builder.rows.add(terms, 0, most)


def _cuts(builder: _ModelBuilder, network: PlanNetwork) -> None:
    """No more pieces than the cuts give, no more cuts than sticks."""
    of: list[list[tuple[int, float]]] = [[] for _ in network.pieces]
    for at, piece_arc in enumerate(network.piece_arcs):
        of[piece_arc.piece].append((at, 1.0))
    for stick in network.sticks:
        number = stick.number
        cuts = [builder.variable(number, True) for _ in stick.ways]
        builder.rows.add([(at, 1.0) for at in cuts], 0, number)
        for at, way in zip(cuts, stick.ways, strict=True):
            for piece, count in way:
                of[piece].append((at, -float(count)))
    for terms in of:
        if terms:
            builder.rows.add(terms, -float("inf"), 0)


def _hold_back(builder: _ModelBuilder, network: PlanNetwork, hold_back: int) -> None:
    if not hold_back:
        return
    of: dict[str, list[tuple[int, float]]] = defaultdict(list)
    for at, piece_arc in enumerate(network.piece_arcs):
        piece = network.pieces[piece_arc.piece]
        of[piece.label].append((at, float(piece.taken)))
    for label, terms in of.items():
        builder.rows.add(terms, 0, max(0, network.buds[label] - hold_back))


def _site_constraints(builder: _ModelBuilder, network: PlanNetwork, place: int, some: list[int]) -> None:
    """Sites lacking of a want; for one that is no must-have only as far as there are grafts."""
    want = network.wants[place]
    asked = new_sites(want)
    if asked == 0:
        return
    by_site: dict[str, list[int]] = defaultdict(list)
    for at in some:
        by_site[network.sites[network.piece_arcs[at].node] or ""].append(at)
    short = builder.variable(asked, False)
    terms = [(short, 1.0)]
    for site, there in by_site.items():
        if site not in old_sites(want):
            stands = builder.variable(1, True)
            builder.rows.add([(stands, 1.0), *((at, -1.0) for at in there)], -float("inf"), 0)
            terms.append((stands, 1.0))
    builder.objective["sites" if is_must_have(want) else "spread"][short] = -weight(want)
    if is_must_have(want):
        builder.rows.add(terms, asked, float("inf"))
        return
    most = sum(builder.upper[at] for at in some)
    for number in range(1, asked + 1):
        reached = builder.variable(1, True)
        builder.rows.add([*((at, 1.0) for at in some), (reached, -most)], -float("inf"), number - 1)
        terms.append((reached, -1.0))
    builder.rows.add(terms, 0, float("inf"))


def _value_constraints(builder: _ModelBuilder, network: PlanNetwork, place: int, some: list[int]) -> None:
    want = network.wants[place]
    terms = [(at, -network.piece_arcs[at].chance) for at in some]
    for room, each in value_segments(want):
        at = builder.variable(room, False)
        terms.append((at, 1.0))
        builder.objective["value"][at] = weight(want) * each
    if len(terms) > len(some):
        builder.rows.add(terms, -float("inf"), 0)


def _chance_constraints(
    builder: _ModelBuilder,
    network: PlanNetwork,
    place: int,
    some: list[int],
    supply: list[int],
    sure: float,
    upper: bool,
) -> bool:
    """Choose one column (a mix of grafts), and make at least its grafts; True when no chances were merged."""
    want = network.wants[place]
    count = trees_needed(want)
    if count == 0:
        return True
    found = chance_columns(count, _most_of_each(network, some, supply), sure, upper)
    chosen = [builder.variable(1, True) for _ in found.chance]
    builder.rows.add([(at, 1.0) for at in chosen], 1, 1)
    for at, chance in zip(chosen, found.chance.tolist(), strict=True):
        builder.objective["chance"][at] = weight(want) * chance
    _link_mixes(builder, network, some, found, chosen)
    return found.exact


def _most_of_each(network: PlanNetwork, some: list[int], supply: list[int]) -> dict[float, int]:
    """How many grafts of each chance a want could have, were it alone with its wood."""
    found: dict[float, int] = defaultdict(int)
    for piece_arc in (network.piece_arcs[at] for at in some):
        found[piece_arc.chance] += supply[piece_arc.piece]
    return dict(found)


def _link_mixes(
    builder: _ModelBuilder, network: PlanNetwork, some: list[int], found: ChanceColumns, chosen: list[int]
) -> None:
    kind_of = [(found.place_of[network.piece_arcs[at].chance], at) for at in some]
    for kind in range(found.mixes.shape[1]):
        asked = found.mixes[:, : kind + 1].sum(axis=1).tolist()
        terms = [(at, float(number)) for at, number in zip(chosen, asked, strict=True) if number]
        terms += [(at, -1.0) for place, at in kind_of if place <= kind]
        builder.rows.add(terms, -float("inf"), 0)


def _assembled(builder: _ModelBuilder, exact: bool) -> MilpModel:
    import numpy as np
    from scipy.sparse import csr_array

    rows, width = builder.rows, len(builder.upper)
    matrix = csr_array((rows.value, (rows.at, rows.column)), shape=(len(rows.low), width))
    objectives = {}
    for name, terms in builder.objective.items():
        objectives[name] = np.zeros(width)
        objectives[name][list(terms)] = list(terms.values())
    return MilpModel(
        matrix,
        np.array(rows.low, float),
        np.array(rows.high, float),
        np.array(builder.integrality, np.uint8),
        np.zeros(width),
        np.array(builder.upper, float),
        objectives,
        exact,
    )
