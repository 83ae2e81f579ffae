"""A randomised complete block design inside a plan: which graft gets which of the ways (arms) compared.

Grafts of one bundle and one diameter class form a stratum, since wood and thickness are what else differs most; within it
blocks as large as the number of arms are formed, each arm once in every block, in random order. A graft on which a gate
forbids an arm never gets it: a block takes such grafts only where the others can still be assigned, and what cannot stand in
a complete block stays outside the trial and keeps the method of the plan. The design is randomised by a seed that is kept
with the result: the same seed and the same grafts give the same design again.

Reference: Fisher, R. A. (1935). The Design of Experiments, on blocks and randomisation (from memory).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from graftbook.errors import UsageProblem


@dataclass(frozen=True)
class TrialUnit:
    """A graft that may take part.

    `bundle` and `size_class` are its stratum; `allowed` are the arms that its gates leave open, others are ignored.
    """

    key: str
    bundle: str
    size_class: str
    allowed: tuple[str, ...]


@dataclass(frozen=True)
class TrialAssignment:
    """One graft of the trial: its arm, in block number `block` (from 1)."""

    unit: TrialUnit
    block: int
    arm: str


@dataclass(frozen=True)
class TrialDesign:
    """A trial: assignments in the order of blocks, grafts left outside with a whole sentence why, and the seed.

    `counts` says how many grafts each arm has, in the order of the arms; they are equal, since every block is complete.
    """

    assignments: tuple[TrialAssignment, ...]
    outside: tuple[tuple[str, str], ...]
    arms: tuple[str, ...]
    seed: int

    @property
    def counts(self) -> tuple[int, ...]:
        """Grafts in each arm."""
        drawn = Counter(each.arm for each in self.assignments)
        return tuple(drawn[arm] for arm in self.arms)

    @property
    def blocks(self) -> int:
        """How many complete blocks there are."""
        return len({each.block for each in self.assignments})


def randomise(units: Sequence[TrialUnit], arms: Sequence[str], seed: int) -> TrialDesign:
    """Assign the arms to the grafts at random, balanced within every bundle and diameter class.

    `arms` are two ways or more, each named once; `seed` a whole number, 0 or more. As many complete blocks are formed as can
    be. Raises UsageProblem for fewer than two arms, an arm or a graft named twice, or a seed below 0.
    """
    _check(units, arms, seed)
    rng = Random(seed)
    strata: dict[tuple[str, str], list[TrialUnit]] = defaultdict(list)
    for unit in sorted(units, key=lambda unit: unit.key):
        strata[unit.bundle, unit.size_class].append(unit)
    assignments: list[TrialAssignment] = []
    outside: list[tuple[str, str]] = []
    block = 0
    for _, stratum in sorted(strata.items()):
        rng.shuffle(stratum)
        assigned = _assigned(stratum, arms, rng)
        for arm_of in _blocks(assigned, arms, rng):
            block += 1
            assignments += [TrialAssignment(unit, block, arm) for unit, arm in arm_of]
        taken = {unit.key for row in assigned.values() for unit in row}
        outside += [(unit.key, _why(unit, len(stratum), arms)) for unit in stratum if unit.key not in taken]
    return TrialDesign(tuple(assignments), tuple(sorted(outside)), tuple(arms), seed)


def _check(units: Sequence[TrialUnit], arms: Sequence[str], seed: int) -> None:
    faults = []
    if len(set(arms)) < 2 or len(set(arms)) < len(arms):
        faults.append(("two ways or more to compare, each once", ", ".join(arms) or "none"))
    twice = [key for key, count in Counter(unit.key for unit in units).items() if count > 1]
    if twice:
        faults.append(("each graft once", ", ".join(twice)))
    if seed < 0:
        faults.append(("a seed of 0 or more", str(seed)))
    if faults:
        raise UsageProblem("; ".join(wanted for wanted, _ in faults), "; ".join(found for _, found in faults))


def _assigned(stratum: Sequence[TrialUnit], arms: Sequence[str], rng: Random) -> dict[str, list[TrialUnit]]:
    """As many grafts for every arm as can be had, the same number for each, at random among those allowed."""
    for number in range(len(stratum) // len(arms), 0, -1):
        assigned = _matched(stratum, arms, number, rng)
        if assigned is not None:
            return assigned
    return {arm: [] for arm in arms}


def _matched(
    stratum: Sequence[TrialUnit], arms: Sequence[str], number: int, rng: Random
) -> dict[str, list[TrialUnit]] | None:
    """`number` grafts in each arm, a bipartite matching by augmenting paths; None where the gates do not leave so many."""
    places = [(arm, at) for at in range(number) for arm in arms]
    rng.shuffle(places)
    held: dict[str, _Place] = {}
    if not all(_place(place, stratum, held) for place in places):
        return None
    by_key = {unit.key: unit for unit in stratum}
    assigned: dict[str, list[TrialUnit]] = {arm: [] for arm in arms}
    for key, (arm, _) in held.items():
        assigned[arm].append(by_key[key])
    return assigned


_Place = tuple[str, int]


def _place(place: _Place, stratum: Sequence[TrialUnit], held: dict[str, _Place]) -> bool:
    """Give a place to a graft that is free, or whose own place another graft can take: one augmenting path, breadth first."""
    todo: list[tuple[_Place, tuple[int, ...]]] = [(place, ())]
    came: dict[int, _Place] = {}
    while todo:
        wanted, path = todo.pop(0)
        for at, unit in enumerate(stratum):
            if at in came or wanted[0] not in unit.allowed:
                continue
            came[at] = wanted
            if unit.key not in held:
                for step in (*path, at):
                    held[stratum[step].key] = came[step]
                return True
            todo.append((held[unit.key], (*path, at)))
    return False


def _blocks(
    assigned: dict[str, list[TrialUnit]], arms: Sequence[str], rng: Random
) -> list[list[tuple[TrialUnit, str]]]:
    """The grafts of each arm shuffled and joined into blocks, each in random order."""
    for row in assigned.values():
        row.sort(key=lambda unit: unit.key)
        rng.shuffle(row)
    found = []
    for at in range(len(assigned[arms[0]])):
        block = [(assigned[arm][at], arm) for arm in arms]
        rng.shuffle(block)
        found.append(block)
    return found


def _why(unit: TrialUnit, in_stratum: int, arms: Sequence[str]) -> str:
    barred = [arm for arm in arms if arm not in unit.allowed]
    if len(barred) == len(arms):
        return f"{unit.key} stays outside the trial: its gates allow none of the ways compared."
    if in_stratum < len(arms):
        number = f"{in_stratum} graft{'s' if in_stratum > 1 else ''}"
        return f"{unit.key} stays outside the trial: only {number} of its bundle and thickness, too few for a block of {len(arms)}."
    if barred:
        return f"{unit.key} stays outside the trial: its gates allow no {' or '.join(barred)}, and the others make whole blocks."
    return f"{unit.key} stays outside the trial: what is left of its bundle and thickness makes no whole block."
