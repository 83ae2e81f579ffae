"""The order of pairs, and that judging many gives what judging one by one does."""

import subprocess
import sys
from dataclasses import replace
from itertools import product

import pytest
from fit.given import ON, best_first, judge, method, stock, wood
from hypothesis import given, settings
from hypothesis import strategies as st

from graftbook.fit.facts import KeepingFacts
from graftbook.fit.joints import JointAssumptions
from graftbook.fit.match import POOR, judge_all, judging_best, mismatch
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


sizes = st.tuples(st.floats(3, 20), st.floats(0, 4)).map(lambda pair: (pair[0], sum(pair)))


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(sizes, st.sampled_from(["dormant", "summer"])), max_size=3),
       st.lists(st.tuples(st.one_of(st.none(), sizes.map(lambda size: (3 * size[0], 3 * size[1]))),
                          st.sampled_from([None, "tight", "slipping"])), max_size=4))  # fmt: skip
def test_the_best_method_of_each_pair_is_the_first_by_choice_of_all(bundles, stands):
    woods = [wood(code=f"W{n}", diameter_mm=size, kind=kind) for n, (size, kind) in enumerate(bundles)]
    stocks = [stock(code=f"P{n}", diameter_mm=size, bark=bark) for n, (size, bark) in enumerate(stands)]
    every = judge_all(woods, stocks, methods.all(), ON)
    by_pair = {}
    for each in every:
        by_pair.setdefault((each.wood.code, each.stock.code), []).append(each)

    found = list(judging_best(woods, stocks, methods.all(), ON))
    assert [min(group, key=lambda each: each.choice) for group in by_pair.values()] == found


def chosen_for(stand, **changes):
    return next(judging_best([wood(**changes)], [stock(**stand)], methods.all(), ON)).method.method


def test_methods_alike_in_doubts_keep_the_order_of_the_table_and_a_whip_goes_before_a_chip():
    # Common practice: a little thinner is still a whip-and-tongue, and a scion of dormant wood has buds to spare.
    assert "whip-and-tongue" == chosen_for({"diameter_mm": (8.6, 8.6)})
    assert "cleft" == chosen_for({"diameter_mm": (40.0, 40.0)})
    assert "modified-cleft" == chosen_for({"diameter_mm": (14.0, 14.0)})


def test_summer_wood_is_budded():
    # Common practice: budwood of the year goes on as chips or shields.
    growing = {"stage": "growing", "bark": "slipping", "diameter_mm": (10.0, 10.0)}

    assert chosen_for(growing, kind="summer", cut_on=ON, age_days=0, keeping=None) in ("chip-bud", "T-bud")


def test_a_poor_joint_is_passed_over_for_a_method_that_meets_more():
    no_limits = {"ratio_ok": (None, 1.0), "stock_ok": (None, None), "scion_ok": (None, None)}
    splice, veneer = (replace(method(name), **no_limits) for name in ("splice", "side-veneer"))
    thick, stout = stock(diameter_mm=(38.0, 38.0)), wood(diameter_mm=(13.0, 13.0))
    judged = judge_all([stout], [thick], [splice, veneer], ON)

    assert judged[0].joint.of_aim < POOR <= judged[1].joint.of_aim
    assert judged[0].score[:3] == judged[1].score[:3]
    assert "side-veneer" == next(judging_best([stout], [thick], [splice, veneer], ON)).method.method


def test_the_gates_alone_can_be_had_without_joints():
    alone, whole = (
        judge_all([wood()], [stock()], [method("splice")], ON, given=g)[0] for g in (None, JointAssumptions())
    )

    assert (None, 1.0) == (alone.joint, whole.joint.share)
    assert (whole.gates, whole.verdict) == (alone.gates, alone.verdict)


def test_ten_grafts_are_matched_without_loading_numbers_of_others():
    code = (
        "import sys; sys.path.insert(0, 'tests')\n"
        "from fit.given import ON, stock, wood\n"
        "from graftbook.fit.match import judging_best\n"
        "from graftbook.trade import methods\n"
        "stocks = [stock(code=f'P{n}', diameter_mm=(6.0 + n, 6.0 + n)) for n in range(10)]\n"
        "print(len(list(judging_best([wood(diameter_mm=(5.0, 9.0))], stocks, methods.all(), ON))))\n"
        "print(*({'numpy', 'scipy'} & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert ("10\n\n", "", 0) == (run.stdout, run.stderr, run.returncode)


def test_nothing_to_judge_gives_nothing():
    assert () == judge_all([], [stock()], methods.all(), ON)
    assert () == judge_all([wood()], [], methods.all(), ON)
    assert () == best_first([])
    assert [] == list(judging_best([wood()], [stock()], [], ON))


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
