"""The parts of the objective reckoned from numbers of grafts: what is reached, what is fixed, what there could be at most."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_facts import PlanProblem
from graftbook.fit.plan_network import PlanNetwork
from graftbook.fit.plan_milp import OBJECTIVES
from graftbook.fit.plan_objectives import (
    chance_of,
    is_must_have,
    met_share,
    new_sites,
    value_segments,
    short_of_sites,
    weight,
    tree_value,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray


def objective_values(network: PlanNetwork, numbers: Sequence[int] | NDArray[Any], sure: float) -> dict[str, float]:
    """Every part of the objective, exactly, for so many of each use and lane (what follows them is not read)."""
    parts = dict.fromkeys(OBJECTIVES, 0.0)
    each: list[list[float]] = [[] for _ in network.wants]
    sites: dict[int, set[str]] = defaultdict(set)
    for piece_arc, number in zip(network.piece_arcs, numbers, strict=False):
        if number:
            each[piece_arc.want] += [piece_arc.chance] * int(number)
            sites[piece_arc.want].add(network.sites[piece_arc.node] or "")
            parts["wear"] -= (1 - network.pieces[piece_arc.piece].wear) * int(number)
    for host_arc, number in zip(network.host_arcs, numbers[len(network.piece_arcs) :], strict=False):
        if number:
            parts["share"] -= (1 - met_share(host_arc.how.share)) * int(number)
    for at, want in enumerate(network.wants):
        short = short_of_sites(want, len(each[at]), sites[at])
        parts["sites" if is_must_have(want) else "spread"] -= weight(want) * short
        if is_must_have(want):
            parts["chance"] += weight(want) * min(sure, chance_of(want, each[at]))
        parts["value"] += weight(want) * tree_value(want, sum(each[at]))
    return parts


def objective_vector(network: PlanNetwork, problem: PlanProblem, numbers: Sequence[int] | NDArray[Any]) -> tuple[float, ...]:
    """The parts in their order."""
    return tuple(objective_values(network, numbers, problem.sure).values())


def constant_term(network: PlanNetwork, problem: PlanProblem, objective: str) -> float:
    """What a part holds that no plan can change: wants with nothing to choose, and must-haves that live already."""
    able = {piece_arc.want for piece_arc in network.piece_arcs}
    total = 0.0
    for at, want in enumerate(network.wants):
        if is_must_have(want) and objective == "sites" and at not in able:
            total -= weight(want) * new_sites(want)
        if is_must_have(want) and objective == "chance" and (at not in able or chance_of(want, []) > 0):
            total += weight(want) * min(problem.sure, chance_of(want, []))
    return total


def trivial_bound(network: PlanNetwork, problem: PlanProblem, objective: str) -> float:
    """What a part could come to at the very most, whatever stands in the way."""
    if objective == "chance":
        return sum(weight(want) * problem.sure for want in network.wants if is_must_have(want))
    if objective == "value":
        return sum(weight(want) * room * each for want in network.wants for room, each in value_segments(want))
    return 0.0
