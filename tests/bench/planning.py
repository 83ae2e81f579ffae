"""Measures whole plans of nursery size beside the greedy heuristic. Nothing is asserted.

PYTHONPATH=. python tests/bench/planning.py [day|nursery|mixed ...]. `day` is 2,000 pieces on 2,000 stocks with three
methods; `nursery` 20,000 pieces on 15,000 stocks by cultivar and grade; `mixed` is `day` with three sorts of chances, a
third of the wants on two sites, every bundle worn differently, a bud held back and must-haves of up to four trees. Gates
and joints are timed apart.
"""

import random
import resource
import sys
import time
from dataclasses import dataclass
from datetime import date

from graftbook.fit.cutting import Rules, Stick, patterns
from graftbook.fit.facts import KeepingFacts, StockFacts, WoodFacts
from graftbook.fit.joint_gates import judge_many
from graftbook.fit.plan_facts import HostFact, PieceFact, PlanProblem, Possible, StickFact, WantFact
from graftbook.fit.plan_greedy import greedy
from graftbook.fit.plan_network import build_network
from graftbook.fit.plan_objective_values import objective_values
from graftbook.fit.plan_solve import plan
from graftbook.trade import methods

ON = date(2027, 3, 20)
METHODS = tuple(methods.find(name) for name in ("whip-and-tongue", "cleft", "chip-bud"))
CHANCES = ((0.85, 0.78, 0.72), (0.81, 0.83, 0.64), (0.58, 0.71, 0.66))
CLONES = ("M.26", "MM.106", "MM.111")
SITES = ("home", "school", "hill")
KEEPING = KeepingFacts(120, 180)


@dataclass(frozen=True)
class Shape:
    """What is invented: pieces, stocks, cultivars, the width of a size class in mm, sticks a bundle, share of must-haves,
    seconds, and whether chances, sites and wear are mixed."""

    pieces: int
    stocks: int
    cultivars: int
    step_mm: float
    bundle: int
    musts: float
    seconds: float
    mixed: bool = False


SHAPES = {
    "day": Shape(2000, 2000, 40, 0.5, 8, 0.5, 10),
    "nursery": Shape(20_000, 15_000, 120, 1.0, 40, 0.2, 60),
    "mixed": Shape(2000, 2000, 40, 0.5, 8, 0.5, 10, True),
}


def sized(mm: float, shape: Shape) -> float:
    return round(round(mm / shape.step_mm) * shape.step_mm, 6)


def invented_sticks(shape: Shape, chance: random.Random) -> list[StickFact]:
    """Apple wood in bundles, sticks of six to nine buds, in every way that one of the methods can use."""
    found = []
    for number in range(max(1, shape.pieces // (3 * shape.bundle))):
        cultivar, buds, thick = number % shape.cultivars, chance.randint(6, 9), round(chance.uniform(6, 10), 1)
        stick = Stick(thick, round(thick * 0.7, 1), 35.0 * buds, buds)
        ways = {}
        for method in METHODS:
            for way in patterns(stick, Rules((1,) if method.is_bud else (1, 2, 3), method)):
                ways.setdefault(tuple(named(cultivar, piece, shape) for piece in way.pieces))
        wear = round(chance.random(), 3) if shape.mixed else chance.choice([0.1, 0.4, 0.8])
        name = f"W{number}"
        found.append(StickFact(name, name, f"Invented {cultivar}", tuple(ways), buds, shape.bundle, wear))
    return found


def named(cultivar: int, piece, shape: Shape) -> PieceFact:
    size = sized((piece.butt_mm + piece.tip_mm) / 2, shape)
    kind = f"{cultivar}|{piece.buds}|{size:g}|{piece.length_mm >= 40:d}"
    return PieceFact(kind, piece.buds, piece.lost, piece.butt_mm, piece.length_mm)


def invented_hosts(shape: Shape, chance: random.Random) -> list[HostFact]:
    found = []
    for number in range(shape.stocks):
        size, clone = sized(chance.uniform(6, 14), shape), chance.choice(CLONES)
        found.append(
            HostFact(f"P{number}", f"{clone}|{size:g}", chance.choice(SITES), clone, f"{size:g} mm", diameter_mm=size)
        )
    return found


def invented_wants(shape: Shape, chance: random.Random) -> list[WantFact]:
    found = []
    for number in range(shape.cultivars):
        trees = max(4, round(shape.stocks / shape.cultivars * chance.uniform(0.4, 1.4)))
        must = chance.random() < shape.musts
        living = (chance.randint(1, 4) if shape.mixed else 2) if must else 0
        sites = 2 if shape.mixed and chance.random() < 0.34 else 1
        found.append(WantFact(str(number), f"Invented {number}", trees, living, sites, chance.randint(1, 3)))
    return found


def judged(sticks: list[StickFact], hosts: list[HostFact], shape: Shape) -> list[Possible]:
    """Every kind of piece on every kind of stock that the gates let through, timed."""
    start = time.perf_counter()
    pieces = list({piece.kind: piece for stick in sticks for way in stick.ways for piece in way}.values())
    kinds = list(dict.fromkeys(host.kind for host in hosts))
    split = [piece.kind.split("|") for piece in pieces]
    woods = [
        WoodFacts("", "Malus domestica", name[0], (float(name[2]),) * 2, "dormant", ON, 65, "sound", 12, KEEPING)
        for name in split
    ]
    stands = [
        StockFacts("", "Malus domestica", kind.split("|")[0], (float(kind.split("|")[1]),) * 2, "dormant", "tight")
        for kind in kinds
    ]
    many = judge_many(woods, stands, METHODS, ON)
    found = []
    for at, grid in enumerate(many.grids):
        share = grid.share.tolist()
        for row, piece in enumerate(pieces):
            if piece.buds > 1 if METHODS[at].is_bud else split[row][3] == "0":
                continue
            chance = CHANCES[int(split[row][0]) % 3 if shape.mixed else 0][at]
            for column, kind in enumerate(kinds):
                a, b = many.wood_row[row], many.stock_column[column]
                if grid.verdict[a, b] < 2:
                    met = share[a][b]
                    found.append(Possible(piece.kind, kind, METHODS[at].method, chance, None if met != met else met))
    took = time.perf_counter() - start
    print(
        f"  gates and joints of {len(pieces)} kinds of piece on {len(kinds)} kinds of stock: {len(found):,} go, {took:.1f} s"
    )
    return found


def tell(name: str) -> None:
    shape, chance = SHAPES[name], random.Random(11)
    sticks, hosts, wants = (make(shape, chance) for make in (invented_sticks, invented_hosts, invented_wants))
    able = judged(sticks, hosts, shape)
    problem = PlanProblem(
        tuple(sticks), tuple(hosts), tuple(able), tuple(wants), int(shape.mixed), seconds=shape.seconds
    )
    start = time.perf_counter()
    network = build_network(problem)
    grouped = time.perf_counter() - start
    heuristic = greedy(network, problem)
    greedy_seconds = time.perf_counter() - start
    rated = objective_values(network, heuristic, problem)
    print(
        f"  {len(network.piece_arcs):,} piece arcs and {len(network.host_arcs):,} host arcs of {len(network.pieces)} classes"
        f" of pieces on {len(network.hosts)} of hosts, built in {grouped:.1f} s"
    )
    start = time.perf_counter()
    found = plan(problem)
    took = time.perf_counter() - start
    print(
        f"{name}: {len(found.pairs):,} grafts in {took:.1f} s, greedy {greedy_seconds:.2f} s (ratio {took / greedy_seconds:.0f})"
    )
    for objective in found.objectives:
        print(
            f"  {objective.name:8} {objective.value:11.3f}  at most {objective.bound:11.3f}  gap {objective.gap:.3%}"
            f"  greedy {rated[objective.name]:11.3f}"
        )
    print(f"  {found.message}\n  {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB at the most so far")


if __name__ == "__main__":
    for each in sys.argv[1:] or SHAPES:
        tell(each)
