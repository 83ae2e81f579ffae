"""What drives a thing due: warmth where it is known, the length of the shoot, else the calendar."""

from dataclasses import replace
from datetime import date, timedelta

from caring import BUD, GRAFT, MADE, TABLE, cared, due, looked, on_day, own, whats

from graftbook.season.care_facts import WarmthReached


def reached(days):
    """Whoever asks is told that the warmth was had so many days on; None: not yet."""
    return lambda graft, base, degree_days: WarmthReached(
        None if days is None else graft.made_on + timedelta(days=days)
    )


def driven(items):
    return {item.what: (item.driven_by, item.since) for item in items}


WARM_LOOK = own("look", 14, warmth_from="143", warmth_to="200", warmth_base_c="4")


def test_a_rule_that_names_a_warmth_goes_by_it_where_it_is_known_and_by_its_days_where_not():
    assert ("calendar", MADE + timedelta(days=14)) == driven(on_day(20, rules=[WARM_LOOK]))["look"]
    assert ("warmth", MADE + timedelta(days=19)) == driven(on_day(20, rules=[WARM_LOOK], warmth=reached(19)))["look"]
    assert ("warmth", MADE + timedelta(days=9)) == driven(on_day(20, rules=[WARM_LOOK], warmth=reached(9)))["look"]
    assert () == on_day(20, rules=[WARM_LOOK], warmth=reached(None))
    unknown = on_day(20, rules=[WARM_LOOK], warmth=lambda *_: None)
    assert ("calendar", MADE + timedelta(days=14)) == driven(unknown)["look"]


def test_whoever_tells_the_warmth_is_asked_by_the_rule_s_own_base_and_sum():
    asked = []
    on_day(20, rules=[WARM_LOOK], warmth=lambda *words: asked.append(words))
    assert [(GRAFT, 4.0, 143.0)] == asked


def test_apple_is_looked_at_by_warmth_where_it_is_known_and_nothing_changes_where_not():
    apple = replace(GRAFT, taxon="Malus domestica")
    assert on_day(30, apple) == on_day(30, GRAFT)
    assert ("warmth", MADE + timedelta(days=40)) in {
        (item.driven_by, item.since) for item in on_day(40, looked(30, "no-movement", apple), warmth=reached(40))
    }


def test_a_shoot_long_enough_makes_a_thing_due_before_its_days():
    short = looked(40, "growing", shoots=((MADE + timedelta(days=40), 100.0),))
    long = looked(50, "growing", shoots=((MADE + timedelta(days=40), 100.0), (MADE + timedelta(days=50), 180.0)))
    assert "keep one shoot" not in whats(on_day(60, short))
    assert ("growth", MADE + timedelta(days=50)) == driven(on_day(60, long))["keep one shoot"]
    assert ("calendar", MADE + timedelta(days=90)) == driven(on_day(95, short))["keep one shoot"]


def test_a_tie_of_ones_own_rule_comes_off_at_a_length_of_shoot_only():
    rules = [own("release tie", "", shoot_mm="75", growth="shoot 75-100 mm long")]
    grown = looked(30, "growing", shoots=((MADE + timedelta(days=30), 80.0),))
    assert ("growth", MADE + timedelta(days=30)) == driven(on_day(31, grown, rules=rules))["release tie"]
    assert "release tie" not in whats(on_day(31, cared((30, "tie-released"), graft=grown), rules=rules))


def test_heading_back_a_bud_put_on_in_spring_is_driven_by_growth_and_of_a_sleeping_one_by_the_calendar():
    spring = replace(BUD, made_on=date(2027, 3, 20))
    assert "calendar" == driven(on_day(40, looked(40, "set", spring)))["head back"][0]
    early = replace(spring, state="pushing", state_on=date(2027, 4, 4), last_look_on=date(2027, 4, 4))
    assert ("growth", date(2027, 4, 4)) == driven(due(early, TABLE, date(2027, 4, 5), "north"))["head back"]
    asleep = looked(30, "set", BUD)
    assert "calendar" == driven(due(asleep, TABLE, date(2027, 3, 20), "north"))["head back"][0]
    swelling = replace(asleep, stock_stages=((date(2026, 9, 1), "growing"), (date(2027, 3, 2), "bud swell")))
    assert ("growth", date(2027, 3, 2)) == driven(due(swelling, TABLE, date(2027, 3, 3), "north"))["head back"]
    resting = replace(asleep, stock_stages=((date(2027, 3, 20), "dormant"),))
    assert "head back" not in driven(due(resting, TABLE, date(2027, 3, 21), "north"))
    assert "head back" in driven(due(resting, TABLE, date(2027, 4, 3), "north"))
