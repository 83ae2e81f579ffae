"""prune: cuts and saved wood in one breath, what is usually said of them, and what is refused.

What is usually done (dormancy, a third of the canopy, shears under half an inch) is common practice, without a source.
"""

import pytest
from refusals import refused


@pytest.fixture
def orchard(graftbook):
    """An apple P1, a fig P2, a lemon P3, a cherry P4 and a dead pear P5."""
    for name, species in (("Kilwarden Pippin", "apple"), ("Dun Fig", "fig"), ("Old Lemon", "lemon"), ("Black Cherry", "cherry"),
                          ("Gone Pear", "pear")):  # fmt: skip
        assert graftbook("tree", "add", name, "--species", species, "--acquired", "2020-03-01").code == 0
    graftbook("tree", "died", "P5", "--on", "2026-05-01")
    return graftbook


def test_cuts_and_bundles_are_logged_in_one_breath(orchard):
    done = orchard("prune", "P1", "--on", "2027-01-14", "--thinning", 8, "--heading", 14, "--bench", 0, "--removed", "30%",
                   "--save", "24 sticks 6-9mm 30cm 6 buds", "--save", "10 sticks 4-6mm", "--store", "fridge",
                   "--temperature", "3C", "--packing", "damp paper", "--who", "Ada")  # fmt: skip
    assert done.code == 0
    assert done.out.splitlines()[0] == (
        "Pruned P1 on 2027-01-14: 8 thinning, 14 heading, 0 bench cuts, 30 % of the canopy; saved W1 ('Kilwarden Pippin', "
        "24 sticks, 6-9 mm, 300 mm long, 6 buds each), W2 ('Kilwarden Pippin', 10 sticks, 4-6 mm)."
    )
    assert orchard("prune", "list", "--json").rows == [
        {"plant": "P1", "on": "2027-01-14", "thinning": 8, "heading": 14, "bench": 0, "removed_percent": 30,
         "bundles": ["W1", "W2"], "sticks": 34, "who": "Ada", "note": None}
    ]  # fmt: skip
    rows = {row["code"]: row for row in orchard("wood", "list", "--json").rows}
    kept = ("taxon", "cultivar", "sticks_left", "diameter_min_mm", "diameter_max_mm", "length_mm", "buds_per_stick", "cut_on",
            "store", "temperature_c", "packing", "source")  # fmt: skip
    assert [rows["W1"][name] for name in kept] == [
        "Malus domestica", "Kilwarden Pippin", 24, 6, 9, 300, 6, "2027-01-14", "fridge", 3, "damp paper", "P1"
    ]  # fmt: skip
    assert orchard("journal", "--json").rows[0]["what"].startswith("Pruned P1")
    assert orchard("undo", orchard("journal", "--json").rows[0]["entry"]).code == 0
    assert orchard("wood", "list", "--empty", "--json").rows == []
    assert orchard("prune", "list", "--json").rows == []


def test_more_than_a_third_is_said_and_figs_are_excepted(orchard):
    assert "More than a third" in orchard("prune", "P1", "--on", "2027-01-14", "--removed", "34%").out
    assert "More than a third" not in orchard("prune", "P1", "--on", "2027-01-14", "--removed", "1/3").out
    assert "More than a third" not in orchard("prune", "P2", "--on", "2027-01-14", "--removed", "60%").out


def test_a_deciduous_tree_in_growth_is_said_by_the_calendar(orchard):
    assert "By the calendar P1 was not dormant" in orchard("prune", "P1", "--on", "2027-06-14").out
    assert "not dormant" not in orchard("prune", "P1", "--on", "2027-01-14").out
    assert "not dormant" not in orchard("prune", "P1", "--on", "2027-07-20", "--summer").out
    orchard("settings", "hemisphere=south")
    assert "not dormant" not in orchard("prune", "P1", "--on", "2027-06-14").out


def test_a_stage_noted_lately_counts_for_more_than_the_calendar(orchard):
    orchard("tree", "stage", "P1", "bud swell", "--on", "2027-02-20")
    assert "P1 was not dormant (bud swell, 2027-02-20)" in orchard("prune", "P1", "--on", "2027-03-01").out
    orchard("tree", "stage", "P2", "dormant", "--on", "2027-04-10")
    assert "not dormant" not in orchard("prune", "P2", "--on", "2027-04-12").out
    assert "By the calendar P2" in orchard("prune", "P2", "--on", "2027-07-12").out


def test_stone_fruit_is_not_asked_to_be_dormant_and_deep_winter_is_said_once(orchard):
    """Common practice: where silver leaf or bacterial canker is at home, stone fruit is cut in dry summer weather."""
    assert "not dormant" not in orchard("prune", "P4", "--on", "2027-07-12").out
    assert "Local advice decides" in orchard("prune", "P4", "--on", "2027-11-20").out
    assert "silver leaf" not in orchard("prune", "P4", "--on", "2027-11-21").out


def test_an_evergreen_is_asked_about_its_fruit(orchard):
    assert "--fruit yes or --fruit no" in orchard("prune", "P3", "--on", "2027-03-01").out
    assert "P3 still carried fruit" in orchard("prune", "P3", "--on", "2027-03-01", "--fruit", "yes").out
    assert "harvest" not in orchard("prune", "P3", "--on", "2027-03-01", "--fruit", "no").out
    assert "fruit" not in orchard("prune", "P1", "--on", "2027-01-14").out
    refused(orchard("prune", "P3", "--fruit", "maybe"), 2, "--fruit yes or --fruit no")


def test_tools_are_named_once_a_season_in_one_line(orchard):
    """Iowa State University Extension: shears to three quarters of an inch, loppers to an inch and a half, then a saw."""
    first = orchard("prune", "P1", "--on", "2027-01-14", "--save", "4 sticks 15mm").out
    assert 1 == first.count("Shears cut to about 19 mm")
    assert "hears" not in orchard("prune", "P1", "--on", "2027-01-15", "--save", "4 sticks 15mm").out


def test_cautions_come_once_a_season_and_sap_once_for_each_kind(orchard):
    first = orchard("prune", "P2", "--on", "2027-01-14").out
    assert "ladder" in first
    assert "Fig sap" in first
    second = orchard("prune", "P2", "--on", "2027-01-15").out
    assert "ladder" not in second
    assert "Fig sap" not in second
    assert "livestock" in orchard("prune", "P4", "--on", "2027-01-15").out
    assert "citrus" in orchard("prune", "P3", "--on", "2027-01-15", "--fruit", "no").out
    assert "ladder" in orchard("prune", "P1", "--on", "2027-11-20").out


def test_wood_from_a_tree_under_suspicion_is_cautioned(orchard):
    orchard("tree", "note", "P1", "--health", "suspect", "--on", "2027-01-01")
    assert "under suspicion" in orchard("prune", "P1", "--on", "2027-01-14", "--save", "4 sticks 6mm").out
    assert "under suspicion" not in orchard("prune", "P1", "--on", "2027-01-14").out


NO_PRUNINGS = (
    (("P5", "--on", "2027-01-14"), 21, "P5 died on 2026-05-01, before the day given for a pruning, 2027-01-14"),
    (("P1", "--on", "2019-01-14"), 21, "P1 came on 2020-03-01, after the day given for a pruning, 2019-01-14"),
    (("P1", "--on", "2027-12-24"), 21, "2027-12-24 lies after today, 2027-11-30"),
    (("P1", "--thinning", "-1"), 2, "from 0 to 100,000 thinning cuts"),
    (("P1", "--bench", "100000000"), 2, "from 0 to 100,000 bench cuts"),
    (("P1", "--removed", "140%"), 2, "between 0% and 100%"),
    (("P1", "--removed", "much"), 2, "a share such as 30%"),
    (("P1", "--temperature", "hot"), 2, "a temperature"),
    (("P9",), 20, "No plant with the code P9"),
    (("P1-P2",), 2, "one plant"),
    (("G1",), 2, "plants, whose codes start with P"),
    (("P1", "--save", ""), 2, "24 sticks 6-9mm 30cm 6 buds"),
    (("P1", "--save", "a few sticks"), 2, "24 sticks 6-9mm 30cm 6 buds"),
    (("P1", "--save", "-3 sticks"), 2, "24 sticks 6-9mm 30cm 6 buds"),
    (("P1", "--save", "0 sticks"), 2, "from 1 to 100,000 sticks"),
    (("P1", "--save", "999999999 sticks"), 2, "from 1 to 100,000 sticks"),
    (
        ("P1", "--save", "3 sticks 90mm"),
        21,
        "A scion's diameter must lie between 1 mm and 50 mm, and '90mm' is 90 mm. Is the unit right",
    ),
    (("P1", "--save", "3 sticks 6mm 30cm 9mm"), 2, "24 sticks 6-9mm 30cm 6 buds"),
    (
        ("P1", "--save", "3 sticks 6mm", "--save", "3 sticks 30cm 6mm"),
        21,
        "A scion's diameter must lie between 1 mm and 50 mm",
    ),
)


def test_what_cannot_be_is_refused_and_nothing_is_kept(orchard):
    for words, code, said in NO_PRUNINGS:
        refused(orchard("prune", *words), code, said)
    assert orchard("prune", "list", "--json").rows == []
    assert orchard("wood", "list", "--empty", "--json").rows == []


def test_prunings_are_listed_newest_first_and_by_plant(orchard):
    for plant, day in (("P1", "2026-01-10"), ("P2", "2027-01-10"), ("P1", "2027-02-10")):
        orchard("prune", plant, "--on", day)
    assert [row["on"] for row in orchard("prune", "list", "--json").rows] == ["2027-02-10", "2027-01-10", "2026-01-10"]
    assert [row["on"] for row in orchard("prune", "list", "P1", "--json").rows] == ["2027-02-10", "2026-01-10"]
    assert [row["on"] for row in orchard("prune", "list", "--limit", 1, "--page", 2, "--json").rows] == ["2027-01-10"]


def test_wood_of_a_clonal_stock_is_the_clone(orchard):
    orchard("stock", "add", "MM.106")
    orchard("prune", "P6", "--save", "5 sticks 6mm")
    assert orchard("wood", "list", "--json").rows[0]["cultivar"] == "MM.106"


@pytest.fixture
def worked_over(graftbook):
    """P1 a tree with G1 and G2 on limb A and G3 on limb B, G1 and G3 growing; P2 a stock with an interstem, G5 on G4."""
    graftbook("tree", "add", "Old Crab", "--species", "apple", "--acquired", "2010-03-01")
    graftbook("stock", "add", "MM.106", "--count", 2, "--acquired", "2026-01-05")
    for name in ("Dun Reinette", "Kilwarden Pippin"):
        graftbook("wood", "add", name, "--species", "apple", "--from", "N", "--cut", "2026-02-01", "--sticks", 9)
    for wood, host, limb in (
        ("W1", "P1", "A"),
        ("W2", "P1", "A"),
        ("W1", "P1", "B"),
        ("W2", "P2", ""),
        ("W1", "G4", ""),
    ):
        where = ("--limb", limb) if limb else ()
        assert 0 == graftbook("graft", wood, host, "--method", "cleft", "--on", "2026-04-10", *where).code
    assert 0 == graftbook("look", "G1,G3,G5", "growing", "--on", "2027-06-01").code
    return graftbook


def saved_from(book, *words):
    run = book("prune", *words, "--save", "4 sticks 6-9mm", "--json")
    assert 0 == run.code, run.err
    row = book("wood", "list", "--json").rows[-1]
    exported = book("wood", "show", row["code"]).out
    return row["cultivar"], next((code for code in ("G1", "G3", "G5", "P1", "P2") if f"from {code}" in exported), None)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("P1",), ("Old Crab", "P1")), (("P1", "--from", "G1"), ("Dun Reinette", "G1")),
        (("P1", "--from", "b"), ("Dun Reinette", "G3")), (("P1", "--from", "P1"), ("Old Crab", "P1")),
        (("P2",), ("Dun Reinette", "G5")), (("P2", "--from", "P2"), (None, "P2")),
        (("P1", "--limb", "B", "--from", "G3", "--yes"), ("Dun Reinette", "G3")),
    ],
)  # fmt: skip
def test_saved_wood_is_that_of_the_graft_or_limb_it_was_cut_from(worked_over, words, expected):
    assert expected == saved_from(worked_over, *words)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("P1", "--from", "A"), 2, "G1 'Dun Reinette', G2 'Kilwarden Pippin'"),
        (("P1", "--from", "Z"), 20, "No graft is recorded on limb 'Z' of P1 by 2027-11-30; there are grafts on limbs A, B"),
        (("P1", "--from", "G5"), 21, "G5 did not stand on P1 on 2027-11-30"),
        (("P1", "--from", "P2"), 21, "P2 did not stand on P1 on 2027-11-30"),
        (("P1", "--from", "W1"), 2, "the graft or limb"), (("P1", "--from", ""), 2, "after --from"),
        (("P1", "--from", "G1-X"), 2, "the check character W"),
        (("P1", "--from", "G1", "--on", "2026-04-01"), 21, "G1 did not stand on P1 on 2026-04-01"),
        (("P1", "--limb", "A", "--yes"), 2, "whose wood was saved off limb A"),
    ],
)  # fmt: skip
def test_wood_whose_source_cannot_be_known_is_refused_and_nothing_is_kept(worked_over, words, code, said):
    before = worked_over("journal", "--json").out
    run = worked_over("prune", *words, "--save", "4 sticks 6-9mm")
    assert (code, "", True) == (run.code, run.out, said in run.err)
    assert before == worked_over("journal", "--json").out


def test_a_tree_without_a_name_never_gives_nameless_wood_unasked(worked_over):
    """Common practice: what is cut from a grafted tree is the graft's wood; stock wood is wanted by few, and named when it is."""
    worked_over("stock", "add", "MM.106", "--count", 2, "--acquired", "2026-01-10")
    worked_over("graft", "W1", "P3", "--method", "whip", "--on", "2026-04-01")
    one = worked_over("prune", "P3", "--save", "2 sticks")
    assert "The wood is kept as that of G6" in one.out
    worked_over("graft", "W2", "P3", "--method", "whip", "--on", "2026-04-01")
    refused(worked_over("prune", "P3", "--save", "2 sticks"), 2, "G6", "G7", "--from P3 for the rootstock's own")
    assert 0 == worked_over("prune", "P3", "--save", "2 sticks", "--from", "P3").code
    worked_over("graft", "W1", "P4", "--method", "whip", "--on", "2026-04-01")
    worked_over("look", "G8", "dead", "--on", "2026-06-01")
    refused(worked_over("prune", "P4", "--save", "2 sticks"), 2, "lives no longer", "--from P4")


def test_a_suspicion_of_wood_says_nothing_of_a_tree(worked_over):
    out = worked_over("wood", "note", "W1", "--health", "suspect").out
    assert "This wood is under suspicion" in out
    assert "This tree" not in out


def test_wood_of_a_dead_graft_is_refused_and_that_of_one_not_seen_growing_is_cautioned(worked_over):
    run = worked_over("prune", "P1", "--from", "G2", "--save", "4 sticks")
    assert (0, True) == (run.code, "G2 was not seen growing" in run.out)
    worked_over("look", "G3", "dead", "--on", "2027-08-01")
    run = worked_over("prune", "P1", "--from", "G3", "--save", "4 sticks")
    assert (21, "", True) == (run.code, run.out, "G3 was not alive on 2027-11-30: dead on 2027-08-01" in run.err)
    assert 2 == worked_over("prune", "P1", "--from", "G1").code


def test_a_graft_given_as_the_donor_is_taken_for_the_slip_it_is(worked_over):
    run = worked_over("wood", "add", "--from", "G5", "--sticks", 3)
    assert (2, "", True) == (run.code, run.out, "--source CODE" in run.err)
