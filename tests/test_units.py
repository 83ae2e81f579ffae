"""Lengths, temperatures and shares in and out."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook import units
from graftbook.errors import Refused, UsageProblem


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("9mm", (9, 9)), ("0.9cm", (9, 9)), ("0,9 cm", (9, 9)), ("3/8in", (9.52, 9.52)), ('3/8"', (9.52, 9.52)),
        ("5/16-3/8in", (7.94, 9.52)), ("0.35 in", (8.89, 8.89)), ("6-9mm", (6, 9)), ("9-6 mm", (6, 9)),
        ("1 1/2 in", (38.1, 38.1)), ("6 mm to 9 mm", (6, 9)), ("6–9", (6, 9)), (".5in", (12.7, 12.7)),
    ],
)  # fmt: skip
def test_lengths_are_read_in_any_form(text, mm):
    assert mm == pytest.approx(units.read_length_range(text, units.SCION_DIAMETER), abs=0.011)


@pytest.mark.parametrize(
    ("fraction", "mm"), [("1/4", 6.35), ("5/16", 7.94), ("3/8", 9.53), ("1/2", 12.7), ("5/8", 15.88), ("1", 25.4)]
)
def test_inches_are_25_4_mm(fraction, mm):
    """The international inch of 1959 is exactly 25.4 mm (NIST SP 811, appendix B)."""
    assert mm == pytest.approx(units.read_length(f"{fraction} in", units.STOCK_DIAMETER), abs=0.011)


def test_a_bare_number_is_in_the_books_unit():
    assert 9 == units.read_length("9", units.SCION_DIAMETER, "mm")
    assert 9.52 == pytest.approx(units.read_length("3/8", units.SCION_DIAMETER, "in"), abs=0.011)


@pytest.mark.parametrize("text", ["90mm", "0.5mm", "4in", "0", "9m", "3/8"])
def test_a_size_no_scion_has_is_refused_with_a_question(text):
    with pytest.raises(Refused, match="Is the unit right"):
        units.read_length(text, units.SCION_DIAMETER)


@pytest.mark.parametrize(
    "text", ["", "mm", "-5mm", "1e3mm", "9 miles", "nine", "3/0in", "9mm;", "1/2/3in", "nan", "inf"]
)
def test_what_is_no_length_is_refused(text):
    with pytest.raises(UsageProblem):
        units.read_length(text, units.SCION_DIAMETER)


@pytest.mark.parametrize("text", ["8-Mar", "03-Aug", "2027-03-08"])
def test_a_size_that_a_spreadsheet_turned_into_a_date_is_said(text):
    with pytest.raises(UsageProblem, match="spreadsheet"):
        units.read_length(text, units.SCION_DIAMETER)


def test_a_range_where_one_length_is_wanted_is_refused():
    with pytest.raises(UsageProblem, match="one length"):
        units.read_length("6-9mm", units.SCION_DIAMETER)


@given(st.integers(4, 60), st.sampled_from(["mm", "in"]))
def test_a_length_shown_reads_back_as_itself(sixteenths, unit):
    mm = round(float(Fraction(sixteenths, 16)) * 25.4, 2) if unit == "in" else float(sixteenths) / 2
    shown = units.show_length(mm, unit)
    assert mm == pytest.approx(units.read_length(shown, units.STOCK_DIAMETER), abs=0.21 if unit == "in" else 0.001)


def test_lengths_are_shown_with_their_unit():
    assert "9.5 mm" == units.show_length(9.5)
    assert "3/8 in" == units.show_length(9.52, "in")
    assert "1 1/2 in" == units.show_length(38.1, "in")
    assert "" == units.show_length(None)
    assert "6-9 mm" == units.show_range(6, 9)
    assert "5/16-3/8 in" == units.show_range(7.94, 9.52, "in")


@pytest.mark.parametrize(
    ("text", "celsius"), [("3C", 3), ("38F", 3.3), ("32 °F", 0), ("-5", -5), ("3,5 C", 3.5), ("212f", None)]
)
def test_temperatures_are_read_in_either_unit(text, celsius):
    """Fixed points: 32 F is 0 C (NIST SP 811, appendix B)."""
    if celsius is None:
        with pytest.raises(Refused):
            units.read_temperature(text)
    else:
        assert celsius == units.read_temperature(text)


@pytest.mark.parametrize(
    ("text", "percent"), [("30%", 30), ("30", 30), ("0.3", 30), ("1/3", 33), ("100%", 100), ("0", 0)]
)
def test_shares_are_read_as_whole_per_cent(text, percent):
    assert percent == units.read_share(text)


@pytest.mark.parametrize("text", ["130%", "-1%", "much", ""])
def test_what_is_no_share_is_refused(text):
    with pytest.raises(UsageProblem):
        units.read_share(text)
