"""take: k of n, what is not decided beside it, and totals that reconcile, on both databases."""

import pytest
from filling import Filling
from statsmodels.stats.proportion import proportion_confint

NAMES = [
    "unit",
    "made",
    "took",
    "failed",
    "lost_otherwise",
    "waiting",
    "unknown",
    "k",
    "n",
    "rate",
    "low",
    "high",
    "level",
]


@pytest.fixture
def season(graftbook, location):
    """Ten apples by two methods, two pears, three summer buds, on nine stocks."""
    with Filling(location) as book:
        apple, pear = book.wood(), book.wood("Pyrus communis", "Butter Bergamot")
        for number, story in enumerate(
            ("06-15 growing", "06-15 growing", "06-15 growing", "05-20 pushing,06-15 dead", "05-20 dead", "05-10 swelling",
             "", "08-01 not-found", "07-20 no-movement", "06-20 growing,09-01 dead")
        ):  # fmt: skip
            graft = book.graft(
                apple, book.stock(), "cleft" if number % 2 else "whip-and-tongue", "04-01" if number < 5 else "04-20"
            )
            if story:
                book.looks(graft, story)
        drowned = book.graft(pear, book.stock("Cydonia oblonga", "Quince A"), "cleft")
        book.looks(drowned, "05-20 dead", union_fault="no", cause="drought")
        home = book.graft(pear, book.stock("Pyrus communis", "seedling"), "cleft")
        book.looks(home, "05-20 pushing")
        book.care(home, "05-25", "gone-home")
        shared = book.stock()
        for story in ("08-28 set", "08-28 not-set", "08-20 no-movement"):
            book.looks(book.graft(apple, shared, "T-bud", "08-01", unit="bud"), story)
    return graftbook


def by(rows, **wanted):
    (row,) = [row for row in rows if wanted.items() <= row.items()]
    return row


def test_the_names_of_a_row_are_as_promised(season):
    rows = season("take", "--by", "species,method", "--as-of", "2027-11-30", "--json").rows
    assert ["species", "method", *NAMES] == list(rows[0])


def test_each_row_reconciles_and_the_interval_is_wilsons(season):
    """Wilson's interval as statsmodels computes it."""
    rows = season("take", "--by", "species,method", "--as-of", "2027-11-30", "--json").rows
    for row in rows:
        parts = ("took", "failed", "lost_otherwise", "waiting", "unknown")
        assert row["made"] == sum(row[part] for part in parts)
        if row["unit"] == "bud":
            assert (0, 1, 2, None) == (row["k"], row["n"], row["waiting"], row["rate"]), "too early for a rate"
        elif row["n"]:
            low, high = proportion_confint(row["k"], row["n"], method="wilson")
            assert (row["low"], row["high"]) == pytest.approx((low, high), abs=1e-9)
        else:
            assert (None, None, None) == (row["rate"], row["low"], row["high"])
    assert 15 == sum(row["made"] for row in rows)


def test_what_is_not_decided_is_never_a_failure(season):
    rows = season("take", "--by", "species", "--as-of", "2027-11-30", "--json").rows
    apple = by(rows, species="apple", unit="graft")
    assert (10, 4, 3, 0, 2, 1) == tuple(
        apple[n] for n in ("made", "took", "failed", "lost_otherwise", "waiting", "unknown")
    )
    assert (4, 7) == (apple["k"], apple["n"])
    pear = by(rows, species="pear")
    assert (2, 0, 0, 1, 0, 1) == tuple(
        pear[n] for n in ("made", "took", "failed", "lost_otherwise", "waiting", "unknown")
    )
    assert pear["rate"] is None


def test_buds_never_stand_in_a_row_with_grafts(season):
    rows = season("take", "--by", "species", "--endpoint", "set", "--as-of", "2027-11-30", "--json").rows
    assert [("bud", 3, 1, 1, 1)] == [(r["unit"], r["made"], r["took"], r["failed"], r["waiting"]) for r in rows]


def test_an_earlier_day_knows_less(season):
    april = season("take", "--by", "species", "--as-of", "2027-04-10", "--json").rows
    assert [(5, 5)] == [(row["made"], row["waiting"]) for row in april if row["species"] == "apple"]
    june = by(season("take", "--by", "species", "--as-of", "2027-06-15", "--json").rows, species="apple")
    assert (3, 2) == (june["took"], june["failed"])


def test_a_stock_took_when_any_of_its_grafts_did(season):
    rows = season("take", "--by", "stock", "--unit", "stock", "--as-of", "2027-11-30", "--json").rows
    assert 13 == sum(row["made"] for row in rows)
    assert {"stock"} == {row["unit"] for row in rows}


@pytest.mark.parametrize(
    ("factor", "first"),
    [("week", "2027-W13"), ("half-month", "2027-04-01"), ("month", "2027-04"), ("season", "2026-27")],
)
def test_timing_is_a_factor(season, factor, first):
    rows = season("take", "--by", factor, "--as-of", "2027-11-30", "--json").rows
    assert first == rows[0][factor.replace("-", "_")]


def test_pooling_kinds_is_said(season):
    assert "pools kinds that take differently (apple 13, pear 2)" in season("take", "--by", "method").out
    assert "pools kinds" not in season("take", "--by", "species,method").out


def test_the_table_says_k_of_n_before_the_percentage_and_fits_80_columns(season):
    out = season("take", "--by", "species,method", "--as-of", "2027-11-30").out
    assert "Took, grafts of all seasons, as of 2027-11-30" in out
    assert max(map(len, out.splitlines())) <= 80
    assert out.index(" of ") < out.index("%")


def test_csv_and_json_hold_the_same_rows(season):
    lines = season("take", "--csv").out.splitlines()
    assert ["species", "method", *NAMES] == lines[0].split(",")
    assert len(season("take", "--json").rows) == len(lines) - 1


def test_the_facts_of_the_whole_are_said(season):
    document = season("take", "--season", "2026-27", "--as-of", "2027-10-01", "--endpoint", "standing", "--json").json
    assert ("2027-10-01", "2026-27", "standing") == (document["as_of"], document["season"], document["endpoint"])
    assert season("take", "--season", "2025-26", "--json").rows == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--by", "colour"], "a factor is one of"), (["--endpoint", "lived"], "an endpoint is one of"),
        (["--level", "1.5"], "a level between 0 and 1"), (["--season", "2027"], "a season written by its two years"),
        (["--by", "week,month"], "at a time"), (["--as-of", "soon"], "a date such as"), (["--unit", "leaf"], "graft or stock"),
        (["--json", "--csv"], "one of --json and --csv"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_is_said(season, words, said):
    bad = season("take", *words)
    assert (2, "") == (bad.code, bad.out)
    assert said in bad.err


def test_an_empty_book_has_nothing_to_show(graftbook):
    assert "Nothing to show." in graftbook("take").out
    assert graftbook("take", "--json").rows == []


def test_the_southern_season_turns_in_may(graftbook, location):
    graftbook("settings", "hemisphere=south")
    with Filling(location) as book:
        book.graft(book.wood(cut_on=None), book.stock(), made="2027-09-10")
    assert [("2027-28", 1)] == [(r["season"], r["made"]) for r in graftbook("take", "--by", "season", "--json").rows]


def test_a_graft_on_a_graft_stands_on_the_stock_at_its_foot(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        first = book.graft(wood, book.stock(clone="M.26"), made="2026-04-01")
        book.looks(book.graft(wood, first, made="2027-04-01"), "2027-07-01 growing")
        book.looks(first, "2026-07-01 growing")
    rows = graftbook("take", "--by", "stock", "--season", "2026-27", "--json").rows
    assert [("M.26", 1)] == [(row["stock"], row["made"]) for row in rows]
    assert [("M.26", 1)] == [
        (r["stock"], r["made"]) for r in graftbook("take", "--by", "stock", "--unit", "stock", "--json").rows
    ]
