"""The sticks of a bundle day by day."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from graftbook.book.balances import StickFlow as Flow

START = date(2027, 1, 1)


def flow(*steps):
    return Flow(tuple((START + timedelta(days), sticks) for days, sticks in steps))


def test_what_is_left_on_a_day_counts_that_day():
    steps = flow((0, 12), (10, -4), (20, 3))
    assert [steps.on(START + timedelta(days)) for days in (-1, 0, 9, 10, 25)] == [0, 12, 12, 8, 11]


def test_what_may_go_on_a_day_leaves_enough_for_what_went_later():
    steps = flow((0, 12), (10, -10), (20, 5))
    assert [steps.free_from(START + timedelta(days)) for days in (0, 9, 10, 20)] == [2, 2, 2, 7]


@given(st.lists(st.tuples(st.integers(0, 60), st.integers(-9, 9)), max_size=12), st.integers(0, 60))
def test_taking_all_that_is_free_never_takes_a_later_balance_below_zero(steps, day):
    days = dict.fromkeys((number for number, _ in steps), 0)
    for number, sticks in steps:
        days[number] += sticks
    before = flow(*sorted(days.items()))
    on = START + timedelta(day)
    later = [before.on(START + timedelta(number)) for number in range(day, 62)]
    assert before.free_from(on) == min(later)
