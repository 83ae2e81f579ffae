"""States and kinds of care as people write them."""

import pytest

from graftbook.actions.outcome import states
from graftbook.book.grafts import CARE_WORDS, STATES
from graftbook.errors import UsageProblem


@pytest.mark.parametrize("word", STATES)
def test_every_state_is_read_as_itself_and_without_its_hyphen(word):
    assert word == states.state(word)
    assert word == states.state(word.replace("-", " ").upper())


@pytest.mark.parametrize("word", CARE_WORDS)
def test_every_kind_of_care_is_read_as_itself_and_without_its_hyphen(word):
    assert word == states.care(word)
    assert word == states.care(word.replace("-", " ").title())


def test_every_plain_spelling_leads_to_a_word_of_the_book():
    assert set(states._STATE_SPELLINGS.values()) <= set(STATES)
    assert set(states._CARE_SPELLINGS.values()) <= set(CARE_WORDS)


def test_not_looked_at_is_no_state_but_can_be_asked_for():
    assert states.state_or_unseen("Not looked at") is None
    with pytest.raises(UsageProblem, match="leave it out"):
        states.state("not looked at")


@pytest.mark.parametrize("word", ["took", "taken", "failed", "ok", "", "growing dead"])
def test_a_verdict_is_no_state(word):
    with pytest.raises(UsageProblem, match="no-movement, swelling, pushing"):
        states.state(word)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("G1-G4", "growing", "on"), ("G1-G4", "growing on")),
        (("G1,", "G2", "P7-P9", "not", "set"), ("G1,,G2,P7-P9", "not set")),
        (("g5", "dead"), ("g5", "dead")),
    ],
)
def test_codes_are_told_from_the_words_after_them(words, expected):
    assert expected == states.codes_and_words(words)


@pytest.mark.parametrize("words", [("G1",), ("growing",), ("G1", "G2"), ("G1", " ")])
def test_codes_alone_or_a_word_alone_is_not_enough(words):
    with pytest.raises(UsageProblem, match="codes and then a word"):
        states.codes_and_words(words)
