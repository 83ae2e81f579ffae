"""A fair trial inside a plan: which graft gets which of the ways compared, drawn by lot in balanced blocks.

Grafts of one bundle and one diameter class form a stratum, since wood and thickness are what else differs most; within it
blocks as large as the number of ways are drawn, each way once, in an order of chance (a randomised complete block design).
A graft on which a gate forbids a way never gets it: a block takes such grafts only where the rest can still be dealt, and
what cannot stand in a whole block stays outside the trial and keeps the method of the plan. The lot is drawn by a seed
that is kept with the result: the same seed and the same grafts give the same lots again.

Reference: Fisher, R. A. (1935). The Design of Experiments, on blocks and lots (from memory).
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

    `bundle` and `size_class` are its stratum; `allowed` are the ways that its gates leave open, any more being left out.
    """

    key: str
    bundle: str
    size_class: str
    allowed: tuple[str, ...]


@dataclass(frozen=True)
class Lot:
    """What one graft drew: the way `arm`, in block number `block` (from 1) of the trial."""

    key: str
    block: int
    arm: str
    bundle: str
    size_class: str


@dataclass(frozen=True)
class Allotment:
    """A trial: lots in the order of blocks, grafts left outside with a whole sentence why, and the seed that drew it.

    `counts` says how many grafts each way got, in the order of the ways; they are equal, since every block is whole.
    """

    lots: tuple[Lot, ...]
    outside: tuple[tuple[str, str], ...]
    arms: tuple[str, ...]
    seed: int

    @property
    def counts(self) -> tuple[int, ...]:
        """Grafts to each way."""
        drawn = Counter(lot.arm for lot in self.lots)
        return tuple(drawn[arm] for arm in self.arms)

    @property
    def blocks(self) -> int:
        """How many whole blocks there are."""
        return len({lot.block for lot in self.lots})


def allot(units: Sequence[TrialUnit], arms: Sequence[str], seed: int) -> Allotment:
    """Deal the ways compared to the grafts, balanced within every bundle and diameter class.

    `arms` are two ways or more, each named once; `seed` a whole number, 0 or more. As many whole blocks are dealt as can
    be. Raises UsageProblem for fewer than two ways, a way or a graft named twice, or a seed below 0.
    """
    _check(units, arms, seed)
    lot = Random(seed)
    strata: dict[tuple[str, str], list[TrialUnit]] = defaultdict(list)
    for unit in sorted(units, key=lambda unit: unit.key):
        strata[unit.bundle, unit.size_class].append(unit)
    lots: list[Lot] = []
    outside: list[tuple[str, str]] = []
    block = 0
    for _, some in sorted(strata.items()):
        lot.shuffle(some)
        dealt = _dealt(some, arms, lot)
        for arm_of in _blocks(dealt, arms, lot):
            block += 1
            lots += [Lot(unit.key, block, arm, unit.bundle, unit.size_class) for unit, arm in arm_of]
        taken = {unit.key for row in dealt.values() for unit in row}
        outside += [(unit.key, _why(unit, len(some), arms)) for unit in some if unit.key not in taken]
    return Allotment(tuple(lots), tuple(sorted(outside)), tuple(arms), seed)


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


def _dealt(some: Sequence[TrialUnit], arms: Sequence[str], lot: Random) -> dict[str, list[TrialUnit]]:
    """As many grafts for every way as can be had, the same number for each, by lot among those that may."""
    for number in range(len(some) // len(arms), 0, -1):
        dealt = _matched(some, arms, number, lot)
        if dealt is not None:
            return dealt
    return {arm: [] for arm in arms}


def _matched(
    some: Sequence[TrialUnit], arms: Sequence[str], number: int, lot: Random
) -> dict[str, list[TrialUnit]] | None:
    """`number` grafts to each way, found by augmenting paths; None where the gates do not leave so many."""
    places = [(arm, at) for at in range(number) for arm in arms]
    lot.shuffle(places)
    held: dict[str, tuple[str, int]] = {}
    by_key = {unit.key: unit for unit in some}
    for place in places:
        if not _place(place, some, held, set()):
            return None
    dealt: dict[str, list[TrialUnit]] = {arm: [] for arm in arms}
    for key, (arm, _) in held.items():
        dealt[arm].append(by_key[key])
    return dealt


def _place(
    place: tuple[str, int], some: Sequence[TrialUnit], held: dict[str, tuple[str, int]], tried: set[str]
) -> bool:
    """Give a place to a graft that is free, or whose own place another graft can take. No deeper than there are grafts."""
    todo: list[tuple[tuple[str, int], tuple[int, ...]]] = [(place, ())]
    came: dict[int, tuple[tuple[str, int], tuple[int, ...]]] = {}
    while todo:
        wanted, path = todo.pop(0)
        for at, unit in enumerate(some):
            if unit.key in tried or wanted[0] not in unit.allowed:
                continue
            tried.add(unit.key)
            came[at] = (wanted, path)
            if unit.key not in held:
                for step in (*path, at):
                    held[some[step].key] = came[step][0]
                return True
            todo.append((held[unit.key], (*path, at)))
    return False


def _blocks(dealt: dict[str, list[TrialUnit]], arms: Sequence[str], lot: Random) -> list[list[tuple[TrialUnit, str]]]:
    """The grafts of each way shuffled and put together into blocks, in an order of chance."""
    for row in dealt.values():
        row.sort(key=lambda unit: unit.key)
        lot.shuffle(row)
    found = []
    for at in range(len(dealt[arms[0]])):
        block = [(dealt[arm][at], arm) for arm in arms]
        lot.shuffle(block)
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
