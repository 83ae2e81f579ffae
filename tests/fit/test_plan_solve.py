"""The plan against every plan there is, against linear_sum_assignment, and what it says when something is in the way."""

from __future__ import annotations

import pytest
from fit.plan_given import best_of, questions
from hypothesis import assume, given, settings

from graftbook.fit.plan_check import faults
from graftbook.fit.plan_solve import plan
from graftbook.fit.plan_value import rate


@settings(max_examples=120)
@given(questions())
def test_no_plan_of_all_there_are_is_better_in_any_part_in_its_order(question):
    try:
        best = best_of(question)
    except OverflowError:
        assume(False)
    found = plan(question)
    assert () == faults(question, found.pairs)
    assert best == pytest.approx(rate(question, found.pairs).parts(), abs=2e-6)
    assert found.status in ("optimal", "none")
    for level in found.levels:
        assert level.value == pytest.approx(getattr(rate(question, found.pairs), level.name), abs=1e-9)
