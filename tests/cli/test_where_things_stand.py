"""Where a graft stands once it or its plant was moved or put right: told alike by every verb that says a place."""

import pytest

MARCH, MAY = "2027-03-15", "2027-05-01"


@pytest.fixture
def yard(graftbook):
    """Apple tree P1 in the Orchard, row 2, number 5; stocks P2-P4 in the Shed, row 1, numbers 1 to 3; G1 and G2 on P2, G3 on
    G1, G4 on P1 and G5 on P3, G6 on P4 with a place of its own, the Hot bed."""
    steps = (
        ("tree", "add", "Kilwarden Pippin", "--species", "apple", "--acquired", "2020-03-01", "--place", "Orchard", "--row", 2,
         "--order", 5),
        ("stock", "add", "MM.106", "--count", 3, "--grade", "8-9mm", "--acquired", "2026-12-10", "--place", "Shed", "--row", 1,
         "--order", 1),
        ("wood", "add", "--source", "P1", "--sticks", 20, "--diameter", "7-8mm", "--buds", 6, "--cut", "2027-01-20", "--on",
         "2027-01-20"),
        ("graft", "W1", "P2", "--method", "whip", "--on", MARCH, "--yes"),
        ("graft", "W1", "P2", "--method", "whip", "--on", MARCH, "--yes"),
        ("graft", "W1", "G1", "--method", "whip", "--on", MARCH, "--yes"),
        ("graft", "W1", "P1", "--method", "whip", "--on", MARCH, "--yes"),
        ("graft", "W1", "P3", "--method", "whip", "--on", MARCH, "--yes"),
        ("graft", "W1", "P4", "--method", "whip", "--on", MARCH, "--yes", "--place", "Hot bed"),
    )  # fmt: skip
    for words in steps:
        done = graftbook(*words)
        assert done.code == 0, done.err
    return graftbook


def stands(book, code):
    """Place, row and order of a thing, which every verb must say alike."""
    spots = {}
    found = book("find", code, "--json").rows
    spots["find"] = [(row["place"], row["row"], row["order"]) for row in found if row["code"] == code]
    kind = "stock" if code in ("P2", "P3", "P4") else "tree" if code == "P1" else None
    if kind is not None:
        spots["list"] = [(row["place"], row["row"], row["order"])
                         for row in book(kind, "list", "--json").rows if row["code"] == code]  # fmt: skip
    else:
        place = spots["find"][0][0]
        (listed,) = (row["place"] for row in book("graft", "list", "--json").rows if row["code"] == code)
        shown = book("graft", "show", code, "--json").json["place"]
        assert place == listed == shown
        assert code in [row["code"] for row in book("graft", "list", "--place", place, "--json").rows]
        due = [(row["place"], row["row"], row["order"])
               for row in book("due", "--on", "2027-06-20", "--json").rows if row["code"] == code]  # fmt: skip
        assert due and set(due) == set(spots["find"])
        traced = book("trace", "down", "P1", "--json").rows
        assert {place} == {row["place"] for row in traced if row["code"] == code}
    (spot,) = {spot for each in spots.values() for spot in each}
    return spot


def ok(run):
    assert run.code == 0, run.err
    return run


def test_each_stands_with_its_plant_or_where_it_was_stated_to(yard):
    assert ("Shed", "1", 1) == stands(yard, "G1") == stands(yard, "G3") == stands(yard, "P2")
    assert ("Orchard", "2", 5) == stands(yard, "G4")
    assert ("Hot bed", None, None) == stands(yard, "G6")


def test_a_plant_put_right_takes_along_what_stood_with_it(yard):
    done = ok(yard("stock", "amend", "P2,P4", "--place", "Long Row", "--row", 7, "--order", 1))
    assert "Put right with the plant they stand on: G1-G3." in done.out
    assert ("Long Row", "7", 1) == stands(yard, "P2") == stands(yard, "G1") == stands(yard, "G2") == stands(yard, "G3")
    assert ("Hot bed", None, None) == stands(yard, "G6")
    ok(yard("undo", yard("journal", "--json").rows[0]["entry"]))
    assert ("Shed", "1", 1) == stands(yard, "P2") == stands(yard, "G3")


def test_a_plant_moved_takes_along_what_stood_with_it(yard):
    ok(yard("care", "P2", "moved", "--place", "Cold frame", "--on", MAY))
    assert {("Cold frame", None, None)} == {stands(yard, code) for code in ("P2", "G1", "G2", "G3")}


@pytest.mark.parametrize("code", ["G1", "G3", "G1-G3"])
def test_a_graft_on_a_stock_takes_along_the_stock_and_all_on_it(yard, code):
    done = ok(yard("care", code, "moved", "--place", "Cold frame", "--on", MAY))
    assert "Moved with what stands on them: P2." in done.out
    assert {("Cold frame", None, None)} == {stands(yard, each) for each in ("P2", "G1", "G2", "G3")}
    assert ("Shed", "1", 2) == stands(yard, "P3") == stands(yard, "G5")
    ok(yard("undo", yard("journal", "--json").rows[0]["entry"]))
    assert ("Shed", "1", 1) == stands(yard, "P2") == stands(yard, "G1")


def test_a_tree_in_the_ground_stays_and_one_in_a_container_goes(yard):
    done = ok(yard("care", "G4", "moved", "--place", "Cold frame", "--on", MAY))
    assert "P1, a tree without a container, stays at Orchard." in done.out
    assert ("Orchard", "2", 5) == stands(yard, "P1")
    assert ("Cold frame", None, None) == stands(yard, "G4")
    ok(yard("tree", "amend", "P1", "--container", "30 l"))
    ok(yard("care", "G4", "moved", "--place", "Shed", "--on", "2027-05-02"))
    assert ("Shed", None, None) == stands(yard, "P1") == stands(yard, "G4")


def test_the_stays_of_what_was_moved_and_put_right_since_stay_right(yard):
    ok(yard("care", "G1", "moved", "--place", "Cold frame", "--on", MAY))
    ok(yard("stock", "amend", "P2", "--place", "Glasshouse"))
    ok(yard("weather", "place", "Shed", "--constant", "5C"))
    ok(yard("weather", "place", "Glasshouse", "--constant", "15C"))
    for code in ("G1", "G2", "G3", "P2"):
        (row,) = yard("weather", "since", "2027-04-21", code, "--base", "0C", "--until", "2027-05-11", "--json").rows
        assert 10 * 5 + 11 * 15 == row["degree_days"], code  # the day of the move counts for where it went


def test_an_old_spelling_of_the_same_place_is_no_place_of_its_own(yard):
    ok(yard("graft", "amend", "G1", "--place", "shed"))
    assert ("Shed", "1", 1) == stands(yard, "G1")
    ok(yard("care", "P2", "moved", "--place", "Cold frame", "--on", MAY))
    assert ("Cold frame", None, None) == stands(yard, "G1")
