"""The parts of the objective reckoned from numbers of grafts: what is reached, what is fixed, what there could be at most."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_facts import Question
from graftbook.fit.plan_groups import Groups
from graftbook.fit.plan_model import LEVELS
from graftbook.fit.plan_value import (
    chance_of,
    is_must,
    met_share,
    new_sites,
    segments,
    short_of_sites,
    weight,
    worth,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray


def exact(groups: Groups, numbers: Sequence[int] | NDArray[Any], sure: float) -> dict[str, float]:
    """Every part of the objective, exactly, for so many of each use and lane (what follows them is not read)."""
    parts = dict.fromkeys(LEVELS, 0.0)
    each: list[list[float]] = [[] for _ in groups.wants]
    sites: dict[int, set[str]] = defaultdict(set)
    for use, number in zip(groups.uses, numbers, strict=False):
        if number:
            each[use.want] += [use.chance] * int(number)
            sites[use.want].add(groups.sites[use.node] or "")
            parts["wear"] -= (1 - groups.pieces[use.piece].wear) * int(number)
    for lane, number in zip(groups.lanes, numbers[len(groups.uses) :], strict=False):
        if number:
            parts["share"] -= (1 - met_share(lane.how.share)) * int(number)
    for at, want in enumerate(groups.wants):
        short = short_of_sites(want, len(each[at]), sites[at])
        parts["sites" if is_must(want) else "spread"] -= weight(want) * short
        if is_must(want):
            parts["chance"] += weight(want) * min(sure, chance_of(want, each[at]))
        parts["value"] += weight(want) * worth(want, sum(each[at]))
    return parts


def parts_of(groups: Groups, question: Question, numbers: Sequence[int] | NDArray[Any]) -> tuple[float, ...]:
    """The parts in their order."""
    return tuple(exact(groups, numbers, question.sure).values())


def fixed_part(groups: Groups, question: Question, level: str) -> float:
    """What a part holds that no plan can change: wants with nothing to choose, and must-haves that live already."""
    able = {use.want for use in groups.uses}
    total = 0.0
    for at, want in enumerate(groups.wants):
        if is_must(want) and level == "sites" and at not in able:
            total -= weight(want) * new_sites(want)
        if is_must(want) and level == "chance" and (at not in able or chance_of(want, []) > 0):
            total += weight(want) * min(question.sure, chance_of(want, []))
    return total


def ceiling(groups: Groups, question: Question, level: str) -> float:
    """What a part could come to at the very most, whatever stands in the way."""
    if level == "chance":
        return sum(weight(want) * question.sure for want in groups.wants if is_must(want))
    if level == "value":
        return sum(weight(want) * room * each for want in groups.wants for room, each in segments(want))
    return 0.0
