"""Many joints at once against the plain path for one."""

import pytest
from fit.given import ON, best_first, judge, method, stock, wood
from hypothesis import given, settings
from hypothesis import strategies as st

from graftbook.fit import joint_batch
from graftbook.fit.joint_curves import ONE
from graftbook.fit.joint_kinds import Sizes, cut_of, face_of
from graftbook.fit.joint_many import best_places
from graftbook.fit.joint_search import best_place
from graftbook.fit.joints import JointAssumptions, best_joint
from graftbook.fit.match import judge_all
from graftbook.trade import methods

MODELLED = [m.method for m in methods.all() if cut_of(m) is not None]
pairs = st.lists(
    st.tuples(st.floats(3, 20), st.floats(3, 60), st.floats(0.2, 1.4), st.floats(0.2, 1.4)), min_size=1, max_size=6
)


@settings(max_examples=40)
@given(st.sampled_from(MODELLED), pairs, st.floats(0.1, 1.5))
def test_arrays_find_the_place_that_plain_numbers_find(name, sizes, reach):
    import numpy as np

    cut = cut_of(method(name))
    found = best_places(cut, Sizes(*np.array(sizes).T), reach)

    for at, each in enumerate(sizes):
        alone = best_place(face_of(cut, Sizes(*each), ONE), reach)
        assert pytest.approx(alone.share, abs=1e-3) == found.share[at]
        assert (
            pytest.approx(alone.shift_mm, abs=1e-3) == found.shift_mm[at]
            or pytest.approx(alone.share, abs=0.004) == found.share[at]
        )


def test_places_come_back_in_the_order_asked():
    import numpy as np

    scions = np.array([8.0, 6.0, 8.0, 6.0, 7.0])
    found = best_places(
        cut_of(method("splice")), Sizes(scions, scions[::-1] + 2, scions * 0 + 0.8, scions * 0 + 0.9), 0.5
    )

    assert found.share[1] != found.share[0]
    assert (5,) == found.share.shape == found.shift_mm.shape


def test_no_pairs_give_no_places():
    import numpy as np

    assert 0 == len(best_places(cut_of(method("splice")), Sizes(*(np.empty(0) for _ in range(4))), 0.5).share)


def test_a_batch_gives_what_each_joint_alone_gives():
    keys = [
        (m, (d, d + 1.5), (stand, stand), "Malus domestica", "Cydonia oblonga")
        for m in methods.all() for d in (5.0, 8.0) for stand in (8.0, 30.0)
    ]  # fmt: skip
    given_ = JointAssumptions(0.6)

    assert {key: best_joint(*key, given_) for key in keys} == joint_batch.many(keys, given_)


def test_judging_so_many_that_arrays_are_used_gives_what_judging_each_alone_gives():
    woods = [wood(code="W1", diameter_mm=(6.0, 9.0))]
    stocks = [stock(code=f"P{n}", diameter_mm=(5 + n / 2, 5 + n / 2)) for n in range(12)]
    chosen = methods.all()
    judged = judge_all(woods, stocks, chosen, ON)

    assert len({each.joint for each in judged}) > joint_batch.BATCH
    assert tuple(judge(woods[0], each, m, ON) for each in stocks for m in chosen) == judged


def test_after_the_gates_the_better_joint_comes_first():
    woods = [wood(code=f"W{n}", diameter_mm=(size, size)) for n, size in enumerate((7.2, 8.0, 7.6), 1)]
    ranked = best_first(judge_all(woods, [stock()], [method("whip-and-tongue")], ON))

    assert ["W2", "W3", "W1"] == [each.wood.code for each in ranked]
    assert 1.0 == ranked[0].joint.share


def test_a_pair_that_does_not_go_or_is_not_measured_has_no_joint():
    assert judge(wood(), stock(alive=False), method("splice"), ON).joint is None
    assert judge(wood(diameter_mm=None), stock(), method("splice"), ON).joint is None
    assert judge(wood(), stock(), method("bridge"), ON).joint is None
