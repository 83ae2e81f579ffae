"""The order a round is walked in, and what is put together."""

from datetime import date

from graftbook.actions.rounds import round_sheet
from graftbook.actions.rounds.round_sheet import DueRow


def row(code, place=None, lane=None, order=None, what="look", since=date(2027, 3, 22)):
    return DueRow(place, lane, order, code, None, None, what, since, None, "Look.", "common practice")


def test_rows_of_a_place_are_walked_as_numbers_and_wood_comes_last():
    walked = round_sheet.in_order([
        row("W1", "Shed"), row("G10", "Shed"), row("G9", "Shed"), row("G3", "Shed", "10", 1), row("G4", "Shed", "2", 2),
        row("G5", "Shed", "2", 1), row("G6"), row("G7", "Bed 12"), row("G8", "Bed 3"),
    ])  # fmt: skip
    assert ["G8", "G7", "G9", "G10", "G5", "G4", "G3", "W1", "G6"] == [each.code for each in walked]


def test_what_one_graft_wants_stays_together_in_the_order_given():
    walked = round_sheet.in_order([row("G2"), row("G1", what="rub off"), row("G1", what="judge")])
    assert [("G1", "rub off"), ("G1", "judge"), ("G2", "look")] == [(each.code, each.what) for each in walked]


def test_grafts_that_want_the_same_are_one_row_and_none_is_left_out():
    rows = [row(f"G{number}", "Shed") for number in range(1, 200, 2)] + [row("G2", "Shed", what="judge")]
    first, second = round_sheet.together(rows)
    assert (100, 1) == (first.grafts, second.grafts)
    assert 100 == len(first.codes.split(", "))
