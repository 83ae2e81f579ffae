"""A grower's own sheet: shown, accepted, taken or held, mended, come again, undone."""

import shutil
from datetime import date

import openpyxl
import pytest
from refusals import refused

HEADINGS = ["#", "Variety", "From", "Rootstock", "Cal", "Date", "Method", "Qty", "Took?", "Remarks"]
ROWS = [
    [1, "Tolm Beauty", "Ilo M.", "M111", "3/8", date(2026, 4, 2), "W&T", 1, "yes", None],
    [2, "Tolm Beuaty", "Ilo M.", "MM.111", date(2026, 3, 8), "25/4/26", "whip and tongue", 4, "3/4", "windy"],
    [3, "Quern Russet ", None, "MM9", "pencil", "13/4/26", "cleft", 12, "some took", None],
    [4, "Quern Russet", None, "EMLA 111", "½", 46116, "cleft", 3, "all", None],
    [5, "Tolm Beauty", "Ilo M.", "Bud 9", "thin", "5/4/26", "Cleft", None, "3/4", None],
    [6, "Kilwarden Pippin", None, "B.9", None, "14/4/26", "kleft", 2, "none", None],
]  # fmt: skip


def save(path, rows):
    book = openpyxl.Workbook()
    page = book.active
    page.title = "Spring"
    page["A1"] = "Hollin Beck, grafting days"
    page.merge_cells("A1:J1")
    page.append([])
    page.append(HEADINGS)
    for row in rows:
        page.append(row)
    page.append([None] * 6 + ["Total", 26])
    page.append([])
    page.append(["The wax was old"])
    book.save(path)
    return path


@pytest.fixture
def log(tmp_path):
    return save(tmp_path / "club log.xlsx", ROWS)


ANSWERS = ("--yes", "--spelling", "all", "--given", "species=apple", "--given", "looked=2026-07-01")


def test_a_sheet_goes_in_row_by_row_and_every_line_is_accounted_for(graftbook, log, tmp_path):
    shown = graftbook("import", log)
    assert 21 == shown.code
    assert "Rootstock" in shown.out and "say --yes" in shown.err
    assert [] == graftbook("graft", "list", "--json").rows

    done = graftbook("import", log, *ANSWERS, "--save-reading", tmp_path / "r.toml", "--json")
    assert 0 == done.code, done.err
    assert "8 lines in: 2 taken, 4 held, 1 sum, 1 no rows" in done.json["recorded"]
    grafts = graftbook("graft", "list", "--json").rows
    assert ["Tolm Beauty", *["Quern Russet"] * 3] == [row["cultivar"] for row in grafts]
    assert {"2026-04-02", "2026-04-04"} == {row["made_on"] for row in grafts}

    held = {row["number"]: row for row in graftbook("held", "--json").rows}
    assert [2, 3, 5, 6] == list(held)
    assert "3/8in" in held[2]["perhaps"]
    assert "MM9" in held[3]["why"]
    assert "3 of 4" in held[5]["perhaps"]
    assert "kleft" in held[6]["why"] and "cleft" in held[6]["why"]

    assert "Nothing new" in graftbook("import", log, *ANSWERS).out
    assert "0 rows still held" in graftbook("held", "mend", "2", "--as-offered").out
    assert "0 rows still held" in graftbook("held", "mend", "--where", "Took?=3/4", "--set", "Took?=3 of 4").out
    assert "0 rows still held" in graftbook("held", "mend", 6, "--set", "method=cleft").out
    assert 0 == graftbook("held", "drop", 3, "--note", "nobody knows").code
    assert [] == graftbook("held", "--json").rows
    states = [row["state"] for row in graftbook("look", "list", "--json").rows]
    assert (10, 4) == (states.count("growing"), states.count("dead"))
    assert 0 == graftbook("doctor").code


def test_a_grown_sheet_adds_its_new_rows_and_asks_about_changed_ones(on_sqlite, log, tmp_path):
    on_sqlite("import", log, *ANSWERS)
    rows = [*ROWS, [7, "Tolm Beauty", "Ilo M.", "B9", None, "15/4/26", "cleft", 1, "no", None]]
    rows[0] = [*ROWS[0][:8], "no", "broken by deer"]
    rows[2] = [*ROWS[2][:3], "M9", *ROWS[2][4:]]
    done = on_sqlite("import", save(log, rows), *ANSWERS, "--json")
    assert "9 lines in: 2 taken, 1 held, 4 there already" in done.json["recorded"], done.json
    (changed,) = [row for row in on_sqlite("held", "--json").rows if row["line"] == 4]
    assert "Took? was 'yes', now 'no'" in changed["why"] and "G1" in changed["why"]
    refused(on_sqlite("held", "take", changed["number"]), 21, "later state")
    assert [2, 5, 6, changed["number"]] == [row["number"] for row in on_sqlite("held", "--json").rows]
    other = shutil.copy(log, tmp_path / "club log (2).xlsx")
    assert "Nothing new" in on_sqlite("import", other, *ANSWERS).out


def test_an_import_is_undone_whole_and_can_come_again(on_sqlite, log):
    on_sqlite("import", log, *ANSWERS)
    assert 0 == on_sqlite("undo", 1).code
    assert [] == on_sqlite("held", "--json").rows == on_sqlite("graft", "list", "--json").rows
    assert "2 taken, 4 held" in on_sqlite("import", log, *ANSWERS).out


def test_dates_that_can_be_two_days_are_asked_once_with_the_lines_that_prove_each_order(on_sqlite, tmp_path):
    path = tmp_path / "log.csv"
    path.write_text(
        "Variety;Rootstock;Date;Method\nA;M9;5/4/26;cleft\nB;M9;25/4/26;cleft\nC;M9;4/26/26;cleft\n", encoding="utf-16"
    )
    asked = on_sqlite("import", path, "--yes")
    refused(asked, 21, "line 2 can mean two days; day first by line 3 and month first by line 4")
    assert "2 taken, 1 held" in on_sqlite("import", path, "--yes", "--dates", "day-first").out


def test_what_the_book_itself_objects_to_is_held_with_its_reason(on_sqlite, tmp_path):
    on_sqlite("stock", "add", "M.9", "--count", 1, "--acquired", "2026-03-01")
    path = tmp_path / "log.csv"
    path.write_text("Variety,Host,Date,Method\nA,P1,2026-02-01,cleft\nB,P1,2026-04-01,cleft\nC,P9,2026-04-01,cleft\n")
    assert "1 taken, 2 held" in on_sqlite("import", path, "--yes").out
    first, second = (row["why"] for row in on_sqlite("held", "--json").rows)
    assert "Date: '2026-02-01'" in first and "when P1 came" in first
    assert "Host: 'P9'" in second


WRONG = (
    (("--map", "Colour=cultivar"), 2, "a heading of the table"), (("--map", "Variety=colour"), 2, "what a column may be"),
    (("--dates", "sideways"), 2, "day-first or month-first"), (("--reading", "nowhere.toml"), 20, "No reading"),
    (("--kind", "birds"), 2, "--kind"), (("--map", "Method=", "--yes"), 21, "no column says the method"),
)  # fmt: skip


@pytest.mark.parametrize(("words", "code", "said"), WRONG)
def test_words_that_are_no_reading_are_refused_and_nothing_is_recorded(on_sqlite, log, words, code, said):
    refused(on_sqlite("import", log, *words), code, said)
    assert [] == on_sqlite("journal", "--json").rows


HELD_WRONG = (
    (("mend",), 2, "what to mend"), (("mend", "--set", "a=b"), 2, "which rows"),
    (("mend", 2, "--set", "Colour=b"), 2, "a heading of"),
    (("mend", 99, "--set", "Qty=1"), 20, "No held row 99"), (("drop", "x"), 2, "numbers of held rows"),
    (("take", 1), 20, "No held row 1"),
    (("mend", "--where", "Qty=77", "--set", "Qty=1"), 20, "No held row is meant"),
)  # fmt: skip


def test_words_that_mend_nothing_are_refused(on_sqlite, log):
    on_sqlite("import", log, *ANSWERS)
    for words, code, said in HELD_WRONG:
        refused(on_sqlite("held", *words), code, said)


def test_results_that_come_with_the_sheet_in_summer_become_looks_at_the_grafts_made_in_spring(graftbook, tmp_path):
    path = tmp_path / "log.csv"
    head = "Variety,Rootstock,Date,Method,Qty,Took?,Looked\n"
    path.write_text(
        head + "Tolm,M9,2026-04-01,cleft,3,,\nQuern,M9,2026-04-01,cleft,1,,\nFerrin,B9,2026-04-02,cleft,1,,\n"
    )
    graftbook("import", path, "--yes")
    path.write_text(
        head + "Tolm,M9,2026-04-01,cleft,3,2 of 3,2026-07-01\nQuern,M9,2026-04-01,cleft,1,no,\n"
        "Ferrin,B9,2026-04-03,cleft,1,yes,2026-07-01\n"
    )
    shown = graftbook("import", path)
    assert "2 rows of log.csv say what became of grafts made before" in " ".join(shown.out.split())
    done = graftbook("import", path, "--yes", "--json")
    assert "3 lines in: 1 taken, 2 held" in done.json["recorded"]
    looks = graftbook("look", "list", "--json").rows
    assert [("G1", "growing"), ("G2", "growing"), ("G3", "dead")] == sorted((r["graft"], r["state"]) for r in looks)
    assert 5 == len(graftbook("graft", "list", "--json").rows)
    no_day, other = graftbook("held", "--json").rows
    assert "the day of the result" in no_day["why"] and "Date was '2026-04-02'" in other["why"]
    refused(graftbook("held", "mend", other["number"], "--set", "Rootstock=M9"), 21, "later state")
    assert "0 rows still held" in graftbook("held", "mend", no_day["number"], "--set", "Looked=2026-07-02").out
    assert 5 == len(graftbook("graft", "list", "--json").rows)
    assert 4 == len(graftbook("look", "list", "--json").rows)


def test_where_no_row_may_be_held_every_unclear_one_is_named_and_nothing_is_taken(on_sqlite, log):
    run = on_sqlite("import", log, *ANSWERS, "--all-or-nothing")
    refused(run, 3, "line 5, column 5 (Cal)")
    assert "column 4 (Rootstock): found MM9" in run.err
    assert [] == on_sqlite("journal", "--json").rows


def test_rows_of_sheets_come_back_with_an_export_and_are_known_there(on_sqlite, log, tmp_path, sqlite_template):
    on_sqlite("import", log, *ANSWERS)
    held = on_sqlite("held", "--json").rows
    assert 0 == on_sqlite("export", tmp_path / "out").code
    other = shutil.copy(sqlite_template, tmp_path / "other.sqlite")
    assert 0 == on_sqlite("--book", other, "import", tmp_path / "out").code
    assert held == on_sqlite("--book", other, "held", "--json").rows
    assert "Nothing new" in on_sqlite("--book", other, "import", log, *ANSWERS).out


def test_how_to_reach_people_in_a_sheet_leaves_the_book_only_when_asked(on_sqlite, tmp_path):
    file = tmp_path / "club.csv"
    file.write_text(
        "Date,Variety,Stock,Method,From,Phone\n"
        "2026-03-12,Dun Reinette,MM106,cleft,Ida ida@orchard.example,07700 900123\n"
        "2026-03-13,Dun Reinette,MM9,cleft,Ida 01632 960 123,07700 900123\n"
    )
    assert 0 == on_sqlite("import", file, "--given", "species=apple", "--yes").code
    kept = on_sqlite("held", "--json").out
    assert "07700 900123" in kept
    assert 0 == on_sqlite("export", tmp_path / "out").code
    assert 0 == on_sqlite("export", "--jsonl", tmp_path / "out.jsonl").code
    lines = (tmp_path / "out.jsonl").read_text().splitlines()
    held = (tmp_path / "out" / "sheet_rows.csv").read_text() + "".join(line for line in lines if "sheet_row" in line)
    assert 4 <= held.count("Dun Reinette") and "…" in held
    assert not any(text in held for text in ("900123", "960 123", "ida@"))
    assert 0 == on_sqlite("export", tmp_path / "all", "--contacts").code
    assert "07700 900123" in (tmp_path / "all" / "sheet_rows.csv").read_text()
