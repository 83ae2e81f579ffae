"""What trials printed of take, by kind and method: the nearest answers, own rows first."""

from __future__ import annotations

import pytest

from graftbook.trade import takes
from graftbook.trade.takes import TakeRow

ROW = {"words": "mine", "basis": "own", "source": "my bench"}


def own(method, taxon, low, high):
    return TakeRow(method, taxon, low, high, None, **ROW)


def test_walnut_budded_in_three_months_is_as_printed():
    """Khajeali and Mohammadkhani (2015), J. Crop Prod. Process. 5(15): T-bud 60, 80 and 100 %, of 30 each."""
    found = takes.of("T-bud", "Juglans regia")

    assert ("kind", 0.6, 1.0, (90,)) == (found.nearness, found.low, found.high, tuple(row.grafts for row in found.rows))


@pytest.mark.parametrize(
    ("method", "taxon", "nearness"),
    [
        ("cleft", "Malus domestica", "genus"),
        ("omega", "apple", "kind"),
        ("saddle", "Malus domestica", "method"),
        ("bark", "Malus domestica", "default"),
        ("cleft", "no such tree", "method"),
    ],
)
def test_the_nearest_rows_answer(method, taxon, nearness):
    assert nearness == takes.of(method, taxon).nearness


def test_nothing_printed_is_a_working_value_and_says_so():
    found = takes.of("bark", "Malus domestica")

    assert ("from memory", 0.65) == (found.rows[0].basis, found.middle)


def test_own_rows_of_the_same_kind_answer_alone():
    found = takes.of("omega", "Malus domestica", (own("omega", "Malus domestica", 0.5, 0.6),))

    assert (0.5, 0.6, 1) == (found.low, found.high, len(found.rows))


def test_an_own_default_stands_before_the_working_value():
    found = takes.of("bark", "Malus domestica", (own("", "", 0.9, 0.95),))

    assert ("default", 0.9) == (found.nearness, found.low)


def test_an_own_row_goes_in_through_the_command_line(graftbook):
    cells = ("method=bark", "taxon=apple", "pct_min=70", "pct_max=80", "words=ours", "source=my bench 2024-26")
    assert 0 == graftbook("trade", "add", "takes", *cells).code
    done = graftbook("trade", "takes", "bark", "--json")

    assert ["bark"] == [row["method"] for row in done.rows]
    assert 2 == graftbook("trade", "add", "takes", "method=bark", "pct_min=90", "pct_max=80", "words=x").code
