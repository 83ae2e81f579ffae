"""What became of a graft, by the written rules, from every story a graft can have."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.actions.outcome.endpoints import OUTCOMES, RULES, Frame
from graftbook.book.grafts import STATES

MADE = date(2027, 4, 1)
NOVEMBER = date(2027, 11, 30)


def frame(as_of=NOVEMBER, made=MADE, days=60, season_end=date(2027, 10, 31)):
    return Frame(made, made + timedelta(days=days), season_end, as_of)


def looks(text, fault=None):
    """`05-20 pushing, 07-01 dead` as looks in 2027; a year may be written out."""
    found = []
    for part in text.split(","):
        day, state = part.split()
        on = date.fromisoformat(day if len(day) == 10 else f"2027-{day}")
        found.append((on, state, fault if state == "dead" else None))
    return found


def outcome(endpoint, text, fault=None, **days):
    return RULES[endpoint][0](looks(text, fault) if text else [], frame(**days))


@pytest.mark.parametrize(
    ("story", "said"),
    [
        ("06-15 growing", "yes"),
        ("05-10 growing", "waiting"),
        ("05-10 growing,05-20 growing", "yes"),
        ("05-10 growing,06-20 dead", "failed"),
        ("05-10 pushing,06-20 dead", "failed"),
        ("05-10 no-movement,06-20 no-movement,07-20 growing", "yes"),
        ("05-10 dead,07-20 growing", "yes"),
        ("06-15 growing,08-01 dead", "yes"),
        ("06-15 growing,08-01 not-found", "yes"),
        ("05-10 swelling,08-01 not-found", "unknown"),
        ("05-10 dead,08-01 not-found", "failed"),
        ("05-10 no-movement", "waiting"),
        ("07-10 no-movement", "failed"),
        ("07-10 shrivelled", "failed"),
        ("", "waiting"),
    ],
)
def test_took_by_the_end_of_november(story, said):
    assert said == outcome("took", story)


def test_a_later_look_that_says_nothing_of_the_union_takes_nothing_back():
    told = [*looks("06-01 dead", "no"), *looks("08-01 dead"), *looks("09-01 not-found")]
    assert "lost" == RULES["took"][0](told, frame())
    assert "failed" == RULES["took"][0]([*told, *looks("09-02 dead", "yes")], frame())
    assert "failed" == RULES["took"][0]([*told[:1], *looks("07-01 swelling"), *looks("08-01 dead")], frame())


def test_what_has_not_grown_is_not_given_up_before_its_season_ends():
    assert "waiting" == outcome("took", "07-10 no-movement", as_of=date(2027, 10, 31))
    assert "failed" == outcome("took", "07-10 no-movement", as_of=date(2027, 11, 1))


def test_a_late_take_reverses_a_failure():
    story = "07-10 no-movement,2028-05-20 growing"
    assert "failed" == outcome("took", "07-10 no-movement")
    assert "yes" == outcome("took", story, as_of=date(2028, 6, 1))


@pytest.mark.parametrize(("fault", "said"), [("yes", "failed"), ("unsure", "failed"), (None, "failed"), ("no", "lost")])
def test_only_a_cause_that_was_not_the_union_is_a_loss_of_another_kind(fault, said):
    assert said == outcome("took", "05-20 pushing,06-10 dead", fault)


def test_a_look_on_the_judging_day_counts_and_one_the_day_before_does_not():
    assert "yes" == outcome("took", "05-31 growing")
    assert "waiting" == outcome("took", "05-30 growing")


def test_a_bud_that_slept_is_judged_from_its_forcing():
    bud = {"made": date(2027, 8, 5), "season_end": date(2028, 10, 31), "as_of": date(2028, 8, 1)}
    assert "waiting" == outcome("took", "08-28 set,2028-03-10 forced,2028-04-20 growing", **bud)
    assert "yes" == outcome("took", "08-28 set,2028-03-10 forced,2028-05-20 growing", **bud)
    assert "waiting" == outcome("took", "08-28 set", **bud)
    assert "failed" == outcome("took", "08-28 not-set", **bud)


@pytest.mark.parametrize(
    ("story", "said"),
    [("08-28 set", "yes"), ("08-28 not-set", "failed"), ("08-28 no-movement", "waiting"), ("", "waiting"),
     ("08-28 not-found", "unknown"), ("2028-04-20 growing", "yes"), ("08-28 set,2028-04-20 dead", "yes")],
)  # fmt: skip
def test_set_of_buds(story, said):
    assert said == outcome("set", story, made=date(2027, 8, 5), season_end=date(2028, 10, 31), as_of=date(2028, 6, 1))


@pytest.mark.parametrize(
    ("story", "said"),
    [("05-10 pushing,06-10 dead", "yes"), ("05-10 swelling,06-10 dead", "failed"), ("05-10 swelling", "waiting")],
)
def test_moved_is_not_yet_a_take(story, said):
    assert said == outcome("moved", story)


@pytest.mark.parametrize(
    ("story", "fault", "said"),
    [
        ("10-20 growing", None, "yes"), ("06-20 growing", None, "waiting"), ("10-20 stalled", None, "yes"),
        ("06-20 growing,09-10 dead", None, "failed"), ("06-20 growing,09-10 dead", "no", "lost"),
        ("06-20 growing,10-10 not-found", None, "unknown"), ("10-20 shrivelled", None, "waiting"), ("", None, "waiting"),
    ],
)  # fmt: skip
def test_standing_needs_a_look_that_is_not_too_old(story, fault, said):
    assert said == outcome("standing", story, fault)


def test_established_is_growth_in_a_later_season():
    assert "waiting" == outcome("established", "07-20 growing,09-20 growing")
    assert "yes" == outcome("established", "07-20 growing,2028-05-20 growing", as_of=date(2028, 6, 1))
    assert "failed" == outcome("established", "07-20 growing,2028-05-20 dead", as_of=date(2028, 6, 1))


@given(
    st.sampled_from(sorted(RULES)),
    st.lists(
        st.tuples(st.integers(0, 500), st.sampled_from(STATES), st.sampled_from([None, "yes", "no", "unsure"])),
        max_size=6,
    ),
)
def test_every_story_has_exactly_one_outcome_and_no_looks_is_never_a_failure(endpoint, story):
    seen = sorted((MADE + timedelta(days=days), state, fault) for days, state, fault in story if fault is None)
    said = RULES[endpoint][0](seen, frame(as_of=date(2029, 1, 1)))
    assert said in OUTCOMES
    if not seen:
        assert "waiting" == said
