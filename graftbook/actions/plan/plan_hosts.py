"""The hosts a plan may use, alike ones together, and which kinds of pieces may go on which kinds of hosts, by which method."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import code_list, count
from graftbook.actions.grafts import joints, matching
from graftbook.actions.outcome import alive
from graftbook.actions.plan import plan_wood
from graftbook.actions.plan.circumstances import Circumstances, bud_numbers, size_class
from graftbook.actions.plan.plan_chances import Chance, Chances
from graftbook.actions.plan.plan_wood import PlanWood
from graftbook.actions.takes import factor_text
from graftbook.actions.trade import own_tables
from graftbook.actions.wood.plan_reserved import Reserved
from graftbook.book import find
from graftbook.book.plants import Plant
from graftbook.codes import read_many
from graftbook.errors import UsageProblem
from graftbook.fit.facts import StockFacts, WoodFacts
from graftbook.fit.plan_facts import HostFact, Possible
from graftbook.fit.plan_method import choose
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


def gather(session: Session, asked: Circumstances, unit: str, kept: Reserved) -> PlanHosts:
    """Living stocks without an open graft that are not kept for another plan, or the plants named. Raises NotFound and
    UsageProblem for codes that are none."""
    hosts = PlanHosts()
    left_out = asked.left_out | kept.stocks
    plants = [plant for plant in _plants(session, asked) if plant.code not in left_out]
    positions = asked.words.positions if asked.words.host else 1
    keys: dict[Any, str] = {}
    for plant, facts in zip(plants, matching.stock_facts(session, plants, asked.day), strict=True):
        size = facts.diameter_mm
        if size is not None and size[0] == size[1]:
            size = (size_class(size[0]),) * 2
        kind = replace(facts, code="", diameter_mm=size)
        key = keys.setdefault(kind, f"host kind {len(keys) + 1}")
        hosts.kinds.setdefault(key, kind)
        barred = tuple(_barred(facts, asked))
        grade = "" if size is None else show_range(*size, unit)
        site = plant.site or plant.place or ""
        hosts.plants[plant.code] = plant
        thin = None if facts.diameter_mm is None else facts.diameter_mm[0]
        hosts.facts.append(HostFact(plant.code, key, site, plant.clone or "", grade, positions, thin, barred))
    bare = tuple(plant.code for plant in plants if plant.diameter_mm is None and plant.grade_min_mm is None)
    if bare:
        hosts.notes.append(f"The diameter of {code_list(bare)} is not known: measure before the day with graftbook stock measure "
                           f"{bare[0]} 8mm.")  # fmt: skip
    graded = sum(plant.diameter_mm is None and plant.grade_min_mm is not None for plant in plants)
    if graded:
        planned = count(graded, "stock is", "stocks are")
        hosts.notes.append(f"{planned} planned by grade, not by calliper: match each by eye.")
    return hosts


def _plants(session: Session, asked: Circumstances) -> list[Plant]:
    words = asked.words
    if words.host is not None:
        rows = find.many(session, read_many(words.host))
        stray = [row.code for row in rows if not isinstance(row, Plant)]
        if stray:
            raise UsageProblem("plants to graft on, such as P12-P20", ", ".join(stray))
        return rows
    plants = alive.free_stocks(session, asked.day)
    if words.place is None:
        return plants
    wanted = words.place.strip().casefold()
    return [plant for plant in plants if wanted in ((plant.place or "").casefold(), (plant.site or "").casefold())]


def _barred(facts: StockFacts, asked: Circumstances) -> Iterator[str]:
    if not facts.alive:
        yield f"{facts.code} is recorded as dead."
    if not facts.taxon:
        yield f"What {facts.code} is of is not recorded."
    yield from plan_wood.noted(_NO_WOOD, facts, asked)


@dataclass(frozen=True)
class Allowed:
    """What may go on what, and the chances behind each, by piece kind, host kind and method; and how many pairs of kinds were
    left out as `doubtful`."""

    possible: dict[tuple[str, str, str], Possible]
    chances: dict[tuple[str, str, str], Chance]
    doubtful: int


def allowed(
    desk: Desk, session: Session, wood: PlanWood, hosts: PlanHosts, asked: Circumstances, chances: Chances,
    every_method: bool = False,
) -> Allowed:  # fmt: skip
    """Which kinds of pieces may go on which kinds of hosts: no gate says no, and the union is neither poor nor unknown
    unless doubtful ones are asked for. Of several methods the one with the best chance, less a little for each doubt, then
    the best joint; all of them with `every_method`."""
    from graftbook.fit.joint_gates import judge_many

    kinds, host_keys = list(wood.kinds.values()), list(hosts.kinds)
    if not kinds or not host_keys:
        return Allowed({}, {}, 0)
    woods = [replace(kind.facts, code=str(at)) for at, kind in enumerate(kinds)]
    given = own_tables.own_pairs(session), joints.given(desk, session, None)
    many = judge_many(woods, list(hosts.kinds.values()), asked.methods, asked.day, *given)
    matches = [[_match(kind.facts, host) for host in hosts.kinds.values()] for kind in kinds]
    worth = [
        [[chances.of(kind.facts.taxon, grid.method, kind.buds, match) for match in row]
         for kind, row in zip(kinds, matches, strict=True)]
        for grid in many.grids
    ]  # fmt: skip
    values = [[[chance.value for chance in row] for row in of_method] for of_method in worth]
    distrusted = () if asked.words.doubtful else DOUBTFUL
    found = choose(many, [kind.methods for kind in kinds], values, distrusted, every_method)
    possible, behind = {}, {}
    for each in found.chosen:
        kind, method = kinds[each.piece], many.grids[each.method].method
        key = kind.key, host_keys[each.host], method.method
        behind[key] = worth[each.method][each.piece][each.host]
        full = bud_numbers(method)[-1]
        possible[key] = Possible(*key, behind[key].value, each.share, max(0, full - kind.buds) / full)
    return Allowed(possible, behind, found.doubtful)


def _match(wood: WoodFacts, stock: StockFacts) -> str | None:
    """How a scion and a stock match in thickness, in the classes that takes are counted by; None where that is not known, as
    for a grade in which some stocks match and others do not: those are matched by eye."""
    if wood.diameter_mm is None or stock.diameter_mm is None:
        return None
    found = {
        factor_text.mismatch(scion, None, None, under, None, None, None)
        for scion in wood.diameter_mm for under in stock.diameter_mm
    }  # fmt: skip
    return found.pop() if len(found) == 1 else None
