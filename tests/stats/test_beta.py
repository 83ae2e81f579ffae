"""The beta distribution, against scipy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from graftbook.stats.beta import below, quantile

SHAPES = st.one_of(st.floats(0.5, 60), st.floats(60, 50_000))


@given(st.floats(0, 1), SHAPES, SHAPES)
def test_the_chance_to_lie_below_against_scipy(x, a, b):
    assert special.betainc(a, b, x) == pytest.approx(below(x, a, b), abs=1e-9)


@given(st.floats(1e-6, 1 - 1e-6), SHAPES, SHAPES)
def test_quantiles_against_scipy(chance, a, b):
    assert special.betaincinv(a, b, chance) == pytest.approx(quantile(chance, a, b), abs=1e-10)


def test_the_ends_are_certain():
    assert (0.0, 1.0) == (below(0.0, 2, 3), below(1.0, 2, 3))
    assert 0.5 == pytest.approx(below(0.5, 7, 7))
