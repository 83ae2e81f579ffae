"""Doubt by counting: what counting settles it settles, what it cannot it warns of, and who is to be told is named."""

import pytest

A, B = "Stoneway Pearmain", "Quern Russet"


@pytest.fixture
def mixed(graftbook):
    """Eight sticks of A and six of B came loose; of the fourteen thirteen were found, one was given, eleven were grafted."""
    for name in (A, B):
        graftbook("tree", "add", name, "--species", "apple", "--acquired", "2015-01-02", "--on", "2026-12-01")
    graftbook(
        "stock", "add", "MM.106", "--count", 12, "--diameter", "9mm", "--acquired", "2026-12-01", "--on", "2026-12-01"
    )
    graftbook("prune", "P1", "--save", "8 sticks 7-9mm", "--on", "2027-01-10")
    graftbook("prune", "P2", "--save", "6 sticks 7-9mm", "--on", "2027-01-10")
    assert 0 == graftbook("wood", "mixed", "W1", "W2", "--sticks", 13, "--each", "unknown", "--on", "2027-02-01").code
    graftbook("wood", "give", "W3/12", "--to", "Ilo M.", "--on", "2027-02-20")
    assert 0 == graftbook("graft", "W3", "P3-P13", "--method", "cleft", "--on", "2027-03-15").code
    return graftbook


def words(run):
    return " ".join(run.out.split())


def called(graftbook, code):
    return graftbook("name", "show", code, "--json").json["cultivar"]


def test_eight_of_eight_settle_the_rest(mixed):
    done = words(mixed("name", "G1-G8", A))
    assert f"Now '{B}', by counting (before: '{B}' or '{A}', doubtful): G9-G11." in done
    assert [A, B] == [called(mixed, code) for code in ("G8", "G11")]


def test_nine_of_eight_are_not_accepted_without_a_word(mixed):
    done = words(mixed("name", "G1-G9", A))
    assert f"(9 are named '{A}', and no more than 8 of it went in), so counting settles nothing there." in done
    assert " or " in called(mixed, "G10")


def test_nine_numbered_sticks_of_eight_are_not_accepted_either(mixed):
    done = words(mixed("name", "W3/1,W3/2,W3/3,W3/4,W3/5,W3/6,W3/7,W3/8,W3/9", A))
    assert f"9 are named '{A}', and no more than 8 of it went in" in done


def test_who_was_given_of_it_is_named_at_the_naming(mixed):
    assert f"Ilo M. received 1 stick of W3/12 on 2027-02-20, now '{B}'." in words(mixed("name", "W3/12", B))


def test_the_living_in_doubt_are_told_apart_from_the_dead(mixed):
    mixed("look", "G7-G11", "dead", "--on", "2027-06-01")
    notes = mixed("name", "list", "--doubt", "--json").json["notes"]
    assert f"{B} or {A}: of 11 grafts 6 living in doubt, 5 dead (G7-G11)." in notes
