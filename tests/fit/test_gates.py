"""Every gate beside those of size: what passes, what warns, what bars, and in whose words."""

from dataclasses import replace
from datetime import date

import pytest
from fit.given import ON, judge, method, stock, wood

from graftbook.fit.facts import KeepingFacts, NoteFacts
from graftbook.fit.gates import GATES
from graftbook.trade import pairs


def gate(name, wood_=None, stock_=None, by="whip-and-tongue", on=ON, own=()):
    judged = judge(wood_ or wood(), stock_ or stock(), method(by), on, own)
    return next(found for found in judged.gates if found.name == name)


def test_the_table_names_every_gate_once_in_the_order_they_are_read():
    assert (
        "compatibility", "stock diameter", "scion diameter", "ratio", "bark and stage", "wood dormant", "keeping",
        "condition", "sticks left", "health note", "rights note", "stock alive",
    ) == tuple(row.name for row in GATES)  # fmt: skip


def test_nothing_stands_between_an_apple_and_a_like_apple_stock():
    judged = judge(wood(), stock(), method("whip-and-tongue"), ON)

    assert "yes" == judged.verdict
    assert () == judged.reasons("caution", "no", "unknown")


# Compatibility


def test_apple_on_pear_is_not_passed():
    # University of New Hampshire Extension: keep within a species; apple and pear do not cross.
    found = gate("compatibility", stock_=stock(taxon="Pyrus communis", clone=None))

    assert found.outcome in ("caution", "no")


def test_a_pair_known_to_fail_is_barred_and_one_that_parts_late_says_a_first_take_proves_nothing():
    words = {row.word: row for row in pairs.rows() if not row.interstem_taxon and row.scion_taxon[0] != "*"}
    barred, late = (
        gate(
            "compatibility",
            wood(taxon="Malus domestica"),
            stock(taxon="Malus domestica", clone=None),
            own=(own_pair(word),),
        )
        for word in ("no", "delayed")
    )

    assert {"no", "delayed"} <= set(words)
    assert "no" == barred.outcome
    assert "caution" == late.outcome
    assert "first-season take proves nothing" in late.reason


def own_pair(word):
    return pairs.PairRow(
        "Malus domestica",
        (),
        "Malus domestica",
        "",
        "",
        "",
        "",
        word,
        "Mine parted in the third year",
        "own",
        "my notes",
    )


@pytest.mark.parametrize(
    ("word", "outcome"),
    [("good", "pass"), ("workable", "caution"), ("delayed", "caution"), ("poor", "caution"), ("no", "no")],
)
def test_a_growers_own_row_is_heard_with_its_caveat(word, outcome):
    found = gate("compatibility", stock_=stock(clone=None), own=(own_pair(word),))

    assert (outcome, "own", "my notes") == (found.outcome, found.basis, found.source)
    assert "Mine parted in the third year." in found.reason


def test_kinds_of_one_genus_nothing_is_recorded_of_are_unknown_and_make_a_caution():
    judged = judge(wood(taxon="Nothofagus obliqua"), stock(taxon="Nothofagus alpina", clone=None), method("whip"), ON)

    assert "unknown" == judged.gates[0].outcome
    assert "caution" == judged.verdict
    assert "ask before relying on it" in judged.gates[0].reason


def test_kinds_the_tables_lack_are_not_offered_on_another_genus():
    found = gate("compatibility", wood(taxon="Nothofagus obliqua"), stock(taxon="Eucryphia cordifolia", clone=None))

    assert "no" == found.outcome
    assert "not of one genus" in found.reason


def test_good_on_other_rootstocks_of_the_kind_is_a_caution():
    found = gate("compatibility", wood(taxon="Vitis vinifera"), stock(taxon="Vitis hybrids", clone="Zed 7"))

    assert found.outcome in ("caution", "unknown")
    assert "is recorded of grape on" in found.reason


def test_the_sources_that_differ_are_named_and_the_more_cautious_counts():
    found = gate("compatibility", wood(taxon="Prunus avium"), stock(taxon="Prunus mahaleb", clone=None))

    assert "caution" == found.outcome
    assert "sources that differ: workable and delayed" in found.reason
    assert 2 <= len(found.statements)


def test_a_graft_as_host_is_judged_by_the_union_below_it_too():
    """Common practice: a sound upper union does not mend one below that parts."""
    above = stock(code="G5", clone=None)
    sound = gate("compatibility", stock_=replace(above, union_below=("Malus domestica", None, "Malus domestica", None)))
    late = gate("compatibility", stock_=replace(above, union_below=("Malus domestica", None, "Pyrus communis", None)))

    assert "pass" == sound.outcome
    assert "caution" == late.outcome
    assert "The union below G5 is known to fail" in late.reason


# Bark and stage


def test_bark_recorded_as_tight_bars_what_needs_it_to_slip_and_nothing_else():
    # Common practice: bark, T-bud, patch and four-flap need bark that lifts; whip, cleft, side and chip do not.
    for name in ("bark", "T-bud", "patch-bud", "flute-bud", "four-flap", "bridge"):
        assert "no" == gate("bark and stage", stock_=stock(stage=None, bark="tight"), by=name).outcome, name
    for name in ("whip-and-tongue", "splice", "saddle", "cleft", "side-veneer", "chip-bud"):
        assert "no" != gate("bark and stage", stock_=stock(stage=None, bark="tight"), by=name).outcome, name


@pytest.mark.parametrize(
    ("bark", "stage", "outcome"),
    [
        ("slipping", None, "pass"),
        (None, "pink", "pass"),
        (None, "green tip", "caution"),
        (None, "dormant", "caution"),
        (None, None, "unknown"),
        ("slipping", "dormant", "caution"),  # too early in the season for it, though it lifts
    ],
)
def test_bark_that_must_slip_goes_by_the_knife_first_and_by_the_stage_second(bark, stage, outcome):
    assert outcome == gate("bark and stage", stock_=stock(bark=bark, stage=stage), by="bark").outcome


def test_a_cleft_is_best_while_the_bark_is_tight():
    # North Carolina State University AG-396: cleft before the bark slips.
    assert "pass" == gate("bark and stage", stock_=stock(bark="tight", stage="dormant"), by="cleft").outcome
    assert "caution" == gate("bark and stage", stock_=stock(bark="slipping", stage=None), by="cleft").outcome
    assert "caution" == gate("bark and stage", stock_=stock(bark=None, stage="pink"), by="cleft").outcome


def test_a_stage_before_or_past_the_usual_is_a_caution_and_one_not_noted_is_said():
    assert "not so far yet" in gate("bark and stage", stock_=stock(bark="slipping", stage="dormant"), by="bark").reason
    assert "past it" in gate("bark and stage", stock_=stock(bark=None, stage="growing"), by="saddle").reason
    unnoted = gate("bark and stage", stock_=stock(bark=None, stage=None))
    assert "pass" == unnoted.outcome
    assert "not noted" in unnoted.reason


# The wood


def test_dormant_wood_suits_grafts_and_summer_wood_suits_buds():
    summer = wood(kind="summer")

    assert "pass" == gate("wood dormant").outcome
    assert "caution" == gate("wood dormant", summer).outcome
    assert "pass" == gate("wood dormant", summer, by="T-bud").outcome


def test_swelling_wood_is_a_caution_for_what_wants_it_dormant():
    # McEachern (Texas A&M, 1992): wood whose buds have begun to swell is inferior or useless for dormant grafting.
    assert "caution" == gate("wood dormant", wood(condition="swelling")).outcome
    assert "pass" == gate("wood dormant", wood(condition="swelling"), by="chip-bud").outcome


def test_patch_buds_need_the_bark_of_stored_wood_warmed_until_it_slips():
    # Oklahoma State University: dormant wood for patch buds is kept warm for some days until its own bark slips.
    found = gate("wood dormant", by="patch-bud")

    assert "caution" == found.outcome
    assert "keep it warm" in found.reason


def test_evergreen_wood_is_never_dormant_and_that_is_no_fault():
    assert "pass" == gate("wood dormant", wood(taxon="Citrus sinensis")).outcome


@pytest.mark.parametrize(
    ("age", "outcome"),
    [(0, "pass"), (120, "pass"), (121, "caution"), (180, "caution"), (181, "caution"), (None, "unknown")],
)
def test_age_is_a_caution_past_the_usual_time_and_never_a_bar(age, outcome):
    assert outcome == gate("keeping", wood(age_days=age)).outcome


def test_past_the_longest_known_is_said_so():
    assert "past the longest" in gate("keeping", wood(age_days=181)).reason
    assert "usually keeps" in gate("keeping", wood(age_days=121)).reason
    assert "unknown" == gate("keeping", wood(keeping=None)).outcome
    assert "caution" == gate("keeping", wood(keeping=KeepingFacts(None, 50))).outcome


def test_wood_cut_after_the_grafting_day_is_barred():
    assert "no" == gate("keeping", wood(cut_on=date(2027, 3, 21), age_days=None)).outcome
    assert "pass" == gate("keeping", wood(cut_on=ON, age_days=0)).outcome


@pytest.mark.parametrize(
    ("condition", "outcome"),
    [(None, "pass"), ("sound", "pass"), ("swelling", "caution"), ("drying", "caution"), ("mould", "caution"),
     ("dead", "no"), ("chewed", "unknown")],
)  # fmt: skip
def test_only_dead_wood_is_barred_for_its_condition(condition, outcome):
    assert outcome == gate("condition", wood(condition=condition)).outcome


@pytest.mark.parametrize(("left", "outcome"), [(None, "unknown"), (0, "no"), (1, "pass"), (2, "pass")])
def test_one_stick_is_enough_and_none_is_not(left, outcome):
    # Common practice: one live bud is enough.
    assert outcome == gate("sticks left", wood(sticks_left=left)).outcome


# Notes and life


def note(kind, status, until=None, words="seen on the east side"):
    return NoteFacts(kind, status, words, until)


def test_a_health_note_is_told_in_the_growers_words_as_a_caution():
    found = gate("health note", wood(notes=(note("health", "suspect"),)))

    assert ("caution", "own") == (found.outcome, found.basis)
    assert "Your note on W7: suspect, seen on the east side." == found.reason


def test_clean_wood_and_notes_past_their_day_pass():
    assert "pass" == gate("health note", wood(notes=(note("health", "visibly clean"),))).outcome
    assert "pass" == gate("health note", wood(notes=(note("health", "Tested"),))).outcome
    assert "pass" == gate("rights note", wood(notes=(note("rights", "protected", date(2027, 3, 19)),))).outcome
    assert "caution" == gate("rights note", wood(notes=(note("rights", "protected", ON),))).outcome


def test_notes_on_the_stock_count_too_and_each_kind_has_its_gate():
    marked = stock(notes=(note("health", "suspect"), note("rights", "ask first", words="")))

    assert "Your note on P12: suspect, seen on the east side." == gate("health note", stock_=marked).reason
    assert "Your note on P12: ask first." == gate("rights note", stock_=marked).reason


def test_a_note_bars_nothing():
    marked = wood(notes=(note("health", "suspect"), note("rights", "protected")))

    assert "caution" == judge(marked, stock(), method("whip"), ON).verdict


def test_a_dead_stock_is_barred():
    assert "no" == gate("stock alive", stock_=stock(alive=False)).outcome
    assert "no" == judge(wood(), stock(alive=False), method("whip"), ON).verdict
