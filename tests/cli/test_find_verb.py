"""find: things without their tag. Every candidate is shown, none is chosen."""

import pytest


@pytest.fixture
def orchard(graftbook):
    """P1 an old tree with G1-G4 round the stem, P2-P4 in one row, W1-W2 two cultivars."""
    assert graftbook("tree", "add", "Old Crab", "--species", "apple", "--place", "Lower Garth").code == 0
    for order, name in enumerate(("Stoneway Pearmain", "Ashford Béauty", "Stoneway Russet"), 1):
        assert graftbook("tree", "add", name, "--species", "apple", "--place", "Home row", "--row", 2, "--order", order,
                         "--note", "blue band" if order == 2 else "").code == 0  # fmt: skip
    for name in ("Kilwarden Pippin", "Dun Reinette"):
        assert graftbook("wood", "add", name, "--species", "apple", "--sticks", 6, "--buds", 6, "--cut", "2026-01-10",
                         "--received", "2026-01-11", "--from", "Neighbour").code == 0  # fmt: skip
    for wood, made, bearing, height in (("W1", "2026-04-10", "NW", "54in"), ("W2", "2026-04-10", "NNW", "57in"),
                                        ("W1", "2027-04-12", "SE", "54in"), ("W2", "2027-04-12", None, "53in")):  # fmt: skip
        where = ("--height", height) + (("--bearing", bearing) if bearing else ())
        assert graftbook("graft", wood, "P1", "--method", "bark", "--on", made, "--yes", *where).code == 0
    return graftbook


def test_a_position_shows_every_graft_that_may_be_meant_with_its_year_and_says_how_near(orchard):
    run = orchard("find", "--host", "P1", "--bearing", "NW", "--height", "54in", "--within", "4in", "--json")
    assert [("G1", 2026), ("G2", 2026), ("G4", 2027)] == [(row["code"], row["year"]) for row in run.rows]
    assert "faces NW; at that height" in run.rows[0]["why"]
    assert "faces NNW; 76.2 mm higher" in run.rows[1]["why"]
    assert "bearing not recorded; 25.4 mm lower" in run.rows[2]["why"]
    assert "Kilwarden Pippin" == run.rows[0]["name"]


def test_a_closer_height_leaves_the_others_out(orchard):
    run = orchard("find", "--host", "P1", "--height", "54in", "--within", "0.5in", "--json")
    assert ["G1", "G3"] == [row["code"] for row in run.rows]


@pytest.mark.parametrize(
    ("words", "codes"),
    [
        (("stonew",), ["P2", "P4"]), (("beauty",), ["P3"]), (("--beside", "P2,P4"), ["P3"]), (("--mark", "blue"), ["P3"]),
        (("--beside", "P2"), ["P3"]), (("pippin", "--made", "2026-04"), ["G1"]), (("--made", "2027-04-12"), ["G3", "G4"]),
        (("--place", "home", "--order", "3"), ["P4"]), (("--row", "2", "russet"), ["P4"]),
        (("pippin", "--made", "April 2026"), ["G1"]), (("G1-W",), ["G1"]),
        (("dun", "rein"), ["G2", "G4", "W2"]),
    ],
)  # fmt: skip
def test_things_are_found_by_name_place_neighbours_mark_and_date(orchard, words, codes):
    run = orchard("find", *words, "--json")
    assert (codes, len(codes)) == ([row["code"] for row in run.rows], run.json["found"])


def test_a_stock_is_found_by_what_was_grafted_on_it(orchard):
    orchard("stock", "add", "MM.106", "--place", "Bench")
    orchard("graft", "W1", "P5", "--method", "whip-and-tongue", "--on", "2027-03-01", "--yes")
    run = orchard("find", "kilwarden", "--place", "bench", "--json")
    assert [("P5", "MM.106 with Kilwarden Pippin"), ("G5", "Kilwarden Pippin")] == [
        (row["code"], row["name"]) for row in run.rows
    ]


def test_nothing_found_says_so_and_names_what_is_like_it(orchard):
    run = orchard("find", "stonwey permain")
    assert (0, True) == (run.code, "Names like it: 'Stoneway Pearmain'" in run.out)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ((), 2, "something to find it by"), (("--bearing", "400"), 2, "a bearing such as NW"),
        (("--within", "4in"), 2, "--within beside --height"), (("--host", "P99"), 20, "P99"),
        (("--host", "W1"), 2, "grafts or plants"), (("--beside", "G1"), 2, "plants it stands beside"),
        (("%",), 2, "letters or digits"), (("--mark", "?"), 2, "letters or digits for --mark"), (("G1-X",), 2, "did you mean G1-W"),
        (("--made", "2027-13"), 2, "a month such as"), (("--made", "spring"), 2, "a month such as"),
        (("--order", "first"), 2, "a place in the row"), (("--height", "tall"), 2, "a height along the stem"),
    ],
)  # fmt: skip
def test_what_cannot_be_understood_is_refused(orchard, words, code, said):
    run = orchard("find", *words)
    assert (code, "", True) == (run.code, run.out, said in run.err)


def test_the_table_fits_eighty_columns(orchard):
    run = orchard("find", "--host", "P1", "--bearing", "NW", "--height", "54in")
    assert max(map(len, run.out.splitlines())) <= 80


def test_what_bears_the_very_code_comes_first_and_a_bundle_says_what_is_left_of_it(orchard):
    orchard("wood", "count", "W1", 40, "--on", "2027-04-13")
    for _ in range(6):
        orchard("wood", "add", "Dun Reinette", "--species", "apple", "--sticks", 2, "--from", "N")
    for _ in range(4):
        orchard("wood", "add", "Dun Reinette", "--species", "apple", "--sticks", 1, "--from", "N")
    orchard("tree", "add", "Sw1ft", "--species", "apple")
    run = orchard("find", "W1", "--json")
    assert 0 == run.code, run.err
    rows = run.rows
    assert {"W1", "W10", "W11", "W12", "P5"} == {row["code"] for row in rows}
    assert ("W1", True) == (rows[0]["code"], "sticks left" in rows[0]["why"])


def test_on_a_graft_only_what_stands_on_it_is_found(orchard):
    assert 0 == orchard("graft", "W2", "G1", "--method", "cleft", "--on", "2027-04-20").code
    assert ["G5"] == [row["code"] for row in orchard("find", "--host", "G1", "--json").rows]
    assert ["G1", "G2", "G3", "G4", "G5"] == [row["code"] for row in orchard("find", "--host", "P1", "--json").rows]
