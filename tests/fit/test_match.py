"""The order of pairs, and that judging many gives what judging one by one does."""

from itertools import product

import pytest
from fit.given import ON, method, stock, wood
from hypothesis import given
from hypothesis import strategies as st

from graftbook.fit import KeepingFacts, best_first, judge, judge_all
from graftbook.fit.match import mismatch
from graftbook.trade import methods, pairs


def order(woods, stocks, names=("whip-and-tongue",)):
    found = best_first(judge_all(woods, stocks, [method(name) for name in names], ON))
    return [judgement.wood.code for judgement in found]


def sized(code, millimetres, **changes):
    return wood(code=code, diameter_mm=(millimetres, millimetres), **changes)


def test_a_scion_of_the_stocks_diameter_or_slightly_thinner_ranks_best():
    # Common practice.
    woods = [sized("W1", 6.2), sized("W2", 12), sized("W3", 9.5), sized("W4", 10), sized("W5", 9)]

    assert ["W4", "W3", "W5", "W1", "W2"] == order(woods, [stock(diameter_mm=(10, 10))])


def test_a_scion_a_little_too_thick_ranks_below_one_as_much_too_thin():
    chosen = method("whip-and-tongue")
    stand = stock(diameter_mm=(10, 10))

    assert 0.05 == mismatch(sized("W1", 9.5), stand, chosen)
    assert 0.1 == mismatch(sized("W2", 10.5), stand, chosen)


def test_four_flap_ranks_a_slightly_thicker_scion_with_the_best():
    # Oklahoma State University HLA-6230: the four-flap scion slightly thicker than the stock.
    stand, chosen = stock(diameter_mm=(15, 15)), method("four-flap")

    assert 0.0 == mismatch(sized("W1", 16.5), stand, chosen)
    assert mismatch(sized("W2", 13), stand, chosen) > 0


def test_pairs_without_doubts_come_before_cautions_and_those_before_pairs_that_do_not_go():
    woods = [wood(code="W1", condition="dead"), wood(code="W2", condition="mould"), wood(code="W3")]

    assert ["W3", "W2", "W1"] == order(woods, [stock()])


def test_fewer_cautions_come_first():
    woods = [wood(code="W1", condition="mould", age_days=130), wood(code="W2", age_days=130)]

    assert ["W2", "W1"] == order(woods, [stock()])


def test_among_equals_the_wood_that_goes_off_first_comes_first():
    woods = [
        wood(code="W1"),
        wood(code="W2", age_days=80),
        wood(code="W3", keeping=KeepingFacts(80, 100)),
        wood(code="W4", age_days=70),
    ]

    assert ["W3", "W2", "W4", "W1"] == order(woods, [stock()])


def test_a_like_size_method_comes_before_one_for_thin_scions_on_thick_stock():
    found = best_first(judge_all([wood()], [stock()], methods.all(), ON))

    assert found[0].method.method in ("whip-and-tongue", "splice", "saddle", "omega")


def test_equal_pairs_keep_the_order_given():
    assert ["W2", "W1"] == order([wood(code="W2"), wood(code="W1")], [stock()])


@pytest.mark.parametrize("missing", ["wood", "stock"])
def test_a_diameter_not_known_ranks_last_among_those_that_go(missing):
    unknown = {"diameter_mm": None}
    score = judge(
        wood(**(unknown if missing == "wood" else {})),
        stock(**(unknown if missing == "stock" else {})),
        method("whip"),
        ON,
    ).score

    assert ("caution", 1.0) == (("yes", "caution", "no")[score[0]], score[3])


def test_judging_many_gives_what_judging_each_alone_gives():
    woods = [sized("W1", 8), sized("W2", 12, condition="mould"), wood(code="W3", taxon="Prunus avium", kind="summer")]
    stocks = [
        stock(),
        stock(code="P2", taxon="Prunus avium", clone=None, diameter_mm=(6, 9), stage="pink", bark=None),
        stock(code="P3", alive=False),
    ]
    chosen = methods.all()

    assert [judge(*pair, ON) for pair in product(woods, stocks, chosen)] == list(judge_all(woods, stocks, chosen, ON))


def test_nothing_to_judge_gives_nothing():
    assert () == judge_all([], [stock()], methods.all(), ON)
    assert () == judge_all([wood()], [], methods.all(), ON)
    assert () == best_first([])


def test_compatibility_is_looked_up_once_for_each_pair_of_kinds(monkeypatch):
    asked = []
    real = pairs.verdict
    monkeypatch.setattr(pairs, "verdict", lambda *key, own=(): asked.append(key) or real(*key, own=own))

    judge_all([sized(f"W{n}", n) for n in range(5, 15)], [stock(code=f"P{n}") for n in range(10)], methods.all(), ON)

    assert [("Malus domestica", None, "Malus domestica", "MM.106")] == asked


@given(
    st.floats(1, 50),
    st.floats(1, 50),
    st.floats(1, 300),
    st.floats(0, 100),
    st.sampled_from([m.method for m in methods.all()]),
)
def test_mismatch_lies_between_0_and_1_and_an_equal_scion_has_none(scion, other, stand, more, name):
    chosen = method(name)
    found = mismatch(
        wood(diameter_mm=(min(scion, other), max(scion, other))), stock(diameter_mm=(stand, stand + more)), chosen
    )
    equal = mismatch(wood(diameter_mm=(stand, stand)), stock(diameter_mm=(stand, stand)), chosen)

    assert 0 <= found <= 1
    if chosen.ratio_ok == (None, None) or (chosen.ratio_ok[1] or 1) >= 1:
        assert 0 == equal


def test_a_union_that_lasts_ranks_before_one_that_is_known_to_part():
    """Pear on quince is used everywhere and pear on apple parts in time (University of California; Extension Foundation)."""
    pear = wood(taxon="Pyrus communis", cultivar=None)
    quince, apple = (
        stock(code=code, taxon=taxon, clone=None)
        for code, taxon in (("P1", "Cydonia oblonga"), ("P2", "Malus domestica"))
    )
    ranked = best_first(judge_all((pear,), (apple, quince), (method("whip"),), ON))
    assert ["P1", "P2"] == [judgement.stock.code for judgement in ranked]
