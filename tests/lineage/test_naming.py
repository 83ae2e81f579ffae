"""The rule by which several words on one clone become one: weight, time, doubt, contradiction."""

from datetime import date

from graftbook.lineage.naming import Statement, identity_of


def said(names, sure="believed", year=None, ref=0, nickname=None):
    on = None if year is None else date(year, 9, 1)
    return Statement(ref, on, tuple(names.split("|")) if names else (), sure, nickname, ref)


def found(*words):
    return identity_of(words)


def test_one_word_alone_is_what_it_is():
    assert (("A",), "believed", True) == (found(said("A")).names, found(said("A")).sure, found(said("A")).certain)


def test_fruit_outweighs_belief_whatever_came_later_and_the_belief_is_shown_against_it():
    identity = found(said("B", "verified by fruit", 2027, 1), said("A", "believed", 2030, 2))
    assert (("B",), False, (2,)) == (identity.names, identity.disputed, identity.against)


def test_two_fruits_that_disagree_are_disputed_and_both_stand():
    identity = found(said("A", "verified by fruit", 2027, 1), said("B", "tested", 2028, 2))
    assert (("A", "B"), True, (1, 2)) == (identity.names, identity.disputed, identity.against)
    assert not identity.certain


def test_words_that_allow_one_name_in_common_come_to_that_name():
    assert ("A",) == found(said("A|B", year=2026), said("A|C", year=2027, ref=1)).names


def test_a_later_doubt_is_not_outvoted_by_the_belief_it_doubts():
    identity = found(said("A", year=2020), said("A|B", "doubtful", 2026, 1))
    assert (("A", "B"), "doubtful", False) == (identity.names, identity.sure, identity.disputed)


def test_a_belief_after_a_doubt_narrows_it():
    identity = found(said("A|B", "doubtful", 2026), said("A", year=2027, ref=1))
    assert (("A",), "believed") == (identity.names, identity.sure)


def test_unknown_sets_aside_earlier_belief_but_no_fruit():
    assert () == found(said("A", year=2020), said("", year=2026, ref=1, nickname="old yard")).names
    assert ("A",) == found(said("A", "tested", 2020), said("", year=2026, ref=1)).names


def test_a_nickname_outlives_the_name_found_later():
    identity = found(said("", year=2020, nickname="old yard"), said("A", "tested", 2026, 1))
    assert (("A",), "old yard") == (identity.names, identity.nickname)


def test_what_was_verified_as_one_of_two_is_narrowed_by_belief():
    identity = found(said("A|B", "verified by fruit", 2027), said("B", year=2020, ref=1))
    assert (("B",), "believed") == (identity.names, identity.sure)
