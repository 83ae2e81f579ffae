"""graft: one and many, the wood they draw down, what is refused, lists and the story of one."""

import pytest
from refusals import refused

MARCH = "2027-03-15"


@pytest.fixture
def bench(graftbook):
    """An apple P1, stocks P2-P11 in the shed, and W1: ten sticks of six buds cut from P1 on 20 January."""
    assert graftbook("tree", "add", "Kilwarden Pippin", "--species", "apple", "--acquired", "2020-03-01",
                     "--place", "Orchard", "--row", "2", "--order", "5").code == 0  # fmt: skip
    assert graftbook("stock", "add", "MM.106", "--count", 10, "--grade", "6-8mm", "--place", "Shed",
                     "--acquired", "2027-01-10").code == 0  # fmt: skip
    assert graftbook("wood", "add", "Kilwarden Pippin", "--source", "P1", "--sticks", 10, "--diameter", "6-9mm", "--buds", 6,
                     "--cut", "2027-01-20", "--on", "2027-01-20").code == 0  # fmt: skip
    return graftbook


def grafts(book):
    return {row["code"]: row for row in book("graft", "list", "--json").rows}


def left(book, code="W1"):
    return next(row["sticks_left"] for row in book("wood", "list", "--empty", "--json").rows if row["code"] == code)


def test_one_graft_is_recorded_with_everything_said_of_it(bench):
    done = bench("graft", "W1", "P2", "--method", "whip and tongue", "--on", MARCH, "--buds", 2, "--scion", "8mm",
                 "--stock", "5/16in", "--tie", "rubber", "--seal", "wax", "--tied", "2027-03-16", "--place", "Long Row",
                 "--stage", "green tip", "--bench", "--limb", "A", "--bearing", "NW", "--height", "54in",
                 "--position", "low, north side", "--trial", "ties", "--block", "1", "--who", "Ada", "--note", "cold")  # fmt: skip
    assert done.code == 0
    assert done.out.splitlines()[0] == "G1: 1 graft of W1 'Kilwarden Pippin' on P2 by whip-and-tongue, 2027-03-15."
    assert "W1: 9 sticks left, and 4 buds on the stick in hand." in done.out
    assert {
        "code": "G1", "wood": "W1", "stick": None, "cultivar": "Kilwarden Pippin", "sure": "believed",
        "taxon": "Malus domestica", "host": "P2",
        "method": "whip-and-tongue", "unit": "graft", "made_on": MARCH, "scion_mm": 8, "stock_mm": 7.94, "buds": 2,
        "tie": "rubber", "seal": "wax", "tied_on": "2027-03-16", "who": "Ada", "place": "Long Row", "stage": "green tip",
        "bench": True, "limb": "A", "bearing_deg": 315, "height_mm": 1371.6, "position": "low, north side", "trial": "ties",
        "block": "1", "state": None, "looked_on": None, "shoot_mm": None,
        "wood_age_days": 54, "note": "cold",
    } == grafts(bench)["G1"]  # fmt: skip


def test_the_word_add_and_options_first_do_the_same(bench):
    assert bench("graft", "add", "W1", "P2", "--method", "whip", "--on", MARCH).code == 0
    assert bench("graft", "--method", "whip", "--on", MARCH, "W1", "P3").code == 0
    assert ["P2", "P3"] == [row["host"] for row in grafts(bench).values()]


def test_a_run_of_hosts_is_one_entry_with_a_graft_on_each(bench):
    done = bench("graft", "W1", "P2-P11", "--except", "P5", "--method", "splice", "--on", MARCH, "--json")
    assert [f"G{number}" for number in range(1, 10)] == [row["code"] for row in done.rows]
    assert "G1-G9: 9 grafts of W1 'Kilwarden Pippin' on P2-P4, P6-P11 by splice, 2027-03-15." == done.json["recorded"]
    assert 7 == left(bench)
    assert {"Shed"} == {row["place"] for row in grafts(bench).values()}
    assert bench("undo", done.json["entry"]).code == 0
    assert {} == grafts(bench)
    assert 10 == left(bench)


def test_grafts_cut_from_the_stick_in_hand_before_a_new_one_is_opened(bench):
    for host in ("P2", "P3"):
        bench("graft", "W1", host, "--method", "whip", "--buds", 3, "--on", MARCH)
    assert 9 == left(bench)
    bench("graft", "W1", "P4", "--method", "T-bud", "--on", "2027-08-01", "--yes")
    assert 8 == left(bench)
    bench("graft", "W1", "P5-P9", "--method", "T-bud", "--on", "2027-08-01", "--yes")
    assert 8 == left(bench)
    bench("graft", "W1", "P10", "--method", "T-bud", "--on", "2027-08-01", "--yes")
    assert 7 == left(bench)


def test_a_stick_in_hand_that_was_thrown_away_with_the_rest_is_in_hand_no_longer(bench):
    bench("graft", "W1", "P2", "--method", "whip", "--buds", 2, "--on", MARCH)
    assert bench("wood", "discard", "W1", 9, "--on", "2027-03-20").code == 0
    refused(
        bench("graft", "W1", "P3", "--method", "whip", "--buds", 2, "--on", "2027-03-21"), 21, "No stick is left in W1."
    )


def test_a_named_stick_is_opened_once_and_never_one_the_bundle_had_not(bench):
    bench("graft", "W1/3", "P2", "--method", "chip", "--on", MARCH)
    bench("graft", "W1/3", "P3", "--method", "chip", "--on", MARCH)
    assert 9 == left(bench)
    assert [3, 3] == [row["stick"] for row in bench("graft", "list", "--wood", "W1/3", "--json").rows]
    refused(bench("graft", "W1/11", "P4", "--method", "chip", "--on", MARCH), 2, "from 1 to 10", "W1/11")
    refused(
        bench("graft", "W1/3", "P4", "--method", "whip", "--buds", 5, "--on", MARCH),
        21,
        "W1/3 has 4 buds for a scion, not 5.",
    )


def test_buds_not_counted_make_each_graft_a_stick_and_say_so(bench):
    bench("wood", "add", "Gift", "--species", "apple", "--from", "Neighbour", "--sticks", 2, "--cut", "2027-01-25",
          "--received", "2027-01-26", "--on", "2027-01-26")  # fmt: skip
    done = bench("graft", "W2", "P2", "--method", "whip", "--on", MARCH)
    assert "Buds a stick were not counted for W2" in done.out
    assert 1 == left(bench, "W2")


def test_an_overdraw_is_refused_whole_and_says_how_far_the_wood_reaches(bench):
    bench("wood", "count", "W1", 3, "--on", "2027-02-01")
    over = bench("graft", "W1", "P2-P11", "--method", "whip", "--buds", 3, "--on", MARCH)
    refused(
        over,
        21,
        "The wood in W1 is not enough for 10 grafts, only enough for 6 (3 sticks left before).",
        "graftbook wood count",
    )
    assert {} == grafts(bench)
    assert 3 == left(bench)


def test_hosts_dead_not_there_yet_or_already_lost_are_refused_all_at_once(bench):
    bench("stock", "died", "P3", "--on", "2027-02-01")
    bench("stock", "add", "MM.106", "--acquired", "2027-05-01")
    refused(bench("graft", "W1", "P2-P12", "--method", "whip", "--on", MARCH), 21, "P3, dead since 2027-02-01",
            "P12, which came on 2027-05-01", "--except")  # fmt: skip
    assert bench("graft", "W1", "P2", "--method", "whip", "--on", MARCH).code == 0
    bench("look", "G1", "dead", "--on", "2027-05-01", "--stock-fate", "dead")
    refused(
        bench("graft", "W1", "P2", "--method", "whip", "--on", "2027-05-02"), 21, "stock was seen dead on 2027-05-01"
    )
    refused(bench("graft", "W1", "G1", "--method", "whip", "--on", "2027-05-02"), 21, "G1, dead on 2027-05-01")


def test_wood_cut_later_or_dead_is_refused(bench):
    refused(
        bench("graft", "W1", "P2", "--method", "whip", "--on", "2027-01-15"),
        21,
        "W1 was cut on 2027-01-20; it cannot be grafted on 2027-01-15",
    )
    bench("wood", "inspect", "W1", "dead", "--on", "2027-02-10")
    refused(bench("graft", "W1", "P2", "--method", "whip", "--on", MARCH), 21, "seen dead on 2027-02-10")
    assert bench("graft", "W1", "P2", "--method", "whip", "--on", "2027-02-05").code == 0


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("W1", "P2", "--method", "whop"), 2, "Did you mean"),
        (("W1", "P2"), 2, "--method"),
        (("W1", "P99", "--method", "whip"), 20, "No plant with the code P99"),
        (("W9", "P2", "--method", "whip"), 20, "No bundle with the code W9"),
        (("P2", "P3", "--method", "whip"), 2, "wood first"),
        (("W1", "W1", "--method", "whip"), 2, "grafts or plants"),
        (("W1", "P2-3", "--method", "whip"), 2, "for P2"),
        (
            ("W1", "P2", "--method", "whip", "--on", "2028-01-01"),
            21,
            "2028-01-01 lies after today, 2027-11-30. What has not happened cannot be recorded.",
        ),
        (
            ("W1", "P2", "--method", "whip", "--tied", "2027-03-01", "--on", "2027-03-15"),
            21,
            "The tie is dated 2027-03-01, before the graft was made on 2027-03-15.",
        ),
        (("W1", "P2", "--method", "whip", "--buds", "0"), 2, "from 1 to 50"),
        (("W1", "P2", "--method", "whip", "--buds", "two"), 2, "whole number"),
        (("W1", "P2", "--method", "T-bud", "--buds", "2", "--yes"), 2, "one bud for T-bud"),
        (("W1", "P2", "--method", "whip", "--scion", "90mm"), 21, "Is the unit right?"),
        (("W1", "P2", "--method", "whip", "--bearing", "NNNW"), 2, "a bearing"),
        (("W1", "P2", "--method", "whip", "--bearing", "400"), 2, "a bearing"),
        (("W1", "P2", "--method", "whip", "--stage", "grin tip"), 2, "growth stage"),
        (("W1", "P2", "--method", "whip", "--except", "P3"), 2, "among the codes"),
        (("W1", "P2", "--method", "whip", "--except", "P2"), 2, "at least one code left"),
        (("W1", "P2", "--method", "whip", "--json", "--csv"), 2, "one of --json and --csv"),
    ],
)
def test_bad_input_is_refused_and_nothing_recorded(bench, words, code, said):
    words = (*words, "--on", MARCH) if "--on" not in words else words
    run = bench("graft", *words)
    assert run.code == code, run.err
    assert said in run.err
    assert run.out == ""
    assert {} == grafts(bench)


def test_a_run_with_gaps_names_what_is_missing_and_can_go_on_without(bench):
    bench("graft", "W1", "P2-P4", "--method", "whip", "--on", MARCH)
    refused(bench("graft", "W1", "P2-P14", "--method", "whip", "--on", MARCH), 20, "P12, P13, P14", "--except")
    assert bench("graft", "W1", "P9-P12", "--except", "P12", "--method", "whip", "--on", MARCH).code == 0


def test_a_doubt_does_not_stand_in_the_way_and_is_kept_with_the_graft(bench):
    done = bench("graft", "W1", "P2", "--method", "cleft", "--on", MARCH)
    assert done.code == 0
    assert "Caution: P2 is 6-8 mm; cleft wants" in done.out
    rows = bench("graft", "show", "G1", "--json").rows
    assert any("P2 is 6-8 mm" in row["value"] for row in rows if row["section"] == "cautions when it was made")


def test_what_the_tables_call_impossible_wants_yes(bench):
    barred = ("graft", "W1", "P2", "--method", "whip", "--scion", "14mm", "--stock", "7mm", "--on", MARCH)
    refused(bench(*barred), 21, "thicker than P2", "--yes")
    assert {} == grafts(bench)
    assert bench(*barred, "--yes").code == 0
    rows = bench("graft", "show", "G1", "--json").rows
    assert any("thicker than P2" in row["value"] for row in rows if row["section"] == "cautions when it was made")


def test_wood_of_no_known_kind_can_be_grafted_and_says_that_nothing_was_judged(bench):
    assert bench("wood", "amend", "W1", "--species", "").code == 0
    done = bench("graft", "W1", "P2,P3", "--method", "whip", "--on", MARCH)
    assert done.code == 0
    assert "Caution: The kind of W1 is not recorded, so nothing can be said of how it fits P2-P3." in done.out


def test_the_knife_is_cautioned_once_for_a_whole_run(bench):
    done = bench("graft", "W1", "P2-P6", "--method", "whip", "--seal", "hot wax", "--on", MARCH)
    assert 1 == done.out.count("Grafting knives cut thumbs")
    assert 1 == done.out.count("hot wax and heated benches")


def test_a_failed_stock_is_grafted_again_and_neither_story_is_lost(bench):
    bench("graft", "W1", "P2", "--method", "whip", "--on", MARCH)
    bench("look", "G1", "dead", "--cause", "drought", "--union", "no", "--on", "2027-05-01")
    again = bench("graft", "W1", "P2", "--method", "chip", "--on", "2027-05-10")
    assert again.code == 0
    assert "Second attempt on P2: G1 dead on 2027-05-01." in again.out
    story = bench("graft", "show", "P2", "--json")
    assert "G2" == story.json["code"]
    attempts = [(row["name"], row["value"]) for row in story.rows if row["section"] == "attempts on P2"]
    assert ["G1", "G2"] == [name for name, _ in attempts]
    assert attempts[0][1].endswith("dead on 2027-05-01")
    assert attempts[1][1].endswith("not looked at (this one)")


def test_two_chips_put_on_one_stock_on_one_day_are_no_second_attempt(bench):
    bench("graft", "W1", "P2", "--method", "chip", "--on", MARCH)
    assert "attempt" not in bench("graft", "W1", "P2", "--method", "chip", "--on", MARCH).out
    assert "Third attempt" not in bench("graft", "W1", "P2", "--method", "chip", "--on", "2027-04-15").out


def test_bark_that_must_slip_is_said_where_it_will_not(bench):
    """Common practice: bark lifts from the flow of sap in spring; in winter it holds."""
    winter = bench("graft", "W1", "P2", "--method", "bark", "--on", "2027-02-10").out
    assert "trees rest" in winter and "will hardly lift" in winter
    bench("stock", "stage", "P3", "dormant", "--on", "2027-03-20")
    assert "likely tight" in bench("graft", "W1", "P3", "--method", "T-bud", "--on", "2027-03-21").out
    assert "lift" not in bench("graft", "W1", "P4", "--method", "whip", "--on", "2027-02-10").out


def test_wax_film_is_no_hot_wax(bench):
    assert "hot wax" not in bench("graft", "W1", "P2", "--method", "whip", "--seal", "wax film", "--on", MARCH).out


def test_a_graft_can_stand_on_a_graft_and_both_are_told_apart(bench):
    bench("graft", "W1", "P2", "--method", "whip", "--on", MARCH)
    done = bench("graft", "W1", "G1", "--method", "chip", "--on", "2027-05-10")
    assert "G2: 1 bud of W1 'Kilwarden Pippin' on G1 by chip-bud" in done.out
    assert "G1" == grafts(bench)["G2"]["host"]
    assert "Shed" == grafts(bench)["G2"]["place"]
    assert ["G1", "G2"] == [row["code"] for row in bench("graft", "list", "--host", "P2", "--json").rows]
    assert ["G2"] == [row["code"] for row in bench("graft", "list", "--host", "G1", "--json").rows]
    refused(bench("graft", "W1", "G1", "--method", "chip", "--on", "2027-03-01"), 21, "G1, made on 2027-03-15")
    refused(bench("undo", 4), 21, "G2")


def test_a_fresh_stage_of_the_stock_is_taken_over_and_an_old_one_is_not(bench):
    bench("stock", "stage", "P2", "green tip", "--on", "2027-03-10")
    bench("stock", "stage", "P3", "dormant", "--on", "2027-02-10")
    bench("graft", "W1", "P2,P3", "--method", "whip", "--on", MARCH)
    assert ["green tip", None] == [row["stage"] for row in grafts(bench).values()]


def test_a_list_is_narrowed_by_place_method_season_and_last_look(bench):
    bench("graft", "W1", "P2-P4", "--method", "whip", "--on", MARCH)
    bench("graft", "W1", "P5", "--method", "chip", "--on", "2027-11-05", "--place", "Long Row")
    bench("look", "G1", "growing", "--on", "2027-05-01")
    bench("look", "G1", "dead", "--on", "2027-06-01")

    def codes(*words):
        return [row["code"] for row in bench("graft", "list", *words, "--json").rows]

    assert ["G4"] == codes("--place", "long row")
    assert ["G1", "G2", "G3"] == codes("--method", "whip")
    assert ["G1", "G2", "G3"] == codes("--season", "2026-27")
    assert ["G4"] == codes("--season", "2027-28")
    assert ["G1"] == codes("--state", "dead")
    assert [] == codes("--state", "growing")
    assert ["G2", "G3", "G4"] == codes("--state", "not looked at")
    page = bench("graft", "list", "--limit", 2, "--page", 2, "--json")
    assert (["G3", "G4"], 4) == ([row["code"] for row in page.rows], page.json["total"])
    nowhere = bench("graft", "list", "--place", "Nowhere", "--json").json
    assert ([], True) == (nowhere["rows"], "Long Row" in nowhere["notes"][0])
    refused(bench("graft", "list", "--season", "2026"), 2, "2026-27")
    assert max(len(line) for line in bench("graft", "list").out.splitlines()) <= 80


def test_the_story_of_one_graft_tells_facts_looks_and_care(bench):
    bench("graft", "W1", "P2", "--method", "whip", "--on", MARCH, "--who", "Ada", "--tie", "rubber")
    bench("look", "G1", "growing", "--shoot", "12in", "--on", "2027-05-01", "--who", "Bo")
    bench("care", "G1", "rub off", "--on", "2027-05-02")
    bench("care", "P2", "staked", "--on", "2027-06-02")
    rows = bench("graft", "show", "G1", "--json").rows
    told = [(row["section"], row["name"], row["value"], row["who"]) for row in rows]
    assert ("facts", "made", "by splice", "Ada") in told
    assert ("looks", "growing", "shoot 304.8 mm", "Bo") in told
    assert ("care", "rubbed-off", "", None) in told
    assert ("care", "staked", "to P2 as a whole", None) in told
    page = bench("graft", "show", "G1").out
    assert "G1, 'Kilwarden Pippin' on P2" in page
    assert max(len(line) for line in page.splitlines()) <= 80
    refused(bench("graft", "show", "G9"), 20, "No graft with the code G9")
    refused(bench("graft", "show", "P1"), 21, "P1 carries none")


def test_a_graft_is_mended_within_what_the_book_allows(bench):
    bench("graft", "W1", "P2", "--method", "whip", "--on", MARCH, "--tie", "rubber")
    bench("look", "G1", "growing", "--on", "2027-05-01")
    done = bench(
        "graft", "amend", "G1", "--on", "2027-03-14", "--method", "whip-and-tongue", "--limb", "B", "--who", "Bo"
    )
    assert done.code == 0
    row = grafts(bench)["G1"]
    assert ["2027-03-14", "2027-03-14", "whip-and-tongue", "B", "Bo"] == [
        row[name] for name in ("made_on", "tied_on", "method", "limb", "who")
    ]
    assert bench("graft", "amend", "G1", "--limb", "").code == 0
    assert grafts(bench)["G1"]["limb"] is None
    refused(bench("graft", "amend", "G1"), 2, "something to amend")
    refused(bench("graft", "amend", "P2", "--limb", "A"), 2, "grafts, whose codes start with G")
    refused(bench("graft", "amend", "G1", "--on", "2027-05-02"), 21, "looked at, cared for or built on by 2027-05-01")
    refused(
        bench("graft", "amend", "G1", "--on", "2027-01-02"), 21, "was cut on 2027-01-20", "P2, which came on 2027-01-10"
    )


def test_a_bud_seen_set_is_not_turned_into_a_graft(bench):
    bench("graft", "W1", "P2", "--method", "chip", "--on", MARCH)
    bench("look", "G1", "set", "--on", "2027-04-10")
    refused(bench("graft", "amend", "G1", "--method", "whip"), 21, "G1 was seen set")


def test_help_shows_every_word_of_the_verb(bench):
    text = bench("graft", "--help").out
    for word in ("add", "list", "show", "amend", "Example:"):
        assert word in text
    assert "Example:" in bench("graft", "add", "--help").out
