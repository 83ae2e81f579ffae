"""plan sheet and graft --plan: a plan on paper, and the day recorded as made with what was otherwise."""

from __future__ import annotations

import pypdfium2
import pytest
import zxingcpp
from filling import Filling
from whole_book import contents

from graftbook.codes import with_check

DAY = "2027-03-14"


@pytest.fixture
def planned(graftbook, location):
    """A plan of six grafts: P1-P6 with wood of two sticks, one stock left over, and a pear stock."""
    with Filling(location) as book:
        for _ in range(7):
            book.stock(mm=9.0, place="bench")
        book.stock("Cydonia oblonga", "Quince A", 8.0)
        book.wood(sticks=2, length_mm=300.0, diameter_min_mm=8.0)
    graftbook("want", "add", "Stoneway Pearmain", 5, today="2027-02-01")
    done = graftbook(
        "plan", "--on", DAY, "--host", "P1-P6", "--method", "whip-and-tongue", "--json", today="2027-03-14"
    )
    assert 6 == len(done.rows), done.err
    return done.rows


def read_back(path):
    document = pypdfium2.PdfDocument(path)
    pages = [page.render(scale=150 / 72).to_pil() for page in document]
    words = [page.get_textpage().get_text_bounded() for page in document]
    document.close()
    return [symbol.text for page in pages for symbol in zxingcpp.read_barcodes(page)], "\n".join(words)


def test_every_code_on_the_sheet_is_read_back_by_another_program(graftbook, planned, tmp_path):
    done = graftbook("plan", "sheet", "-o", tmp_path / "bench.pdf")
    read, words = read_back(tmp_path / "bench.pdf")

    assert 0 == done.code, done.err
    assert [with_check(f"G{number}") for number in range(1, 7)] == sorted(read)
    for said in ("Stoneway Pearmain", "W1 stick", "whip-and-tongue", "one word", f"plan 1 for {DAY}"):
        assert said in words


def test_codes_are_given_out_with_the_first_sheet_and_kept(graftbook, location, planned, tmp_path):
    first = graftbook("plan", "sheet", 1, "-o", tmp_path / "a.pdf", "--json").json
    before = contents(location)
    second = graftbook("plan", "sheet", 1, "-o", tmp_path / "b.pdf", "--paper", "letter", "--json").json

    assert [{"code": f"G{number}"} for number in range(1, 7)] == first["rows"] == second["rows"]
    assert (True, None) == (first["entry"] is not None, second["entry"])
    assert before == contents(location)
    assert ["G1", "G2", "G3", "G4", "G5", "G6"] == [row["code"] for row in graftbook("plan", "show", "--json").rows]
    assert 6 == graftbook("tags", "blanks", "--json").json["unused"]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ((7,), 20, "No plan 7"),
        (("--paper", "a9"), 2, "a4 or letter"),
        (("-o", "/no/such/folder/x.pdf"), 21, "no folder"),
    ],
)
def test_a_sheet_that_cannot_be_written_gives_out_no_code(graftbook, location, planned, tmp_path, words, code, said):
    before = contents(location)
    done = graftbook("plan", "sheet", "-o", tmp_path / "x.pdf", *words)

    assert (code, "") == (done.code, done.out)
    assert said in done.err
    assert before == contents(location)


def test_a_planned_day_is_recorded_in_one_entry_and_draws_down_the_wood(graftbook, planned):
    done = graftbook("graft", "--plan", 1, "--done", "--tie", "rubber", "--who", "Kit", "--json")
    grafts = graftbook("graft", "list", "--json").rows

    assert (0, "") == (done.code, done.err)
    assert done.json["recorded"].startswith("Plan 1 made: 6 grafts G1-G6 (6 by whip-and-tongue), 2027-03-14")
    assert [row["host"] for row in planned] == [row["host"] for row in grafts]
    assert {DAY} == {row["made_on"] for row in grafts}
    assert [0] == [row["sticks_left"] for row in graftbook("wood", "list", "--empty", "--json").rows]
    assert DAY == graftbook("plan", "list", "--json").rows[0]["done_on"]
    assert all(row["done"] for row in graftbook("plan", "show", "--json").rows)
    assert 6 == graftbook("want", "list", "--json").rows[0]["waiting"]


def test_what_was_otherwise_is_recorded_as_it_was(graftbook, planned, tmp_path):
    graftbook("plan", "sheet", "-o", tmp_path / "bench.pdf")
    words = ("--except", 2, "--swap", "3=P7", "--other", "4=splice", "--dry", "6")
    done = graftbook("graft", "--plan", 1, "--done", *words, "--json")
    grafts = {row["code"]: row for row in graftbook("graft", "list", "--json").rows}

    assert (0, "") == (done.code, done.err)
    assert ["G1", "G3", "G4", "G5"] == list(grafts)
    assert ("P7", "splice") == (grafts["G3"]["host"], grafts["G4"]["method"])
    assert "not made: lines 2, 6" in done.json["recorded"]
    assert [False, True] == [graftbook("plan", "show", "--json").rows[at]["done"] for at in (1, 2)]


def test_a_stick_that_was_dry_is_thrown_away(graftbook, planned):
    second = [str(row["line"]) for row in planned if row["stick"] == 2]
    done = graftbook("graft", "--plan", 1, "--done", "--dry", ",".join(second))

    assert "W1: 1 dry stick thrown away." in done.out
    assert [0] == [row["sticks_left"] for row in graftbook("wood", "list", "--empty", "--json").rows]


def test_a_day_recorded_can_be_undone_and_recorded_again(graftbook, location, planned):
    graftbook("plan", "sheet", "-o", "/dev/null")
    before = contents(location)
    entry = graftbook("graft", "--plan", 1, "--done", "--json").json["entry"]

    assert 21 == graftbook("graft", "--plan", 1, "--done").code
    assert 0 == graftbook("undo", entry).code
    assert before.keys() == contents(location).keys()
    assert 0 == graftbook("graft", "--plan", 1, "--done").code


def test_everything_that_is_wrong_with_a_day_is_said_at_once(graftbook, location, planned):
    before = contents(location)
    words = ("--except", "9,x", "--swap", "1=P99,2=P3,3=W1", "--swap", "4=P8", "--other", "5=clft,5=cleft,12=cleft")
    done = graftbook("graft", "--plan", 1, "--done", *words)

    assert (3, "") == (done.code, done.out)
    for said in ("'9'", "'x'", "P99", "P3, which is taken by another line", "found W1", "each line once", "'12=cleft'"):
        assert said in done.err
    assert before == contents(location)


def test_a_stock_grafted_since_stands_in_the_way(graftbook, planned):
    graftbook("graft", "W1", planned[0]["host"], "--method", "cleft", "--on", DAY)
    done = graftbook("graft", "--plan", 1, "--done")

    assert 3 == done.code
    assert f"{planned[0]['host']}, which carries an open graft" in done.err


def test_wood_used_up_since_stands_in_the_way(graftbook, planned):
    graftbook("wood", "give", "W1", 1, "--to", "Mo", "--on", DAY)
    done = graftbook("graft", "--plan", 1, "--done")

    assert 3 == done.code
    assert "1 stick of W1 left" in done.err


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--plan", 1), 2, "--plan together with --done"),
        (("--plan", 9, "--done"), 20, "No plan 9"),
        (
            ("--plan", 1, "--done", "--on", "2028-01-01"),
            21,
            "2028-01-01 lies after today, 2027-03-14. What has not happened",
        ),
        (("--plan", 1, "--done", "--on", "2027-01-01"), 3, "cut on 2027-01-14"),
        (("--plan", 1, "--done", "--swap", "1=P8"), 0, "P8 instead of"),
        (("--plan", 1, "--done", "--other", "1=chip-bud"), 3, "a method for a scion of"),
        (("--plan", 1, "--done", "--except", "1", "--other", "1=cleft"), 3, "both made otherwise and not made"),
    ],
)
def test_paths_that_go_wrong(graftbook, location, planned, words, code, said):
    before = contents(location)
    done = graftbook("graft", *words)

    assert code == done.code, done.err
    assert said in (done.err if code else done.out)
    assert code == 0 or before == contents(location)


def test_the_block_of_a_comparison_is_kept_on_each_graft(graftbook, location, planned):
    graftbook("plan", "--on", DAY, "--compare", "tie=rubber,tape", "--seed", 3, "--host", "P1-P6")
    graftbook("graft", "--plan", 2, "--done")
    lines = [row for row in graftbook("plan", "show", 2, "--json").rows if row["block"] is not None]
    taken = graftbook("take", "--by", "trial,block,tie", "--json").rows

    assert {(line["trial"], line["block"], line["treatment"]) for line in lines} <= {
        (row["trial"], row["block"], row["tie"]) for row in taken
    }
    assert 0 == graftbook("take", "compare", "tie=rubber,tape").code


def test_of_a_comparison_of_dates_each_day_is_recorded_by_itself(graftbook, planned):
    graftbook("plan", "--compare", "date=2027-03-14,2027-03-28", "--seed", 3, "--host", "P1-P6")
    first = graftbook("graft", "--plan", 2, "--done", "--on", DAY)
    left = graftbook("plan", "list", "--json").rows[0]["done_on"]
    second = graftbook("graft", "--plan", 2, "--done", "--on", "2027-03-28", today="2027-03-28")

    assert (0, 0, None) == (first.code, second.code, left), first.err + second.err
    assert "for another day" in first.out
    assert "2027-03-28" == graftbook("plan", "list", "--json").rows[0]["done_on"]
    assert {"2027-03-14", "2027-03-28"} == {row["made_on"] for row in graftbook("graft", "list", "--json").rows}
