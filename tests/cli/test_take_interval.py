"""take --interval: the range asked for, for none, all, one, and nothing decided, on both databases."""

import os
import subprocess
import sys

import pytest
from filling import Filling
from statsmodels.stats.proportion import proportion_confint


@pytest.fixture
def four(graftbook, location):
    """None of five, all of three, one of one, and nothing decided, by method."""
    with Filling(location) as book:
        wood = book.wood()
        for method, took, decided, waiting in (
            ("cleft", 0, 5, 0), ("bark", 3, 3, 1), ("saddle", 1, 1, 0), ("whip-and-tongue", 0, 0, 2)
        ):  # fmt: skip
            for place in range(decided + waiting):
                graft = book.graft(wood, book.stock(), method)
                if place < decided:
                    book.looks(graft, "08-01 growing" if place < took else "06-01 dead")
    return graftbook


@pytest.mark.parametrize(("interval", "referee"), [("wilson", "wilson"), ("exact", "beta"), ("jeffreys", "jeffreys")])
def test_each_interval_is_the_one_of_statsmodels_and_stays_within_0_and_1(four, interval, referee):
    """statsmodels as referee; Jeffreys' ends are set at 0 for none and 1 for all (Brown, Cai and DasGupta 2001)."""
    document = four("take", "--by", "method", "--interval", interval, "--level", "0.9", "--json").json
    assert interval == document["interval"]
    held = {row["method"]: row for row in document["rows"]}
    for method, k, n in (("cleft", 0, 5), ("bark", 3, 3), ("saddle", 1, 1)):
        low, high = proportion_confint(k, n, alpha=0.1, method=referee)
        row = held[method]
        expected = (0.0 if k == 0 else low, 1.0 if k == n else high)
        assert expected == pytest.approx((row["low"], row["high"]), abs=1e-9)
    nothing = held["whip-and-tongue"]
    assert (0, None, None, None) == tuple(nothing[name] for name in ("n", "rate", "low", "high"))


def test_the_range_is_named_in_words(four):
    assert "The range is a 95 % Wilson interval." in four("take", "--notes").out
    assert "The range is a 95 % exact (Clopper-Pearson) interval." in four("take", "--interval", "Exact", "--notes").out
    out = four("take", "--interval", "jeffreys", "--level", "0.999", "--notes").out
    assert "The range is a 99.9 % Jeffreys interval." in out
    assert max(map(len, out.splitlines())) <= 80


def test_an_interval_there_is_not_is_refused(four):
    bad = four("take", "--interval", "wald")
    assert (2, "") == (bad.code, bad.out)
    assert "an interval is one of wilson, exact, jeffreys" in bad.err


@pytest.mark.parametrize("words", [["take"], ["take", "--interval", "exact"], ["take", "--interval", "jeffreys"]])
def test_no_interval_loads_scipy(four, location, words):
    code = (
        "import sys; from graftbook.cli.main import main\n"
        f"code = main(['--book', {location!r}, *sys.argv[1:]])\n"
        "sys.exit(code or [m for m in ('scipy', 'statsmodels', 'pandas', 'numpy') if m in sys.modules] or 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, env=dict(os.environ))
    assert 0 == done.returncode, done.stderr
