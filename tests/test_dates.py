"""Dates in, never guessed."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.dates import read_date
from graftbook.errors import UsageProblem

TODAY = date(2027, 3, 1)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2027-01-14", date(2027, 1, 14)), ("20200308", date(2020, 3, 8)), ("14 Jan 2027", date(2027, 1, 14)),
        ("Jan 14, 2027", date(2027, 1, 14)), ("14-jan-27", date(2027, 1, 14)), ("today", TODAY),
        ("Yesterday", date(2027, 2, 28)), ("-3d", date(2027, 2, 26)), ("-2w", date(2027, 2, 15)),
        ("4.16.17", date(2017, 4, 16)), ("16.4.2017", date(2017, 4, 16)), ("1/1/26", date(2026, 1, 1)),
        ("29/2/2028", date(2028, 2, 29)),
    ],
)  # fmt: skip
def test_dates_that_mean_one_day_are_read(text, day):
    assert day == read_date(text, TODAY)


@pytest.mark.parametrize("text", ["4/10/16", "5/10/2016", "10.2.26"])
def test_a_date_that_could_be_two_days_is_never_guessed(text):
    with pytest.raises(UsageProblem, match="one day only"):
        read_date(text, TODAY)


def test_a_book_that_was_told_reads_them_its_own_way():
    assert date(2016, 10, 4) == read_date("4/10/16", TODAY, "day-first")
    assert date(2016, 4, 10) == read_date("4/10/16", TODAY, "month-first")


@pytest.mark.parametrize(
    "text", ["31/4/2027", "2027-02-29", "13/13/2027", "soon", "", "2027", "1/2", "0001-01-01", "32 Jan 2027"]
)
def test_what_is_no_day_is_refused(text):
    with pytest.raises(UsageProblem):
        read_date(text, TODAY, "day-first")


def test_a_month_first_book_does_not_take_a_day_that_is_no_month():
    with pytest.raises(UsageProblem):
        read_date("16/4/2017", TODAY, "month-first")


@given(st.dates(date(1950, 1, 1), TODAY + timedelta(days=300)))
def test_every_day_reads_back_in_each_order(day):
    assert day == read_date(day.isoformat(), TODAY)
    assert day == read_date(f"{day.day}/{day.month}/{day.year}", TODAY, "day-first")
    assert day == read_date(f"{day.month}/{day.day}/{day.year}", TODAY, "month-first")
