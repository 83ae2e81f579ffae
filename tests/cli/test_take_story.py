"""take: what losses were put down to, false and late takes, what is not known, first attempts, and what is counted."""

import pytest
from filling import Filling


def by(rows, **wanted):
    (row,) = [row for row in rows if wanted.items() <= row.items()]
    return row


@pytest.fixture
def summer(graftbook, location):
    """Apples on stocks of their own: two takes, a late one, one called dead too early, two false ones, three deaths of different
    causes, one not found and one gone home."""
    with Filling(location) as book:
        wood = book.wood()
        for story, fault in (
            ("05-10 pushing,06-15 growing", None), ("05-10 swelling,06-15 growing", None),
            ("05-10 no-movement,07-15 growing", None), ("05-10 dead,07-15 growing", None),
            ("05-10 pushing,06-15 dead", "yes"), ("05-10 growing,06-15 dead", None),
            ("06-01 dead", "yes"), ("06-01 dead", "no"), ("06-01 dead", "unsure"),
            ("06-20 growing,09-01 dead", "no"), ("08-01 not-found", None),
        ):  # fmt: skip
            graft = book.graft(wood, book.stock())
            *before, last = story.split(",")
            for look in before:
                book.looks(graft, look)
            book.looks(graft, last, union_fault=fault)
        home = book.graft(wood, book.stock())
        book.care(home, "05-25", "gone-home")
    return graftbook


def test_losses_stand_by_cause_with_false_and_late_takes_after_the_promised_columns(summer):
    row = by(summer("take", "--by", "species", "--losses", "--json").rows, species="apple")
    promised = ["species", "unit", "made", "took", "failed", "lost_otherwise", "waiting", "unknown", "k", "n", "rate", "low",
                "high", "level"]  # fmt: skip
    assert [*promised, "died", "died_union", "died_not_union", "died_unsure", "false_takes", "late_takes"] == list(row)
    assert (6, 2, 2, 2) == (row["died"], row["died_union"], row["died_not_union"], row["died_unsure"])
    assert (2, 2) == (row["false_takes"], row["late_takes"])
    assert (12, 5, 4, 1, 0, 2) == tuple(
        row[name] for name in ("made", "took", "failed", "lost_otherwise", "waiting", "unknown")
    )


def test_false_and_late_takes_are_said_without_being_asked_for(summer):
    notes = summer("take", "--by", "species", "--json").json["notes"]
    assert "False takes: 2 moved, on stored sap, and then died without having taken." in notes
    assert "Late takes: 2 showed nothing at the first look, or were called dead, and took." in notes
    assert "In 1 loss the cause was unsure; those count as failed." in notes


def test_a_false_take_is_false_only_once_it_is_seen_dead(summer):
    notes = summer("take", "--by", "species", "--as-of", "2027-06-01", "--json").json["notes"]
    assert not any(note.startswith("False takes") for note in notes)


def test_what_is_not_known_gives_bounds_and_is_never_a_failure(summer):
    document = summer("take", "--by", "species", "--bounds", "--json").json
    row = by(document["rows"], species="apple")
    assert (5, 9, 2) == (row["k"], row["n"], row["unknown"])
    assert (5 / 11, 7 / 11) == pytest.approx((row["rate_if_unknown_died"], row["rate_if_unknown_lived"]))
    assert "5 or 7 of 11 (45-64%)" in " ".join(summer("take", "--by", "species", "--bounds").out.split())
    said = "2 are not known (not found, or gone home) and counted neither way; --bounds shows how far that could move the rate."
    assert said in summer("take", "--by", "species", "--json").json["notes"]


def test_bounds_of_nothing_known_run_from_none_to_all(graftbook, location):
    with Filling(location) as book:
        book.looks(book.graft(book.wood(), book.stock()), "08-01 not-found")
    (row,) = graftbook("take", "--by", "species", "--bounds", "--json").rows
    assert (None, 0.0, 1.0) == (row["rate"], row["rate_if_unknown_died"], row["rate_if_unknown_lived"])


@pytest.mark.parametrize("words", [["--losses"], ["--bounds"], ["--losses", "--bounds"], []])
def test_every_table_fits_80_columns_and_says_k_of_n_before_a_percentage(summer, words):
    out = summer("take", "--by", "species,cultivar", *words).out
    assert max(map(len, out.splitlines())) <= 80
    assert "%" not in out or out.index(" of ") < out.index("%")


@pytest.fixture
def again(graftbook, location):
    """Two stocks grafted twice, one of them on one day; a tree with two grafts; a bud."""
    with Filling(location) as book:
        wood = book.wood()
        second_try, same_day, tree = book.stock(), book.stock(), book.stock(kind="tree", clone=None)
        book.looks(book.graft(wood, second_try, made="04-01"), "06-10 dead")
        book.looks(book.graft(wood, second_try, "bark", made="05-01"), "08-01 growing")
        for story in ("06-10 dead", "08-01 growing"):
            book.looks(book.graft(wood, same_day, made="04-01"), story)
        for made in ("04-01", "04-20"):
            book.looks(book.graft(wood, tree, "bark", made), "08-01 growing")
        book.looks(book.graft(wood, book.stock(), "T-bud", "07-20", unit="bud"), "08-20 set")
    return graftbook


def test_a_first_attempt_leaves_out_what_was_grafted_on_a_stock_later(again):
    every = by(again("take", "--by", "species", "--json").rows, unit="graft")
    document = again("take", "--by", "species", "--attempt", "first", "--json").json
    first = by(document["rows"], unit="graft")
    assert (6, 4) == (every["made"], every["took"])
    assert (5, 3) == (first["made"], first["took"])
    assert any(note.startswith("Only first attempts:") for note in document["notes"])
    assert "first attempts, as of 2027-11-30" in again("take", "--attempt", "first").out


def test_stocks_and_trees_are_counted_apart_from_grafts_and_buds(again):
    (stocks,) = again("take", "--by", "species", "--unit", "stock", "--json").rows
    assert ("stock", 3, 2) == (stocks["unit"], stocks["made"], stocks["took"])
    (first,) = again("take", "--by", "species", "--unit", "stock", "--attempt", "first", "--json").rows
    assert (3, 1) == (first["made"], first["took"])
    (trees,) = again("take", "--by", "species", "--unit", "tree", "--json").rows
    assert ("tree", 1, 1) == (trees["unit"], trees["made"], trees["took"])
    (buds,) = again("take", "--by", "species", "--unit", "bud", "--json").rows
    assert ("bud", 1, 0, 1) == (buds["unit"], buds["made"], buds["took"], buds["waiting"])
    assert "Counted are stocks on which at least one graft got there" in " ".join(
        again("take", "--unit", "stock", "--notes").out.split()
    )


def test_a_graft_on_a_graft_counts_for_the_plant_at_the_foot(graftbook, location):
    with Filling(location) as book:
        wood, foot = book.wood(), book.stock(clone="M.26")
        interstem = book.graft(wood, foot)
        book.looks(interstem, "08-01 growing")
        top = book.graft(wood, interstem, made="04-02")
        book.looks(top, "06-10 dead")
        book.looks(book.graft(wood, top, made="04-03"), "06-10 dead")
    assert [("M.26", 3)] == [(row["stock"], row["made"]) for row in graftbook("take", "--by", "stock", "--json").rows]
    (row,) = graftbook("take", "--by", "stock", "--unit", "stock", "--json").rows
    assert (1, 1) == (row["made"], row["took"])
    (row,) = graftbook("take", "--by", "stock", "--attempt", "first", "--json").rows
    assert 3 == row["made"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--attempt", "second"], "any, first"), (["--unit", "stock", "--losses"], "--losses with --unit graft or bud"),
        (["--by", "method", "--shrink"], "species and another factor"), (["--by", "species", "--shrink"], "species and another"),
        (["--by", "who"], "no table of people"), (["--by", "species,Grafter"], "no table of people"),
    ],
)  # fmt: skip
def test_what_cannot_be_counted_is_said(summer, words, said):
    bad = summer("take", *words)
    assert (2, "") == (bad.code, bad.out)
    assert said in bad.err


def test_no_words_of_praise_or_blame_and_no_number_without_its_day(summer):
    for words in (["take"], ["take", "--losses"], ["take", "--by", "species,week", "--bounds"]):
        out = summer(*words).out
        assert "as of 2027-11-30" in out.splitlines()[0]
        for verdict in ("normal", "good", "bad", "poor", "best", "worst", "average"):
            assert verdict not in out.lower().split()
