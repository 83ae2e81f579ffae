"""Two buds on a stock: budded as one entry, looked at by the stock, counted both, one or none, and headed back once."""

import pytest


@pytest.fixture
def budded(graftbook):
    """Six stocks with two chip buds each, of 5 August 2027."""
    graftbook("tree", "add", "Kilwarden Pippin", "--species", "apple", "--acquired", "2015-01-02", "--on", "2027-01-02")
    graftbook("stock", "add", "MM.106", "--count", 6, "--diameter", "9mm", "--place", "Row", "--acquired", "2026-12-01",
              "--on", "2026-12-01")  # fmt: skip
    graftbook("prune", "P1", "--save", "4 sticks 8-9mm 30cm 8 buds", "--on", "2027-08-05")
    done = graftbook("graft", "W1", "P2-P7", "--method", "chip-bud", "--each", 2, "--on", "2027-08-05")
    assert 0 == done.code, done.err
    assert done.out.startswith("G1-G12: 12 buds of W1 ")
    assert " on P2-P7, 2 on each, by chip-bud, 2027-08-05." in " ".join(done.out.split())
    return graftbook


def states(run):
    return {row["graft"]: row["state"] for row in run.rows}


def test_two_buds_on_each_stock_are_one_entry_and_two_buds_of_wood_each(budded):
    rows = budded("graft", "list", "--json").rows
    assert {"P2": 2, "P7": 2} == {host: sum(row["host"] == host for row in rows) for host in ("P2", "P7")}
    (wood,) = [row for row in budded("wood", "list", "--json").rows if row["code"] == "W1"]
    assert 4 == wood["buds_in_hand"], "twelve of thirty-two buds, eight a stick"


def test_a_look_at_the_stock_is_a_look_at_its_buds(budded):
    done = budded("look", "P2", "set", "--on", "2027-08-28")
    assert 0 == done.code, done.err
    said = "P2 has several buds: each is recorded as set. Where only one set: graftbook look P2 one set."
    assert said in " ".join(done.out.split())
    assert {"G1": "set", "G2": "set"} == states(budded("look", "list", "P2", "--json"))


def test_one_set_and_none_set_are_said_of_the_stock(budded):
    one = budded("look", "P3", "one set", "--on", "2027-08-28")
    assert "P3 has several buds: 1 of each is recorded as set; which of the buds set was not said." in " ".join(
        one.out.split()
    )
    assert 0 == budded("look", "P4", "none", "set", "--on", "2027-08-28").code
    assert 0 == budded("look", "P5", "both", "set", "--on", "2027-08-28").code
    found = {code: sorted(states(budded("look", "list", code, "--json")).values()) for code in ("P3", "P4", "P5")}
    assert {"P3": ["not-set", "set"], "P4": ["not-set", "not-set"], "P5": ["set", "set"]} == found
    assert {"which of the buds set was not said"} == {
        row["note"] for row in budded("look", "list", "P3", "--json").rows
    }


def test_stocks_are_left_out_by_their_code(budded):
    assert 0 == budded("look", "P2-P4", "set", "--except", "P3,G1", "--on", "2027-08-28").code
    assert {"G2": "set", "G5": "set", "G6": "set"} == states(budded("look", "list", "--json"))


def test_stocks_are_counted_both_one_and_none(budded):
    budded("look", "P2,P5", "both set", "--on", "2027-08-28")
    budded("look", "P3", "one set", "--on", "2027-08-28")
    budded("look", "P4", "none set", "--on", "2027-08-28")
    document = budded("take", "--endpoint", "set", "--unit", "stock", "--json").json
    assert [("stock", 6, 3, 4)] == [(row["unit"], row["made"], row["k"], row["n"]) for row in document["rows"]]
    said = "On 6 there were 2 grafts or buds each; of those it got there on: both 2, one 1, none 1, not all decided 2."
    assert said in document["notes"]


def test_of_those_headed_back_is_a_rate_of_its_own(budded):
    budded("look", "P2-P5", "both set", "--on", "2027-08-28")
    budded("care", "P2-P4", "headed-back", "--on", "2028-03-20", today="2028-08-01")
    budded("look", "G1,G3", "growing", "--on", "2028-06-01", today="2028-08-01")
    budded("look", "G1,G3", "growing", "--on", "2028-07-10", today="2028-08-01")
    (row,) = budded("take", "--of", "headed-back", "--json", today="2028-08-01").rows
    assert (2, 6, 2 / 6) == (row["k"], row["n"], row["rate"])
    out = budded("take", "--of", "headed-back", "--unit", "stock").out
    assert "Took, of those headed back," in out
    assert "2 of 3" in out


def test_a_stock_is_headed_back_once_however_many_buds_it_has(budded):
    budded("look", "P2-P7", "both set", "--on", "2027-08-28")
    rows = budded("due", "--on", "2028-04-10", "--brief", "--json", today="2028-04-10").rows
    assert 6 == sum(row["stocks"] for row in rows if row["what"] == "head back")


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("graft", "W1", "P2", "--method", "chip-bud", "--each", "0"), 2, "from 1 to 20 grafts on each host"),
        (("look", "G1", "one set"), 21, "No stock among G1 has several buds of one budding"),
        (("look", "P2", "growing"), 21, "not every plant has one open graft"),
    ],
)
def test_what_cannot_be_said_is_refused(budded, words, code, said):
    bad = budded(*words)
    assert code == bad.code
    assert said.casefold() in " ".join(bad.err.split()).casefold()
