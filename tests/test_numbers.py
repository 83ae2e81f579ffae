"""Numbers and runs as typed: never longer than anything counted, and answered at once."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook import codes, numbers, units
from graftbook.dates import EARLIEST, LATEST, read_date
from graftbook.errors import Refused, UsageProblem
from graftbook.trade import stages

ENDLESS = ("9" * 10, "9" * 400, "9" * 5_000)


@given(st.integers(0, numbers.LARGEST))
def test_every_whole_number_up_to_the_largest_is_read(number):
    assert number == numbers.whole(f" {number} ") == numbers.run(str(number)).start
    assert -number == numbers.whole(f"-{number}", -numbers.LARGEST)


@pytest.mark.parametrize("text", [*ENDLESS, "", "-1", "1.5", "1e5", "²", "7-3", "0x1", "1_000", "1-2-3"])
def test_what_is_no_number_is_none(text):
    assert numbers.whole(text) is None
    assert numbers.run(text) is None


def test_runs_and_fractions():
    assert range(3, 8) == numbers.run("3-7") == numbers.run("3 .. 7")
    assert None is numbers.run("3-70", high=69)
    assert [Fraction(3, 8), Fraction(7, 20), Fraction(1, 2)] == [numbers.number(text) for text in ("3/8", "0,35", ".5")]
    assert [None] * 4 == [numbers.number(text) for text in ("1/0", "1e400000000", "nan", "9" * 400)]


@pytest.mark.parametrize("text", ENDLESS)
def test_endless_figures_are_refused_wherever_a_number_is_read(text):
    for refused in (
        lambda: units.read_length(f"{text}mm", units.HEIGHT), lambda: units.read_length(f"1/{text}", units.HEIGHT),
        lambda: units.read_temperature(text), lambda: units.read_share(text), lambda: codes.read_one(f"P{text}"),
        lambda: codes.read_one(f"W1/{text}"), lambda: codes.read_many(f"G1-G{text}"),
        lambda: read_date(f"-{text}d", date(2027, 3, 1)),
    ):  # fmt: skip
        with pytest.raises((UsageProblem, Refused)):
            refused()
    assert None is stages.find(text)


def test_a_share_with_an_endless_exponent_is_told_at_once():
    with pytest.raises(UsageProblem, match="a share such as"):
        units.read_share("1e400000000")


@pytest.mark.parametrize("text", ["-9999w", "-999999999d", "9999-12-31", "31 Dec 3000", "1899-12-31"])
def test_a_day_the_books_own_files_would_refuse_is_refused_at_once(text):
    with pytest.raises(UsageProblem, match="a day from 1900-01-01 to 2999-12-31"):
        read_date(text, date(2027, 3, 1))


@given(st.dates(EARLIEST, LATEST), st.integers(0, 9_999))
def test_a_day_that_is_read_can_be_read_again(today, weeks):
    try:
        day = read_date(f"-{weeks}w", today)
    except UsageProblem:
        return
    assert day == read_date(day.isoformat(), today)
