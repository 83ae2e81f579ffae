"""name: words on what a thing is flow along the clone both ways; doubt, contradiction and old words stay visible."""

import pytest
from refusals import refused

RUSSET, PIPPIN = "Quern Russet", "Kilwarden Pippin"


@pytest.fixture
def orchard(graftbook):
    """Trees P1 and P2, their wood W1 (6 sticks) and W2 (5), stocks P3-P14."""
    graftbook("tree", "add", PIPPIN, "--species", "apple", "--acquired", "2020-03-01", "--place", "orchard")
    graftbook("tree", "add", RUSSET, "--species", "apple", "--acquired", "2020-03-01", "--place", "orchard")
    for tree, sticks in (("P1", 6), ("P2", 5)):
        graftbook("wood", "add", "--source", tree, "--sticks", sticks, "--buds", 4, "--cut", "2027-01-14")
    graftbook("stock", "add", "MM.106", "--count", 12, "--acquired", "2027-01-01", "--place", "bed")
    return graftbook


@pytest.fixture
def mixed(orchard):
    """The same with W1 and W2 mixed into W3, its sticks 1 to 7 grafted on P3-P9 as G1-G7, and W4 cut from G1."""
    assert (
        orchard("wood", "mixed", "W1", "W2", "--sticks", 11, "--on", "2027-02-01", "--note", "downy bark 6").code == 0
    )
    for stick in range(1, 8):
        words = ("graft", f"W3/{stick}", f"P{stick + 2}", "--method", "whip-and-tongue", "--on", "2027-03-20")
        assert orchard(*words).code == 0
    orchard("wood", "add", "--source", "G1", "--sticks", 3, "--cut", "2027-08-20", "--summer")
    orchard("wood", "give", "W4", 1, "--to", "Mo", "--on", "2027-08-21")
    return orchard


def what(graftbook, code):
    found = graftbook("name", "show", code, "--json").json
    return found["cultivar"], found["sure"]


def listed(graftbook, *words):
    return {row["cultivar"]: row for row in graftbook("name", "list", *words, "--json").rows}


def test_a_word_on_a_graft_speaks_for_its_tree_and_for_all_wood_of_it(orchard):
    orchard("graft", "W1", "P3", "--method", "whip-and-tongue", "--on", "2027-03-20")
    done = orchard("name", "G1", "tolm beauty", "--sure", "verified by fruit", "--why", "yellow", "--who", "Ada")
    assert (0, "") == (done.code, done.err)
    assert "Now 'Tolm Beauty', verified by fruit (before: 'Kilwarden Pippin', believed): P1, W1, G1." in done.out
    assert "P1 recorded as 'Kilwarden Pippin'" in done.out
    assert ("tolm beauty", "verified by fruit") == what(orchard, "P1")


def test_the_old_word_stays_in_the_history_of_the_clone(orchard):
    orchard("name", "W1", RUSSET, "--sure", "tested", "--on", "2027-02-01", "--who", "Ada", "--why", "leaf test")
    rows = orchard("name", "show", "P1", "--json").rows
    assert [("P1", "against"), ("W1", "speaks")] == [(row["thing"], row["stands"]) for row in rows]
    assert ("Ada", "leaf test", "2027-02-01") == (rows[1]["who"], rows[1]["why"], rows[1]["on"])
    assert any("Named W1" in row["change"] for row in orchard("history", "W1", "--json").rows)


def test_each_stick_of_mixed_wood_is_one_or_the_other_from_that_day(mixed):
    both = f"{PIPPIN} or {RUSSET}"
    assert (both, "doubtful") == what(mixed, "G5") == what(mixed, "W3/11") == what(mixed, "W4")
    assert (PIPPIN, "believed") == what(mixed, "W1")
    assert 7 == listed(mixed)[both]["grafts"]
    assert {both, None} >= {row["cultivar"] for row in mixed("wood", "list", "--json").rows}
    assert {both} == {row["cultivar"] for row in mixed("graft", "list", "--json").rows}


def test_a_stick_that_fruits_takes_its_grafts_and_their_wood_along_and_leaves_its_siblings(mixed):
    done = mixed("name", "G1", PIPPIN, "--sure", "verified")
    assert "W4, W3/1, G1." in done.out
    assert "Mo received 1 stick of W4 on 2027-08-21, now 'Kilwarden Pippin'." in done.out
    assert (PIPPIN, "verified by fruit") == what(mixed, "W4")
    assert (f"{PIPPIN} or {RUSSET}", "doubtful") == what(mixed, "G2")


def test_counting_settles_the_siblings_when_all_of_one_kind_are_found(mixed):
    done = mixed("name", "G1-G6", PIPPIN, "--sure", "verified")
    assert "Now 'Quern Russet', by counting" in done.out
    assert (RUSSET, "by counting") == what(mixed, "G7") == what(mixed, "W3/11")
    undone = mixed("undo", mixed("journal", "--json").rows[0]["entry"])
    assert 0 == undone.code
    assert (f"{PIPPIN} or {RUSSET}", "doubtful") == what(mixed, "G7")


def test_counting_settles_nothing_where_nobody_knows_how_many_went_in(orchard):
    assert 0 == orchard("wood", "mixed", "W1", "W2", "--sticks", 9, "--each", "unknown").code
    """But that no more than the six there were of one kind can be among them."""
    orchard("name", "W3/1,W3/2,W3/3,W3/4,W3/5", PIPPIN, "--sure", "verified")
    assert (f"{PIPPIN} or {RUSSET}", "doubtful") == what(orchard, "W3/7")
    orchard("name", "W3/6", PIPPIN, "--sure", "verified")
    assert (RUSSET, "by counting") == what(orchard, "W3/7")


def test_more_of_a_kind_than_went_in_is_told_and_left_standing(mixed):
    done = mixed("name", "G1-G7", PIPPIN, "--sure", "verified")
    assert "More sticks of W3 were found to be one kind than went in" in done.out
    assert (PIPPIN, "verified by fruit") == what(mixed, "G7")


def test_something_that_was_never_mixed_in_is_told(mixed):
    assert (
        "G7 was found to be something that was not mixed in."
        in mixed("name", "G7", "Tolm Beauty", "--sure", "tested").out
    )


def test_words_of_one_weight_that_contradict_each_other_are_shown_and_both_stay(orchard):
    orchard("name", "W1", PIPPIN, "--sure", "tested")
    done = orchard("name", "P1", "Tolm Beauty", "--sure", "tested")
    assert "Words on this clone contradict each other" in done.out
    assert (f"{PIPPIN} or Tolm Beauty", "disputed") == what(orchard, "P1")
    rows = orchard("name", "show", "P1", "--json").rows
    assert ["earlier", "disputed", "disputed"] == [row["stands"] for row in rows]
    assert [f"{PIPPIN} or Tolm Beauty"] == list(listed(orchard, "--doubt"))


def test_unknown_with_a_nickname_is_kept_as_such(orchard):
    done = orchard("name", "P2", "unknown", "--nickname", "old yard", "--why", "leaves wrong")
    assert 'Named P2 unknown ("old yard"), believed.' in done.out
    assert ('unknown ("old yard")', "believed") == what(orchard, "W2")
    assert "old yard" in orchard("name", "list").out


def test_a_naming_is_as_of_its_day(orchard):
    orchard("name", "P1", "Tolm Beauty", "--sure", "tested", "--on", "2027-06-01")
    assert PIPPIN in listed(orchard, "--as-of", "2027-05-31")
    assert PIPPIN not in listed(orchard, "--as-of", "2027-06-01")


def test_names_are_suggested_and_never_merged(orchard):
    done = orchard("name", "W1", "Kilwarden Pipin")
    assert "is new to this book, which already has 'Kilwarden Pippin'. Two kinds, or one?" in done.out
    assert "disputed" == what(orchard, "W1")[1]


def test_accents_and_apostrophes_come_back_as_they_were_typed(orchard):
    orchard("name", "P1", "Tolm’s Élan d’été", "--sure", "tested")
    row = listed(orchard)["Tolm’s Élan d’été"]
    assert "Tolm’s Élan d’Été" == row["epithet"]
    orchard("name", "P2", "tolms elan d'ete", "--sure", "tested")
    assert ("Tolm’s Élan d’été", "tested") == what(orchard, "P2")


def test_a_synonym_shows_the_preferred_name_and_keeps_what_was_typed(orchard):
    orchard("tree", "add", "Quern Leathercoat", "--species", "apple")
    done = orchard("name", "synonym", "quern leathercoat", "--of", RUSSET, "--why", "same in the old list")
    assert (0, "") == (done.code, done.err)
    assert (RUSSET, "believed") == what(orchard, "P15")
    assert RUSSET == orchard("tree", "list", "--json").rows[-1]["cultivar"]
    assert "Quern Russet (recorded as: Quern Leathercoat)" in orchard("tree", "show", "P15").out
    assert 2 == listed(orchard)[RUSSET]["trees"]
    orchard("tree", "add", "Quern Leathercoat", "--species", "apple")
    row = orchard("tree", "list", "--json").rows[-1]
    assert RUSSET == row["cultivar"]
    refused(orchard("name", "synonym", "Quern Leathercoat", "--of", PIPPIN), 21, "shown as 'Quern Russet'")
    refused(orchard("name", "synonym", RUSSET, "--of", "Quern Leathercoat"), 2, "two different names")
    assert ["quern leathercoat"] == [row["name"] for row in orchard("name", "synonyms", "--json").rows]


WRONG = (
    (("P1", "A or A"), 2, "one name twice"),
    (("P1", "quern russet or 'Quern Russet'"), 2, "one name twice"),
    (("P1", ""), 2, "a cultivar"),
    (("P1", "A or "), 2, "a cultivar"),
    (("P1", "X", "--sure", "certain"), 2, "believed, verified by fruit, tested, doubtful"),
    (("P1", "X", "--nickname", "old"), 2, "a nickname for what is unknown"),
    (("P1", "X", "--on", "2019-01-01"), 21, "P1 began on 2020-03-01; it could not be named on 2019-01-01."),
    (("P1", "X", "--on", "2028-01-01"), 21, "2028-01-01 lies after today, 2027-11-30. What has not happened cannot be recorded."),
    (("W1/9", "X"), 2, "a stick of W1 from 1 to 6"),
    (("G1", "X"), 20, "no graft with the code G1"),
    (("Q1", "X"), 2, "a code starts with"),
    (("P1,P77", "X"), 20, "P77"),
)  # fmt: skip


@pytest.mark.parametrize(("words", "code", "said"), WRONG)
def test_what_cannot_be_named_is_refused_and_nothing_is_kept(orchard, words, code, said):
    run = orchard("name", *words)
    assert (code, "") == (run.code, run.out)
    assert said.casefold() in run.err.casefold()
    assert (PIPPIN, "believed") == what(orchard, "P1")


def test_a_stick_that_never_was_has_no_words_to_show(orchard):
    refused(orchard("name", "show", "W1/9"), 2, "a stick of W1 from 1 to 6")
    assert (PIPPIN, "believed") == what(orchard, "W1/6")


def test_a_naming_of_an_undone_graft_is_refused_and_says_that_it_was_undone(orchard):
    orchard("graft", "W1", "P3", "--method", "whip-and-tongue", "--on", "2027-03-20")
    orchard("undo", orchard("journal", "--json").rows[0]["entry"])
    refused(orchard("name", "G1", "X"), 20, "G1 was recorded once and undone: graftbook history G1")


def test_a_graft_that_was_named_cannot_be_undone_under_its_naming(orchard):
    orchard("graft", "W1", "P3", "--method", "whip-and-tongue", "--on", "2027-03-20")
    made = orchard("journal", "--json").rows[0]["entry"]
    orchard("name", "G1", "Tolm Beauty")
    refused(orchard("undo", made), 21, "Named G1")


def test_wood_used_after_the_day_of_the_mixing_goes_along_stick_by_stick(orchard):
    orchard("graft", "W1", "P3-P5", "--method", "whip-and-tongue", "--on", "2027-03-20", "--buds", 2)
    orchard("wood", "give", "W2", 1, "--to", "Ilo", "--on", "2027-03-21")
    done = orchard("wood", "mixed", "W1", "W2", "--sticks", 11, "--on", "2027-02-01")
    assert (0, "") == (done.code, done.err)
    assert "G1 from W3/1, G2 from W3/1, G3 from W3/2" in done.out
    assert (f"{PIPPIN} or {RUSSET}", "doubtful") == what(orchard, "G3")
    orchard("name", "G1", PIPPIN, "--sure", "verified")
    assert (PIPPIN, "verified by fruit") == what(orchard, "G2")
    left = {row["code"]: row["sticks_left"] for row in orchard("wood", "list", "--empty", "--json").rows}
    assert {"W1": 0, "W2": 0, "W3": 8} == left
    naming, mixing = (row["entry"] for row in orchard("journal", "--json").rows[:2])
    assert 0 == orchard("undo", naming).code
    assert (0, "") == ((done := orchard("undo", mixing)).code, done.err)
    assert (PIPPIN, "believed") == what(orchard, "G3")
    left = {row["code"]: row["sticks_left"] for row in orchard("wood", "list", "--empty", "--json").rows}
    assert {"W1": 4, "W2": 4} == left


def test_a_mixing_whose_sticks_were_used_since_is_not_undone(mixed):
    mixing = next(row["entry"] for row in mixed("journal", "--json").rows if row["what"].startswith("Mixed"))
    refused(mixed("undo", mixing), 21, "G1")


NOT_MIXED = (
    (("W1", "--sticks", 6), 2, "from 2 to 12 different bundles"),
    (("W1", "W1", "--sticks", 12), 2, "from 2 to 12 different bundles"),
    (("W1", "W2", "--sticks", 10), 2, "(W1 6, W2 5): 11"),
    (("W1", "W2", "--sticks", 10, "--each", "9,1"), 2, "a number for each bundle"),
    (("W1", "W2", "--sticks", 10, "--each", "5"), 2, "a number for each bundle"),
    (("W1", "P2", "--sticks", 10), 2, "whole bundles"),
    (("W1/1", "W2", "--sticks", 10), 2, "whole bundles"),
    (("W1", "W2", "--sticks", 11, "--on", "2027-01-01"), 21, "on 2027-01-14; it cannot have been mixed on 2027-01-01."),
    (("W1", "W9", "--sticks", 11), 20, "W9"),
)  # fmt: skip


@pytest.mark.parametrize(("words", "code", "said"), NOT_MIXED)
def test_what_cannot_have_been_mixed_is_refused(orchard, words, code, said):
    refused(orchard("wood", "mixed", *words), code, said)
    assert ["W1", "W2"] == sorted(row["code"] for row in orchard("wood", "list", "--json").rows)


def test_wood_that_is_gone_or_of_another_season_is_not_mixed(mixed):
    refused(mixed("wood", "mixed", "W1", "W3", "--sticks", 4), 21, "W1 has no sticks left on 2027-11-30.")
    refused(
        mixed("wood", "mixed", "W3", "W4", "--sticks", 6),
        21,
        "Some of these are dormant and some summer wood; only wood of one kind can be mixed.",
    )


def test_some_sticks_of_each_can_be_mixed_and_the_others_stay(orchard):
    assert 0 == orchard("wood", "mixed", "W1", "W2", "--sticks", 3, "--each", "2,1").code
    left = {row["code"]: row["sticks_left"] for row in orchard("wood", "list", "--json").rows}
    assert {"W1": 4, "W2": 4, "W3": 3} == left
    orchard("name", "W3/1,W3/2", PIPPIN, "--sure", "tested")
    assert (RUSSET, "by counting") == what(orchard, "W3/3")
    assert "mixed" in orchard("wood", "show", "W1").out


def test_a_stick_is_used_once(mixed):
    refused(mixed("wood", "give", "W3/7", "--to", "Bo"), 21, "opened for G7")
    assert 0 == mixed("wood", "give", "W3/11", "--to", "Bo").code
    refused(mixed("wood", "give", "W3/11", "--to", "Bo"), 21, "given to Bo")
    refused(mixed("graft", "W3/11", "P12", "--method", "cleft"), 21, "given to Bo")
    refused(mixed("wood", "give", "W3/12", "--to", "Bo"), 2, "from 1 to 11")
    refused(mixed("wood", "give", "W3/10", 2, "--to", "Bo"), 2, "one stick")
    done = mixed("name", "W3/11", RUSSET, "--sure", "tested")
    assert "Bo received 1 stick of W3/11 on 2027-11-30, now 'Quern Russet'." in done.out


def test_names_are_read_as_json_and_csv(mixed):
    assert '"rows"' in mixed("name", "list", "--json").out
    assert mixed("name", "list", "--csv").out.startswith("cultivar,epithet,sure,trees,bundles,grafts,codes\n")
    assert [{"code": "G1"}] == mixed("name", "G1", PIPPIN, "--json").rows
