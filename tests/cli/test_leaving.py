"""Before a limb or a plant goes: what would be lost is said and asked, and what went is recorded."""

import pytest


@pytest.fixture
def tree(graftbook):
    """P1 with limbs A (G1 Kilwarden Pippin, G2 Dun Reinette) and B (G3 Kilwarden Pippin); G4 stands on G2."""
    assert graftbook("tree", "add", "Old Crab", "--species", "apple", "--place", "Garth").code == 0
    for name in ("Kilwarden Pippin", "Dun Reinette", "Copper Codlin"):
        assert graftbook("wood", "add", name, "--species", "apple", "--sticks", 1, "--buds", 6, "--cut", "2027-01-10",
                         "--received", "2027-01-11", "--from", "Neighbour").code == 0  # fmt: skip
    for wood, host, limb in (("W1", "P1", "A"), ("W2", "P1", "A"), ("W1", "P1", "B"), ("W3", "G2", "A")):
        assert (
            graftbook("graft", wood, host, "--method", "bark", "--limb", limb, "--on", "2027-04-10", "--yes").code == 0
        )
    return graftbook


def states(tree):
    return {row["code"]: row["state"] for row in tree("graft", "list", "--json").rows}


def test_a_limb_does_not_go_unasked_and_what_would_be_lost_is_said(tree):
    run = tree("limb", "gone", "P1", "a", "--on", "2027-07-01")
    assert (21, "") == (run.code, run.out)
    assert (
        "With limb a of P1 3 living grafts would go: G1 ‘Kilwarden Pippin’, G2 ‘Dun Reinette’, G4 ‘Copper Codlin’."
        in run.err
    )
    for lost in ("Dun Reinette", "Copper Codlin"):
        # Half of the stick opened for the graft is in hand still, and not yet older than such wood was known to keep.
        assert (
            f"‘{lost}’ would live nowhere else in this book; 3 buds on the stick of it in hand are in store. Save wood of it first."
            in run.err
        )
    assert "‘Kilwarden Pippin’ would" not in run.err
    assert {None} == set(states(tree).values())


def test_wood_thrown_away_or_past_keeping_is_said_before_a_limb_goes(tree):
    last = tree("limb", "gone", "P1", "A", "--on", "2027-08-01").err
    assert (
        "‘Dun Reinette’ would live nowhere else in this book; 3 buds on the stick of it in hand are in store but past keeping."
        in last
    )
    assert tree("wood", "discard", "W2", "--on", "2027-04-20").code == 0
    last = tree("limb", "gone", "P1", "A", "--on", "2027-07-01").err
    assert "‘Dun Reinette’ would live nowhere else in this book, nor in store. Save wood of it first." in last


def test_a_limb_that_goes_takes_its_grafts_and_what_stands_on_them_and_can_be_undone(tree):
    run = tree("limb", "gone", "P1", "A", "--on", "2027-07-01", "--yes", "--note", "storm")
    assert "Limb A of P1 gone, 2027-07-01, with 3 grafts G1-G2, G4." in run.out
    assert "‘Dun Reinette’ lives nowhere in this book now" in run.out
    assert {"G1": "dead", "G2": "dead", "G3": None, "G4": "dead"} == states(tree)
    look = tree("look", "list", "G1", "--json").rows[0]
    assert ("limb cut off", "no", "storm") == (look["cause"], look["union"], look["note"])
    entry = max(row["entry"] for row in tree("journal", "--json").rows)
    assert tree("undo", entry).code == 0
    assert {None} == set(states(tree).values())


def test_a_prune_may_take_a_limb_and_the_wood_saved_from_it(tree):
    refused = tree("prune", "P1", "--limb", "B", "--thinning", 1, "--on", "2027-11-20")
    assert (21, "") == (refused.code, refused.out)
    run = tree("prune", "P1", "--limb", "B", "--thinning", 1, "--on", "2027-11-20", "--yes")
    assert "Pruned P1 on 2027-11-20: 1 thinning cut; limb B off, with 1 graft G3." in run.out
    assert "dead" == states(tree)["G3"]


def test_a_plant_that_goes_takes_all_its_grafts_and_its_own_cultivar(tree):
    asked = tree("tree", "gone", "P1", "--on", "2027-07-01")
    assert (21, True) == (asked.code, "‘Old Crab’ would live nowhere else" in asked.err)
    run = tree("tree", "gone", "P1", "--on", "2027-07-01", "--yes")
    assert "P1 gone, 2027-07-01, with 4 grafts G1-G4." in run.out
    assert {"dead"} == set(states(tree).values())
    assert ["P1"] == [
        row["code"] for row in tree("tree", "list", "--all", "--json").rows if row["died_on"] == "2027-07-01"
    ]


def test_a_stock_with_nothing_on_it_goes_without_a_question(tree):
    tree("stock", "add", "MM.106", "--acquired", "2027-01-05")
    run = tree("stock", "gone", "P2", "--on", "2027-07-01")
    assert (0, "P2 gone, 2027-07-01.\n") == (run.code, run.out)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("limb", "gone", "P1", "Z"), 20, "No graft is recorded on limb 'Z' of P1 by 2027-11-30; there are grafts on limbs A, B."),
        (("limb", "gone", "P1", "A", "--on", "2027-01-02"), 20, "by 2027-01-02"),
        (("limb", "gone", "P1-P2", "A"), 20, "P2"),
        (("limb", "gone", "G1", "A"), 2, "plants, whose codes start with P"),
        (("tree", "gone", "P1", "--yes", "--on", "2027-02-01"), 21, "P1 was worked on or looked at on 2027-04-10, so it was"),
    ],
)  # fmt: skip
def test_what_cannot_go_is_refused(tree, words, code, said):
    run = tree(*words)
    assert (code, "", True) == (run.code, run.out, said in run.err)


def test_a_limb_with_nothing_living_has_nothing_to_record(tree):
    assert tree("limb", "gone", "P1", "B", "--on", "2027-07-01", "--yes").code == 0
    run = tree("limb", "gone", "P1", "B", "--on", "2027-07-02", "--yes")
    assert (21, "", True) == (run.code, run.out, "nothing to record" in run.err)


def test_a_limb_cannot_have_gone_before_a_graft_on_it_was_last_seen(tree):
    tree("look", "G1", "growing", "--on", "2027-08-01")
    run = tree("limb", "gone", "P1", "A", "--on", "2027-07-01", "--yes")
    assert (21, "", True) == (run.code, run.out, "G1 on 2027-08-01" in run.err)


def test_free_stocks_are_those_whose_attempts_ended_and_those_never_tried(tree):
    tree("stock", "add", "MM.106", "--count", 3, "--grade", "6-9mm", "--acquired", "2027-01-05")
    tree("wood", "count", "W1", 4, "--on", "2027-04-10")
    assert tree("graft", "W1", "P2-P3", "--method", "whip-and-tongue", "--on", "2027-04-10", "--yes").code == 0
    tree("look", "G5", "dead", "--on", "2027-06-10")
    rows = tree("stock", "list", "--free", "--json").rows
    assert [("P2", 1, "G5, whip-and-tongue: dead on 2027-06-10"), ("P4", 0, None)] == [
        (row["code"], row["attempts"], row["last"]) for row in rows
    ]
    tree("look", "G6", "dead", "--stock-fate", "dead", "--on", "2027-06-10")
    assert ["P2", "P4"] == [row["code"] for row in tree("stock", "list", "--free", "--json").rows]
    assert 2 == tree("tree", "list", "--free").code


def test_a_graft_on_a_graft_shows_its_stack_from_the_roots_up(tree):
    rows = [row for row in tree("graft", "show", "G4", "--json").rows if row["section"].startswith("the stack")]
    assert ["P1", "G2", "G4"] == [row["name"] for row in rows]
    assert "Dun Reinette, between, union by bark" == rows[1]["value"]


def test_a_prune_of_a_limb_on_which_nothing_lives_says_so(tree):
    assert tree("limb", "gone", "P1", "B", "--on", "2027-07-01", "--yes").code == 0
    run = tree("prune", "P1", "--limb", "B", "--thinning", 1, "--on", "2027-11-20")
    assert (0, True) == (run.code, "1 thinning cut; limb B off, with no living graft." in run.out)


def test_what_stands_on_an_attempt_is_no_attempt_on_the_stock(tree):
    tree("stock", "add", "MM.106", "--acquired", "2027-01-05")
    tree("wood", "count", "W1", 4, "--on", "2027-04-10")
    assert tree("graft", "W1", "P2", "--method", "cleft", "--on", "2027-04-10").code == 0
    assert tree("graft", "W1", "G5", "--method", "cleft", "--on", "2027-04-10").code == 0
    assert [] == tree("stock", "list", "--free", "--json").rows
    tree("look", "G5", "dead", "--on", "2027-06-10")
    # What stands on a dead graft is dead with it until it is seen alive later.
    assert [("P2", 1, "G5, cleft: dead on 2027-06-10")] == [
        (row["code"], row["attempts"], row["last"]) for row in tree("stock", "list", "--free", "--json").rows
    ]
    tree("look", "G6", "growing", "--on", "2027-06-20")
    assert [] == tree("stock", "list", "--free", "--json").rows
