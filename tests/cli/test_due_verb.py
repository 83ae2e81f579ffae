"""due: what is wanted now, place by place; only of what lives; and the wood to use first.

The days asked for are the reminders of the table of aftercare, marked there as common practice.
"""

import pytest

MARCH = "2027-03-15"


@pytest.fixture
def orchard(graftbook):
    """Stocks P1-P3 in row 10 and P4-P5 in row 2 of the Long Row; grafts G1-G5 by whip on them, tied, made in March."""
    for count, row in ((3, "10"), (2, "2")):
        assert graftbook("stock", "add", "MM.106", "--count", count, "--place", "Long Row", "--row", row, "--order", 1,
                         "--acquired", "2027-01-10").code == 0  # fmt: skip
    assert graftbook("wood", "add", "Kilwarden Pippin", "--species", "apple", "--from", "Neighbour", "--sticks", 6,
                     "--buds", 6, "--cut", "2027-01-20", "--received", "2027-01-21", "--on", "2027-01-21",
                     "--store", "Cellar").code == 0  # fmt: skip
    assert graftbook("graft", "W1", "P1-P5", "--method", "whip-and-tongue", "--tie", "tape", "--on", MARCH).code == 0
    return graftbook


def due(book, *words):
    return book("due", *words, "--json").rows


def wanted(book, *words):
    return {(row["code"], row["what"]) for row in due(book, *words)}


def of(book, code, *words):
    return {row["what"]: (row["since"], row["until"]) for row in due(book, *words) if row["code"] == code}


def test_looks_fall_due_by_days_and_a_look_takes_them_off(orchard):
    assert "look" not in of(orchard, "G1", "--on", "2027-03-20")
    assert ("2027-03-22", None) == of(orchard, "G1", "--on", "2027-03-22")["look"]
    orchard("look", "G1", "no movement", "--on", "2027-03-22")
    assert "look" not in of(orchard, "G1", "--on", "2027-03-23")
    assert "look" in of(orchard, "G2", "--on", "2027-03-23")


def test_ties_stock_shoots_and_judging_come_and_go_with_care_and_looks(orchard):
    assert {"rub off"} == set(of(orchard, "G1", "--on", "2027-03-29")) - {"look"}
    assert "tie check" in of(orchard, "G1", "--on", "2027-04-26")
    assert ("2027-05-14", None) == of(orchard, "G1", "--on", "2027-05-20")["judge"]
    assert ("2027-06-13", None) == of(orchard, "G1", "--on", "2027-06-20")["release tie"]
    orchard("care", "G1", "rub off", "--on", "2027-05-18")
    orchard("care", "G1", "released ties", "--on", "2027-06-18")
    orchard("look", "G1", "growing", "--on", "2027-05-18", "--shoot", "20cm")
    after = of(orchard, "G1", "--on", "2027-05-20")
    assert not {"rub off", "judge", "forgotten"} & set(after)
    assert ("2027-06-01", None) == of(orchard, "G1", "--on", "2027-06-01")["rub off"]
    june = of(orchard, "G1", "--on", "2027-06-20")
    assert "release tie" not in june
    assert {"stake", "keep one shoot", "lasting tag"} <= set(june)


def test_a_row_of_due_has_the_promised_names(orchard):
    orchard("wood", "discard", "W1", 3, "--on", MARCH)
    assert {
        "place": "Long Row", "row": "2", "order": 1, "code": "G4", "cultivar": "Kilwarden Pippin", "host": "P4", "what": "look",
        "since": "2027-03-22", "until": None, "why": "Look whether the tie and the seal have held and the scion is plump.",
        "basis": "common practice", "driven_by": "calendar",
    } == due(orchard, "--on", "2027-03-22")[0]  # fmt: skip


def test_the_walk_goes_place_by_place_along_the_rows(orchard):
    orchard("care", "P5", "moved", "--place", "Bench", "--on", "2027-03-16")
    rows = due(orchard, "--on", "2027-03-22")
    assert [("Bench", "G5"), ("Long Row", "G4"), ("Long Row", "G1"), ("Long Row", "G2"), ("Long Row", "G3")] == [
        (row["place"], row["code"]) for row in rows
    ]
    assert ["G5"] == [row["code"] for row in due(orchard, "--on", "2027-03-22", "--place", "bench")]
    nowhere = orchard("due", "--on", "2027-03-22", "--place", "Nowhere", "--json").json
    assert ([], "Nothing is due at 'Nowhere'. Something is due at: Bench, Long Row.") == (
        nowhere["rows"],
        nowhere["notes"][0],
    )


def test_only_living_grafts_that_are_still_here_are_on_the_list(orchard):
    orchard("look", "G1", "dead", "--on", "2027-04-01")
    orchard("look", "G2", "not found", "--on", "2027-04-01")
    orchard("care", "P3", "gone home", "--on", "2027-04-01")
    orchard("stock", "died", "P4", "--on", "2027-04-01")
    codes = {row["code"] for row in due(orchard, "--on", "2027-05-20") if row["code"].startswith("G")}
    assert {"G5"} == codes
    orchard("look", "G1", "growing", "--on", "2027-05-01")
    assert "G1" in {row["code"] for row in due(orchard, "--on", "2027-05-20")}


def test_a_graft_on_a_graft_is_walked_to_with_its_plant_and_dies_with_it(orchard):
    orchard("graft", "W1", "G1", "--method", "chip", "--on", "2027-04-01")
    rows = [row for row in due(orchard, "--on", "2027-05-01") if row["code"] == "G6"]
    assert {("Long Row", "10", 1, "G1")} == {(row["place"], row["row"], row["order"], row["host"]) for row in rows}
    orchard("stock", "died", "P1", "--on", "2027-04-20")
    assert "G6" not in {row["code"] for row in due(orchard, "--on", "2027-05-01")}


def test_forgotten_grafts_are_on_the_same_list_after_so_many_weeks(orchard):
    orchard("look", "G1", "no movement", "--on", "2027-04-20")
    assert ("G1", "forgotten") not in wanted(orchard, "--on", "2027-05-15")
    assert ("G2", "forgotten") in wanted(orchard, "--on", "2027-05-15")
    assert ("G1", "forgotten") in wanted(orchard, "--on", "2027-05-15", "--forgotten", 3)
    assert ("G2", "forgotten") not in wanted(orchard, "--on", "2027-05-15", "--forgotten", 12)


def test_a_take_seen_on_two_days_is_judged_no_more(orchard):
    orchard("look", "G1-G2", "growing", "--on", "2027-04-20")
    orchard("look", "G1", "growing", "--on", "2027-05-10")
    found = wanted(orchard, "--on", "2027-05-20")
    assert ("G1", "judge") not in found
    assert ("G2", "judge") in found


def test_a_summer_bud_is_checked_for_set_and_headed_back_the_next_spring_in_the_north(graftbook):
    graftbook("stock", "add", "MM.106", "--place", "Beds", "--acquired", "2026-03-10")
    graftbook("wood", "add", "Kilwarden Pippin", "--species", "apple", "--from", "Neighbour", "--sticks", 1, "--summer",
              "--cut", "2026-08-10", "--received", "2026-08-10", "--on", "2026-08-10")  # fmt: skip
    assert (
        graftbook("graft", "W1", "P1", "--method", "T-bud", "--tie", "rubber", "--on", "2026-08-10", "--yes").code == 0
    )
    assert "check set" not in of(graftbook, "G1", "--on", "2026-08-25")
    assert ("2026-08-31", "2026-09-07") == of(graftbook, "G1", "--on", "2026-09-01")["check set"]
    graftbook("look", "G1", "set", "--on", "2026-09-05")
    assert not {"check set", "head back", "judge"} & set(of(graftbook, "G1", "--on", "2026-11-20"))
    assert ("2027-03-16", None) == of(graftbook, "G1", "--on", "2027-03-20")["head back"]
    graftbook("care", "G1", "head back", "--on", "2027-03-22")
    after = of(graftbook, "G1", "--on", "2027-06-01")
    assert "head back" not in after
    assert ("2027-05-21", None) == after["judge"]


def test_a_summer_bud_in_the_south_is_carried_across_the_turn_of_the_season(graftbook):
    assert graftbook("settings", "hemisphere=south").code == 0
    graftbook("stock", "add", "MM.106", "--place", "Beds", "--acquired", "2026-09-10")
    graftbook("wood", "add", "Kilwarden Pippin", "--species", "apple", "--from", "Neighbour", "--sticks", 1, "--summer",
              "--cut", "2027-02-10", "--received", "2027-02-10", "--on", "2027-02-10")  # fmt: skip
    assert graftbook("graft", "W1", "P1", "--method", "T-bud", "--on", "2027-02-10", "--yes").code == 0
    assert ("2027-03-03", "2027-03-10") == of(graftbook, "G1", "--on", "2027-03-05")["check set"]
    graftbook("look", "G1", "set", "--on", "2027-03-08")
    assert not {"head back", "judge"} & set(of(graftbook, "G1", "--on", "2027-06-15"))
    assert ("2027-09-16", None) == of(graftbook, "G1", "--on", "2027-09-20")["head back"]


def test_wood_running_out_of_time_is_listed_where_it_is_stored(orchard):
    rows = [row for row in due(orchard, "--on", "2027-05-10") if row["what"] == "use first"]
    assert [("Cellar", "W1", "Kilwarden Pippin")] == [(row["place"], row["code"], row["cultivar"]) for row in rows]
    assert "sticks left, cut about" in rows[0]["why"]
    assert rows[0]["since"] <= "2027-05-10" <= rows[0]["until"]
    assert [] == [row for row in due(orchard, "--on", "2027-02-01") if row["what"] == "use first"]
    orchard("wood", "inspect", "W1", "swelling", "--on", "2027-02-05")
    assert ["2027-02-05"] == [row["since"] for row in due(orchard, "--on", "2027-02-10") if row["code"] == "W1"]
    orchard("wood", "discard", "W1", 3, "--on", "2027-03-20")
    assert "W1" not in {row["code"] for row in due(orchard, "--on", "2027-05-10")}


def test_wood_past_all_hope_is_one_note_and_no_row(orchard):
    late = orchard("due", "--on", "2027-11-01", "--json").json
    assert "W1" not in {row["code"] for row in late["rows"]}
    assert late["notes"][0].startswith("1 bundle with sticks left, past the longest such wood is known to keep: W1.")


def test_people_see_each_reason_once_and_a_table_that_fits(orchard):
    orchard("wood", "discard", "W1", 3, "--on", MARCH)
    text = orchard("due", "--on", "2027-03-22", "--notes").out
    assert text.startswith("Due on 2027-03-22: 5 grafts\nLong Row\n")
    assert 1 == text.count("look: Look whether the tie")
    assert max(len(line) for line in text.splitlines()) <= 80
    brief = orchard("due", "--on", "2027-03-22", "--brief", "--json").rows
    assert [("Long Row", "G4-G5, G1-G3", 5, "look")] == [
        (row["place"], row["codes"], row["grafts"], row["what"]) for row in brief
    ]
    assert "Due on 2026-01-01: nothing\nNothing to show.\n" == orchard("due", "--on", "2026-01-01").out


def test_a_grower_s_own_row_takes_the_place_of_the_table_s(orchard):
    assert orchard("trade", "add", "aftercare", "key=mine", "rule=release tie", "unit=graft", "after_from=30", "after_to=40",
                   "words=Slit the tape at thirty days.").code == 0  # fmt: skip
    found = [row for row in due(orchard, "--on", "2027-04-20") if row["code"] == "G1" and row["what"] == "release tie"]
    assert [("2027-04-14", "2027-04-24", "Slit the tape at thirty days.", "own")] == [
        (row["since"], row["until"], row["why"], row["basis"]) for row in found
    ]


def test_rows_can_be_limited_and_bad_input_is_refused(orchard):
    cut = orchard("due", "--on", "2027-03-22", "--limit", 2, "--json").json
    assert (2, True) == (len(cut["rows"]), any("3 more rows" in note for note in cut["notes"]))
    for words, code in (
        (("--on", "someday"), 2),
        (("--forgotten", 0), 2),
        (("--limit", 0), 2),
        (("--json", "--csv"), 2),
    ):
        run = orchard("due", *words)
        assert (code, "") == (run.code, run.out)
    header = "place,row,order,code,cultivar,host,what,since,until,why,basis,driven_by"
    assert header == orchard("due", "--csv").out.splitlines()[0]


def test_weeks_ahead_bring_what_is_not_due_yet(orchard):
    now = wanted(orchard, "--on", "2027-04-08")
    ahead = wanted(orchard, "--on", "2027-04-08", "--weeks", 8)
    assert set(now) < set(ahead)
    assert any(what == "judge" for _code, what in set(ahead) - set(now))


def test_a_row_of_ones_own_goes_by_the_length_of_shoot_and_says_so(orchard):
    assert orchard("trade", "add", "aftercare", "key=mine", "rule=release tie", "unit=graft", "shoot_mm=75",
                   "growth=shoot of 75 mm", "words=Off at 75 mm.", "source=mine").code == 0  # fmt: skip
    orchard("look", "G1", "growing", "--shoot", "5cm", "--on", "2027-05-01")
    orchard("look", "G2", "growing", "--shoot", "8cm", "--on", "2027-05-01")
    rows = {row["code"]: row for row in due(orchard, "--on", "2027-06-20") if row["what"] == "release tie"}
    assert {"G2": ("2027-05-01", "growth")} == {code: (row["since"], row["driven_by"]) for code, row in rows.items()}
    assert "release tie: Off at 75 mm (own, by growth)." in orchard("due", "--on", "2027-06-20").out.replace(
        "\n  ", " "
    )


def test_a_reminder_can_be_switched_off_by_a_row_of_ones_own_and_comes_back_when_that_is_undone(orchard):
    assert "release tie" in of(orchard, "G1", "--on", "2027-06-20")
    orchard("trade", "add", "aftercare", "key=no-ties", "rule=release tie", "unit=graft", "default=no", "words=I see to it.",
            "source=mine")  # fmt: skip
    assert "release tie" not in of(orchard, "G1", "--on", "2027-06-20")
    assert orchard("undo", orchard("journal", "--json").rows[0]["entry"]).code == 0
    assert "release tie" in of(orchard, "G1", "--on", "2027-06-20")
