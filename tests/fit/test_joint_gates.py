"""Gates and joints as arrays against every pair judged by itself."""

import math
from dataclasses import replace
from datetime import date
from itertools import product

import pytest
from fit.given import ON, judge, method, stock, wood
from hypothesis import given, settings
from hypothesis import strategies as st

from graftbook.fit.facts import NoteFacts
from graftbook.fit.joint_gates import judge_many
from graftbook.fit.joints import JointAssumptions
from graftbook.fit.match import TRUST, VERDICTS
from graftbook.trade import methods

ranges = st.one_of(st.none(), st.tuples(st.integers(8, 60), st.sampled_from([0, 0, 2, 9])).map(
    lambda pair: (pair[0] / 4, pair[0] / 4 + pair[1] / 4)))  # fmt: skip
notes = st.sampled_from([(), (NoteFacts("health", "suspect"),), (NoteFacts("rights", "mine", until=date(2027, 1, 1)),)])
woods = st.lists(
    st.builds(
        lambda size, taxon, condition, left, kind, told: wood(
            diameter_mm=size, taxon=taxon, condition=condition, sticks_left=left, kind=kind, notes=told
        ),
        ranges, st.sampled_from(["Malus domestica", "Pyrus communis", "Prunus avium"]),
        st.sampled_from([None, "sound", "mould", "dead"]), st.sampled_from([0, 3, None]),
        st.sampled_from(["dormant", "summer"]), notes,
    ), min_size=1, max_size=5,
)  # fmt: skip
stocks = st.lists(
    st.builds(
        lambda size, taxon, bark, stage, alive, told: stock(
            diameter_mm=size, taxon=taxon, clone=None, bark=bark, stage=stage, alive=alive, notes=told
        ),
        ranges, st.sampled_from(["Malus domestica", "Cydonia oblonga", "Juglans regia"]),
        st.sampled_from([None, "tight", "slipping"]), st.sampled_from([None, "dormant", "pink"]), st.booleans(), notes,
    ), min_size=1, max_size=5,
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(woods, stocks, st.lists(st.sampled_from(methods.all()), min_size=1, max_size=4), st.sampled_from([0.4, 0.8]))
def test_every_cell_says_what_judging_the_pair_says(bundles, stands, chosen, reach):
    bundles = [replace(each, code=f"W{at}") for at, each in enumerate(bundles)]
    stands = [replace(each, code=f"P{at}") for at, each in enumerate(stands)]
    many = judge_many(bundles, stands, chosen, ON, given=JointAssumptions(reach))

    for (i, bundle), (j, stand), grid in product(enumerate(bundles), enumerate(stands), many.grids):
        alone = judge(bundle, stand, grid.method, ON, given=JointAssumptions(reach))
        cell = many.wood_row[i], many.stock_column[j]
        assert alone.verdict == VERDICTS[grid.verdict[cell]]
        assert alone.score[1] == many.trust[cell]
        assert alone.score[2] == grid.doubts[cell]
        if alone.joint is None:
            assert math.isnan(grid.share[cell]) and math.isnan(grid.met[cell])
        else:
            assert pytest.approx(alone.joint.met, abs=2e-3) == grid.met[cell]


def test_woods_and_stocks_alike_but_for_their_code_are_worked_out_once():
    many = judge_many([wood(code=f"W{n}") for n in range(50)], [stock(code=f"P{n}") for n in range(70)],
                      [method("splice")], ON)  # fmt: skip

    assert (1, 1) == many.grids[0].verdict.shape
    assert (50, 70) == (len(many.wood_row), len(many.stock_column))
    assert pytest.approx(1.0) == many.grids[0].share[0, 0]
    assert TRUST[many.trust[0, 0]] in TRUST


@pytest.mark.parametrize(("bundles", "stands", "chosen"), [(0, 1, 1), (1, 0, 1), (1, 1, 0), (0, 0, 0)])
def test_nothing_to_judge_gives_empty_grids(bundles, stands, chosen):
    many = judge_many([wood()] * bundles, [stock()] * stands, [method("splice")] * chosen, ON)

    assert chosen == len(many.grids)
    assert all((bundles, stands) == grid.met.shape == grid.verdict.shape for grid in many.grids)
