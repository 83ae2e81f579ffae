"""take compare: within kinds, with a range, and never naming one cause where several changed together."""

import numpy as np
import pytest
from filling import Filling
from scipy.stats import fisher_exact
from statsmodels.stats.contingency_tables import StratifiedTable
from statsmodels.stats.proportion import confint_proportions_2indep

GREW, DIED = "08-01 growing", "06-01 dead"


def fill(location, *groups):
    """Grafts as (kind, method, day, clone, how many took, of how many), and more of each graft where given."""
    with Filling(location) as book:
        woods = {}
        for kind, method, day, clone, took, number, *more in groups:
            wood = woods.setdefault(kind, book.wood(kind, f"Kind of {kind.split()[0]}"))
            for place in range(number):
                graft = book.graft(wood, book.stock(kind, clone), method, day, **(more[0] if more else {}))
                book.looks(graft, GREW if place < took else DIED)


def test_a_difference_luck_would_rarely_make_is_said_with_k_of_n_first(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 2, 20),
        ("Malus domestica", "whip-and-tongue", "04-01", "M.26", 17, 20),
    )
    done = graftbook("take", "compare", "method=whip-and-tongue,cleft")
    said = (
        "whip-and-tongue did better: whip-and-tongue 17 of 20, cleft 2 of 20 (took), which luck alone would rarely do."
    )
    assert " ".join(done.out.split()).startswith(said)
    assert max(map(len, done.out.splitlines())) <= 80


def test_few_grafts_show_no_difference_and_that_is_said(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 3, 4),
        ("Malus domestica", "bark", "04-01", "M.26", 2, 4),
    )
    out = " ".join(graftbook("take", "compare", "method=cleft,bark").out.split())
    assert "No difference shown: cleft 3 of 4, bark 2 of 4 (took). With 8 decided side by side" in out


def test_the_sum_may_point_the_other_way_and_both_are_said(graftbook, location):
    """Simpson's reversal with the counts of Julious and Mullee (1994), British Medical Journal 309:1480: 81 of 87 and 234 of
    270 in one stratum, 192 of 263 and 55 of 80 in the other. statsmodels as referee."""
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 81, 87), ("Malus domestica", "bark", "04-01", "M.26", 234, 270),
        ("Prunus avium", "cleft", "04-01", "Colt", 192, 263), ("Prunus avium", "bark", "04-01", "Colt", 55, 80),
    )  # fmt: skip
    done = graftbook("take", "compare", "method=cleft,bark")
    out = " ".join(done.out.split())
    assert "No difference shown: cleft 273 of 350, bark 289 of 350 (took)." in out
    assert "point one way pooled and the other within kind: believe the strata, not the pooled counts" in out
    assert max(map(len, done.out.splitlines())) <= 80
    rows = {row["stratum"]: row for row in graftbook("take", "compare", "method=cleft,bark", "--json").rows}
    assert rows["apple, graft"]["difference"] > 0 < rows["sweet cherry, graft"]["difference"]
    assert rows["crude (pooled)"]["difference"] < 0
    tables = [[[81, 6], [234, 36]], [[192, 71], [55, 25]]]
    referee = StratifiedTable([np.array(table, dtype=float) for table in tables])
    low, high = referee.oddsratio_pooled_confint()
    whole = rows["all strata"]
    found = (whole["odds_ratio"], whole["odds_low"], whole["odds_high"])
    assert (referee.oddsratio_pooled, low, high) == pytest.approx(found, rel=1e-9)
    assert referee.test_equal_odds(adjust=True).pvalue == pytest.approx(whole["p_strata_alike"], rel=1e-6)
    assert ("exact", pytest.approx(referee.test_null_odds(correction=True).pvalue, abs=0.02)) == (
        whole["test"],
        whole["p"],
    )


def test_a_difference_that_the_sum_hides_is_found_within_strata(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 30, 40), ("Malus domestica", "bark", "04-01", "M.26", 22, 22),
        ("Prunus avium", "cleft", "04-01", "Colt", 0, 22), ("Prunus avium", "bark", "04-01", "Colt", 8, 40),
    )  # fmt: skip
    out = " ".join(graftbook("take", "compare", "method=bark,cleft").out.split())
    assert out.startswith(
        "Within kind bark did better, which luck alone would rarely do, though pooled that does not show: "
        "bark 30 of 62, cleft 30 of 62 (took)."
    )
    assert "odds ratio without limit" in out


def test_a_difference_of_the_sum_alone_is_not_called_one(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 38, 40), ("Malus domestica", "bark", "04-01", "M.26", 9, 10),
        ("Prunus avium", "cleft", "04-01", "Colt", 2, 10), ("Prunus avium", "bark", "04-01", "Colt", 8, 40),
    )  # fmt: skip
    out = " ".join(graftbook("take", "compare", "method=cleft,bark").out.split())
    assert out.startswith("No difference shown within kind: cleft 40 of 50, bark 17 of 50 (took). Pooled, one looks")


def test_blocks_of_a_trial_are_strata_of_their_own_unless_they_are_asked_about(graftbook, location):
    one, two = ({"trial": "T1", "block": block} for block in ("1", "2"))
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 5, 6, one), ("Malus domestica", "bark", "04-01", "M.26", 2, 6, one),
        ("Malus domestica", "cleft", "04-01", "M.26", 3, 6, two), ("Malus domestica", "bark", "04-01", "M.26", 1, 6, two),
    )  # fmt: skip
    document = graftbook("take", "compare", "method=cleft,bark", "--json").json
    assert ["species", "trial", "block"] == document["within"]
    assert ["apple, T1, 1, graft", "apple, T1, 2, graft"] == [row["stratum"] for row in document["rows"][:2]]
    named = graftbook("take", "compare", "method=cleft,bark", "--within", "block", "--json").json
    assert ["block", "trial"] == named["within"]
    assert ["1, T1, graft", "2, T1, graft"] == [row["stratum"] for row in named["rows"][:2]]
    blocks = graftbook("take", "compare", "block=1,2", "--json").json
    assert (["species"], 7, 4) == (blocks["within"], blocks["rows"][0]["k_first"], blocks["rows"][0]["k_second"])
    assert "1: 7 of 12, 2: 4 of 12" in graftbook("take", "compare", "block=1,2").out


def test_while_all_wait_there_is_nothing_to_compare(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for method in ("cleft", "cleft", "bark"):
            book.graft(wood, book.stock(), method)
    done = graftbook("take", "compare", "method=cleft,bark", "--notes")
    assert 0 == done.code
    assert "Nothing to compare yet: cleft 0 of 0, bark 0 of 0 decided." in done.out
    assert "3 are not decided or not known by 2027-11-30 and counted on neither side." in " ".join(done.out.split())
    row = graftbook("take", "compare", "method=cleft,bark", "--json").rows[-1]
    assert (None, None, None, None) == (row["difference"], row["rate_first"], row["p"], row["test"])


def test_rows_carry_counts_rates_ranges_and_the_test(graftbook, location):
    """Fisher's exact test and Newcombe's range by scipy and statsmodels."""
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 11, 15),
        ("Malus domestica", "bark", "04-01", "M.26", 3, 14),
    )
    row = graftbook("take", "compare", "method=cleft,bark", "--level", "0.9", "--json").rows[-1]
    low, high = confint_proportions_2indep(11, 15, 3, 14, method="newcomb", compare="diff", alpha=0.1)
    assert (low, high) == pytest.approx((row["low"], row["high"]), abs=1e-9)
    assert (11 / 15, 3 / 14) == pytest.approx((row["rate_first"], row["rate_second"]))
    assert ("exact", pytest.approx(fisher_exact([[11, 4], [3, 11]]).pvalue)) == (row["test"], row["p"])


def test_a_range_and_a_chance_that_do_not_agree_are_called_close(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 5, 6),
        ("Malus domestica", "bark", "04-01", "M.26", 4, 12),
    )
    out = " ".join(graftbook("take", "compare", "method=cleft,bark").out.split())
    assert "The range and the p-value for cleft and bark do not agree: it is close" in out


def test_what_is_not_decided_is_on_neither_side(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for method, story in (("cleft", GREW), ("cleft", None), ("bark", DIED), ("bark", "08-01 not-found")):
            graft = book.graft(wood, book.stock(), method)
            if story is not None:
                book.looks(graft, story)
    document = graftbook("take", "compare", "method=cleft,bark", "--as-of", "2027-09-01", "--json").json
    row = document["rows"][0]
    assert (1, 1, 0, 1) == (row["k_first"], row["n_first"], row["k_second"], row["n_second"])
    assert any("2 are not decided or not known" in note for note in document["notes"])


def test_a_date_divides_grafts_into_early_and_late(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 5, 9),
        ("Malus domestica", "cleft", "05-01", "M.26", 1, 9),
    )
    row = graftbook("take", "compare", "on<2027-04-20", "--json").rows[0]
    assert ("before 2027-04-20", "from 2027-04-20", 5, 1) == (
        row["first"],
        row["second"],
        row["k_first"],
        row["k_second"],
    )


@pytest.mark.parametrize(
    ("words", "sides"),
    [
        ("on<2027-04-20", ("before 2027-04-20", "from 2027-04-20")),
        ("on>2027-04-20", ("after 2027-04-20", "to 2027-04-20")), ("on <= 2027-04-20", ("to 2027-04-20", "after 2027-04-20")),
        ("on>=20 Apr 2027", ("from 2027-04-20", "before 2027-04-20")),
    ],
)  # fmt: skip
def test_the_day_named_belongs_where_the_sign_puts_it(graftbook, location, words, sides):
    fill(location, *(("Malus domestica", "cleft", day, "M.26", 1, 3) for day in ("04-19", "04-20", "04-21")))
    row = graftbook("take", "compare", words, "--json").rows[-1]
    assert sides == (row["first"], row["second"])
    early = 6 if "to 2027-04-20" in (row["first"], row["second"]) else 3
    first_is_early = row["first"].startswith(("before", "to"))
    assert (early, 9 - early) == (
        (row["n_first"], row["n_second"]) if first_is_early else (row["n_second"], row["n_first"])
    )


def test_several_are_compared_in_pairs_and_that_is_paid_for(graftbook, location):
    fill(
        location, ("Malus domestica", "cleft", "04-01", "M.26", 9, 10), ("Malus domestica", "bark", "04-01", "M.26", 4, 10),
        ("Malus domestica", "saddle", "04-01", "M.26", 2, 10),
    )  # fmt: skip
    document = graftbook("take", "compare", "method=cleft,bark,saddle", "--json").json
    assert 3 == len({(row["first"], row["second"]) for row in document["rows"]})
    assert any("Holm" in note for note in document["notes"])
    alone = graftbook("take", "compare", "method=cleft,saddle", "--json").rows[-1]["p"]
    together = [
        r["p"] for r in document["rows"] if (r["first"], r["second"]) == ("cleft", "saddle") and r["p"] is not None
    ]
    assert together[-1] == pytest.approx(min(1, 3 * alone))


def test_each_pair_of_several_has_its_own_table_and_its_own_doubts(graftbook, location):
    fill(
        location, ("Malus domestica", "cleft", "04-01", "M.26", 9, 10), ("Malus domestica", "bark", "04-01", "M.26", 0, 10),
        ("Malus domestica", "saddle", "05-20", "M.26", 1, 10),
    )  # fmt: skip
    done = graftbook("take", "compare", "method=cleft,bark,saddle")
    out = " ".join(done.out.split())
    assert (
        "cleft did better: cleft 9 of 10, bark 0 of 10 (took), which luck alone would rarely do. cleft did better:"
        in out
    )
    assert "saddle 1 of 10 (took), which luck alone would rarely do; but date changed with it" in out
    assert "cleft (first) and bark (second)" in done.out.splitlines()
    assert ["week"] == graftbook("take", "compare", "method=cleft,bark,saddle", "--json").json["together_with"]


def test_days_are_compared_as_they_are_typed(graftbook, location):
    fill(location, *(("Malus domestica", "cleft", day, "M.26", 1, 3) for day in ("04-19", "04-20")))
    row = graftbook("take", "compare", "on=19 Apr 2027,2027-04-20", "--json").rows[-1]
    assert ("2027-04-19", 3, "2027-04-20", 3) == (row["first"], row["n_first"], row["second"], row["n_second"])


def test_buds_and_grafts_are_compared_only_where_asked_by_name_and_with_the_caution(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for unit, method in (("graft", "cleft"), ("bud", "chip-bud")):
            book.looks(book.graft(wood, book.stock(), method, unit=unit), GREW)
    document = graftbook("take", "compare", "method=cleft,chip-bud", "--json").json
    assert {"apple, graft or bud"} < {row["stratum"] for row in document["rows"]}
    assert any("bud" in note and "graft" in note for note in document["notes"])


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["colour=red,blue"], 2, "a factor is one of"), (["method=cleft"], 2, "two or more values"),
        (["nonsense"], 2, "what to compare"), (["method=cleft,saddle"], 20, "No graft with method saddle"),
        (["on<soon"], 2, "a date such as"), (["who=A,B"], 2, "a factor"),
        (["method=cleft,bark", "--level", "2"], 2, "a level"), (["method=cleft,bark", "--endpoint", "lived"], 2, "an endpoint"),
        (["method=cleft,bark", "--within", "who"], 2, "a factor"), (["=a,b"], 2, "a factor before"),
        (["on<2020-01-01"], 20, "No graft made before 2020-01-01"),
        (["method=cleft,cleft"], 2, "two or more values"), (["wood=W1,w1"], 2, "two or more values"),
        (["on=soon,later"], 2, "a date such as"), (["method=cleft,bark", "--season", "2027"], 2, "a season"),
    ],
)  # fmt: skip
def test_what_cannot_be_compared_is_said(graftbook, location, words, code, said):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 1, 2),
        ("Malus domestica", "bark", "04-01", "M.26", 1, 2),
    )
    bad = graftbook("take", "compare", *words)
    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err


def test_an_empty_book_has_no_grafts_to_compare(graftbook):
    assert 20 == graftbook("take", "compare", "method=cleft,bark").code


def test_the_everyday_take_and_compare_load_no_scipy(graftbook, location):
    import os
    import subprocess
    import sys

    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 1, 2),
        ("Malus domestica", "bark", "04-01", "M.26", 1, 2),
    )
    code = (
        "import sys; from graftbook.cli.main import main\n"
        f"code = main(['--book', {location!r}, *sys.argv[1:]])\n"
        "sys.exit(code or [m for m in ('scipy', 'statsmodels', 'pandas', 'numpy') if m in sys.modules] or 0)\n"
    )
    for words in (["take"], ["take", "compare", "method=cleft,bark"]):
        done = subprocess.run(
            [sys.executable, "-c", code, *words], capture_output=True, text=True, env=dict(os.environ)
        )
        assert 0 == done.returncode, done.stderr


def test_grafts_in_no_block_stand_beside_the_blocks_of_a_trial(graftbook, location):
    one = {"trial": "T1", "block": "1"}
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 5, 6, one), ("Malus domestica", "bark", "04-01", "M.26", 2, 6, one),
        ("Malus domestica", "cleft", "04-01", "M.26", 3, 6), ("Malus domestica", "bark", "04-01", "M.26", 1, 6),
    )  # fmt: skip
    document = graftbook("take", "compare", "method=cleft,bark", "--json").json
    assert ["species", "trial", "block"] == document["within"]
    assert ["apple, graft", "apple, T1, 1, graft"] == [row["stratum"] for row in document["rows"][:2]]


def test_several_grafts_to_a_plant_are_said_not_to_be_independent(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for place in range(4):
            tree = book.stock(kind="tree")
            for method in ("cleft", "bark", "cleft", "bark"):
                book.looks(book.graft(wood, tree, method), GREW if place % 2 else DIED)
    notes = graftbook("take", "compare", "method=cleft,bark", "--json").json["notes"]
    assert any(
        note.startswith("The 16 grafts decided stand on 4 plants: those of one plant share its luck") for note in notes
    )
    fill(
        location,
        ("Pyrus communis", "saddle", "04-01", "BA29", 5, 6),
        ("Pyrus communis", "splice", "04-01", "BA29", 2, 6),
    )
    assert "share its luck" not in graftbook("take", "compare", "method=saddle,splice").out


def test_only_first_attempts_are_compared_when_asked(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for _ in range(3):
            stock = book.stock()
            book.looks(book.graft(wood, stock, "cleft", "04-01"), DIED)
            book.looks(book.graft(wood, stock, "cleft", "05-01"), GREW)
            book.looks(book.graft(wood, book.stock(), "bark", "04-01"), GREW)
    every = graftbook("take", "compare", "method=cleft,bark", "--json").rows[-1]
    first = graftbook("take", "compare", "method=cleft,bark", "--attempt", "first", "--json").rows[-1]
    assert ((3, 6), (0, 3)) == ((every["k_first"], every["n_first"]), (first["k_first"], first["n_first"]))
    assert "Only first attempts" in graftbook("take", "compare", "method=cleft,bark", "--attempt", "first").out
    assert 2 == graftbook("take", "compare", "method=cleft,bark", "--attempt", "last").code


def test_strata_too_many_for_an_exact_chance_are_tested_by_cmh_and_that_is_said(graftbook, location, monkeypatch):
    from graftbook.actions.compare import compare_rows

    monkeypatch.setattr(compare_rows, "EXACT_UP_TO", 10)
    fill(
        location, ("Malus domestica", "cleft", "04-01", "M.26", 8, 10), ("Malus domestica", "bark", "04-01", "M.26", 3, 10),
        ("Prunus avium", "cleft", "04-01", "Colt", 6, 10), ("Prunus avium", "bark", "04-01", "Colt", 2, 10),
    )  # fmt: skip
    document = graftbook("take", "compare", "method=cleft,bark", "--json").json
    whole = next(row for row in document["rows"] if row["stratum"] == "all strata")
    referee = StratifiedTable([np.array(table, float) for table in ([[8, 2], [3, 7]], [[6, 4], [2, 8]])])
    assert ("cmh", pytest.approx(referee.test_null_odds().pvalue)) == (whole["test"], whole["p"])
    assert any("by the test of Cochran, Mantel and Haenszel" in note for note in document["notes"])
    assert not any("exact" in note for note in document["notes"])


def test_where_one_kind_alone_had_both_the_difference_is_that_kinds(graftbook, location):
    fill(
        location, ("Malus domestica", "cleft", "04-01", "M.26", 3, 6), ("Malus domestica", "bark", "04-01", "M.26", 6, 6),
        ("Prunus avium", "bark", "04-01", "Colt", 2, 2),
    )  # fmt: skip
    rows = {row["stratum"]: row for row in graftbook("take", "compare", "method=bark,cleft", "--json").rows}
    for name in ("difference", "low", "high", "k_first", "n_first", "k_second", "n_second"):
        assert rows["apple, graft"][name] == rows["all strata"][name]
    assert (6, 6, 3, 6) == tuple(rows["all strata"][name] for name in ("k_first", "n_first", "k_second", "n_second"))


def test_four_ways_are_also_tested_all_at_once(graftbook, location):
    """Pawpaw, conference abstract, American Society for Horticultural Science (2019): 23, 16, 12 and 6 of 24 (counts inferred)."""
    with Filling(location) as book:
        wood = book.wood("Asimina triloba", "Fennmoor")
        for method, took in (("whip-and-tongue", 23), ("cleft", 16), ("bark", 12), ("saddle", 6)):
            for place in range(24):
                graft = book.graft(wood, book.stock("Asimina triloba", "seedling"), method)
                book.looks(graft, "08-01 growing" if place < took else "06-01 dead")
    out = " ".join(graftbook("take", "compare", "method=whip-and-tongue,cleft,bark,saddle").out.split())
    said = "All ways at once (23 of 24, 16 of 24, 12 of 24, 6 of 24): luck alone would seldom make them differ so much (p < 0.001;"
    assert said in out
