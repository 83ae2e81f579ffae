"""What became of a graft beyond its endpoint, from stories one can read."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.actions.outcome.endpoints import BLAMES, ENDPOINTS, OUTCOMES, RULES, Frame, fate
from graftbook.book.grafts import STATES, UNION_WORDS

FRAME = Frame(date(2027, 4, 1), date(2027, 5, 31), date(2027, 10, 31), date(2027, 11, 30))


def looks(text, fault=None):
    """`05-20 pushing, 07-01 dead` as looks in 2027, the fault on the last."""
    parts = [part.split() for part in text.split(",")]
    return [
        (date.fromisoformat(f"2027-{on}"), state, fault if place == len(parts) else None)
        for place, (on, state) in enumerate(parts, 1)
    ]


@pytest.mark.parametrize(
    ("story", "false", "late", "loss"),
    [
        ("05-10 pushing,06-15 dead", True, False, "unsure"), ("05-10 growing,06-15 dead", True, False, "unsure"),
        ("06-15 growing,09-01 dead", False, False, "unsure"), ("05-10 swelling,06-15 dead", False, False, "unsure"),
        ("05-10 pushing,06-15 dead,08-01 not-found", True, False, "unsure"), ("05-10 pushing,06-15 not-found", False, False, None),
        ("05-10 pushing,06-15 shrivelled", False, False, None), ("05-10 no-movement,07-15 growing", False, True, None),
        ("05-10 dead,07-15 growing", False, True, None), ("05-10 swelling,07-15 growing", False, False, None),
        ("05-10 no-movement,05-20 growing", False, False, None), ("08-28 set,04-01 not-set", False, False, "unsure"),
    ],
)  # fmt: skip
def test_false_takes_late_takes_and_losses(story, false, late, loss):
    found = fate(looks(story), FRAME, "took", False)
    assert (false, late, loss) == (found.false_take, found.late_take, found.loss)


@pytest.mark.parametrize(
    ("fault", "loss"), [("yes", "union"), ("no", "not_union"), ("unsure", "unsure"), (None, "unsure")]
)
def test_a_loss_is_put_down_to_what_was_said_of_the_union(fault, loss):
    assert loss == fate(looks("06-15 dead", fault), FRAME, "took", False).loss
    assert loss == fate([*looks("06-15 dead", fault), *looks("08-01 not-found")], FRAME, "took", False).loss


def test_what_waits_and_went_home_is_not_known():
    assert "unknown" == fate((), FRAME, "took", True).outcome
    assert "waiting" == fate((), FRAME, "took", False).outcome
    assert "yes" == fate(looks("08-01 growing"), FRAME, "took", True).outcome


STORIES = st.lists(
    st.tuples(
        st.integers(1, 400).map(lambda days: date(2027, 4, 1) + timedelta(days)),
        st.sampled_from(STATES), st.sampled_from((None, *UNION_WORDS)),
    ),
    max_size=6,
).map(lambda story: sorted(story, key=lambda look: look[0]))  # fmt: skip


@given(STORIES, st.sampled_from(ENDPOINTS), st.booleans())
def test_the_fate_holds_the_endpoints_outcome_and_nothing_that_contradicts_it(story, endpoint, home):
    found = fate(story, FRAME, endpoint, home)
    assert found.outcome in OUTCOMES
    own = RULES[endpoint][0](story, FRAME)
    assert found.outcome == own or (home and (own, found.outcome) == ("waiting", "unknown"))
    assert found.loss in (None, *BLAMES)
    assert not (found.false_take and found.late_take)
    assert not found.false_take or found.loss is not None
    if endpoint == "took" and found.false_take:
        assert found.outcome in ("failed", "lost")
