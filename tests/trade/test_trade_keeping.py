"""How long wood keeps, how warm a union wants to be, what is due after grafting, and what can hurt."""

import pytest

from graftbook.trade import aftercare, callus, cautions, keeping, own, schema, taxa
from graftbook.trade.keeping import band


def days(*asked, **rows):
    found = band(*asked, **rows)
    return found.usual_days, found.longest_days


def evidence(taxon):
    return [row for row in keeping.rows() if row.taxon in taxa.kin(taxon) and not row.is_default]


def defaults(unit):
    return [rule for rule in aftercare.rules() if rule.is_default and rule.unit in (unit, "any")]


@pytest.mark.parametrize(
    ("taxon", "wood", "degrees", "usual", "longest"),
    [
        ("apple", "dormant", 1, 120, 180), ("pecan", "dormant", 1, 120, 180), ("grape", "dormant", 2, 120, 180),
        ("peach", "dormant", 1, 60, 100), ("peach", "dormant", 4.5, 30, 50), ("cherry", "dormant", 4, 30, 50),
        ("orange", "evergreen", 5, 30, 60), ("orange", "bud wood", 5, 30, 60), ("mango", "evergreen", 20, 7, 14),
        ("apple", "summer bud wood", 4, 3, 10), ("apple", "bud wood", 20, 1, 3), ("loquat", "dormant", 4, 7, 14),
        ("Prunus ledebouriana", "dormant", 2, 60, 100),
    ],
)  # fmt: skip
def test_bands_by_kind_of_wood_and_temperature(taxon, wood, degrees, usual, longest):
    """Working defaults of common practice; stone fruit keeps half as long at 4 to 5 C."""
    assert (usual, longest) == days(taxon, wood, degrees)


def test_without_a_temperature_the_cold_band_answers_and_says_so():
    found = band("peach", "dormant", None)

    assert (60, 100) == (found.usual_days, found.longest_days)
    assert "Temperature not given" in found.note


@pytest.mark.parametrize("degrees", [-18, 25])
def test_a_freezer_or_a_warm_room_has_no_band(degrees):
    found = band("apple", "dormant", degrees)

    assert (None, None) == (found.usual_days, found.longest_days)
    assert "No band is known" in found.note


def test_of_a_plant_not_known_no_band_is_borrowed():
    found = band("moon tree", "dormant", 2)

    assert (None, None) == (found.usual_days, found.longest_days)
    assert "Kind not known" in found.note


def test_warmer_never_keeps_longer():
    for taxon, wood in (
        ("apple", "dormant"),
        ("plum", "dormant"),
        ("lemon", "evergreen"),
        ("apple", "summer bud wood"),
    ):
        kept = [days(taxon, wood, degrees / 2)[1] for degrees in range(0, 18)]
        assert kept == sorted(kept, reverse=True)


def test_pecan_wood_is_used_within_the_calendar_printed_for_it():
    """Oklahoma State University HLA-6217, 2014: cut mid-December to early March, used late April to May (derived)."""
    printed = next(row for row in evidence("pecan") if row.source == "osu-hla-6217")
    found = band("pecan", "dormant", 1)

    assert printed.days_min < found.usual_days <= printed.days_max < found.longest_days


def test_grape_canes_kept_longer_in_a_trial_than_the_default_promises():
    """International Journal of Sustainable Agricultural Research 5(3):46-53, 2018: 6 to 8 months at 1 C."""
    printed = next(row for row in evidence("grape") if row.temp_c_min == 1)

    assert (180, 240) == (printed.days_min, printed.days_max)
    assert band("grape", "dormant", 1).longest_days <= printed.days_min


def test_mango_shoots_kept_a_week_in_a_trial():
    """Acta Horticulturae 24:72-76: 6 to 9 days unrefrigerated."""
    printed = next(row for row in evidence("mango") if row.basis == "published")

    assert (6, 9) == (printed.days_min, printed.days_max)
    assert printed.days_min <= band("mango", "evergreen", 22).usual_days <= printed.days_max
    assert [] == evidence("moon tree")


def test_a_persons_own_row_answers_first():
    mine = keeping.from_row(
        own.parse("keeping", {"taxon": "apple", "wood": "dormant", "days_max": "240", "note": "ours"})
    )

    assert (240, 240) == days("apple", "dormant", 2, own=[mine])
    assert (120, 180) == days("pear", "dormant", 2, own=[mine])
    assert "own" == band("apple", "dormant", 2, own=[mine]).basis
    assert (3, 10) == days("apple", "summer bud wood", 2, own=[mine])


def test_walnut_unions_want_about_27_degrees():
    """Dehghan et al., Journal of Applied Horticulture 11(1):56-58, 2009: 21 days at 26 to 28 C."""
    found = callus.about("walnut")
    printed = next(row for row in found.rows if row.source == "dehghan-2009")

    assert (26, 28, 21) == (printed.temp_c_min, printed.temp_c_max, printed.days_min)
    assert found.best_min <= 27 <= found.best_max
    assert 150 <= (27 - found.base_c) * 21 <= 190


def test_the_heat_sum_of_the_grape_holds_the_trial_it_was_derived_beside():
    """Alley and Peterson, American Journal of Enology and Viticulture 28:1-7, 1977: 4 to 17 days at 29.5 C."""
    found = callus.about("grape")
    printed = next(row for row in found.rows if row.source == "alley-1977")
    sums = [(printed.temp_c_min - found.base_c) * count for count in (printed.days_min, printed.days_max)]

    assert sums[0] < found.heat_min < sums[1]
    assert sums[0] < found.heat_max < sums[1] * 1.05


def test_apple_unions_knit_slowly_in_the_cold():
    """Common practice: about two months at 7 to 10 C, two weeks or less at 16 to 21 C."""
    found = callus.about("apple")

    assert 0 == found.lowest
    assert (13, 18) == (found.best_min, found.best_max)
    assert 10 <= found.heat_min / (18.3 - found.base_c) <= found.heat_max / (18.3 - found.base_c) <= 14.1
    assert found.heat_min / (7 - found.base_c) < 60 < found.heat_max / (7 - found.base_c)


def test_nothing_is_said_of_the_unions_of_kinds_no_source_speaks_of():
    assert callus.about("moon tree") is None
    assert callus.about("honeyberry") is None
    assert callus.about("moonlight persimmon") is None
    assert callus.about("American persimmon").best_min == callus.about("Diospyros").best_min


def test_default_reminders_follow_a_graft_from_the_first_week_to_the_third_month():
    planned = [(rule.rule, rule.after_from) for rule in defaults("graft")]

    assert {("look", 7), ("look", 14), ("look", 28), ("tie check", 42), ("judge", 60), ("release tie", 90)} <= set(
        planned
    )
    assert ("rub off", 14) in planned


@pytest.mark.parametrize(("key", "kind"), [("callus-apple", "apple"), ("callus-grape", "grape")])
def test_a_reminder_by_warmth_asks_for_what_the_table_of_callus_says(key, kind):
    rule = next(rule for rule in aftercare.rules() if rule.key == key)
    said = callus.about(kind)

    assert (said.heat_min, said.heat_max, said.base_c) == (rule.warmth_from, rule.warmth_to, rule.warmth_base_c)


def test_a_graft_kept_warm_wakes_in_one_to_two_months():
    """Common practice: a graft kept warm under cover wakes in about one to two months, so it is not judged before."""
    looks = [rule.after_from for rule in defaults("graft") if rule.rule in ("look", "judge") and rule.after_from]

    assert [28, 60] == [min(day for day in looks if day >= 28), max(looks)]


def test_default_reminders_of_a_bud():
    found = {(rule.rule, rule.after_from) for rule in defaults("bud")}

    assert {("check set", 21), ("release tie", 21), ("head back", None), ("head back", 21)} <= found


def test_citrus_buds_are_unwrapped_after_two_to_three_weeks():
    """University of Florida IFAS, Citrus Propagation for Homeowners (HS1309): 14 to 21 days."""
    found = next(rule for rule in aftercare.rules() if rule.source == "uf-hs1309" and rule.rule == "release tie")

    assert ("Citrus", 14, 21) == (found.taxon, found.after_from, found.after_to)


def test_rules_of_aftercare_name_methods_and_times_that_make_sense():
    for rule in aftercare.rules():
        assert rule.after_from is not None or rule.growth or rule.warmth_from is not None, rule.key
        assert (rule.warmth_from is None) == (rule.warmth_base_c is None)
        assert rule.warmth_to is None or rule.warmth_from is not None
        assert (rule.after_from is None) == (rule.after_to is None)


@pytest.mark.parametrize(
    "key",
    [
        "knife", "saw", "ladder", "bleach", "alcohol", "lacquer-sap", "fig-sap", "citrus-sap", "prunus-prunings",
        "fire-blight", "quarantine-citrus", "quarantine-prunus", "rights", "suspect-tree", "nurse", "untested-wood",
    ],
)  # fmt: skip
def test_each_caution_is_there_in_a_few_sentences_and_shown_at_a_verb(key):
    found = cautions.get(key)

    assert 20 < len(found.words) < 320
    assert found.when
    assert set(found.when) <= set(schema.VERBS)


@pytest.mark.parametrize(
    ("key", "deferred"),
    [
        ("saw", "licensed"), ("ladder", "safety rules where you are"), ("bleach", "local rules"), ("fig-sap", "doctor"),
        ("lacquer-sap", "doctor"), ("prunus-prunings", "vet"), ("fire-blight", "plant-health office"),
        ("quarantine-citrus", "plant-health office"), ("quarantine-prunus", "plant-health office"),
        ("rights", "rights office"), ("suspect-tree", "plant-health office"), ("knife", "medical help"),
    ],
)  # fmt: skip
def test_a_caution_defers_to_those_whose_work_it_is(key, deferred):
    assert deferred in cautions.get(key).words


def test_bleach_is_never_mixed_and_no_caution_has_an_unknown_key():
    assert "Never mix bleach with ammonia, acid or alcohol" in cautions.get("bleach").words
    assert cautions.get("no-such-caution") is None
