"""stock: stocks added many at once, measured one by one or as a grade, and listed."""

import pytest
from refusals import refused


def sizes(graftbook):
    return [
        (row["diameter_mm"], row["grade_min_mm"], row["grade_max_mm"])
        for row in graftbook("stock", "list", "--json").rows
    ]


def test_fifty_stocks_go_in_at_once_and_the_clone_tells_the_species(graftbook):
    added = graftbook("stock", "add", "mm 106", "--count", 50, "--grade", "6-8mm", "--place", "Shed", "--lot", "A",
                      "--acquired", "2027-02-01", "--from", "Tolmere beds")  # fmt: skip
    assert added.out.splitlines()[0] == "Added 50 stocks P1-P50: MM.106, Malus domestica, 6-8 mm, Shed."
    rows = graftbook("stock", "list", "--json").rows
    assert [row["code"] for row in rows] == [f"P{n}" for n in range(1, 51)]
    assert {(row["clone"], row["taxon"], row["grade_min_mm"], row["grade_max_mm"], row["lot"]) for row in rows} == {
        ("MM.106", "Malus domestica", 6, 8, "A")
    }
    assert len(graftbook("journal", "--json").rows) == 1


def test_undoing_fifty_stocks_takes_all_of_them_back_and_their_codes_are_not_used_again(graftbook):
    graftbook("stock", "add", "M.9", "--count", 50)
    assert graftbook("undo", 1).code == 0
    assert graftbook("stock", "list", "--json").rows == []
    assert "P51" in graftbook("stock", "add", "M.9").out


def test_seedlings_want_their_species(graftbook):
    assert graftbook("stock", "add", "--seedling", "--species", "apple").code == 0
    assert graftbook("stock", "list", "--json").rows[0]["clone"] == "seedling"
    refused(graftbook("stock", "add", "--seedling"), 2, "the species")
    refused(graftbook("stock", "add", "M.9", "--seedling", "--species", "apple"), 2, "a clone or --seedling")


def test_a_clone_that_the_tables_lack_is_kept_and_said(graftbook):
    refused(graftbook("stock", "add", "Tolmere 4"), 2, "the species")
    assert (
        "Tolmere 4 is not in the tables of rootstocks"
        in graftbook("stock", "add", "Tolmere 4", "--species", "apple").out
    )


def test_a_clone_said_to_be_of_another_species_is_doubted_and_kept(graftbook):
    assert "known as a rootstock of Malus domestica" in graftbook("stock", "add", "M.9", "--species", "pear").out
    assert graftbook("stock", "list", "--json").rows[0]["taxon"] == "Pyrus communis"


@pytest.mark.parametrize("count", [0, -5, 10_001, 10**9 - 1])
def test_a_count_that_cannot_be_is_refused(graftbook, count):
    refused(graftbook("stock", "add", "M.9", "--count", count), 2, "a count from 1 to 10,000")
    assert graftbook("stock", "list", "--json").rows == []


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (
            ("--grade", "600-800mm"),
            21,
            "A stock's diameter at the graft must lie between 1 mm and 500 mm, and '600-800mm' is 600 mm",
        ),
        (("--grade", "thick"), 2, "a stock's diameter"),
        (("--diameter", "6-8mm"), 2, "one length"),
        (("--diameter", ""), 0, ""),
        (("--acquired", "tomorrow"), 2, "a date such as"),
    ],
)
def test_sizes_and_days_of_stocks_are_checked(graftbook, words, code, said):
    run = graftbook("stock", "add", "M.9", *words)
    assert run.code == code
    assert said in run.err


def test_stocks_are_measured_one_by_one_in_the_order_of_their_codes(graftbook):
    graftbook("stock", "add", "M.9", "--count", 3, "--grade", "6-8mm")
    done = graftbook("stock", "measure", "P1-P3", "8.1mm", "3/8in", "7.9mm", "--on", "2027-11-01")
    assert done.code == 21
    assert "The newest diameter of P1 is of 2027-11-30, later than 2027-11-01. The book keeps the newest" in done.err
    assert graftbook("stock", "measure", "P1-P3", "8.1mm", "3/8in", "7.9").code == 0
    assert sizes(graftbook) == [(8.1, 6, 8), (9.52, 6, 8), (7.9, 6, 8)]
    assert [row["size"] for row in graftbook("stock", "list", "--json").rows] == ["8.1 mm", "9.52 mm", "7.9 mm"]


def test_as_many_diameters_as_stocks_are_wanted(graftbook):
    graftbook("stock", "add", "M.9", "--count", 5)
    refused(graftbook("stock", "measure", "P1-P5", "8mm", "8mm"), 2, "5 diameters, one for each of P1-P5", "found 2")
    refused(graftbook("stock", "measure", "P1-P5"), 2, "either diameters or a grade")
    refused(graftbook("stock", "measure", "P1", "8mm", "--grade", "6-8mm"), 2, "found both")
    refused(graftbook("stock", "measure", "P1-P2", "8mm", "900mm"), 21, "900mm")
    assert sizes(graftbook) == [(None, None, None)] * 5


def test_a_grade_takes_the_place_of_diameters(graftbook):
    graftbook("stock", "add", "M.9", "--count", 2, "--diameter", "9mm")
    assert graftbook("stock", "measure", "P1-P2", "--grade", "5/16-3/8in").code == 0
    assert sizes(graftbook) == [(None, 7.94, 9.52)] * 2
    refused(graftbook("stock", "measure", "P1", "--grade", ""), 2, "a grade")


def test_dead_stocks_and_days_before_they_came_are_refused(graftbook):
    graftbook("stock", "add", "M.9", "--count", 2, "--acquired", "2027-02-01")
    graftbook("stock", "died", "P1", "--on", "2027-05-01")
    refused(graftbook("stock", "measure", "P1-P2", "8mm", "8mm", "--on", "2027-06-01"), 21,
            "P1 died on 2027-05-01, before the day given for the diameter, 2027-06-01")  # fmt: skip
    refused(graftbook("stock", "measure", "P2", "8mm", "--on", "2027-01-01"), 21, "2027-02-01")
    assert [row["code"] for row in graftbook("stock", "list", "--json").rows] == ["P2"]
    assert sizes(graftbook) == [(None, None, None)]


def test_the_table_fits_eighty_columns(graftbook):
    graftbook(
        "stock", "add", "MM.106", "--grade", "6-8mm", "--place", "The long shed behind the lower orchard", "--row", "12"
    )
    out = graftbook("stock", "list").out
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "6-8 mm" in out


def test_csv_has_the_promised_header(graftbook):
    header = graftbook("stock", "list", "--csv").out.splitlines()[0].split(",")
    assert header[:8] == ["code", "kind", "taxon", "cultivar", "clone", "size", "diameter_mm", "grade_min_mm"]
