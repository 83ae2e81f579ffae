"""Published tables of take compared: the differences, chances and ranges that their counts give, rebuilt through import.

The counts are those of take_tables.csv, each line with its source. The test statistics are not printed in the sources; they
were computed from the same counts with R and scipy, and what the sources say in words agrees.
"""

from __future__ import annotations

import pytest
from published_book import AS_OF, of, write_book

from graftbook.stats.difference import holm, newcombe
from graftbook.stats.strata import TwoByTwo, exact_conditional


@pytest.fixture
def rebuilt(graftbook, tmp_path):
    def book(name, *numbers):
        folder = tmp_path / name
        folder.mkdir()
        write_book(folder, [line for line in of(name) if not numbers or int(line["line"]) in numbers], in_blocks=False)
        assert 0 == graftbook("import", folder).code
        return graftbook

    return book


def test_side_tongue_is_shown_better_than_each_of_three(rebuilt):
    """Allanblackia (New Forests, 2010): 32, 21, 22 and 20 of 40. Fisher's chances 0.0172, 0.0307 and 0.0093 of side tongue
    against the three, 0.0345, 0.0345 and 0.0279 by Holm; side tongue less veneer 0.2750 (0.0677 to 0.4526) by Newcombe."""
    book = rebuilt("ALLAN2010", 1, 2, 3, 4)
    rows = [
        book("take", "compare", f"method=side-tongue,{other}", "--as-of", AS_OF, "--json").rows[-1]
        for other in ("side-veneer", "cleft", "whip-and-tongue")
    ]
    assert (0.01724, 0.03068, 0.00931) == pytest.approx([row["p"] for row in rows], abs=1e-5)
    assert (0.03448, 0.03448, 0.02793) == pytest.approx(holm([row["p"] for row in rows]), abs=1e-5)
    assert (0.2750, 0.0677, 0.4526) == pytest.approx(
        [rows[0][name] for name in ("difference", "low", "high")], abs=1e-4
    )


def test_a_family_of_six_pairs_is_paid_for_and_shows_none(rebuilt):
    """The same table, all four methods against one another: six times 0.0093 is 0.056."""
    book = rebuilt("ALLAN2010", 1, 2, 3, 4)
    words = ("take", "compare", "method=side-tongue,side-veneer,cleft,whip-and-tongue", "--as-of", AS_OF)
    least = min(row["p"] for row in book(*words, "--json").rows if row["p"] is not None)
    assert 6 * 0.00931 == pytest.approx(least, abs=1e-4)
    assert "did better" not in book(*words).out


def test_walnut_kept_warm_at_the_union(rebuilt):
    """Walnut (2009), n 120 as its percentages allow: hot callus less omega by Newcombe 0.2100 to 0.4425; epicotyl against hot
    callus, Fisher's chance 0.6513."""
    book = rebuilt("WALNUT2009")
    hot = book("take", "compare", "method=hot-callus,omega", "--as-of", AS_OF, "--json").rows[-1]
    assert (89, 120, 49, 120) == (hot["k_first"], hot["n_first"], hot["k_second"], hot["n_second"])
    assert (0.2100, 0.4425) == pytest.approx((hot["low"], hot["high"]), abs=1e-4)
    other = book("take", "compare", "method=epicotyl,hot-callus", "--as-of", AS_OF)
    assert "No difference shown: epicotyl 93 of 120, hot-callus 89 of 120 (took)." in " ".join(other.out.split())
    row = book("take", "compare", "method=epicotyl,hot-callus", "--as-of", AS_OF, "--json").rows[-1]
    assert 0.6513 == pytest.approx(row["p"], abs=1e-4)


def test_the_best_ranked_of_four_is_not_shown_better_than_the_second():
    """Carambola (2006), splice side graft against bud: Fisher's chance 0.1110, difference 0.30 (-0.0058 to 0.5381)."""
    (k1, n1), (k2, n2) = ((int(line["reached"]), int(line["grafts"])) for line in of("STARFRUIT2006")[:2])
    gap = newcombe(k1, n1, k2, n2)
    assert (0.30, -0.0058, 0.5381) == pytest.approx((gap.difference, gap.low, gap.high), abs=1e-4)
    assert 0.1110 == pytest.approx(exact_conditional([TwoByTwo(k1, n1, k2, n2)]), abs=1e-4)


def test_ranges_of_pawpaw_grafts_are_wilsons(rebuilt):
    """Pawpaw (2021): 23, 16, 12 and 6 of 24 and 0 of 20."""
    book = rebuilt("PAWPAW2021")
    rows = {(row["k"], row["n"]): row for row in book("take", "--by", "method,wood", "--as-of", AS_OF, "--json").rows}
    for count, low, high in (((23, 24), 0.7976, 0.9926), ((16, 24), 0.4671, 0.8203), ((12, 24), 0.3143, 0.6857),
                             ((6, 24), 0.1200, 0.4490), ((0, 20), 0.0, 0.1611)):  # fmt: skip
        assert (low, high) == pytest.approx((rows[count]["low"], rows[count]["high"]), abs=1e-4)
