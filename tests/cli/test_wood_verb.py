"""wood: bundles, what moves in and out of them, how they keep, and a balance that never falls below zero."""

import pytest
from refusals import refused


@pytest.fixture
def store(graftbook):
    """A tree P1 and, cut from it, W1 with twelve sticks."""
    graftbook("tree", "add", "Kilwarden Pippin", "--species", "apple", "--acquired", "2020-03-01")
    assert (
        graftbook("wood", "add", "--source", "P1", "--sticks", 12, "--diameter", "6-9mm", "--cut", "2027-01-14").code
        == 0
    )
    return graftbook


def left(graftbook, code="W1"):
    return {row["code"]: row["sticks_left"] for row in graftbook("wood", "list", "--empty", "--json").rows}[code]


def row(graftbook, code):
    return next(row for row in graftbook("wood", "list", "--empty", "--json").rows if row["code"] == code)


def test_wood_cut_here_takes_over_what_its_tree_is(store):
    found = row(store, "W1")
    assert (found["taxon"], found["cultivar"], found["source"]) == ("Malus domestica", "Kilwarden Pippin", "P1")
    assert (found["cut_on"], found["diameter_min_mm"], found["age_days"]) == ("2027-01-14", 6, 320)


def test_wood_received_keeps_its_donor_and_is_cautioned_once_for_each_donor(store):
    words = ("wood", "add", "Tolm Beauty", "--species", "pear", "--from", "José O'Neill", "--sticks", 4, "--length", "8in",
             "--buds", 6, "--cut", "2027-01-10", "--received", "2027-01-20", "--store", "fridge",
             "--temperature", "38F")  # fmt: skip
    first = store(*words)
    assert "plant-health office" in first.out
    assert "no legal advice" in first.out
    assert "plant-health office" not in store(*words).out
    found = row(store, "W2")
    assert (found["donor"], found["received_on"], found["length_mm"]) == ("José O'Neill", "2027-01-20", 203.2)
    assert (found["buds_per_stick"], found["temperature_c"]) == (6, 3.3)


def test_wood_may_come_from_a_graft(store):
    store("stock", "add", "M.9", "--acquired", "2027-02-01")
    made = store("graft", "W1", "P2", "--method", "whip-and-tongue", "--on", "2027-03-20")
    assert made.code == 0, made.err
    assert store("wood", "add", "--source", "G1", "--sticks", 2, "--cut", "2027-08-01", "--summer").code == 0
    found = row(store, "W2")
    assert (found["source"], found["cultivar"], found["wood_kind"]) == ("G1", "Kilwarden Pippin", "summer")
    refused(store("wood", "add", "--source", "G1", "--sticks", 2, "--cut", "2027-03-01"), 21, "2027-03-20")
    assert any(
        r["section"] == "grafts made from it" and r["name"] == "G1" for r in store("wood", "show", "W1", "--json").rows
    )


NO_WOOD = (
    (("X", "--species", "apple", "--sticks", "0"), 2, "from 1 to 100,000 sticks"),
    (("X", "--species", "apple", "--sticks", "-4"), 2, "from 1 to 100,000 sticks"),
    (("X", "--species", "apple", "--sticks", "999999999"), 2, "from 1 to 100,000 sticks"),
    (("X", "--species", "apple", "--sticks", "many"), 2, "Invalid value for '--sticks'"),
    (
        ("X", "--species", "apple", "--sticks", "4", "--diameter", "90mm"),
        21,
        "between 1 mm and 50 mm, and '90mm' is 90 mm. Is the unit",
    ),
    (
        ("X", "--species", "apple", "--sticks", "4", "--length", "9m"),
        21,
        "The length of a stick must lie between 20 mm and 2000 mm, and '9m' is",
    ),
    (("X", "--species", "apple", "--sticks", "4", "--buds", "0"), 2, "buds a stick"),
    (
        ("X", "--species", "apple", "--sticks", "4", "--temperature", "90C"),
        21,
        "A temperature must lie between -40 and 60 C, and '90C' is 90 C",
    ),
    (("X", "--sticks", "4"), 2, "the species"),
    (("--sticks", "4"), 2, "the species"),
    (("", "--species", "apple", "--sticks", "4"), 2, "the name of a cultivar"),
    (
        ("X", "--species", "apple", "--sticks", "4", "--cut", "2027-12-24"),
        21,
        "2027-12-24 lies after today, 2027-11-30",
    ),
    (("X", "--species", "apple", "--sticks", "4", "--cut", "2027-02-01", "--received", "2027-01-01"), 21, "2027-02-01"),
    (("--source", "P1", "--from", "A", "--sticks", "4"), 2, "found both"),
    (("--source", "P1", "--sticks", "4", "--cut", "2019-01-01"), 21, "2020-03-01"),
    (("--source", "P9", "--sticks", "4"), 20, "P9"),
    (("--source", "W1", "--sticks", "4"), 2, "the plant or graft"),
    (("--source", "P1-0", "--sticks", "4"), 2, "for P1"),
)


def test_wood_that_cannot_be_is_refused_and_nothing_is_kept(store):
    for words, code, said in NO_WOOD:
        refused(store("wood", "add", *words), code, said)
    assert [r["code"] for r in store("wood", "list", "--empty", "--json").rows] == ["W1"]


def test_the_balance_is_the_sum_of_what_moved(store):
    assert (
        store("wood", "give", "W1", 3, "--to", "Orchard club").out == "Gave 3 sticks of W1 to Orchard club; 9 left.\n"
    )
    assert store("wood", "found", "W1", 1).out == "Found 1 stick of W1; 10 left.\n"
    assert store("wood", "discard", "W1", 2).out == "Discarded 2 sticks of W1; 8 left.\n"
    counted = store("wood", "count", "W1", 7)
    assert counted.out == "Counted 7 sticks in W1: 1 fewer than the 8 the book had; 7 left.\n"
    assert store("wood", "discard", "W1").out == "Discarded 7 sticks of W1; 0 left.\n"
    moved = [r["value"] for r in store("wood", "show", "W1", "--json").rows if r["section"] == "sticks in and out"]
    assert moved == ["+12", "-3 to Orchard club", "+1", "-2", "-1, counted 7", "-7"]
    assert store("wood", "list", "--json").rows == []
    assert left(store) == 0


def test_more_than_is_left_is_refused_with_the_balance(store):
    refused(store("wood", "give", "W1", 13, "--to", "A"), 21, "13 sticks cannot go from W1 on 2027-11-30: 12 left")
    refused(store("wood", "discard", "W1", 13), 21, "12 left")
    store("wood", "discard", "W1")
    refused(store("wood", "discard", "W1"), 21, "0 left")
    refused(store("wood", "give", "W1", 1, "--to", "A"), 21, "0 left")
    assert left(store) == 0


def test_a_day_in_the_past_is_computed_by_the_balance_of_that_day(store):
    store("wood", "give", "W1", 10, "--to", "A", "--on", "2027-03-01")
    store("wood", "found", "W1", 5, "--on", "2027-04-01")
    refused(store("wood", "give", "W1", 3, "--to", "B", "--on", "2027-02-01"), 21,
            "3 sticks cannot go from W1 on 2027-02-01",
            "2 to spare, as some of the 12 of that day went later; 7 left now")  # fmt: skip
    refused(store("wood", "count", "W1", 9, "--on", "2027-02-01"), 21, "W1")
    assert store("wood", "count", "W1", 11, "--on", "2027-02-01").out.endswith(
        "1 fewer than the 12 the book had; 6 left.\n"
    )
    assert left(store) == 6


NO_MOVES = (
    (("count", "W1", "-1"), 2, ""),
    (("count", "W1", "999999999"), 2, "from 0 to 100,000 sticks"),
    (("give", "W1", "0", "--to", "A"), 2, "from 1 to 100,000 sticks"),
    (("give", "W1", "2", "--to", " "), 2, "who got the sticks"),
    (("give", "W1", "2"), 2, "--to"),
    (("found", "W1", "0"), 2, "from 1 to"),
    (("discard", "W1", "some"), 2, "sticks, or all"),
    (("count", "W9", "1"), 20, "W9"),
    (("count", "W1-0", "1"), 2, "for W1"),
    (("count", "W1/3", "1"), 2, "whole bundles"),
    (("count", "P1", "1"), 2, "whole bundles"),
    (("give", "W1", "1", "--to", "A", "--on", "2027-01-01"), 21, "2027-01-14"),
    (("give", "W1", "1", "--to", "A", "--on", "2028-01-01"), 21, "2028-01-01 lies after today, 2027-11-30"),
    (("inspect", "W1", "fine"), 2, "sound, swelling, drying, mould, dead"),
    (("inspect", "W1", "sound", "--on", "2027-01-01"), 21, "2027-01-14"),
    (("inspect", "W1-W2", "sound"), 20, "W2"),
    (("amend", "W1"), 2, "something to amend"),
    (("amend", "W1", "--cut", "2027-02-01"), 21, "W1 was cut on 2027-02-01, after its sticks came in on 2027-01-14"),
    (("amend", "W1", "--cut", "2019-02-01"), 21, "2020-03-01"),
    (("store", "W1"), 2, "something to amend"),
    (("store", "W1", "--store", "cellar", "--on", "2026-01-01"), 21, "2027-01-14"),
    (("note", "W1", "--health", "so so"), 2, "suspect"),
)


def test_moves_that_cannot_be_are_refused_and_the_book_is_unchanged(store):
    before = store("journal", "--json").rows
    for words, code, said in NO_MOVES:
        refused(store("wood", *words), code, said)
    assert store("journal", "--json").rows == before
    assert left(store) == 12


def test_a_count_that_agrees_is_recorded_too(store):
    assert store("wood", "count", "W1", 12).out == "Counted 12 sticks in W1: as the book had; 12 left.\n"
    assert store("undo", 3).code == 0
    assert store("undo", 3).code == 21


def test_what_is_expected_to_go_first_comes_first(graftbook):
    add = ("wood", "add", "--sticks", 4, "--temperature", "2C")
    graftbook(*add, "Young Apple", "--species", "apple", "--cut", "2027-02-20", today="2027-03-01")
    graftbook(*add, "Old Apple", "--species", "apple", "--cut", "2027-01-02")
    graftbook(*add, "Cherry", "--species", "cherry", "--cut", "2027-02-10")
    graftbook(*add, "Swollen", "--species", "apple", "--cut", "2027-02-20")
    graftbook("wood", "inspect", "W4", "swelling")
    order = [r["code"] for r in graftbook("wood", "list", "--json").rows]
    assert order[0] == "W4"
    assert order.index("W3") < order.index("W1")
    assert order.index("W2") < order.index("W1")


def test_keeping_is_stated_in_bands_and_by_what_was_seen(store):
    graftbook = store
    graftbook("wood", "inspect", "W1", "mould", "--on", "2027-02-01", "--note", "at the butt", today="2027-02-10")
    found = row(graftbook, "W1")
    assert (found["condition"], found["keeping"]) == ("mould", "use first (mould)")
    assert "months" in found["keeps"]
    assert "it had mould" in found["keeping_words"]
    assert "at the butt" in graftbook("wood", "show", "W1").out


def test_wood_not_looked_at_for_two_weeks_is_named(graftbook):
    graftbook("wood", "add", "A", "--species", "apple", "--sticks", 4, "--cut", "2027-01-10", today="2027-01-20")
    assert "two weeks" not in graftbook("wood", "list").out
    assert "Not looked at for two weeks or more: W1." in graftbook("wood", "list", today="2027-01-24").out
    graftbook("wood", "inspect", "W1", "sound")
    assert "two weeks" not in graftbook("wood", "list").out


def test_store_and_facts_can_be_amended(store):
    assert store("wood", "store", "W1", "--store", "cellar", "--temperature", "4C").code == 0
    assert store("wood", "amend", "W1", "--buds", 5, "--length", "20cm", "--diameter", "").code == 0
    found = row(store, "W1")
    assert (found["store"], found["temperature_c"], found["buds_per_stick"], found["length_mm"]) == (
        "cellar",
        4,
        5,
        200,
    )
    assert found["diameter_min_mm"] is None
    assert store("history", "W1").out.count("cellar") == 2


def test_own_notes_on_wood_are_shown(store):
    store("wood", "note", "W1", "--rights", "not to be passed on", "--until", "2031-06-30", "--on", "2027-02-01")
    assert {"section": "your own notes", "on": "2027-02-01", "name": "rights",
            "value": "not to be passed on until 2031-06-30"} in store("wood", "show", "W1", "--json").rows  # fmt: skip


def test_wood_that_differs_from_its_tree_is_kept_and_said(store):
    added = store("wood", "add", "Other Kind", "--source", "P1", "--sticks", 2)
    assert "P1 is Kilwarden Pippin; the wood is kept as Other Kind" in added.out


def test_what_the_tree_is_known_to_be_is_said_and_not_what_it_was_recorded_as(store):
    store("name", "P1", "Quern Russet", "--sure", "verified by fruit", "--on", "2027-01-10")
    added = store("wood", "add", "Other Kind", "--source", "P1", "--sticks", 2)
    assert "P1 is Quern Russet; the wood is kept as Other Kind" in added.out
    assert "kept as" not in store("wood", "add", "Quern Russet", "--source", "P1", "--sticks", 2).out


def test_a_stock_not_grafted_on_the_day_gave_wood_of_its_clone_however_it_is_recorded(store):
    store("stock", "add", "MM.106", "--acquired", "2026-11-02")
    store("graft", "W1", "P2", "--method", "whip-and-tongue", "--on", "2027-03-20")
    added = store("wood", "add", "--source", "P2", "--sticks", 2, "--cut", "2027-02-01")
    pruned = store("prune", "P2", "--from", "P2", "--save", "2 sticks 6-9mm", "--on", "2027-02-01")
    assert (0, 0) == (added.code, pruned.code), (added.err, pruned.err)
    assert ("MM.106", "MM.106") == (row(store, "W2")["cultivar"], row(store, "W3")["cultivar"])
    store("wood", "add", "--source", "P2", "--sticks", 2, "--cut", "2027-04-01")
    assert row(store, "W4")["cultivar"] != "MM.106"


def test_the_list_fits_eighty_columns_and_comes_in_pages(store):
    store("wood", "add", "A cultivar with a very long name indeed", "--species", "apple", "--sticks", 2, "--store",
          "the shelf behind the potatoes in the cellar")  # fmt: skip
    assert max(len(line) for line in store("wood", "list").out.splitlines()) <= 80
    page = store("wood", "list", "--limit", 1, "--page", 2, "--json").json
    assert (len(page["rows"]), page["total"], page["sticks_left"]) == (1, 2, 14)


def test_a_day_of_receipt_is_never_made_up(store):
    store("wood", "add", "A", "--species", "apple", "--from", "Neighbour", "--sticks", 2, "--cut", "2027-01-10")
    store("wood", "add", "B", "--species", "apple", "--from", "Neighbour", "--sticks", 2)
    store("wood", "add", "C", "--species", "apple", "--sticks", 2)
    assert [row(store, code)["received_on"] for code in ("W2", "W3", "W4")] == [None, "2027-11-30", None]


def test_the_wood_of_an_earlier_day_is_what_there_was_then(graftbook):
    graftbook(
        "wood", "add", "Stoneway Pearmain", "--species", "apple", "--sticks", 9, "--cut", "2027-01-14", "--from", "K."
    )
    graftbook("wood", "give", "W1", 4, "--to", "M.", "--on", "2027-02-20")
    left = {day: [(r["code"], r["sticks_left"]) for r in graftbook("wood", "list", "--as-of", day, "--json").rows]
            for day in ("2027-01-10", "2027-02-01", "2027-03-01")}  # fmt: skip
    assert {"2027-01-10": [], "2027-02-01": [("W1", 9)], "2027-03-01": [("W1", 5)]} == left
