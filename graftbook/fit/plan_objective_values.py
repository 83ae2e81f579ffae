"""The objectives computed from the decision variables: value, constant term, and a trivial upper bound."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_facts import PlanProblem
from graftbook.fit.plan_network import PlanNetwork
from graftbook.fit.plan_objectives import (
    OBJECTIVES,
    chance_of,
    is_must_have,
    met_share,
    new_sites,
    short_of_sites,
    tree_value,
    value_segments,
    weight,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray


def objective_values(network: PlanNetwork, vector: Sequence[int] | NDArray[Any], sure: float) -> dict[str, float]:
    """The exact value of every objective, by name.

    `vector` holds the grafts through each piece arc and each host arc, in this order; what follows them is not read. `sure`,
    above 0 and at most 1, caps the chance of a must-have.
    """
    values = dict.fromkeys(OBJECTIVES, 0.0)
    each: list[list[float]] = [[] for _ in network.wants]
    sites: dict[int, set[str]] = defaultdict(set)
    for piece_arc, number in zip(network.piece_arcs, vector, strict=False):
        if number:
            each[piece_arc.want] += [piece_arc.chance] * int(number)
            sites[piece_arc.want].add(network.sites[piece_arc.node] or "")
            values["wear"] -= (1 - network.pieces[piece_arc.piece].wear) * int(number)
    for host_arc, number in zip(network.host_arcs, vector[len(network.piece_arcs) :], strict=False):
        if number:
            values["share"] -= (1 - met_share(host_arc.how.share)) * int(number)
    for at, want in enumerate(network.wants):
        short = short_of_sites(want, len(each[at]), sites[at])
        values["sites" if is_must_have(want) else "spread"] -= weight(want) * short
        if is_must_have(want):
            values["chance"] += weight(want) * min(sure, chance_of(want, each[at]))
        values["value"] += weight(want) * tree_value(want, sum(each[at]))
    return values


def objective_vector(
    network: PlanNetwork, problem: PlanProblem, vector: Sequence[int] | NDArray[Any]
) -> tuple[float, ...]:
    """The values in the order of OBJECTIVES; `vector` as in `objective_values`."""
    return tuple(objective_values(network, vector, problem.sure).values())


def constant_term(network: PlanNetwork, problem: PlanProblem, objective: str) -> float:
    """What no decision variable changes in an objective: wants without an arc, and must-haves that live already."""
    able = {piece_arc.want for piece_arc in network.piece_arcs}
    total = 0.0
    for at, want in enumerate(network.wants):
        if is_must_have(want) and objective == "sites" and at not in able:
            total -= weight(want) * new_sites(want)
        if is_must_have(want) and objective == "chance" and (at not in able or chance_of(want, []) > 0):
            total += weight(want) * min(problem.sure, chance_of(want, []))
    return total


def trivial_bound(network: PlanNetwork, problem: PlanProblem, objective: str) -> float:
    """An upper bound on an objective that needs no solver: no constraint but the wants themselves is kept."""
    if objective == "chance":
        return sum(weight(want) * problem.sure for want in network.wants if is_must_have(want))
    if objective == "value":
        return sum(weight(want) * room * each for want in network.wants for room, each in value_segments(want))
    return 0.0
