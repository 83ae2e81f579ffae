"""The plan as a mixed integer programme: columns, rows, and one row of worth for each part of the objective.

Numbers of pieces used, of grafts on each host class and of sticks cut in each way are whole; a column of `plan_columns` is
chosen for each must-have; short sites and trees within each segment of worth follow from them. The columns stand in this
order: uses, lanes, ways of cutting, and the rest.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_columns import ChanceColumns, chance_columns
from graftbook.fit.plan_network import PlanNetwork
from graftbook.fit.plan_objectives import is_must_have, met_share, new_sites, old_sites, value_segments, trees_needed, weight

if TYPE_CHECKING:
    from numpy.typing import NDArray

OBJECTIVES = ("sites", "chance", "spread", "value", "share", "wear")


@dataclass
class _Rows:
    """Rows being gathered: coefficients by row, and their limits."""

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
    """What the solver is handed. `worth[level]` is what each column adds to that part, more being better; `exact` when no
    chances were put together."""

    matrix: Any
    low: NDArray[Any]
    high: NDArray[Any]
    integrality: NDArray[Any]
    least: NDArray[Any]
    most: NDArray[Any]
    objective: dict[str, NDArray[Any]]
    exact: bool


class _ModelBuilder:
    """Columns numbered as they are asked for."""

    def __init__(self) -> None:
        self.rows = _Rows([], [], [], [], [])
        self.most: list[float] = []
        self.integrality: list[int] = []
        self.objective: dict[str, dict[int, float]] = {objective: {} for objective in OBJECTIVES}

    def column(self, most: float, integrality: bool) -> int:
        self.most.append(most)
        self.integrality.append(int(integrality))
        return len(self.most) - 1


def build_model(network: PlanNetwork, hold_back: int, sure: float, high: bool = False) -> MilpModel:
    """The model of a grouped question; `high` tells chances put together as the highest of them (a bound)."""
    made = _ModelBuilder()
    supply = supplies(network)
    _flow_constraints(made, network, supply)
    _cuts(made, network)
    _hold_back(made, network, hold_back)
    by_want: list[list[int]] = [[] for _ in network.wants]
    for at, piece_arc in enumerate(network.piece_arcs):
        by_want[piece_arc.want].append(at)
    exact = True
    for place, some in enumerate(by_want):
        if some:
            _site_constraints(made, network, place, some)
            _value_constraints(made, network, place, some)
            exact &= _chance_constraints(made, network, place, some, supply, sure, high)
    return _assembled(made, exact)


@dataclass(frozen=True)
class GraftTotals:
    """How many grafts of each want (its place) and chance are to be made, and on which sites wants that ask for several
    must stand."""

    grafts: dict[tuple[int, float], int]
    stands: frozenset[tuple[int, str]]


def totals_of(network: PlanNetwork, piece_arcs: Sequence[int]) -> GraftTotals:
    """The totals of so many of each use."""
    grafts: dict[tuple[int, float], int] = defaultdict(int)
    stands = set()
    for piece_arc, number in zip(network.piece_arcs, piece_arcs, strict=True):
        if number:
            grafts[piece_arc.want, piece_arc.chance] += number
            site = network.sites[piece_arc.node]
            if site is not None:
                stands.add((piece_arc.want, site))
    return GraftTotals(dict(grafts), frozenset(stands))


def build_reassignment(network: PlanNetwork, totals: GraftTotals, hold_back: int, host_arcs: Sequence[int] | None = None) -> MilpModel:
    """The model of which pieces, hosts and cuts serve totals that are settled, so that every part up to the value stays as
    it is; with `lanes` these stay too. Its columns are uses, lanes and ways of cutting."""
    made = _ModelBuilder()
    _flow_constraints(made, network, supplies(network))
    held: dict[tuple[int, float], list[tuple[int, float]]] = defaultdict(list)
    stands: dict[tuple[int, str | None], list[tuple[int, float]]] = defaultdict(list)
    for at, piece_arc in enumerate(network.piece_arcs):
        held[piece_arc.want, piece_arc.chance].append((at, 1.0))
        stands[piece_arc.want, network.sites[piece_arc.node]].append((at, 1.0))
    for key, terms in held.items():
        number = totals.grafts.get(key, 0)
        made.rows.add(terms, number, number)
    for there in totals.stands:
        made.rows.add(stands[there], 1, float("inf"))
    _cuts(made, network)
    _hold_back(made, network, hold_back)
    model = _assembled(made, True)
    if host_arcs is not None:
        place = slice(len(network.piece_arcs), len(network.piece_arcs) + len(network.host_arcs))
        model.least[place] = model.most[place] = host_arcs
    return model


def supplies(network: PlanNetwork) -> list[int]:
    """How many pieces of each class there could be, were every stick cut for it alone."""
    found = [0] * len(network.pieces)
    for stick in network.sticks:
        most: dict[int, int] = {}
        for way in stick.ways:
            for piece, count in way:
                most[piece] = max(most.get(piece, 0), count)
        for piece, count in most.items():
            found[piece] += stick.number * count
    return found


def _flow_constraints(made: _ModelBuilder, network: PlanNetwork, supply: list[int]) -> None:
    """Uses and lanes, which agree for each node and chance; no host class holds more than its places."""
    both: dict[tuple[int, float], list[tuple[int, float]]] = defaultdict(list)
    on: list[list[tuple[int, float]]] = [[] for _ in network.hosts]
    places = [host.places for host in network.hosts]
    for piece_arc in network.piece_arcs:
        at = made.column(supply[piece_arc.piece], True)
        both[piece_arc.node, piece_arc.chance].append((at, 1.0))
        made.objective["wear"][at] = network.pieces[piece_arc.piece].wear - 1.0
    for host_arc in network.host_arcs:
        at = made.column(places[host_arc.host], True)
        both[host_arc.node, host_arc.how.chance].append((at, -1.0))
        on[host_arc.host].append((at, 1.0))
        made.objective["share"][at] = met_share(host_arc.how.share) - 1.0
    for terms in both.values():
        made.rows.add(terms, 0, 0)
    for terms, most in zip(on, places, strict=True):
        if terms:
            made.rows.add(terms, 0, most)


def _cuts(made: _ModelBuilder, network: PlanNetwork) -> None:
    """No more pieces than the cuts give, no more cuts than sticks."""
    of: list[list[tuple[int, float]]] = [[] for _ in network.pieces]
    for at, piece_arc in enumerate(network.piece_arcs):
        of[piece_arc.piece].append((at, 1.0))
    for stick in network.sticks:
        number = stick.number
        cuts = [made.column(number, True) for _ in stick.ways]
        made.rows.add([(at, 1.0) for at in cuts], 0, number)
        for at, way in zip(cuts, stick.ways, strict=True):
            for piece, count in way:
                of[piece].append((at, -float(count)))
    for terms in of:
        if terms:
            made.rows.add(terms, -float("inf"), 0)


def _hold_back(made: _ModelBuilder, network: PlanNetwork, hold_back: int) -> None:
    if not hold_back:
        return
    of: dict[str, list[tuple[int, float]]] = defaultdict(list)
    for at, piece_arc in enumerate(network.piece_arcs):
        piece = network.pieces[piece_arc.piece]
        of[piece.label].append((at, float(piece.taken)))
    for label, terms in of.items():
        made.rows.add(terms, 0, max(0, network.buds[label] - hold_back))


def _site_constraints(made: _ModelBuilder, network: PlanNetwork, place: int, some: list[int]) -> None:
    """Short sites of a want; for one that is no must only as far as there are grafts."""
    want = network.wants[place]
    asked = new_sites(want)
    if asked == 0:
        return
    by_site: dict[str, list[int]] = defaultdict(list)
    for at in some:
        by_site[network.sites[network.piece_arcs[at].node] or ""].append(at)
    short = made.column(asked, False)
    terms = [(short, 1.0)]
    for site, there in by_site.items():
        if site not in old_sites(want):
            stands = made.column(1, True)
            made.rows.add([(stands, 1.0), *((at, -1.0) for at in there)], -float("inf"), 0)
            terms.append((stands, 1.0))
    made.objective["sites" if is_must_have(want) else "spread"][short] = -weight(want)
    if is_must_have(want):
        made.rows.add(terms, asked, float("inf"))
        return
    most = sum(made.most[at] for at in some)
    for number in range(1, asked + 1):
        reached = made.column(1, True)
        made.rows.add([*((at, 1.0) for at in some), (reached, -most)], -float("inf"), number - 1)
        terms.append((reached, -1.0))
    made.rows.add(terms, 0, float("inf"))


def _value_constraints(made: _ModelBuilder, network: PlanNetwork, place: int, some: list[int]) -> None:
    want = network.wants[place]
    terms = [(at, -network.piece_arcs[at].chance) for at in some]
    for room, each in value_segments(want):
        at = made.column(room, False)
        terms.append((at, 1.0))
        made.objective["value"][at] = weight(want) * each
    if len(terms) > len(some):
        made.rows.add(terms, -float("inf"), 0)


def _chance_constraints(
    made: _ModelBuilder, network: PlanNetwork, place: int, some: list[int], supply: list[int], sure: float, high: bool
) -> bool:
    """Choose one mix, and make as many grafts of its better kinds as it asks; True when exact."""
    want = network.wants[place]
    count = trees_needed(want)
    if count == 0:
        return True
    found = chance_columns(count, _most_of_each(network, some, supply), sure, high)
    chosen = [made.column(1, True) for _ in found.chance]
    made.rows.add([(at, 1.0) for at in chosen], 1, 1)
    for at, chance in zip(chosen, found.chance.tolist(), strict=True):
        made.objective["chance"][at] = weight(want) * chance
    _link_mixes(made, network, some, found, chosen)
    return found.exact


def _most_of_each(network: PlanNetwork, some: list[int], supply: list[int]) -> dict[float, int]:
    """How many grafts of each chance a want could have, were it alone with its wood."""
    found: dict[float, int] = defaultdict(int)
    for piece_arc in (network.piece_arcs[at] for at in some):
        found[piece_arc.chance] += supply[piece_arc.piece]
    return dict(found)


def _link_mixes(made: _ModelBuilder, network: PlanNetwork, some: list[int], found: ChanceColumns, chosen: list[int]) -> None:
    kind_of = [(found.place_of[network.piece_arcs[at].chance], at) for at in some]
    for kind in range(found.mixes.shape[1]):
        asked = found.mixes[:, : kind + 1].sum(axis=1).tolist()
        terms = [(at, float(number)) for at, number in zip(chosen, asked, strict=True) if number]
        terms += [(at, -1.0) for place, at in kind_of if place <= kind]
        made.rows.add(terms, -float("inf"), 0)


def _assembled(made: _ModelBuilder, exact: bool) -> MilpModel:
    import numpy as np
    from scipy.sparse import csr_array

    rows, width = made.rows, len(made.most)
    matrix = csr_array((rows.value, (rows.at, rows.column)), shape=(len(rows.low), width))
    objective = {}
    for objective, terms in made.objective.items():
        objective[objective] = np.zeros(width)
        objective[objective][list(terms)] = list(terms.values())
    return MilpModel(
        matrix,
        np.array(rows.low, float),
        np.array(rows.high, float),
        np.array(made.integrality, np.uint8),
        np.zeros(width),
        np.array(made.most, float),
        objective,
        exact,
    )
