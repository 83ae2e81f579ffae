"""match ranks by joint, explains and draws it; wood cuts shows the ways to cut a bundle."""

from xml.etree import ElementTree

import pytest
from filling import Filling

ON = ("--on", "2027-03-28")


@pytest.fixture
def bench(graftbook, location):
    """Apple wood, whole and hardly known, and apple stocks of several sizes, one of them not measured."""
    with Filling(location) as book:
        book.wood(sticks=4, length_mm=300.0, buds_per_stick=9)
        book.wood(
            "Pyrus communis", "Butter Bergamot", 3, diameter_min_mm=None, diameter_max_mm=None, buds_per_stick=None
        )
        for mm in (8.0, 12.0, 40.0, None):
            book.stock(mm=mm)
    return graftbook


def test_match_gives_share_shift_alignment_and_sides(bench):
    rows = bench("match", *ON, "--wood", "W1", "--method", "whip-and-tongue", "--json").rows
    found = {
        row["stock"]: tuple(row[name] for name in ("joint_share", "shift_mm", "alignment", "sides", "cut_mm"))
        for row in rows
    }

    assert (1.0, 0.0, "centred", 2, 32.0) == found["P1"]
    assert ("one side", 1, 36.0) == found["P2"][2:]
    assert 0 < found["P2"][0] < 0.6
    assert (None, None, None, None, None) == found["P4"]


def test_a_wider_reach_meets_more_and_is_said(bench):
    near, far = (bench("match", "--why", "P2", "W1", *ON, "--method", "splice", "--reach", reach, "--json").json
                 for reach in ("0.5mm", "1mm"))  # fmt: skip

    assert far["joint_share"] > near["joint_share"]
    assert "within 1 mm of the stock's" in far["notes"][0]


def test_why_tells_the_joint_in_a_line_of_its_own_and_that_it_is_a_model(bench):
    notes = bench("match", "--why", "P1", "W1", *ON, "--method", "whip-and-tongue", "--json").json["notes"]

    assert (
        "joint: 1.00 of the scion's cambium within 0.5 mm of the stock's, centred, both sides met; a model" == notes[0]
    )
    assert "not a forecast of take" in notes[1]
    assert (
        "joint: not known, since the diameter of W2 and of P4 is not." in bench("match", "--why", "P4", "W2", *ON).out
    )
    assert "joint: not worked out for bridge." in bench("match", "--why", "P3", "W1", *ON, "--method", "bridge").out


def test_why_says_what_is_printed_on_the_length_of_cut_and_by_whom(bench):
    notes = bench("match", "--why", "P1", "W1", *ON, "--method", "whip-and-tongue", "--json").json["notes"]

    assert notes[2].startswith("Lengths as printed: 25-51 mm according to thickness")
    assert "NDSU Extension" in notes[2]


def test_a_pair_that_does_not_go_is_still_drawn(bench, tmp_path):
    drawn = bench("match", "--why", "P1", "W1", *ON, "--method", "bark", "--draw", tmp_path / "joint.svg")

    assert 0 == drawn.code
    assert f"Drew the joint true to scale in {tmp_path / 'joint.svg'}" in drawn.out.replace("\n  ", " ")
    root = ElementTree.parse(tmp_path / "joint.svg").getroot()
    assert root.get("width").endswith("mm")
    assert "W1 (Stoneway Pearmain) on P1 (MM.106) by bark" == root.find("{http://www.w3.org/2000/svg}title").text


def test_bark_of_ones_own_changes_the_joint(bench):
    words = ("match", "--why", "P2", "W1", *ON, "--method", "splice", "--json")
    before = bench(*words).json
    assert 0 == bench("trade", "add", "bark", "taxon=apple", "thin_mm=0.3", "thick_mm=3").code
    after = bench(*words).json

    assert "with bark taken as 1 mm and 1.2 mm" in before["notes"][1]
    assert "with bark taken as 0.3 mm and 0.5 mm" in after["notes"][1]
    assert before["joint_share"] != after["joint_share"]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["--why", "P4", "W2"], 2, "the diameter of W2 and of P4 to draw the joint; found none recorded"),
        (["--why", "P1", "W1", "--method", "bridge"], 2, "a method whose joint is worked out; found bridge"),
        ([], 2, "--draw together with --why"), (["--why", "P1", "W1", "--reach", "40mm"], 21, "between 0.05 mm and 5 mm"),
        (["--why", "P1", "W1", "--reach", "much"], 2, "the gap callus is trusted to bridge"),
    ],
)  # fmt: skip
def test_what_cannot_be_drawn_is_said_and_leaves_no_file(bench, tmp_path, words, code, said):
    bad = bench("match", *words, "--draw", tmp_path / "joint.svg")

    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err
    assert [] == list(tmp_path.glob("*.svg"))


def test_a_drawing_can_be_drawn_anew_but_not_over_someone_elses(bench, tmp_path):
    place = tmp_path / "joint.svg"
    drawn = []
    for stock in ("P1", "P2"):
        assert 0 == bench("match", "--why", stock, "W1", "--draw", place).code
        drawn.append(place.read_text(encoding="utf-8"))
    place.write_text("<?xml version='1.0'?><svg/>", encoding="utf-8")

    assert drawn[0] != drawn[1]
    assert 0 != bench("match", "--why", "P1", "W1", "--draw", place).code
    assert "<?xml version='1.0'?><svg/>" == place.read_text(encoding="utf-8")


def test_a_drawing_never_goes_over_something_else(bench, tmp_path):
    kept = tmp_path / "notes.txt"
    kept.write_text("mine", encoding="utf-8")
    bad = bench("match", "--why", "P1", "W1", "--draw", kept)
    lost = bench("match", "--why", "P1", "W1", "--draw", tmp_path / "none" / "joint.svg")

    assert ("mine", "") == (kept.read_text(encoding="utf-8"), bad.out)
    assert 0 not in (bad.code, lost.code)
    assert "no folder" in lost.err


def test_cuts_lists_the_ways_best_first_with_scions_from_all_sticks(bench):
    document = bench("wood", "cuts", "W1", "--method", "whip-and-tongue", "--json").json
    rows = document["rows"]

    assert (4, "whip-and-tongue") == (document["sticks_left"], document["method"])
    assert ("3+2+2+2", 4, 16) == tuple(rows[0][name] for name in ("way", "scions", "in_all"))
    assert sorted((-row["fit"], -row["scions"]) for row in rows) == [(-row["fit"], -row["scions"]) for row in rows]
    assert all(9 == row["buds"] + row["lost"] + row["left_over"] for row in rows)
    assert "3 buds 9 mm, 90 mm long" == rows[0]["pieces"][0]


def test_cuts_takes_only_the_buds_asked_for(bench):
    rows = bench("wood", "cuts", "W1", "--buds", "3", "--json").rows

    assert [("3+3+3", 12)] == [(row["way"], row["in_all"]) for row in rows]
    assert ["1+1+1+1+1+1+1+1+1"] == [
        row["way"] for row in bench("wood", "cuts", "W1", "--method", "chip-bud", "--json").rows
    ]


def test_cuts_counts_only_scions_of_the_methods_thickness_as_fit(bench):
    row = bench("wood", "cuts", "W1", "--method", "cleft", "--buds", "3", "--json").rows[0]

    assert (3, 3) == (row["scions"], row["fit"])
    thin = bench("wood", "cuts", "W1", "--method", "four-flap", "--buds", "3", "--json").rows[0]
    assert (3, 0) == (thin["scions"], thin["fit"])


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["W2"], 2, "the diameter, length, buds a stick of W2; found none recorded"), (["P1"], 2, "a bundle of wood"),
        (["W9"], 20, "W9"), (["W1", "--buds", "two"], 2, "numbers of buds from 1 to 9"), (["W1", "--buds", "0"], 2, "1 to 9"),
        (["W1", "--method", "glue"], 2, "a method of grafting"),
        (["W1", "--method", "T-bud", "--buds", "2"], 2, "one bud for T-bud"),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_is_said(bench, words, code, said):
    bad = bench("wood", "cuts", *words)

    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err


def test_more_buds_than_a_stick_can_hold_are_refused_and_no_sticks_give_no_scions(bench):
    bench("wood", "amend", "W1", "--length", "60mm", "--buds", "40")
    assert "at most 13 sound buds on 60 mm; found 40" in bench("wood", "cuts", "W1").err
    bench("wood", "amend", "W1", "--length", "300mm", "--buds", "9")
    bench("wood", "discard", "W1")
    assert {0} == {row["in_all"] for row in bench("wood", "cuts", "W1", "--json").rows}
    bench("wood", "amend", "W1", "--length", "30mm", "--buds", "2")
    assert "No scion of 1 or more buds can be had: it would be at least 40 mm long" in bench("wood", "cuts", "W1").out


def test_the_table_of_cuts_fits_80_columns_and_says_what_more_there_is(bench):
    out = bench("wood", "cuts", "W1", "--limit", "2").out

    assert max(map(len, out.splitlines())) <= 80
    assert "ways more: --limit" in out
