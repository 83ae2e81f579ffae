"""Measures gates and joints of many scions on many stocks: arrays beside a plain loop. Nothing is asserted.

PYTHONPATH=. python tests/bench/joints.py [SCIONS [STOCKS]]. The yardstick is `match.judge`, one pair by one method at a
time with its sentences, on a sample and scaled up; beside it stands the bare geometry of one pair on plain numbers.
"""

import random
import sys
import time
from datetime import date

import numpy as np

from graftbook.fit.cutting import Rules, Stick, patterns
from graftbook.fit.facts import KeepingFacts, StockFacts, WoodFacts
from graftbook.fit.joint_curves import ONE
from graftbook.fit.joint_gates import judge_many
from graftbook.fit.joint_kinds import Sizes, cut_of, face_of
from graftbook.fit.joint_search import best_place
from graftbook.fit.match import judge_all
from graftbook.trade import bark_thickness, methods

ON = date(2027, 3, 20)
METHODS = ("whip-and-tongue", "cleft", "chip-bud")
SAMPLE = 300
REACH = 0.5


def scions(many: int) -> list[WoodFacts]:
    """Apple scions as they fall from sticks of every thickness, each with the diameter that its taper gives it."""
    chance, keeping, found = random.Random(7), KeepingFacts(120, 180), []
    while len(found) < many:
        butt = chance.uniform(6, 14)
        way = patterns(Stick(butt, butt * chance.uniform(0.5, 0.9), chance.uniform(200, 400), 8), Rules((2, 3)))[0]
        for piece in way.pieces:
            found.append(WoodFacts(f"W{len(found)}", "Malus domestica", None, (piece.butt_mm, piece.butt_mm), "dormant",
                                   date(2027, 1, 14), 65, "sound", 12, keeping))  # fmt: skip
    return found[:many]


def stocks(many: int) -> list[StockFacts]:
    """Apple stocks of 5 to 40 mm, the thin ones more often, one in ten with bark that slips."""
    chance, found = random.Random(8), []
    for number in range(many):
        size, bark = 5 * 8 ** chance.random(), "slipping" if number % 10 == 0 else "tight"
        found.append(StockFacts(f"P{number}", "Malus domestica", "MM.106", (size, size), "dormant", bark))
    return found


def plain_judging(woods: list[WoodFacts], stands: list[StockFacts]) -> float:
    """Seconds a pair and method, judged one by one."""
    chance, start = random.Random(3), time.perf_counter()
    for at in range(SAMPLE):
        judge_all([chance.choice(woods)], [chance.choice(stands)], [methods.find(METHODS[at % len(METHODS)])], ON)
    return (time.perf_counter() - start) / SAMPLE


def plain_geometry(woods: list[WoodFacts], stands: list[StockFacts]) -> float:
    """Seconds a pair and method for the geometry alone, on plain numbers."""
    chance, row, start = random.Random(3), bark_thickness.of("apple"), time.perf_counter()
    for at in range(SAMPLE):
        scion, stand = (chance.choice(side).diameter_mm[0] for side in (woods, stands))
        cut = cut_of(methods.find(METHODS[at % len(METHODS)]))
        best_place(face_of(cut, Sizes(scion, stand, row.at(scion), row.at(stand)), ONE), REACH)
    return (time.perf_counter() - start) / SAMPLE


def main(many_scions: int, many_stocks: int) -> None:
    woods, stands = scions(many_scions), stocks(many_stocks)
    chosen = [methods.find(name) for name in METHODS]
    judge_many(woods[:5], stands[:5], chosen, ON)
    start, busy = time.perf_counter(), time.process_time()
    found = judge_many(woods, stands, chosen, ON)
    taken, busy = time.perf_counter() - start, time.process_time() - busy
    cells = many_scions * many_stocks * len(METHODS)
    goes = sum(int((grid.verdict != 2)[found.wood_row][:, found.stock_column].sum()) for grid in found.grids)
    worked = sum(int(np.isfinite(grid.met).sum()) for grid in found.grids)
    one, bare = plain_judging(woods, stands), plain_geometry(woods, stands)
    print(f"{many_scions:,} scions, {many_stocks:,} stocks, {', '.join(METHODS)}: {cells:,} pairs and methods")
    print(
        f"gates and joints by arrays: {taken:.2f} s ({busy:.2f} s of processor); {goes:,} go, {worked:,} have a joint"
    )
    print(f"one by one, with sentences: {1e3 * one:.2f} ms each, {one * cells:,.0f} s for all, "
          f"ratio {one * cells / taken:,.0f} to 1")  # fmt: skip
    print(f"the bare geometry, one by one: {1e3 * bare:.2f} ms each, for those that go {bare * goes:,.0f} s, "
          f"ratio {bare * goes / taken:,.0f} to 1")  # fmt: skip


if __name__ == "__main__":
    main(*(int(text) for text in (*sys.argv[1:], *("2000", "2000")[len(sys.argv) - 1 :])))
