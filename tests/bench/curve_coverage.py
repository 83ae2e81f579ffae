"""How often the bands of the curve hold the truth, by seeded simulation: run `python tests/bench/curve_coverage.py [RUNS]`.

Prints, for a few shapes of the truth and numbers of grafts: how often the band at one x holds the chance there (averaged
over x), how often the band of the whole line holds the whole of it, how often a best window is spoken of, and how often it
holds the place of the highest chance. Wanted for the first two: 95. Nothing is asserted.

The last shapes let the luck of a day differ, which the band must be widened for.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.special import expit, logit

sys.path.insert(0, str(Path(__file__).parents[2]))
from graftbook.stats.curve import Curve, CurveCount, curve

DAYS = 61
SHAPES: tuple[tuple[str, Callable[[np.ndarray], np.ndarray], float], ...] = (
    ("the same everywhere, 70 %", lambda u: np.full_like(u, logit(0.7)), 0.0),
    ("rising, 30 to 80 %", lambda u: logit(0.3) + (logit(0.8) - logit(0.3)) * u, 0.0),
    ("best in the middle, 25 to 90 %", lambda u: logit(0.9) - (logit(0.9) - logit(0.25)) * (2 * u - 1) ** 2, 0.0),
    ("narrow best, 20 to 90 %", lambda u: logit(0.2 + 0.7 * np.exp(-(((u - 0.5) / 0.18) ** 2))), 0.0),
    ("the same everywhere, days differ", lambda u: np.full_like(u, logit(0.7)), 0.6),
    ("best in the middle, days differ", lambda u: logit(0.9) - (logit(0.9) - logit(0.25)) * (2 * u - 1) ** 2, 0.6),
)


def once(chance: np.random.Generator, shape: Callable, grafts: int, between_days: float) -> Curve | None:
    """One book of so many grafts, and its curve where one can be drawn."""
    days = np.arange(DAYS)
    true = shape(days / (DAYS - 1)) + between_days * chance.standard_normal(DAYS)
    of = chance.multinomial(grafts, np.full(DAYS, 1 / DAYS))
    took = chance.binomial(of, expit(true))
    places = [CurveCount(float(day), int(k), int(n), int(day)) for day, k, n in zip(days, took, of, strict=True) if n]
    found = curve(places)
    return found if isinstance(found, Curve) else None


def line(name: str, shape: Callable, grafts: int, between_days: float, runs: int) -> None:
    """One row."""
    chance = np.random.default_rng(20)
    at_one, whole, spoken, right, drawn = [], 0, 0, 0, 0
    for _ in range(runs):
        found = once(chance, shape, grafts, between_days)
        if found is None:
            continue
        drawn += 1
        xs = np.array([point.x for point in found.points])
        true = shape(xs / (DAYS - 1))
        true = expit(true) if not between_days else np.array([averaged(value, between_days) for value in true])
        at_one.append(np.mean([point.low <= p <= point.high for point, p in zip(found.points, true, strict=True)]))
        whole += all(point.low_whole <= p <= point.high_whole for point, p in zip(found.points, true, strict=True))
        if found.window is not None:
            spoken += 1
            best = xs[int(np.argmax(true))]
            right += found.window.first - 1e-9 <= best <= found.window.last + 1e-9
    held = f"{right / spoken:9.1%}" if spoken else f"{'-':>9}"
    print(
        f"{name:<34}{grafts:>7}{drawn / runs:8.0%}{np.mean(at_one):9.1%}{whole / drawn:9.1%}{spoken / drawn:9.1%}{held}"
    )


def averaged(middle: float, between_days: float) -> float:
    """The chance averaged over days that differ."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(31)
    return float((expit(middle + between_days * nodes) * weights).sum() / weights.sum())


def main(runs: int) -> None:
    """All shapes by all sizes."""
    print(f"{runs} runs each, level 95 %, {DAYS} days")
    print(f"{'truth':<34}{'grafts':>7}{'drawn':>8}{'at one':>9}{'whole':>9}{'window':>9}{'right':>9}")
    for name, shape, between in SHAPES:
        for grafts in (60, 200, 1000):
            line(name, shape, grafts, between, runs)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 400)
