"""How factors are said: classes of age and thickness, and the order their values stand in."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.actions.takes import factor_text


@pytest.mark.parametrize(
    ("days", "said"), [(0, "0-29 days"), (29, "0-29 days"), (30, "30-59 days"), (365, "360-389 days")]
)
def test_the_age_of_wood_is_said_in_classes_of_thirty_days(days, said):
    made = date(2027, 4, 1)
    assert said == factor_text.wood_age(date.fromordinal(made.toordinal() - days), made)


def test_wood_cut_after_it_was_grafted_or_on_no_known_day_has_no_age():
    assert factor_text.wood_age(None, date(2027, 4, 1)) is None
    assert factor_text.days_kept(date(2027, 4, 2), date(2027, 4, 1)) is None


@pytest.mark.parametrize(
    ("known", "mm"),
    [((9.0, 4.0, 12.0), 9.0), ((None, 6.0, 9.0), 7.5), ((None, 4.0, 12.0), None), ((None, None, 9.0), None),
     ((None, None, None), None)],
)  # fmt: skip
def test_a_thickness_is_what_was_measured_else_the_middle_of_a_narrow_grade(known, mm):
    assert mm == factor_text.thickness(*known)


@pytest.mark.parametrize(
    ("mm", "units", "said"),
    [(6.0, "mm", "6-8 mm"), (7.99, "mm", "6-8 mm"), (8.0, "mm", "8-10 mm"), (9.525, "in", "3/8-1/2 in"), (9.5, "in", "1/4-3/8 in")],
)  # fmt: skip
def test_a_thickness_on_the_edge_stands_in_the_class_above(mm, units, said):
    assert said == factor_text.scion_class(mm, None, None, units)


@pytest.mark.parametrize(
    ("scion", "said"),
    [(8.0, "alike within 10%"), (9.1, "scion thicker by over 10%"), (6.0, "scion thinner by 10-25%"),
     (4.0, "scion thinner by 25-50%"), (3.9, "scion thinner by over 50%"), (None, None)],
)  # fmt: skip
def test_the_difference_in_thickness_is_of_the_stock(scion, said):
    assert said == factor_text.mismatch(scion, None, None, 8.0, None, None, None)


def test_values_stand_by_the_size_of_the_numbers_in_them():
    for ordered in (
        [None, "0-29 days", "60-89 days", "120-149 days"], ["1/8-1/4 in", "1/4-3/8 in", "3/8-1/2 in", "1 1/8-1 1/4 in"],
        ["W2", "W10"], ["2026-W50", "2027-W09", "2027-W14"], ["Field 9", "field 10"],
    ):  # fmt: skip
        assert ordered == sorted(ordered[::-1], key=factor_text.sort_key)


@given(st.lists(st.text(max_size=12)))
def test_any_values_can_be_put_in_order(values):
    assert len(values) == len(sorted([*values, None], key=factor_text.sort_key)) - 1
