"""tree stage, bark and stages: what was seen on each day, by the trade's words and by BBCH codes.

The codes are those of the BBCH scales of pome and stone fruit (Meier, ed., Growth stages of mono- and dicotyledonous
plants, BBCH Monograph, Julius Kühn-Institut, 2018): 07 and 09 green tip, 10 mouse-ear, 57 pink, 65 full bloom, 69 end of
flowering in pome fruit; stone fruit has no 07.
"""

import pytest
from refusals import refused


@pytest.fixture
def orchard(graftbook):
    """Apples P1 and P2 and plum P3 in the Long Row, stock P4 in the Shed."""
    for name, kind in (("Kilwarden Pippin", "apple"), ("Tarrow Russet", "apple"), ("Old Blue", "plum")):
        assert (
            graftbook("tree", "add", name, "--species", kind, "--place", "Long Row", "--acquired", "2020-03-01").code
            == 0
        )
    assert graftbook("stock", "add", "MM.106", "--place", "Shed", "--acquired", "2020-03-01").code == 0
    return graftbook


def seen(book, *words):
    return [
        (row["code"], row["on"], row["stage"], row["bbch"], row["bark"])
        for row in book("tree", "stages", *words, "--json").rows
    ]


@pytest.mark.parametrize(
    ("typed", "word", "bbch"),
    [
        ("green-tip", "green tip", None), ("07", "green tip", "07"), ("BBCH 9", "green tip", "09"), ("10", "mouse-ear", "10"),
        ("bbch57", "pink", "57"), ("65", "full bloom", "65"), ("petals falling", "petal fall", None), ("popcorn", "pink", None),
    ],
)  # fmt: skip
def test_stages_are_read_by_word_or_code_and_both_are_kept(orchard, typed, word, bbch):
    done = orchard("tree", "stage", "P1", typed, "--on", "2027-04-02")
    assert f"P1 at {word} on 2027-04-02.\n" == done.out
    assert [("P1", "2027-04-02", word, bbch, None)] == seen(orchard)


def test_every_stage_of_the_year_is_kept_and_the_newest_stands_with_the_plant(orchard):
    for day, stage in (("04-02", "green tip"), ("04-24", "pink"), ("05-01", "full bloom"), ("05-12", "petal fall")):
        orchard("tree", "stage", "P1", stage, "--on", f"2027-{day}")
    rows = orchard("tree", "stages", "P1", "--json").rows
    assert [("green tip", 0), ("pink", 22), ("full bloom", 29), ("petal fall", 40)] == [
        (row["stage"], row["days_from_green_tip"]) for row in rows
    ]
    assert ("petal fall", "2027-05-12") == tuple(
        orchard("tree", "list", "--json").rows[0][name] for name in ("stage", "stage_on")
    )
    assert "stages seen" in orchard("tree", "show", "P1").out


def test_what_was_seen_earlier_can_be_recorded_later_and_does_not_turn_the_plant_back(orchard):
    orchard("tree", "stage", "P1-P2", "pink", "--on", "2027-04-24")
    done = orchard("tree", "stage", "P1", "green tip", "--on", "2027-04-02")
    assert "This is kept as what was seen then; P1 is at pink since 2027-04-24." in done.out
    assert "pink" == orchard("tree", "list", "--json").rows[0]["stage"]
    assert [("P1", "2027-04-02", "green tip", None, None), ("P1", "2027-04-24", "pink", None, None)] == seen(
        orchard, "P1"
    )


def test_a_stage_stated_with_the_plant_is_not_lost_when_it_moves_on(orchard):
    orchard("tree", "add", "Barn Codlin", "--species", "apple", "--stage", "dormant", "--on", "2027-02-01")
    orchard("tree", "stage", "P5", "green tip", "--on", "2027-04-01")
    orchard("tree", "amend", "P5", "--stage", "pink", "--on", "2027-04-20")
    assert ["dormant", "green tip", "pink"] == [row[2] for row in seen(orchard, "P5")]


def test_a_season_can_be_asked_for(orchard):
    orchard("tree", "stage", "P1", "green tip", "--on", "2026-04-12")
    orchard("tree", "stage", "P1", "green tip", "--on", "2027-04-02")
    assert [("P1", "2027-04-02", "green tip", None, None)] == seen(orchard, "--season", "2026-27")
    refused(orchard("tree", "stages", "--season", "2027"), 2, "such as 2026-27")


def test_one_stage_for_many_goes_away_as_one(orchard):
    orchard("tree", "stage", "P1-P3", "green tip", "--on", "2027-04-02")
    assert 3 == len(seen(orchard))
    assert orchard("undo", orchard("journal", "--json").rows[0]["entry"]).code == 0
    assert [] == seen(orchard)
    assert orchard("tree", "list", "--json").rows[0]["stage"] is None


def test_bark_is_noted_by_itself_and_the_match_goes_by_it_while_it_is_fresh(orchard):
    orchard("wood", "add", "Kilwarden Pippin", "--species", "apple", "--from", "Neighbour", "--sticks", 6, "--buds", 6,
            "--cut", "2027-01-20", "--received", "2027-01-21", "--on", "2027-01-21")  # fmt: skip

    def why(on):
        words = ("--wood", "W1", "--stock", "P4", "--method", "bark", "--on", on, "--json")
        return orchard("match", *words).rows[0]["why"]

    orchard("stock", "stage", "P4", "dormant", "--on", "2027-04-26")
    assert "at dormant that of P4 is likely tight" in why("2027-05-01")
    assert "P4: bark slipping on 2027-04-28.\n" == orchard("stock", "bark", "P4", "slips", "--on", "2027-04-28").out
    assert "Bark needs bark that slips, and that of P4 does." in why("2027-05-01")
    assert "likely tight" in why("2027-04-27")
    assert "whether that of P4 does is not noted" in why("2027-05-20")


def test_an_earlier_bark_does_not_overrule_a_later_one(orchard):
    orchard("stock", "bark", "P4", "slipping", "--on", "2027-05-10")
    orchard("stock", "bark", "P4", "tight", "--on", "2027-04-10")
    assert "slipping" == orchard("stock", "list", "--json").rows[0]["bark"]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["bark", "P1", "loose"], 2, "tight or slipping"),
        (["bark", "P9", "tight"], 20, "P9"),
        (["bark", "W1", "tight"], 2, "codes start with P"),
        (["bark", "P1", "tight", "--on", "2019-01-01"], 21, "2020-03-01"),
        (
            ["bark", "P1", "tight", "--on", "2028-01-01"],
            21,
            "2028-01-01 lies after today, 2027-11-30. What has not happened cannot be recorded",
        ),
        (["stage", "P1", "green tpi"], 2, "Did you mean green tip"),
        (["stage", "P1", "77"], 2, "a growth stage"),
        (["stage", "P1", "pink", "--bark", "loose"], 2, "tight or slipping"),
        (["stages", "P44"], 20, "P44"),
    ],
)
def test_what_is_no_stage_no_bark_or_no_plant_is_refused_and_nothing_kept(orchard, words, code, said):
    refused(orchard("tree", *words), code, said)
    assert [] == seen(orchard)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("plant,on,stage\nP1,2027-04-02,asparagus\n", "line 2, column 3 (stage)"),
        ("plant,on,bark\nP1,2019-04-02,tight\n", "2020-03-01"),
        ("plant,on,stage,bark\nP1,2027-04-02,,\n", "a growth stage or the state of the bark"),
        ("plant,on,stage\nP1,2027-04-02,pink\nP1,2027-04-02,pink\n", "earlier line"),
        ("plant,on,bbch\nP1,2027-04-02,7\n", "a growth stage"),
    ],
)
def test_stages_taken_from_a_file_are_checked_like_those_typed(orchard, tmp_path, text, found):
    file = tmp_path / "stages.csv"
    file.write_text(text)
    refused(orchard("import", file), 3, found)
    assert [] == seen(orchard)


def test_stages_taken_from_a_file_are_kept(orchard, tmp_path):
    file = tmp_path / "stages.csv"
    file.write_text(
        "plant,on,stage,bbch,bark\nP1,2027-04-02,budbreak,07,\nP1,2027-05-02,,,slips\n".replace("slips", "slipping")
    )
    assert 0 == orchard("import", file).code
    assert [("P1", "2027-04-02", "green tip", "07", None), ("P1", "2027-05-02", None, None, "slipping")] == seen(
        orchard
    )
