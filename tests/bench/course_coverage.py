"""How often the ranges of take course hold the truth, by seeded simulation: run `python tests/bench/course_coverage.py [RUNS]`.

The designs are those that growers have: a batch made over a few days, looked at in a few shared rounds, most grafts in each.
Losses come evenly over 400 days. For each design it prints how often the range at a look holds the share truly lost by then,
how often that of the end of the curve does, and how often the end says 25 points too much: first by the plain estimate of
Turnbull on the ages as they are, then with the ages of one round counted as one, as the verb does. Wanted: 95, 95 and 0.
Between two looks the range runs from the one look to the next; how often it holds the truth there stands last. Nothing is
asserted.
"""

from __future__ import annotations

import sys
from collections import Counter
from datetime import date, timedelta
from math import inf, log
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))
from graftbook.actions.review.graft_stages import one_round
from graftbook.stats.survival import CensoredInterval, turnbull

FIRST = date(2027, 4, 1)
ROUNDS = (50, 80, 120, 210, 406)
ASKED = (42, 84, 140, 273, 365)
DESIGNS = (
    ("one day", (0,), 1.0), ("two days, a week apart", (0, 7), 1.0), ("two days, a third unseen", (0, 7), 0.7),
    ("five days in four weeks", (0, 7, 14, 21, 28), 1.0), ("five days, a third unseen", (0, 7, 14, 21, 28), 0.7),
)  # fmt: skip


def one_book(chance: np.random.Generator, grafts: int, days: tuple[int, ...], seen: float, rate: float) -> Counter:
    """The intervals in which losses of one batch came, with the day that marks each."""
    spans: Counter = Counter()
    for made, died in zip(chance.choice(days, grafts), chance.exponential(1 / rate, grafts), strict=True):
        after, by, on = 0.0, inf, None
        for look in ROUNDS:
            if look <= made or chance.random() > seen:
                continue
            on, age = FIRST + timedelta(days=int(look)), float(look - made)
            if died <= age:
                by = age
                break
            after = age
        spans[after, by, on] += 1
    return spans


def line(name: str, days: tuple[int, ...], seen: float, grafts: int, lost: float, runs: int) -> None:
    """One design by both ways."""
    rate, figures = -log(1 - lost) / 400, []
    for plain in (True, False):
        chance = np.random.default_rng(9)
        at_look, end, far, between = [], [], [], []
        for _ in range(runs):
            spans = one_book(chance, grafts, days, seen, rate)
            held = Counter({(a, b): many for (a, b, _on), many in spans.items()}) if plain else one_round(spans)
            curve = turnbull([CensoredInterval(after, by, many) for (after, by), many in held.items()])
            if not curve.steps:
                continue
            for step in curve.steps:
                at_look.append(step.low <= 1 - np.exp(-rate * step.time) <= step.high)
            last = curve.steps[-1]
            truth = 1 - np.exp(-rate * last.time)
            end.append(last.low <= truth <= last.high)
            far.append(last.happened > truth + 0.25)
            for day in ASKED:
                before, inside = curve.at(day), curve.between(day)
                if before is not None and inside is not None:
                    between.append(before.low <= 1 - np.exp(-rate * day) <= inside.high)
        figures += [f"{np.mean(part):8.1%}" for part in (at_look, end, far)]
    print(f"{name:<26}{grafts:>7}{lost:>6.0%} {''.join(figures)}{np.mean(between):9.1%}")


def main(runs: int) -> None:
    """Every design by two sizes and two losses."""
    print(f"{runs} runs each, level 95 %; the plain estimate, then with the ages of one round as one")
    columns = f"{'at look':>8}{'at end':>8}{'too far':>8}"
    print(f"{'made on':<26}{'grafts':>7}{'lost':>6} {columns}{columns}{'between':>9}")
    for grafts in (40, 120):
        for name, days, seen in DESIGNS:
            for lost in (0.15, 0.4):
                line(name, days, seen, grafts, lost, runs)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
