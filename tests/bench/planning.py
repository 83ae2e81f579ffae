"""Measures whole plans of nursery size beside the same day planned by hand (greedy). Nothing is asserted.

PYTHONPATH=. python tests/bench/planning.py [day|nursery|both]. `day` is 2,000 pieces on 2,000 stocks read to a tenth of
a millimetre with three methods, gates and joints included; `nursery` 20,000 pieces on 15,000 stocks by cultivar and grade.
"""

import random
import resource
import sys
import time
from datetime import date

from graftbook.fit import KeepingFacts, StockFacts, WoodFacts
from graftbook.fit.cutting import Stick
from graftbook.fit.joint_gates import judge_many
from graftbook.fit.plan_facts import HostFact, Plan, Question, StickFact, WantFact
from graftbook.fit.plan_greedy import greedy
from graftbook.fit.plan_groups import group
from graftbook.fit.plan_kinds import possible_of, size_class, ways_of
from graftbook.fit.plan_settle import exact
from graftbook.fit.plan_solve import plan
from graftbook.trade import methods

ON = date(2027, 3, 20)
METHODS = tuple(methods.find(name) for name in ("whip-and-tongue", "cleft", "chip-bud"))
CHANCES = {"whip-and-tongue": 0.85, "cleft": 0.78, "chip-bud": 0.72}
CLONES = ("M.26", "MM.106", "MM.111")
SITES = ("home", "school", "hill")
KEEPING = KeepingFacts(120, 180)


def stock_question(pieces: int, stocks: int, cultivars: int, step_mm: float, musts: float, seconds: float) -> Question:
    """Apple wood of some cultivars, sticks of six to nine buds, stocks of 6 to 14 mm on three sites and clones."""
    chance = random.Random(11)
    sticks, kinds = [], {}
    per_bundle = 8 if pieces < 5000 else 40
    bundles = max(1, pieces // (3 * per_bundle))
    for number in range(bundles):
        label = f"Invented {number % cultivars}"
        thick, buds = chance.uniform(6, 10), chance.randint(6, 9)
        stick = Stick(round(thick, 1), round(thick * 0.7, 1), 35.0 * buds, buds)

        def kind(piece, label=label):
            size = size_class((piece.butt_mm + piece.tip_mm) / 2, step_mm)
            name = f"{label}|{piece.buds}|{size:g}"
            kinds.setdefault(name, (size, label, piece.length_mm))
            return name

        ways = ways_of(stick, METHODS, kind)
        sticks.append(
            StickFact(f"W{number}", f"W{number}", label, ways, buds, per_bundle, chance.choice([0.1, 0.4, 0.8]))
        )
    hosts = []
    for number in range(stocks):
        size = size_class(chance.uniform(6, 14), step_mm)
        clone = chance.choice(CLONES)
        hosts.append(
            HostFact(f"P{number}", f"{clone}|{size:g}", chance.choice(SITES), clone, f"{size:g} mm", diameter_mm=size)
        )
    trees = stocks // cultivars
    wants = tuple(
        WantFact(
            str(number), f"Invented {number}", max(1, round(trees * chance.uniform(0.4, 1.4))),
            2 if chance.random() < musts else 0, 1, chance.randint(1, 3),
        )
        for number in range(cultivars)
    )  # fmt: skip
    return Question(tuple(sticks), tuple(hosts), judged(kinds, hosts), wants, seconds=seconds)


def judged(kinds: dict, hosts: list[HostFact]):
    start = time.perf_counter()
    names, on = list(kinds), list(dict.fromkeys(host.kind for host in hosts))
    woods = [
        WoodFacts(name, "Malus domestica", None, (kinds[name][0],) * 2, "dormant", ON, 65, "sound", 12, KEEPING)
        for name in names
    ]
    stands = [
        StockFacts(kind, "Malus domestica", kind.split("|")[0], (float(kind.split("|")[1]),) * 2, "dormant", "tight")
        for kind in on
    ]
    many = judge_many(woods, stands, METHODS, ON)
    found = possible_of(names, on, many, lambda row, column, method: (CHANCES[method.method], ""),
                        {name: kinds[name][2] for name in names})  # fmt: skip
    print(f"  gates and joints: {len(names)} kinds of piece on {len(on)} kinds of stock: {len(found):,} possible,"
          f" {time.perf_counter() - start:.1f} s")  # fmt: skip
    return found


def tell(name: str, question: Question) -> None:
    start = time.perf_counter()
    groups = group(question)
    grouped = time.perf_counter() - start
    hand = greedy(groups, question.hold_back)
    by_hand = time.perf_counter() - start
    rated = exact(groups, hand.numbers, question.sure)
    print(
        f"  {len(groups.uses):,} uses and {len(groups.lanes):,} lanes of {len(groups.pieces)} classes of pieces on"
        f" {len(groups.hosts)} of hosts, grouped in {grouped:.1f} s"
    )
    start = time.perf_counter()
    found: Plan = plan(question)
    took = time.perf_counter() - start
    print(
        f"{name}: {len(found.pairs):,} grafts in {took:.1f} s, {found.status}; by hand {by_hand:.2f} s (ratio {took / by_hand:.0f})"
    )
    for level in found.levels:
        print(
            f"  {level.name:8} {level.value:11.3f}  at most {level.bound:11.3f}  gap {level.gap:.3%}"
            f"  by hand {rated[level.name]:11.3f}"
        )
    print(f"  {found.message}  peak {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB")


def main(which: str) -> None:
    if which in ("day", "both"):
        tell("day", stock_question(2000, 2000, 40, 0.5, 0.5, 10))
    if which in ("nursery", "both"):
        tell("nursery", stock_question(20_000, 15_000, 120, 1.0, 0.2, 60))


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "both")
