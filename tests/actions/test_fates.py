"""What became of a graft beyond its endpoint, from stories one can read."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.actions.outcome.alive import End
from graftbook.actions.outcome.endpoints import BLAMES, ENDPOINTS, OUTCOMES, RULES, Frame, end_outcome, fate
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
    found = fate(looks(story), FRAME, "took", None)
    assert (false, late, loss) == (found.false_take, found.late_take, found.loss)


@pytest.mark.parametrize(
    ("fault", "loss"), [("yes", "union"), ("no", "not_union"), ("unsure", "unsure"), (None, "unsure")]
)
def test_a_loss_is_put_down_to_what_was_said_of_the_union(fault, loss):
    assert loss == fate(looks("06-15 dead", fault), FRAME, "took", None).loss
    assert loss == fate([*looks("06-15 dead", fault), *looks("08-01 not-found")], FRAME, "took", None).loss


HOME, DEAD = End(date(2027, 7, 1), "gone home"), End(date(2027, 7, 1), "dead")


def test_what_waits_and_went_home_is_not_known():
    assert "unknown" == fate((), FRAME, "took", HOME).outcome
    assert "waiting" == fate((), FRAME, "took", None).outcome
    assert "yes" == fate(looks("08-01 growing"), FRAME, "took", HOME).outcome
    assert "unknown" == fate(looks("06-15 growing"), FRAME, "standing", HOME).outcome


def test_what_died_with_its_host_is_lost_unless_it_got_there_before_and_stands_nowhere():
    assert ("lost", "not_union") == (fate((), FRAME, "took", DEAD).outcome, fate((), FRAME, "took", DEAD).loss)
    grew = fate(looks("06-15 growing"), FRAME, "took", DEAD)
    assert ("yes", "not_union", False) == (grew.outcome, grew.loss, grew.false_take)
    assert "lost" == fate(looks("06-15 growing"), FRAME, "standing", DEAD).outcome
    assert "lost" == fate(looks("06-15 not-found"), FRAME, "took", DEAD).outcome
    failed = fate(looks("06-15 dead", "yes"), FRAME, "took", DEAD)
    assert ("failed", "union") == (failed.outcome, failed.loss)


STORIES = st.lists(
    st.tuples(
        st.integers(1, 400).map(lambda days: date(2027, 4, 1) + timedelta(days)),
        st.sampled_from(STATES), st.sampled_from((None, *UNION_WORDS)),
    ),
    max_size=6,
).map(lambda story: sorted(story, key=lambda look: look[0]))  # fmt: skip


@given(STORIES, st.sampled_from(ENDPOINTS), st.sampled_from((None, HOME, DEAD)))
def test_the_fate_holds_the_endpoints_outcome_and_nothing_that_contradicts_it(story, endpoint, ended):
    found = fate(story, FRAME, endpoint, ended)
    assert found.outcome in OUTCOMES
    own = RULES[endpoint][0](story, FRAME)
    decided = own in ("failed", "lost") or (own == "yes" and endpoint != "standing")
    assert found.outcome == (own if ended is None or decided else {HOME: "unknown", DEAD: "lost"}[ended])
    assert found.loss in (None, *BLAMES)
    if ended is DEAD:
        assert found.loss is not None
        # What its own looks did not see gone did not die of its union.
        assert found.loss == "not_union" or end_outcome(story) in ("failed", "lost")
    else:
        assert found.loss == fate(story, FRAME, endpoint, None).loss
    assert not (found.false_take and found.late_take)
    assert not found.false_take or found.loss is not None
    if endpoint == "took" and found.false_take:
        assert found.outcome in ("failed", "lost")
