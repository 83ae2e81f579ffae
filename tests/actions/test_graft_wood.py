"""Sticks opened one after the other."""

import pytest

from graftbook.actions.wood.drawing import InHand, draw_all, left_words
from graftbook.errors import Refused


def test_nothing_is_lost_or_made_between_sticks_and_scions():
    hand = InHand("W1", 10, 6)
    drawn = draw_all(hand, 2, None, 14)
    assert 5 == sum(one.sticks for one in drawn) == 10 - hand.left
    assert 5 * 6 - 14 * 2 == hand.buds_left


def test_a_graft_not_counted_in_buds_takes_a_whole_stick():
    hand = InHand("W1", 3, 6, buds_left=4)
    assert [1, 1] == [one.sticks for one in draw_all(hand, None, None, 2)]


def test_wood_that_does_not_reach_says_how_far_it_does():
    with pytest.raises(Refused, match=r"enough for 6 \(2 sticks left before\)"):
        draw_all(InHand("W1", 2, 6), 2, None, 7)


def test_what_is_left_is_said_with_what_was_counted():
    hand = InHand("W1", 1, None)
    drawn = draw_all(hand, 2, None, 1)
    assert "W1: 0 sticks left." == left_words(hand, drawn)[0]
    assert "each graft counts as one stick" in left_words(hand, drawn)[1]
