"""want: what is wanted written down, listed, mended and ended, and every way it can go wrong."""

from __future__ import annotations

import pytest
from filling import Filling
from whole_book import contents

SAID = "Want 1: 3 trees of 'Stoneway Pearmain', 2 must live, on 2 sites, priority 1, on MM.106, for the school."


def full(graftbook):
    words = ("--living", 2, "--sites", 2, "--priority", 1, "--for", "the school", "--stock", "mm106")
    return graftbook("want", "add", "Stoneway Pearmain", 3, *words)


def test_a_want_is_written_down_as_the_grower_says_it(graftbook):
    done = full(graftbook)

    assert (0, SAID, "") == (done.code, done.out.strip(), done.err)


def test_wants_are_listed_highest_priority_first(graftbook):
    graftbook("want", "add", "Butter Bergamot", 1, "--priority", 3)
    full(graftbook)
    graftbook("want", "add", "Lanternside Russet", 2)
    rows = graftbook("want", "list", "--json").rows

    assert ["Stoneway Pearmain", "Lanternside Russet", "Butter Bergamot"] == [row["cultivar"] for row in rows]
    assert {"want": 2, "trees": 3, "living": 2, "sites": 2, "priority": 1, "for": "the school", "stock": "MM.106", "alive": 0,
            "waiting": 0, "state": "open"}.items() <= rows[0].items()  # fmt: skip


def test_grafts_made_since_count_towards_a_want_and_only_on_its_stock(graftbook, location):
    graftbook("want", "add", "Stoneway Pearmain", 3, "--stock", "MM.106", "--on", "2027-02-01")
    with Filling(location) as book:
        wood = book.wood()
        took, waits, other = (book.graft(wood, book.stock(clone=clone, site=site), made="03-01")
                              for clone, site in (("MM.106", "school"), ("MM.106", "hill"), ("M.9", "hill")))  # fmt: skip
        book.looks(took, "06-01 growing, 08-01 growing")
        book.looks(other, "06-01 growing, 08-01 growing")
        book.graft(wood, book.stock(), made="01-20")
    (row,) = graftbook("want", "list", "--json").rows
    shown = graftbook("want", "show", 1, "--json")

    assert (1, 1, 2) == (row["alive"], row["waiting"], row["have_sites"])
    assert [(took.code, "yes"), (waits.code, "waiting")] == [(line["code"], line["outcome"]) for line in shown.rows]


def test_a_want_is_mended_and_a_fact_taken_away(graftbook):
    full(graftbook)
    done = graftbook("want", "amend", 1, "--trees", 4, "--living", "", "--stock", "")

    assert "Mended want 1: 4 trees of 'Stoneway Pearmain', on 2 sites, priority 1, for the school.\n" == done.out


@pytest.mark.parametrize(("verb", "state"), [("withdraw", "withdrawn"), ("done", "done")])
def test_an_ended_want_is_listed_no_more_and_comes_back_by_undo(graftbook, verb, state):
    full(graftbook)
    entry = graftbook("want", verb, 1, "--json").json["entry"]

    assert [] == graftbook("want", "list", "--json").rows
    assert [state] == [row["state"] for row in graftbook("want", "list", "--all", "--json").rows]
    assert 0 == graftbook("undo", entry).code
    assert ["open"] == [row["state"] for row in graftbook("want", "list", "--json").rows]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (
            ("add", "X", 2, "--living", 3),
            21,
            "3 must live, but only 2 trees are wanted. Want more trees, or lower --living",
        ),
        (
            ("add", "X", 2, "--sites", 4, "--living", 3),
            21,
            "3 must live and 4 sites are asked for, but only 2 trees are wanted",
        ),
        (("add", "X", 0), 2, "how many trees are wanted as a whole number from 1"),
        (("add", "X", 1, "--priority", 12), 2, "a priority (1 the highest) as a whole number from 1 to 9"),
        (("add", "''", 1), 2, "the cultivar that is wanted"),
        (("add", "X", 1, "--on", "2028-01-01"), 21, "2028-01-01 lies after today, 2027-11-30"),
        (("amend", 1, "--living", 9), 21, "9 must live, but only 3 trees are wanted"),
        (("amend", 1), 2, "something to mend"),
        (("amend", 7, "--trees", 2), 20, "No want 7"),
        (("show", 7), 20, "No want 7"),
        (("withdraw", "1,7"), 20, "No want 7"),
        (("withdraw", "3-1"), 2, "numbers such as 3, 3,5 or 3-7"),
        (("withdraw", 1, "--on", "2027-01-01"), 21, "These wants began after 2027-01-01: want 1 on 2027-11-30"),
    ],
)
def test_what_cannot_be_wanted_is_refused_and_nothing_is_written(graftbook, location, words, code, said):
    full(graftbook)
    before = contents(location)
    done = graftbook("want", *words)

    assert (code, "") == (done.code, done.out)
    assert said in done.err
    assert before == contents(location)


def test_ending_a_want_twice_is_refused(graftbook):
    full(graftbook)
    graftbook("want", "done", 1)
    done = graftbook("want", "withdraw", 1)

    assert (21, "") == (done.code, done.out)
    assert "Not open any more: want 1 was done on 2027-11-30" in done.err


def test_the_same_cultivar_wanted_twice_is_cautioned(graftbook):
    full(graftbook)
    done = graftbook("want", "add", "stoneway pearmain", 1)

    assert "Want 2: 1 tree of 'Stoneway Pearmain'" in done.out
    assert "This cultivar is wanted already (want 1: 3 trees" in done.out


def test_wants_are_taken_in_from_a_list_of_cultivars_and_numbers(graftbook, write):
    full(graftbook)
    folder = write(wants="cultivar,trees,for\nButter Bergamot,2,the club\nLanternside Russet,1,\n")
    done = graftbook("import", folder / "wants.csv")
    rows = graftbook("want", "list", "--json").rows

    assert (0, "Imported 2 wants.") == (done.code, done.out.splitlines()[0])
    assert [(1, 1), (2, 2), (3, 2)] == [(row["want"], row["priority"]) for row in rows]


def test_a_list_of_wants_with_problems_is_refused_with_all_of_them(graftbook, location, write):
    full(graftbook)
    before = contents(location)
    folder = write(wants="number,cultivar,trees,living,sites\n1,A,2,,\n2,B,2,3,\n3,C,1,,2\n4,,1,,\n")
    done = graftbook("import", folder / "wants.csv")

    assert (3, "") == (done.code, done.out)
    for place in ("line 2, column 1", "line 3, column 4", "line 4, column 5", "line 5, column 2"):
        assert place in done.err
    assert before == contents(location)
