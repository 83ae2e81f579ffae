"""Measures gates and joints of many bundles on many stocks: arrays beside a plain loop. Nothing is asserted.

PYTHONPATH=. python tests/bench/joints.py [BUNDLES [STOCKS]]. The geometry alone is timed on every pair that the rule of
thickness leaves; the plain loop and the gates, which write a sentence for every answer, on a sample and reckoned up.
"""

import random
import sys
import time
from datetime import date

import numpy as np

from graftbook.fit import KeepingFacts, StockFacts, WoodFacts, judging
from graftbook.fit.joint_curves import ONE
from graftbook.fit.joint_kinds import Sizes, cut_of, face_of
from graftbook.fit.joint_many import best_places
from graftbook.fit.joint_search import best_place
from graftbook.trade import bark, methods

ON = date(2027, 3, 20)
METHODS = ("whip-and-tongue", "cleft", "chip-bud")
SAMPLE = 200
REACH = 0.5


def invented(bundles: int, stocks: int) -> tuple[list[WoodFacts], list[StockFacts]]:
    """Apple wood of 4 to 14 mm and apple stocks of 5 to 40 mm, read to a tenth as callipers are."""
    chance = random.Random(7)
    keeping = KeepingFacts(120, 180)
    woods = []
    for number in range(bundles):
        size = round(chance.uniform(4, 14), 1)
        woods.append(WoodFacts(f"W{number}", "Malus domestica", None, (size, size), "dormant", date(2027, 1, 14), 65,
                               "sound", 12, keeping))  # fmt: skip
    stands = []
    for number in range(stocks):
        size = round(5 * 8 ** chance.random(), 1)
        stands.append(StockFacts(f"P{number}", "Malus domestica", "MM.106", (size, size), "dormant", "tight"))
    return woods, stands


def geometry(woods: list[WoodFacts], stocks: list[StockFacts]) -> tuple[int, float]:
    """Pairs worked out and the seconds they took, all methods together."""
    scions, stands = (np.array([facts.diameter_mm[0] for facts in side]) for side in (woods, stocks))
    row, pairs, start = bark.of("apple"), 0, time.perf_counter()
    for name in METHODS:
        top = methods.find(name).ratio_tried[1]
        scion, stock = np.nonzero(scions[:, None] <= stands[None, :] * max(1.0, top) + 0.5)
        layers = [np.array([row.at(size) for size in side])[at] for side, at in ((scions, scion), (stands, stock))]
        best_places(cut_of(methods.find(name)), Sizes(scions[scion], stands[stock], *layers), REACH)
        pairs += len(scion)
    return pairs, time.perf_counter() - start


def plain_loop(woods: list[WoodFacts], stocks: list[StockFacts]) -> float:
    """Seconds a pair for the same search on plain numbers, from a sample."""
    chance, row, start = random.Random(3), bark.of("apple"), time.perf_counter()
    for at in range(SAMPLE):
        scion, stand = (chance.choice(side).diameter_mm[0] for side in (woods, stocks))
        cut = cut_of(methods.find(METHODS[at % len(METHODS)]))
        best_place(face_of(cut, Sizes(scion, stand, row.at(scion), row.at(stand)), ONE), REACH)
    return (time.perf_counter() - start) / SAMPLE


def gates(woods: list[WoodFacts], stocks: list[StockFacts]) -> tuple[int, float]:
    """Judgements made, gates with their reasons and joints, and the seconds they took."""
    start = time.perf_counter()
    made = sum(1 for _ in judging(woods, stocks, [methods.find(name) for name in METHODS], ON))
    return made, time.perf_counter() - start


def main(bundles: int, stocks: int) -> None:
    woods, stands = invented(bundles, stocks)
    geometry(woods[:5], stands[:5])
    pairs, taken = geometry(woods, stands)
    one = plain_loop(woods, stands)
    print(f"{bundles:,} bundles, {stocks:,} stocks, {', '.join(METHODS)}")
    print(f"joints by arrays: {pairs:,} pairs in {taken:.2f} s, {1e6 * taken / pairs:.2f} µs a pair")
    print(
        f"joints by a plain loop: {1e3 * one:.2f} ms a pair ({SAMPLE} of them), ratio {one * pairs / taken:,.0f} to 1"
    )
    some = max(1, bundles // 100)
    made, spent = gates(woods[:some], stands)
    print(f"gates with reasons and joints: {made:,} judgements in {spent:.2f} s, {1e6 * spent / made:.1f} µs each;"
          f" all would take {spent / made * bundles * stocks * len(METHODS):,.0f} s")  # fmt: skip


if __name__ == "__main__":
    main(*(int(text) for text in (*sys.argv[1:], *("2000", "2000")[len(sys.argv) - 1 :])))
