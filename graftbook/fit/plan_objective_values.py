"""The objectives computed from the decision variables: value, constant term, and a trivial upper bound."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_facts import PlanProblem
from graftbook.fit.plan_network import PlanNetwork
from graftbook.fit.plan_objectives import (
    A_STICK,
    OBJECTIVES,
    cap,
    is_certain,
    is_must_have,
    living_chance,
    new_sites,
    room,
    short_of_sites,
    spare_room,
    weakness,
    wear_of,
    weight,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray


def objective_values(
    network: PlanNetwork, vector: Sequence[int] | NDArray[Any], problem: PlanProblem
) -> dict[str, float]:
    """The exact value of every objective, by name.

    `vector` holds the grafts through each piece arc and each host arc and the sticks cut in each way, in this order; what
    follows them is not read.
    """
    values = dict.fromkeys(OBJECTIVES, 0.0)
    each: list[list[tuple[str, float]]] = [[] for _ in network.wants]
    for piece_arc, number in zip(network.piece_arcs, vector, strict=False):
        if number:
            each[piece_arc.want] += [(network.site(piece_arc), piece_arc.chance)] * int(number)
            values["wear"] += wear_of(network.pieces[piece_arc.piece].wear) * int(number)
    for host_arc, number in zip(network.host_arcs, vector[len(network.piece_arcs) :], strict=False):
        if number:
            values["strong"] -= weakness(host_arc.how) * int(number)
    values["strong"] -= A_STICK * sum(int(number) for number in vector[network.ends[1] : network.ends[2]])
    for want, grafts, asked in zip(network.wants, each, network.sites_asked, strict=True):
        short = short_of_sites(want, len(grafts), {site for site, _ in grafts})
        values["sites" if is_must_have(want) else "spread"] -= weight(want) * short
        trees = sum(chance for _, chance in grafts)
        values["value"] += weight(want) * min(room(want), trees)
        values["spare"] += weight(want) * min(spare_room(want, problem.spare), max(0.0, trees - room(want)))
        if is_certain(want):
            _add_chance(values, want, living_chance(want, grafts, asked), problem.sure)
    return values


def _add_chance(values: dict[str, float], want: Any, chance: float, sure: float) -> None:
    if is_must_have(want):
        values["chance"] += weight(want) * min(sure, chance)
    if want.last:
        values["last"] += weight(want) * min(cap(want, sure), chance)


def without_idle_cuts(network: PlanNetwork, vector: Sequence[int] | NDArray[Any]) -> list[int]:
    """The decision variables without the cuts that no piece is wanted of, sticks being taken in their order."""
    arcs, both, end = network.ends
    wanted = [0] * len(network.pieces)
    for piece_arc, number in zip(network.piece_arcs, vector[:arcs], strict=True):
        wanted[piece_arc.piece] += int(number)
    cuts, at = [], both
    for stick in network.sticks:
        for way in stick.ways:
            used = 0
            while used < int(vector[at]) and any(wanted[piece] > 0 for piece, _ in way):
                used += 1
                for piece, number in way:
                    wanted[piece] = max(0, wanted[piece] - number)
            cuts.append(used)
            at += 1
    return [*(int(number) for number in vector[:both]), *cuts, *(int(number) for number in vector[end:])]


def objective_vector(
    network: PlanNetwork, problem: PlanProblem, vector: Sequence[int] | NDArray[Any]
) -> tuple[float, ...]:
    """The values in the order of OBJECTIVES; `vector` as in `objective_values`."""
    return tuple(objective_values(network, vector, problem).values())


def constant_term(network: PlanNetwork, problem: PlanProblem, objective: str) -> float:
    """What no decision variable changes in an objective: wants without an arc, and those that are had already."""
    if objective not in ("sites", "chance", "last"):
        return 0.0
    able = {piece_arc.want for piece_arc in network.piece_arcs}
    total = 0.0
    for at, (want, asked) in enumerate(zip(network.wants, network.sites_asked, strict=True)):
        if objective == "sites":
            total -= weight(want) * new_sites(want) if is_must_have(want) and at not in able else 0.0
        elif is_certain(want) and (at not in able or living_chance(want, (), asked) > 0):
            values = dict.fromkeys(OBJECTIVES, 0.0)
            _add_chance(values, want, living_chance(want, (), asked), problem.sure)
            total += values[objective]
    return total


def trivial_bound(network: PlanNetwork, problem: PlanProblem, objective: str) -> float:
    """An upper bound on an objective that needs no solver: no constraint but the wants themselves is kept."""
    of_one = {
        "chance": lambda want: problem.sure if is_must_have(want) else 0.0,
        "value": room,
        "spare": lambda want: spare_room(want, problem.spare),
        "last": lambda want: cap(want, problem.sure) if want.last else 0.0,
    }.get(objective)
    return 0.0 if of_one is None else sum(weight(want) * of_one(want) for want in network.wants)
