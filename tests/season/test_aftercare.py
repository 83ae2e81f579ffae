"""What is due, for grafts and buds, in both hemispheres and across the turn of the season."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from caring import BUD, GRAFT, MADE, SOUTH_BUD, TABLE, cared, due, looked, on_day, own, whats
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.season.aftercare import CareRound
from graftbook.season.care_facts import WarmthReached
from graftbook.season.care_rules import RULES
from graftbook.trade import schema


def test_every_kind_of_care_in_the_table_has_its_rule():
    assert set(schema.RULES) == set(RULES)
    assert {rule.rule for rule in TABLE} <= set(RULES)


# Looks


def test_a_new_graft_wants_nothing_until_its_first_look_on_day_7():
    assert () == on_day(0)
    assert () == on_day(6)
    assert ("look", MADE + timedelta(days=7)) == (lambda item: (item.what, item.since))(on_day(7)[0])


def test_a_look_on_the_day_or_up_to_three_days_early_meets_it():
    assert () == on_day(8, replace(GRAFT, last_look_on=MADE + timedelta(days=7)))
    assert () == on_day(8, replace(GRAFT, last_look_on=MADE + timedelta(days=4)))
    assert {"look"} == whats(on_day(8, replace(GRAFT, last_look_on=MADE + timedelta(days=3))))


def test_missed_looks_do_not_pile_up():
    looks = [item for item in on_day(30) if item.what == "look"]

    assert [MADE + timedelta(days=28)] == [item.since for item in looks]


def test_the_horizon_adds_what_falls_due_within_it():
    assert () == on_day(0, horizon_days=6)
    assert {"look"} == whats(on_day(0, horizon_days=7))
    assert [7, 14, 28] == [(item.since - MADE).days for item in on_day(0, horizon_days=28) if item.what == "look"]
    assert {"look", "rub off"} == whats(on_day(0, horizon_days=28))


# Care that is done once, and care that comes back


def test_stock_shoots_are_rubbed_off_from_day_14_and_again_a_fortnight_after_the_last_time():
    # Common practice: rub off as they come. Kansas (Reid): at three weeks, then every three to four.
    assert "rub off" not in whats(on_day(13))
    assert "rub off" in whats(on_day(14))
    done = cared((14, "rubbed-off"))
    assert "rub off" not in whats(on_day(27, done))
    assert "rub off" in whats(on_day(28, done))


def test_ties_are_checked_from_six_weeks_and_come_off_at_three_months():
    # Common practice: tape off outdoors at about 90 days; girdling kills.
    assert "tie check" not in whats(on_day(41))
    assert "tie check" in whats(on_day(42))
    assert "release tie" not in whats(on_day(89))
    assert "release tie" in whats(on_day(90))
    assert "tie check" not in whats(on_day(90))


def test_a_look_sees_to_the_tie_for_a_fortnight():
    assert "tie check" not in whats(on_day(55, looked(42, "pushing")))
    assert "tie check" in whats(on_day(56, looked(42, "pushing")))


@pytest.mark.parametrize("word", ["tie-released", "Tie released", "release tie", "tie_released"])
def test_a_released_tie_is_done_whenever_it_was_done_and_however_written(word):
    done = cared((30, word))

    assert not {"tie check", "release tie"} & whats(on_day(200, done))


def test_a_graft_tied_again_later_counts_from_that_day():
    again = replace(cared((40, "tie-released")), tied_on=MADE + timedelta(days=45))

    assert "release tie" not in whats(on_day(134, again))
    assert "release tie" in whats(on_day(135, again))


def test_a_graft_without_a_tie_has_none_to_release():
    assert not {"tie check", "release tie"} & whats(on_day(120, replace(GRAFT, tie="none")))


def test_stakes_leaders_and_lasting_tags_are_for_shoots_seen_growing():
    wanted = {"stake", "keep one shoot", "lasting tag"}

    assert wanted <= whats(on_day(90, looked(80, "growing")))
    assert not wanted & whats(on_day(90))
    assert not wanted & whats(on_day(90, looked(80, "no-movement")))
    assert not wanted & whats(on_day(89, looked(80, "growing")))


def test_each_of_them_goes_once_done():
    done = replace(looked(80, "growing"), cares=cared((85, "staked"), (91, "one-leader"), (92, "lasting-tag")).cares)

    assert not {"stake", "keep one shoot", "lasting tag"} & whats(on_day(95, done))


# Judging


def test_a_take_is_judged_from_the_methods_judging_age():
    assert "judge" not in whats(on_day(59))
    assert "judge" in whats(on_day(60))
    assert "judge" not in whats(on_day(83, replace(GRAFT, method="approach")))
    assert "judge" in whats(on_day(84, replace(GRAFT, method="approach")))


def test_growth_seen_at_the_judging_age_decides_and_growth_seen_before_does_not():
    assert "judge" not in whats(on_day(61, looked(60, "growing")))
    assert "judge" in whats(on_day(61, looked(59, "growing")))
    assert "judge" not in whats(on_day(61, looked(59, "growing", decided=True)))


def test_an_undecided_graft_stays_open_and_is_judged_again_four_weeks_on():
    # Common practice: what has not moved in two months may still wake.
    waiting = looked(60, "no-movement")

    assert "judge" not in whats(on_day(87, waiting))
    assert "judge" in whats(on_day(88, waiting))


# Endings


def test_a_graft_not_found_is_only_looked_for():
    assert {"forgotten"} == whats(on_day(100, looked(30, "not-found")))


def test_a_graft_made_after_the_day_wants_nothing():
    assert () == on_day(-1, horizon_days=60)


# Forgotten


def test_a_graft_not_looked_at_for_six_weeks_is_on_the_list_in_the_growing_season_only():
    seen = looked(30, "growing")
    spring, winter = on_day(72, seen), due(seen, TABLE, date(2027, 11, 20), "north")

    assert "forgotten" in whats(spring)
    assert "forgotten" not in whats(on_day(71, seen))
    assert "forgotten" not in whats(winter)
    assert "Not looked at for 6 weeks" in next(item.why for item in spring if item.what == "forgotten")


def test_the_number_of_weeks_can_be_chosen():
    assert "forgotten" in whats(on_day(21, forgotten_weeks=3))
    assert "forgotten" not in whats(on_day(20, forgotten_weeks=3))


def test_an_established_graft_is_left_in_peace_but_for_a_tie():
    grown = replace(GRAFT, state="growing", state_on=date(2028, 5, 1), last_look_on=date(2028, 5, 1))

    assert {"release tie"} == whats(due(grown, TABLE, date(2028, 7, 1), "north"))


def test_what_was_never_recorded_as_done_lapses_in_the_end():
    assert {"release tie", "judge", "forgotten"} == whats(due(GRAFT, TABLE, date(2028, 7, 1), "north"))
    assert () == due(GRAFT, TABLE, date(2029, 7, 1), "north")


def test_stock_shoots_are_no_matter_in_winter():
    assert "rub off" in whats(due(GRAFT, TABLE, date(2027, 10, 31), "north"))
    assert "rub off" not in whats(due(GRAFT, TABLE, date(2027, 11, 1), "north"))


# Buds


def test_a_bud_is_checked_and_its_tie_released_from_three_weeks():
    # Common practice; Galveston County Master Gardeners GC-310/311: tie off three weeks after, a green bud has taken.
    assert not {"check set", "release tie"} & whats(on_day(20, BUD))
    items = {item.what: item for item in on_day(21, BUD)}
    assert {"check set", "release tie"} == set(items)
    assert date(2026, 9, 7) == items["check set"].until


def test_a_bud_seen_set_is_checked_and_one_not_clear_is_looked_at_again_in_a_week():
    assert "check set" not in whats(on_day(30, looked(21, "set", BUD)))
    assert "check set" not in whats(on_day(28, looked(22, "no-movement", BUD)))
    assert "check set" in whats(on_day(29, looked(22, "no-movement", BUD)))


@pytest.mark.parametrize(
    ("bud", "hemisphere", "spring"), [(BUD, "north", date(2027, 3, 16)), (SOUTH_BUD, "south", date(2027, 9, 16))]
)
def test_a_summer_bud_is_headed_back_in_the_spring_of_the_next_season(bud, hemisphere, spring):
    # University of Missouri G6972 and the RHS: a bud of late summer sleeps; cut above it when it moves next spring.
    asleep = looked(25, "set", bud)
    before, then = (due(asleep, TABLE, day, hemisphere) for day in (spring - timedelta(days=1), spring))

    assert "head back" not in whats(before)
    assert ["head back"] == [item.what for item in then if item.since == spring]


def test_a_headed_back_bud_is_rubbed_off_and_judged_from_that_day():
    forced = replace(looked(25, "set", BUD), cares=((date(2027, 3, 25), "headed-back"),))
    judging = date(2027, 3, 25) + timedelta(days=60)

    assert "head back" not in whats(due(forced, TABLE, date(2027, 4, 1), "north"))
    assert "rub off" in whats(due(forced, TABLE, date(2027, 4, 1), "north"))
    assert "judge" not in whats(due(forced, TABLE, judging - timedelta(days=1), "north"))
    assert "judge" in whats(due(forced, TABLE, judging, "north"))


def test_a_bud_that_sleeps_is_neither_judged_nor_given_up_before_it_is_forced():
    assert "judge" not in whats(on_day(90, BUD))
    assert "judge" not in whats(on_day(250, BUD))


def test_a_bud_put_on_in_spring_is_headed_back_when_it_has_knit_and_judged_from_then():
    """Common practice: a chip of early spring knits in three to four weeks, its stock is then cut back, and it grows."""
    spring = replace(BUD, made_on=date(2027, 3, 20), wood="dormant")
    back = replace(spring, cares=((date(2027, 4, 12), "headed-back"),))

    assert "head back" not in whats(due(spring, TABLE, date(2027, 4, 9), "north"))
    assert "head back" in whats(due(spring, TABLE, date(2027, 4, 10), "north"))
    assert "judge" not in whats(due(spring, TABLE, date(2027, 5, 20), "north"))
    assert "judge" in whats(due(spring, TABLE, date(2027, 3, 20) + timedelta(days=28 + 60), "north"))
    assert "judge" not in whats(due(back, TABLE, date(2027, 6, 10), "north"))
    assert "judge" in whats(due(back, TABLE, date(2027, 6, 11), "north"))


@pytest.mark.parametrize(
    ("made_on", "wood", "stalk"), [(date(2027, 3, 20), "dormant", False), (date(2026, 8, 5), "summer", True)]
)
def test_only_a_summer_bud_has_a_leaf_stalk_to_try(made_on, wood, stalk):
    """Common practice: the stalk left on a summer bud drops at a touch when it has set; a dormant bud has none."""
    bud = replace(BUD, made_on=made_on, wood=wood, state=None, state_on=None, last_look_on=None)
    words = [item.why for item in due(bud, TABLE, made_on + timedelta(days=22), "north") if item.what == "check set"]

    assert [stalk] == ["drops at a touch" in text for text in words]


def test_film_that_gives_way_need_not_be_released_unless_ones_own_rule_says_it_binds():
    """Common practice: grafting film stretches and breaks in the sun; tape, rubber and vinyl film bind."""
    film, tape = replace(GRAFT, tie="grafting film"), replace(GRAFT, tie="vinyl film")

    assert not {"release tie", "tie check"} & whats(on_day(95, film))
    assert "release tie" in whats(on_day(95, tape))
    assert "release tie" in whats(on_day(95, film, rules=(*TABLE, own("release tie", 90, tie="film"))))


def test_bench_grafts_are_judged_by_their_warmth_hardened_off_and_potted_on():
    """From memory: 60 days at 12 C, 480 degree-days above 4 C."""
    bench = replace(GRAFT, bench=True)
    reached = {480.0: None}
    cold = CareRound(
        TABLE, MADE + timedelta(days=80), "north", warmth=lambda graft, base, sum_: WarmthReached(reached.get(sum_))
    )

    assert "judge" in whats(on_day(60, bench))
    assert "judge" not in whats(cold.due(bench))
    reached[480.0] = MADE + timedelta(days=75)
    assert "judge" in whats(cold.due(bench))
    grown = replace(bench, state="growing", state_on=MADE + timedelta(days=62), last_look_on=MADE + timedelta(days=62))
    assert {"harden off", "pot on"} <= whats(on_day(63, grown))
    assert not {"harden off", "pot on"} & whats(on_day(63, replace(grown, bench=False)))


# Hemispheres, leap days, own rules


def test_the_same_graft_half_a_year_apart_wants_the_same_in_either_hemisphere():
    south = replace(GRAFT, made_on=date(2027, 9, 20))

    for days in (7, 14, 42, 60, 90, 120):
        assert whats(on_day(days)) == whats(on_day(days, south, "south")), days


def test_days_run_through_a_leap_day():
    leap = replace(GRAFT, made_on=date(2028, 2, 22))

    assert date(2028, 2, 29) == on_day(7, leap)[0].since
    assert date(2028, 3, 7) == next(item.since for item in on_day(14, leap) if item.what == "look")


def test_what_single_sources_say_is_not_a_reminder():
    assert {True} == {
        any(rule.is_default and rule.rule == item.what and rule.words == item.why for rule in TABLE)
        for item in on_day(100, replace(GRAFT, last_look_on=MADE + timedelta(days=95)))
    }


def test_a_growers_own_rule_takes_the_place_of_the_trades_where_it_fits():
    rules = (*TABLE, own("release tie", 120, methods="whip-and-tongue", tie="tape"))
    taped = replace(GRAFT, tie="Vinyl tape")

    assert "release tie" not in whats(on_day(119, taped, rules=rules))
    item = next(item for item in on_day(120, taped, rules=rules) if item.what == "release tie")
    assert ("Mine.", "own", "my notes") == (item.why, item.basis, item.source)
    assert "release tie" in whats(on_day(90, replace(GRAFT, tie="rubber"), rules=rules))
    assert "release tie" in whats(on_day(90, replace(taped, method="cleft"), rules=rules))


def test_own_rules_go_by_taxon_season_and_bench():
    walnut = (own("judge", 30, taxon="Juglans"),)
    assert {"judge"} == whats(on_day(30, replace(GRAFT, taxon="Juglans regia"), rules=walnut))
    assert () == on_day(30, replace(GRAFT, taxon="Malus domestica"), rules=walnut)
    bench = (own("keep cool", 10, season="bench"),)
    assert {"keep cool"} == whats(on_day(10, replace(GRAFT, bench=True), rules=bench))
    assert () == on_day(10, replace(GRAFT, bench=False), rules=bench)
    summer = (own("shade", 1, season="summer"),)
    assert () == on_day(1, rules=summer)
    assert {"shade"} == whats(on_day(1, replace(GRAFT, made_on=date(2027, 7, 20)), rules=summer))
    assert {"shade"} == whats(on_day(1, replace(GRAFT, made_on=date(2027, 1, 20)), "south", rules=summer))


def test_own_rules_go_by_the_kind_of_wood():
    rules = (*TABLE, own("look", 3, wood="summer"))
    assert "look" in whats(on_day(3, replace(GRAFT, wood="summer"), rules=rules))
    assert () == on_day(3, replace(GRAFT, wood="dormant"), rules=rules)


def test_a_row_of_ones_own_that_says_no_takes_a_reminder_away():
    rules = (*TABLE, own("release tie", "", default="no", methods="whip-and-tongue"))
    assert "release tie" not in whats(on_day(90, rules=rules))
    assert "release tie" in whats(on_day(90, replace(GRAFT, method="cleft"), rules=rules))


@pytest.mark.parametrize(
    ("options", "shown"),
    [({"horizon_days": -1}, "-1"), ({"forgotten_weeks": 0}, "0"), ({"hemisphere": "east"}, "'east'")],
)
def test_options_that_cannot_be_are_refused_with_the_value(options, shown):
    with pytest.raises(UsageProblem) as caught:
        on_day(7, **options)

    assert shown == caught.value.found


STATES = ("no-movement", "swelling", "pushing", "growing", "stalled", "shrivelled", "set", "forced")


@given(
    st.sampled_from([GRAFT, BUD]),
    st.dates(date(2020, 1, 1), date(2030, 12, 31)),
    st.integers(0, 1500),
    st.one_of(st.none(), st.integers(0, 1500)),
    st.sampled_from(STATES),
    st.lists(
        st.tuples(st.integers(0, 1500), st.sampled_from(["tie-released", "rubbed-off", "headed-back"])), max_size=3
    ),
    st.sampled_from(["north", "south"]),
)
def test_every_item_is_due_by_the_day_after_the_graft_was_made_and_asked_twice_is_the_same(
    kind, made_on, days, seen, state, cares, hemisphere
):
    graft = replace(kind, made_on=made_on)
    graft = graft if seen is None else looked(seen, state, graft)
    graft = replace(graft, cares=cared(*cares, graft=graft).cares)
    on = made_on + timedelta(days=days)
    walk = CareRound(TABLE, on, hemisphere)
    items = walk.due(graft)

    assert items == walk.due(graft) == due(graft, TABLE, on, hemisphere)
    assert all(made_on <= item.since <= on for item in items)
    assert list(items) == sorted(items, key=lambda item: (item.since, item.what))
