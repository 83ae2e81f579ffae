"""Cutting sticks: every way against brute force, and what a piece may be."""

from itertools import product

import pytest
from fit.given import method
from hypothesis import given, settings
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.fit.cutting import SHORTEST_BUD_MM, Rules, Stick, Way, check, next_piece, patterns
from graftbook.trade import methods

sticks = st.builds(
    lambda butt, taper, length, spacing: Stick(butt, butt * taper, length, max(1, int(length * 0.9 / spacing))),
    st.floats(4, 14), st.floats(0.4, 1.0), st.floats(80, 400), st.floats(25, 60),
)  # fmt: skip
chosen = st.sampled_from([None, *(m for m in methods.all() if not m.is_bud)])
buds = st.sampled_from([(1,), (2,), (3,), (1, 2), (2, 3), (1, 2, 3), (3, 1)])


@settings(max_examples=60)
@given(sticks, chosen, buds)
def test_pieces_never_overlap_buds_add_up_and_diameters_fall_from_butt_to_tip(stick, by, allowed):
    rules = Rules(allowed, by)
    for way in every_way(stick, rules):
        end, thick, used = 0.0, stick.butt_mm, 0
        for piece in way.pieces:
            assert piece.from_mm >= end - 1e-9
            assert thick + 1e-9 >= piece.butt_mm >= piece.tip_mm >= stick.tip_mm - 1e-9
            assert piece.length_mm >= rules.shortest(piece.butt_mm) - 1e-6
            assert piece.buds in allowed
            end, thick, used = piece.to_mm, piece.tip_mm, used + piece.buds + piece.lost
        assert end <= stick.length_mm * 0.9 + 1e-9
        assert stick.buds == used + way.left_over
        assert all(next_piece(stick, rules, used, each) is None for each in allowed)


def every_way(stick, rules=Rules(), taken=(), used=0):
    """Every whole way to cut a stick, one after another; ways that differ in the order of their pieces count as two."""
    check(stick, rules)
    pieces = [next_piece(stick, rules, used, each) for each in sorted(set(rules.buds), reverse=True)]
    if not any(pieces):
        yield Way(taken, stick.buds - used)
    for piece in filter(None, pieces):
        yield from every_way(stick, rules, (*taken, piece), used + piece.buds + piece.lost)


def brute(stick, rules):
    """Every row of scions tried one by one, the whole ones kept."""
    held = set()
    for many in range(stick.buds + 1):
        for row in product(rules.buds, repeat=many):
            used = 0
            for each in row:
                piece = next_piece(stick, rules, used, each)
                if piece is None:
                    break
                used += piece.buds + piece.lost
            else:
                if all(next_piece(stick, rules, used, each) is None for each in rules.buds):
                    held.add(row)
    return held


@settings(max_examples=40)
@given(st.integers(1, 7), st.floats(25, 60), chosen, st.sampled_from([(1, 2, 3), (2, 3), (3,)]))
def test_every_way_of_a_small_stick_is_found_once(count, spacing, by, allowed):
    stick, rules = Stick(9.0, 6.0, count * spacing / 0.9, count), Rules(allowed, by)
    found = [tuple(piece.buds for piece in way.pieces) for way in every_way(stick, rules)]

    assert len(found) == len(set(found))
    assert brute(stick, rules) == set(found)


@given(st.integers(1, 12))
def test_where_buds_stand_far_apart_the_ways_are_the_sums_of_one_two_and_three(count):
    # Compositions into parts of at most three: each number is the sum of the three before it (1, 2, 4, 7, 13 ...).
    ways = [1, 2, 4]
    while len(ways) < count:
        ways.append(sum(ways[-3:]))

    assert ways[count - 1] == sum(1 for _ in every_way(Stick(9, 6, 100 * count, count)))


@settings(max_examples=40)
@given(sticks, chosen)
def test_patterns_are_whole_ways_that_differ_in_their_scions(stick, by):
    rules = Rules(method=by)
    found = [tuple(piece.buds for piece in way.pieces) for way in patterns(stick, rules)]

    assert len(found) == len({tuple(sorted(row)) for row in found})
    assert set(found) <= {tuple(piece.buds for piece in way.pieces) for way in every_way(stick, rules)}
    assert all(tuple(sorted(row, reverse=True)) == row for row in found)


def test_the_thickness_of_a_piece_is_read_off_an_even_taper():
    # 300 mm from 9 to 6 mm is a hundredth of a mm a mm; 9 buds stand 30 mm apart on 270 mm.
    first, second, third = next(iter(every_way(Stick(9.0, 6.0, 300.0, 9), Rules((3,))))).pieces

    assert (0.0, 90.0, 9.0, 8.1) == tuple(
        round(v, 6) for v in (first.from_mm, first.to_mm, first.butt_mm, first.tip_mm)
    )
    assert (8.1, 7.2) == (round(second.butt_mm, 6), round(second.tip_mm, 6))
    assert 6.3 == round(third.tip_mm, 6)


def test_wood_of_close_buds_is_taken_for_the_cut_and_its_buds_are_lost():
    piece = next_piece(Stick(8.0, 8.0, 200.0, 18), Rules((1,), method("whip-and-tongue")), 0, 1)

    # 32 mm of cut and 15 mm above it want five internodes of 10 mm.
    assert (1, 4, 50.0) == (piece.buds, piece.lost, piece.length_mm)


def test_a_bud_wants_the_shortest_chip_that_is_printed_and_one_bud_only():
    # North Carolina State University prints a chip face of 19 mm; the University of Florida a shield from 19 mm.
    assert 19.0 == SHORTEST_BUD_MM == Rules((1,), method("chip-bud")).shortest(8.0)
    with pytest.raises(UsageProblem, match="one bud for T-bud; found 2"):
        patterns(Stick(9, 6, 300, 8), Rules((2,), method("T-bud")))


def test_a_stick_too_short_for_any_scion_gives_one_way_with_none():
    assert [((), 1)] == [(way.pieces, way.left_over) for way in every_way(Stick(6, 5, 30, 1))]


@pytest.mark.parametrize(
    ("stick", "rules", "said"),
    [
        (Stick(9, 6, 100, 30), Rules(), "at most 22 sound buds on 100 mm; found 30"),
        (Stick(6, 9, 300, 8), Rules(), "a tip no thicker than the butt; found butt 6 mm and tip 9 mm"),
        (Stick(0, 0, 300, 8), Rules(), "a butt above 0 mm; a tip above 0 mm; found 0 mm; 0 mm"),
        (Stick(9, 6, 0, 8), Rules(), "a length above 0 mm"), (Stick(9, 6, -5, 8), Rules(), "a length above 0 mm"),
        (Stick(9, 6, float("inf"), 8), Rules(), "a length above 0 mm; found inf"),
        (Stick(9, 6, 300, 0), Rules(), "at least one sound bud"), (Stick(float("nan"), 6, 300, 8), Rules(), "a butt above"),
        (Stick(9, 6, 300, 8), Rules(()), "scions of one bud or more; found none"),
        (Stick(9, 6, 300, 8), Rules((0, 2)), "scions of one bud or more; found 0, 2"),
    ],
)  # fmt: skip
def test_a_stick_that_cannot_be_is_refused_with_all_that_is_wrong(stick, rules, said):
    for ways in (patterns, lambda *both: list(every_way(*both))):
        with pytest.raises(UsageProblem, match=said):
            ways(stick, rules)
