"""Sizes against printed limits and the trade's rules of thumb."""

import pytest
from fit.given import ON, judge, method, stock, wood
from hypothesis import given
from hypothesis import strategies as st

from graftbook.fit.sizes import too_thick
from graftbook.trade import methods


def gates(wood_, stock_, name):
    return {gate.name: gate for gate in judge(wood_, stock_, method(name), ON).gates}


def sizes(scion_mm, stock_mm, name="whip-and-tongue", scion_to=None, stock_to=None):
    return gates(
        wood(diameter_mm=(scion_mm, scion_to if scion_to is not None else scion_mm)),
        stock(diameter_mm=(stock_mm, stock_to if stock_to is not None else stock_mm)),
        name,
    )


@pytest.mark.parametrize("inches", [1 / 4, 5 / 16, 3 / 8, 7 / 16, 1 / 2])
def test_whip_sizes_of_north_dakota_state_university_pass(inches):
    # North Dakota State University Extension prints 1/4 to 1/2 in for whip grafts, scion and stock alike.
    found = sizes(inches * 25.4, inches * 25.4)

    assert {"pass"} == {found[name].outcome for name in ("stock diameter", "scion diameter", "ratio")}


def test_a_whip_scion_thicker_than_the_stock_is_refused():
    # North Dakota State University Extension: the scion of a whip graft is never thicker than its stock.
    assert "no" == sizes(10, 8)["ratio"].outcome


def test_a_thinner_whip_scion_is_a_caution_that_says_to_line_up_one_side():
    # North Dakota State University Extension: where the stock is thicker, match one side only.
    found = sizes(6.5, 10)["ratio"]

    assert "caution" == found.outcome
    assert "one side" in found.reason


def test_a_cleft_of_64_mm_passes_and_a_thicker_one_is_a_caution_naming_who_prints_the_limit():
    # North Carolina State University AG-396 prints up to 2 1/2 in (63.5 mm) for clefts, scions about 1/4 in.
    fits, over = sizes(6.35, 63.5, "cleft"), sizes(6.35, 76.2, "cleft")

    assert ("pass", "pass", "pass") == tuple(fits[n].outcome for n in ("stock diameter", "scion diameter", "ratio"))
    assert "caution" == over["stock diameter"].outcome
    assert "up to 63.5 mm" in over["stock diameter"].reason


def test_disagreeing_sources_never_bar_a_stock_size_by_themselves():
    # Bailey prints 1 to 2 in for clefts, a garden page 2 1/2 to 10 in: limits are soft.
    for millimetres in (3, 20, 51, 254, 400):
        assert sizes(2, millimetres, "cleft")["stock diameter"].outcome in ("pass", "caution")


def test_bark_grafts_pass_at_the_sizes_of_new_mexico_and_oklahoma():
    # New Mexico State University H-623: stock 1 1/2 to 3 1/2 in; Oklahoma State University: scion 3/8 to 1/2 in.
    for inches in (1.5, 2.5, 3.5):
        found = sizes(9.525, inches * 25.4, "bark")
        assert ("pass", "pass", "pass") == tuple(
            found[n].outcome for n in ("stock diameter", "scion diameter", "ratio")
        )


def test_four_flap_takes_a_scion_up_to_3_mm_thicker_and_no_other_like_size_method_does():
    # Oklahoma State University HLA-6230 and Kansas (Reid): the four-flap scion slightly thicker, by 3 mm at most.
    assert "pass" == sizes(16.5, 15, "four-flap")["ratio"].outcome
    assert "caution" == sizes(18, 15, "four-flap")["ratio"].outcome
    assert "no" == sizes(20, 15, "four-flap")["ratio"].outcome
    for name in ("whip-and-tongue", "splice", "saddle", "modified-cleft", "side-veneer", "chip-bud", "T-bud", "cleft"):
        assert "no" == sizes(16.5, 15, name)["ratio"].outcome, name


def test_t_buds_go_on_stocks_of_a_quarter_to_one_inch():
    # University of Missouri G6972: T-buds on stock of 1/4 to 1 in.
    for millimetres in (6.35, 12.7, 25.0):
        assert "pass" == sizes(6, millimetres, "T-bud")["stock diameter"].outcome


@given(st.floats(1, 50), st.floats(1, 200), st.sampled_from([m.method for m in methods.all()]))
def test_only_a_scion_thicker_than_its_stock_is_ever_refused_for_size(scion, stand, name):
    # Common practice: sizes outside a limit are warned of; a scion thicker than its stock is not set.
    found = sizes(scion, stand, name)

    assert "no" not in (found["stock diameter"].outcome, found["scion diameter"].outcome)
    if found["ratio"].outcome == "no":
        assert scion > stand


def test_wood_half_a_millimetre_thicker_is_within_the_roundness_of_wood():
    chosen = method("whip-and-tongue")

    assert not too_thick((8.5, 8.5), (8.0, 8.0), chosen)
    assert too_thick((8.6, 8.6), (8.0, 8.0), chosen)


def test_unlike_sticks_pass_when_some_fit_and_the_reason_says_which_to_pick():
    found = sizes(6, 8, scion_to=10)["ratio"]

    assert "pass" == found.outcome
    assert "Pick sticks of 7.2-8 mm." in found.reason


def test_graded_stocks_pass_with_each_scion_to_be_matched_to_its_stock():
    found = sizes(6, 8, scion_to=10, stock_to=10)["ratio"]

    assert "pass" == found.outcome
    assert "Pick sticks of 7.2-10 mm, each matched to its stock." in found.reason


def test_a_range_that_lies_partly_inside_the_limits_passes_with_the_part_to_pick():
    found = sizes(4, 8, scion_to=9)

    assert "pass" == found["scion diameter"].outcome
    assert "Pick 6-9 mm." in found["scion diameter"].reason


def test_sticks_that_suit_the_stock_but_not_the_method_are_a_caution():
    found = sizes(4, 4.5, scion_to=9)["ratio"]

    assert "caution" == found.outcome
    assert "None of them is of the 6-13 mm" in found.reason


def test_a_diameter_not_known_is_unknown_and_asks_for_measuring():
    for wood_, stock_ in ((wood(diameter_mm=None), stock()), (wood(), stock(diameter_mm=None))):
        found = gates(wood_, stock_, "whip-and-tongue")
        assert "unknown" == found["ratio"].outcome
        assert "measure" in found["ratio"].reason
    assert "unknown" == gates(wood(), stock(diameter_mm=None), "whip-and-tongue")["stock diameter"].outcome
    assert "unknown" == gates(wood(diameter_mm=None), stock(), "whip-and-tongue")["scion diameter"].outcome


def test_a_method_without_a_rule_of_thickness_says_so():
    found = sizes(8, 300, "bridge")

    assert ("pass", "pass") == (found["stock diameter"].outcome, found["ratio"].outcome)
    assert "sets no rule" in found["ratio"].reason


def test_reasons_are_in_inches_for_a_book_in_inches():
    quarter = judge(wood(diameter_mm=(6.35, 6.35)), stock(), method("cleft"), ON, unit="in")
    found = {gate.name: gate.reason for gate in quarter.gates}

    assert "W7 is 1/4 in" in found["scion diameter"]
    assert " mm" not in "".join(found.values())


@pytest.mark.parametrize("name", [m.method for m in methods.all()])
def test_every_method_can_be_judged_and_gives_whole_sentences(name):
    for gate in judge(wood(), stock(), method(name), ON).gates:
        assert gate.reason.endswith(".")
        assert not gate.reason[0].islower()
