"""care: aftercare done to grafts, and to plants and so to all that stands on them."""

import pytest
from refusals import refused

MARCH, MAY = "2027-03-15", "2027-05-01"


@pytest.fixture
def row(graftbook):
    """Stocks P1-P4 in the shed, W1, and grafts G1-G4 on them by whip, made in March."""
    assert graftbook("stock", "add", "MM.106", "--count", 4, "--place", "Shed", "--row", "1", "--order", "1",
                     "--acquired", "2027-01-10").code == 0  # fmt: skip
    assert graftbook("wood", "add", "Kilwarden Pippin", "--species", "apple", "--from", "Neighbour", "--sticks", 10,
                     "--buds", 6, "--cut", "2027-01-20", "--received", "2027-01-21", "--on", "2027-01-21").code == 0  # fmt: skip
    assert graftbook("graft", "W1", "P1-P4", "--method", "whip", "--tie", "rubber", "--on", MARCH).code == 0
    return graftbook


def cares(book, *words):
    return [(row["code"], row["on"], row["what"]) for row in book("care", "list", *words, "--json").rows]


def test_a_whole_row_is_done_in_one_stroke_with_exceptions(row):
    done = row(
        "care", "G1-G3,P4", "tie-released", "--except", "G2", "--on", MAY, "--who", "Bo", "--note", "still supple"
    )
    assert "G1, G3, P4: tie released, 2027-05-01.\n" == done.out
    assert [("G1", MAY, "tie-released"), ("G3", MAY, "tie-released"), ("P4", MAY, "tie-released")] == cares(row)
    assert ("Bo", "still supple") == tuple(row("care", "list", "--json").rows[0][name] for name in ("who", "note"))
    assert row("undo", row("journal", "--json").rows[0]["entry"]).code == 0
    assert [] == cares(row)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        (("released", "ties"), "tie-released"), (("rub off",), "rubbed-off"), (("staked",), "staked"),
        (("head", "back"), "headed-back"), (("one leader",), "one-leader"), (("potted on",), "potted-on"),
        (("lasting tag",), "lasting-tag"), (("gone home",), "gone-home"), (("Rubbed-Off",), "rubbed-off"),
    ],
)  # fmt: skip
def test_phrases_of_the_trade_are_read(row, typed, kept):
    assert row("care", "G1", *typed, "--on", MAY).code == 0
    assert [("G1", MAY, kept)] == cares(row)


def test_care_of_a_plant_counts_for_all_that_stands_on_it_and_says_so(row):
    row("graft", "W1", "P1", "--method", "chip", "--on", MARCH)
    done = row("care", "P1", "rub off", "--on", MAY)
    assert "P1: this counts for every graft there, 2 in all." in done.out
    wanted = {(each["code"], each["what"]) for each in row("due", "--on", "2027-05-03", "--json").rows}
    assert ("G1", "rub off") not in wanted
    assert ("G2", "rub off") in wanted


def test_care_of_what_is_dead_is_kept_and_said(row):
    row("look", "G1", "dead", "--on", MAY)
    assert "G1: not alive at the last look" in row("care", "G1", "rub off", "--on", "2027-05-02").out


def test_what_is_moved_stands_elsewhere_and_leaves_its_row(row):
    done = row("care", "P1,P2", "moved", "--place", "Long Row", "--on", MAY)
    assert "P1-P2: moved to Long Row, 2027-05-01.\n" == done.out
    plants = {each["code"]: (each["place"], each["row"], each["order"]) for each in row("stock", "list", "--json").rows}
    assert [("Long Row", None, None), ("Shed", "1", 3)] == [plants["P1"], plants["P3"]]
    assert ["G1", "G2"] == [each["code"] for each in row("graft", "list", "--place", "long row", "--json").rows]
    assert row("undo", row("journal", "--json").rows[0]["entry"]).code == 0
    assert [] == row("graft", "list", "--place", "long row", "--json").rows
    assert "say where they went with --place" in row("care", "G3", "moved", "--on", MAY).out
    assert row("care", "G3", "moved", "--place", "Bench", "--on", MAY).code == 0
    assert ["G3"] == [each["code"] for each in row("graft", "list", "--place", "Bench", "--json").rows]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("G1", "tickled"), 2, "tie-released, rubbed-off, staked"),
        (("G1", "stakd"), 2, "Did you mean staked"),
        (("G1",), 2, "codes and then a word"),
        (("W1", "staked"), 2, "grafts or plants"),
        (("G99", "staked"), 20, "No graft with the code G99"),
        (("G1-G9", "staked"), 20, "G5, G6, G7, G8, G9"),
        (("G1", "staked", "--place", "Shed"), 2, "--place with moved or gone-home"),
        (("G1", "staked", "--on", "2027-03-01"), 21, "G1, made on 2027-03-15"),
        (("P1", "staked", "--on", "2027-01-01"), 21, "P1, which came on 2027-01-10"),
        (
            ("G1", "staked", "--on", "2028-01-01"),
            21,
            "2028-01-01 lies after today, 2027-11-30. What has not happened cannot be recorded.",
        ),
        (("G1", "staked", "--except", "G2"), 2, "among the codes"),
    ],
)
def test_bad_input_is_refused_and_nothing_recorded(row, words, code, said):
    words = (*words, "--on", MAY) if "--on" not in words else words
    refused(row("care", *words), code, said)
    assert [] == cares(row)


def test_a_dead_plant_is_cared_for_no_longer(row):
    row("stock", "died", "P1", "--on", MAY)
    refused(row("care", "P1", "staked", "--on", "2027-05-02"), 21, "P1, dead since 2027-05-01")


def test_care_is_listed_by_code_and_day(row):
    row("care", "G1,P2", "staked", "--on", MAY)
    row("care", "G1", "rub off", "--on", "2027-05-20")
    assert [("P2", MAY, "staked")] == cares(row, "P2")
    assert [("G1", MAY, "staked"), ("G1", "2027-05-20", "rubbed-off")] == cares(row, "P1")
    assert [("G1", "2027-05-20", "rubbed-off")] == cares(row, "--since", "2027-05-02")
    assert [("G1", "2027-05-20", "rubbed-off")] == cares(row, "--limit", 1)


def test_help_names_every_kind_of_care(row):
    text = row("care", "--help").out
    for word in ("tie-released", "rubbed-off", "headed-back", "one-leader", "gone-home"):
        assert word in text
    assert "Example:" in row("care", "add", "--help").out


def test_a_place_or_a_row_of_it_stands_for_every_graft_that_lives_there(row):
    row("stock", "add", "MM.106", "--place", "Shed", "--row", "2", "--order", 1, "--acquired", "2027-01-10")
    row("graft", "W1", "P5", "--method", "whip", "--tie", "rubber", "--on", MARCH)
    row("look", "G2", "dead", "--on", MAY)
    row("tree", "died", "P3", "--on", MAY)
    done = row("care", "rub", "off", "--place", "shed", "--row", "1", "--except", "G4", "--on", "2027-05-03")
    assert "G1: rubbed off, 2027-05-03.\n" == done.out
    row("care", "staked", "--place", "Shed", "--on", "2027-05-03")
    assert ["G1", "G4", "G5"] == [code for code, _, what in cares(row) if what == "staked"]


def test_a_look_too_goes_by_place_and_row(row):
    row("tree", "died", "P3", "--on", MAY)
    done = row(
        "look", "growing", "--place", "shed", "--row", "1", "--except", "G4", "--shoot", "12cm", "--on", "2027-06-03"
    )
    assert done.code == 0 and done.out.startswith("G1-G2: 2 grafts growing")
    assert ["G1", "G2"] == [each["graft"] for each in row("look", "list", "--json").rows]
    for words, code, said in (
        (("growing", "--place", "Nowhere"), 20, "No living graft stands at Nowhere; some stand at Shed."),
        (("G1", "growing", "--place", "Shed"), 2, "codes or --place"),
        (("growing", "--row", "1"), 2, "--row with --place"),
        (("growing", "--place", "Shed", "--photo", "row.jpg"), 2, "--photo or --place"),
        (("waved", "--place", "Shed"), 2, "what was seen"),
    ):
        refused(row("look", *words), code, said)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["rub", "off", "--place", "Nowhere"], 20, "No living graft stands at Nowhere; some stand at Shed."),
        (
            ["rub", "off", "--place", "Shed", "--row", "9"],
            20,
            "No living graft stands in row 9 at Shed; some stand there in row 1.",
        ),
        (["moved", "--place", "Shed"], 2, "codes of what was moved"),
        (["rub", "off", "--row", "1"], 2, "--row with --place"),
        (["G1", "rub", "off", "--place", "Shed"], 2, "--place with moved"),
        (["G1", "moved", "--place", "Shed", "--row", "1"], 2, "without codes"),
        (["waved", "at", "--place", "Shed"], 2, "what was done"),
        (["rub", "off", "--place", "Shed", "--except", "G44"], 2, "among the codes"),
    ],
)
def test_a_place_where_nothing_lives_and_words_that_do_not_go_together_are_refused(row, words, code, said):
    refused(row("care", *words), code, said)
    assert [] == cares(row)
