"""How often the ranges of take and compare hold the truth, by seeded simulation: the same figures every time.

Each line is a setting of numbers that an orchard has. A range of 95 % should hold the truth about 95 times in 100; the exact
one at least so often; a test at 0.05 should cry out at most 5 times in 100 where there is nothing.
"""

from __future__ import annotations

import sys

import numpy as np

from graftbook.stats.difference import holm, newcombe
from graftbook.stats.interval import exact, jeffreys, wilson
from graftbook.stats.shrink import shrink
from graftbook.stats.strata import TwoByTwo, cmh, exact_conditional, mantel_haenszel

SEED = 20270401


def shares(draws: int) -> None:
    """One share."""
    print(f"{'one share':<34}{'wilson':>9}{'exact':>9}{'jeffreys':>10}")
    chance = np.random.default_rng(SEED)
    for n in (5, 10, 20, 40):
        for p in (0.3, 0.6, 0.85, 0.95):
            counts = np.bincount(chance.binomial(n, p, draws), minlength=n + 1)
            held = [
                sum(counts[k] for k in range(n + 1) if (found := way(k, n)).low <= p <= found.high) / draws
                for way in (wilson, exact, jeffreys)
            ]
            print(f"{f'n {n}, true {p:.0%}':<34}{held[0]:>9.1%}{held[1]:>9.1%}{held[2]:>10.1%}")


def differences(draws: int) -> None:
    """The difference of two shares."""
    print(f"{'difference (Newcombe)':<34}{'held':>9}")
    chance = np.random.default_rng(SEED + 1)
    for n1, n2, p1, p2 in ((10, 10, 0.9, 0.6), (15, 14, 0.7, 0.7), (30, 12, 0.85, 0.5), (50, 50, 0.6, 0.8)):
        pairs = zip(chance.binomial(n1, p1, draws).tolist(), chance.binomial(n2, p2, draws).tolist(), strict=True)
        held = sum((found := newcombe(k1, n1, k2, n2)).low <= p1 - p2 <= found.high for k1, k2 in pairs) / draws
        print(f"{f'{n1} and {n2}, true {p1:.0%} and {p2:.0%}':<34}{held:>9.1%}")


def strata(draws: int) -> None:
    """Three kinds that take differently and a way that makes no difference, or doubles the odds."""
    print(f"{'three strata':<34}{'range':>9}{'exact cries':>13}{'cmh cries':>11}")
    chance = np.random.default_rng(SEED + 2)
    sizes = ((8, 12), (15, 10), (6, 6))
    for odds in (1.0, 2.0):
        held = told = cried = cried_too = 0
        for _ in range(draws):
            pairs = []
            for (n1, n2), base in zip(sizes, (0.9, 0.7, 0.4), strict=True):
                better = base * odds / (1 - base + base * odds)
                pairs.append(TwoByTwo(int(chance.binomial(n1, better)), n1, int(chance.binomial(n2, base)), n2))
            common = mantel_haenszel(pairs)
            if common.low is not None and common.high is not None:
                told, held = told + 1, held + (common.low <= odds <= common.high)
            p, test = exact_conditional(pairs), cmh(pairs)
            cried += p is not None and p < 0.05
            cried_too += test is not None and test.p < 0.05
        print(f"{f'true odds ratio {odds:g}':<34}{held / told:>9.1%}{cried / draws:>13.1%}{cried_too / draws:>11.1%}")


def company(draws: int) -> None:
    """Four ways that do not differ, all pairs of them looked at: how often any is called different."""
    chance = np.random.default_rng(SEED + 3)
    alone = paid = 0
    for _ in range(draws):
        took = chance.binomial(15, 0.7, 4).tolist()
        found = [
            exact_conditional([TwoByTwo(a, 15, b, 15)]) for at, a in enumerate(took) for b in took[at + 1 :]
        ]  # fmt: skip
        found = [p for p in found if p is not None]
        alone += any(p < 0.05 for p in found)
        paid += any(p < 0.05 for p in holm(found))
    print(f"six pairs of four ways, 15 each, none different: one cries {alone / draws:.1%}, by Holm {paid / draws:.1%}")


def cells(draws: int) -> None:
    """Cells of a kind drawn from one distribution: how often shrunk and raw ranges hold each cell's own truth, how wide they
    are, and how far off the rates are."""
    print(f"{'cells of a kind':<34}{'shrunk':>9}{'wilson':>9}{'width':>14}{'off by':>15}")
    chance = np.random.default_rng(SEED + 4)
    for alpha, beta, number, largest in ((12, 4, 10, 12), (3, 2, 8, 20), (60, 20, 15, 8)):
        sums = np.zeros(6)
        told = 0
        for _ in range(draws):
            truth, made = chance.beta(alpha, beta, number), chance.integers(1, largest + 1, number)
            took = chance.binomial(made, truth)
            drawn = shrink(list(zip(took.tolist(), made.tolist(), strict=True)))
            if drawn is None:
                continue
            for one, p in zip(drawn, truth, strict=True):
                raw = wilson(one.k, one.n)
                told += 1
                sums += (one.low <= p <= one.high, raw.low <= p <= raw.high, one.high - one.low, raw.high - raw.low,
                         abs(one.rate - p), abs(one.k / one.n - p))  # fmt: skip
        held, raw_held, wide, raw_wide, off, raw_off = sums / told
        name = f"{number} cells of 1-{largest}, beta({alpha},{beta})"
        print(
            f"{name:<34}{held:>9.1%}{raw_held:>9.1%}{f'{wide:.2f} v {raw_wide:.2f}':>14}{f'{off:.3f} v {raw_off:.3f}':>15}"
        )


def main(scale: float) -> None:
    """All of them; `scale` makes more or fewer draws than are usual."""
    shares(int(20_000 * scale))
    differences(int(10_000 * scale))
    strata(int(4_000 * scale))
    company(int(3_000 * scale))
    cells(int(100 * scale))


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0)
