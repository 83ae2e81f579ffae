"""The hosts a plan may use, alike ones together, and which kinds of pieces may go on which kinds of hosts, by which method."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import code_list, count
from graftbook.actions.grafts import joints, matching
from graftbook.actions.outcome import open_hosts
from graftbook.actions.plan import plan_wood
from graftbook.actions.plan.plan_chances import Chance, Chances
from graftbook.actions.plan.plan_wood import Circumstances, PieceKind
from graftbook.actions.trade import own_tables
from graftbook.book import find
from graftbook.book.plants import Plant
from graftbook.codes import read_many
from graftbook.errors import UsageProblem
from graftbook.fit.facts import StockFacts, WoodFacts
from graftbook.fit.plan_facts import HostFact, Possible
from graftbook.fit.plan_method import Choices, choose
from graftbook.trade.methods import Method
from graftbook.units import show_range

# Unions that are not planned unless the grower asks for doubtful ones: nothing known, apt to part later, or poor.
DOUBTFUL = ("unknown", "delayed", "poor")

_NO_WOOD = WoodFacts("", "")


@dataclass
class PlanHosts:
    """The hosts of a plan: `plants` by the key of their fact, `kinds` as the gates ask for them, by key; `notes` whole
    sentences on what was assumed."""

    facts: list[HostFact] = field(default_factory=list)
    plants: dict[str, Plant] = field(default_factory=dict)
    kinds: dict[str, StockFacts] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class HostWords:
    """Which hosts: at a place or site, only those named, how many grafts each of these takes, and those left out."""

    place: str | None = None
    named: str | None = None
    positions: int = 1
    left_out: frozenset[str] = frozenset()


def gather(session: Session, words: HostWords, asked: Circumstances, unit: str) -> PlanHosts:
    """Living stocks without an open graft, or the plants named. Raises NotFound and UsageProblem for codes that are none."""
    hosts = PlanHosts()
    plants = [plant for plant in _plants(session, words, asked.day) if plant.code not in words.left_out]
    keys: dict[Any, str] = {}
    for plant, facts in zip(plants, matching.stock_facts(session, plants, asked.day), strict=True):
        size = facts.diameter_mm
        if size is not None and size[0] == size[1]:
            size = (plan_wood.size_class(size[0]),) * 2
        kind = replace(facts, code="", diameter_mm=size)
        key = keys.setdefault(kind, f"host kind {len(keys) + 1}")
        hosts.kinds.setdefault(key, kind)
        barred = tuple(_barred(facts, asked))
        grade = "" if size is None else show_range(*size, unit)
        site = plant.site or plant.place or ""
        hosts.plants[plant.code] = plant
        hosts.facts.append(HostFact(
            plant.code, key, site, plant.clone or "", grade, words.positions if words.named else 1,
            None if facts.diameter_mm is None else facts.diameter_mm[0], barred,
        ))  # fmt: skip
    bare = tuple(plant.code for plant in plants if plant.diameter_mm is None and plant.grade_min_mm is None)
    if bare:
        hosts.notes.append(f"The diameter of {code_list(bare)} is not known: measure before the day with graftbook stock measure "
                           f"{bare[0]} 8mm.")  # fmt: skip
    graded = sum(plant.diameter_mm is None and plant.grade_min_mm is not None for plant in plants)
    if graded:
        hosts.notes.append(
            f"{count(graded, 'stock is', 'stocks are')} planned by grade, not by calliper: match each by eye."
        )
    return hosts


def _plants(session: Session, words: HostWords, day: date) -> list[Plant]:
    if words.named is not None:
        rows = find.many(session, read_many(words.named))
        stray = [row.code for row in rows if not isinstance(row, Plant)]
        if stray:
            raise UsageProblem("plants to graft on, such as P12-P20", ", ".join(stray))
        return rows
    plants = open_hosts.free_stocks(session, day)
    if words.place is None:
        return plants
    wanted = words.place.strip().casefold()
    return [plant for plant in plants if wanted in ((plant.place or "").casefold(), (plant.site or "").casefold())]


def _barred(facts: StockFacts, asked: Circumstances) -> Iterator[str]:
    if not facts.alive:
        yield f"{facts.code} is recorded as dead."
    if not facts.taxon:
        yield f"What {facts.code} is of is not recorded."
    if not asked.despite_notes:
        yield from plan_wood.noted(_NO_WOOD, facts, asked)


@dataclass(frozen=True)
class Allowed:
    """What may go on what: `possible` for the solver; by piece kind, host kind and method the `chances` behind each and the
    `shares` of their joints; and how many pairs of kinds were left out as `doubtful` or `barred` by a gate."""

    possible: tuple[Possible, ...]
    chances: dict[tuple[str, str, str], Chance]
    shares: dict[tuple[str, str, str], float | None]
    doubtful: int
    barred: int


def allowed(
    desk: Desk, session: Session, kinds: Sequence[PieceKind], hosts: PlanHosts, methods: Sequence[Method], day: date,
    chances: Chances, doubtful: bool, every_method: bool = False,
) -> Allowed:  # fmt: skip
    """Which kinds of pieces may go on which kinds of hosts: no gate says no, and the union is neither poor nor unknown
    unless `doubtful`. Of several methods the one with the best chance, less a little for each doubt, then the best joint;
    all of them with `every_method`."""
    from graftbook.fit.joint_gates import judge_many

    host_keys = list(hosts.kinds)
    if not kinds or not host_keys:
        return Allowed((), {}, {}, 0, 0)
    woods = [replace(kind.facts, code=str(at)) for at, kind in enumerate(kinds)]
    many = judge_many(
        woods,
        list(hosts.kinds.values()),
        methods,
        day,
        own_tables.own_pairs(session),
        joints.given(desk, session, None),
    )
    worth = [[chances.of(kind.facts.taxon, grid.method, kind.buds).value for kind in kinds] for grid in many.grids]
    found = choose(many, [kind.methods for kind in kinds], worth, () if doubtful else DOUBTFUL, every_method)
    return _allowed(found, kinds, host_keys, [grid.method for grid in many.grids], chances)


def _allowed(
    found: Choices, kinds: Sequence[PieceKind], host_keys: Sequence[str], methods: Sequence[Method], chances: Chances
) -> Allowed:
    possible, behind, shares = [], {}, {}
    for each in found.chosen:
        kind, method = kinds[each.piece], methods[each.method]
        key = kind.key, host_keys[each.host], method.method
        behind[key] = chances.of(kind.facts.taxon, method, kind.buds)
        shares[key] = None if each.share is None else round(each.share, 4)
        possible.append(Possible(*key, behind[key].value, each.share))
    return Allowed(tuple(possible), behind, shares, found.doubtful, found.barred)
