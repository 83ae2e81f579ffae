"""Made-up sheets of growers with the reading each must get: what the rows are, which column is what, unit, order of dates, and
which lines are no rows. Written as small tables; `|` parts cells."""

import io
from datetime import date

import openpyxl
import pytest

from graftbook.errors import UsageProblem
from graftbook.sheets.layout import tables
from graftbook.sheets.proposal import propose
from graftbook.sheets.row_reading import mark, read_rows
from graftbook.sheets.spellings import suggestions
from graftbook.sheets.text_grid import read_text
from graftbook.sheets.workbook import read_workbook

TODAY = date(2027, 11, 30)


def sheet(text, sign=";", encoding="utf-8"):
    lines = [sign.join(cell.strip() for cell in line.split("|")) for line in text.strip().splitlines()]
    return read_text("\r\n".join(lines).encode(encoding))


CORPUS = (
    ("plain log", "Variety|Rootstock|Date|Method|Took\nTolm Beauty|M9|25/4/26|cleft|yes", "grafts",
     "cultivar rootstock date method result", "mm", "day-first", 1),
    ("month first", "Cultivar|Root stock|Date grafted|Graft type|Notes\nQuern|B9|4/25/26|W&T|x", "grafts",
     "cultivar rootstock date method note", "mm", "month-first", 1),
    ("numbered",
     "#|Scion|Stock|Grafted on|How|Qty\n1|A|M9|2026-04-01|whip|2\n"
     "2|B|M9|2026-04-02|whip|3\n3|C|M9|2026-04-03|cleft|1",
     "grafts", "- cultivar rootstock date method count", "mm", None, 3),
    ("sizes in columns of scion and stock",
     "Variety|Scion|Stock|Method|Date\nTolm|3/8|1/2|cleft|2026-04-01\n"
     "Quern|1/4|3/8|cleft|2026-04-01",
     "grafts", "cultivar scion stock method date", "in", None, 2),
    ("millimetres by heading", "Variety|Rootstock|Stock dia (mm)|Method|Date\nTolm|M9|9|cleft|2026-04-01", "grafts",
     "cultivar rootstock stock method date", "mm", None, 1),
    ("millimetres by size",
     "Variety|Rootstock|Caliper|Method|Date\nTolm|M9|9|cleft|2026-04-01\n"
     "Tolm|M9|11|cleft|2026-04-01", "grafts",
     "cultivar rootstock diameter method date", "mm", None, 2),
    ("two lines of headings",
     "|Scion||Rootstock||\n#|variety|from|type|size|Date|Method\n1|Tolm|Ilo|M9|9|2026-04-01|cleft\n"
     "2|Tolm|Ilo|M9|9|2026-04-01|cleft\n3|T|Ilo|M9|9|2026-04-01|cleft", "grafts",
     "- cultivar from rootstock stock date method", "mm", None, 3),
    ("title, sums and a note",
     "Club 2026||||\nVariety|Rootstock|Date|Method|Qty\nTolm|M9|2026-04-01|cleft|3\n"
     "Total||||3\n||||\nWax was old", "grafts",
     "cultivar rootstock date method count", "mm", None, 1),
    ("headings again half way",
     "Variety|Stock|Date|Method\nA|M9|2026-04-01|cleft\n"
     "Variety|Stock|Date|Method\nB|M9|2026-04-01|cleft", "grafts",
     "cultivar rootstock date method", "mm", None, 2),
    ("misspelled",
     "Varitey|Rootstok|Date|Methd\n"
     "Tolm|M9|2026-04-01|cleft", "grafts", "cultivar rootstock date method", "mm", None, 1),
    ("counts of takes", "Variety|No. grafted|# took|Date|Method\nTolm|12|9|2026-04-01|cleft", "grafts",
     "cultivar count took date method", "mm", None, 1),
    ("an orchard",
     "Tree #|Variety|Rootstock|Planted|Row|Position\n1|Tolm|M9|3/2019|A|1\n"
     "2|Quern|M9|3/2019|A|2\n3|Quern|M9|3/2019|A|3", "trees",
     "- cultivar rootstock date row place", "mm", None, 3),
    ("stocks",
     "Rootstock|Quantity|Bought|Supplier\n"
     "MM106|50|2026-01-10|Ilo", "stocks", "rootstock count date from", "mm", None, 1),
    ("scion list", "Variety|From|Date cut|No. of sticks|Stored in\nTolm|Ilo|2026-01-14|12|fridge", "wood",
     "cultivar from cut sticks store", "mm", None, 1),
    ("looks",
     "Tag|Date|Seen|Shoot (cm)\nG1|2026-07-01|growing|12\n"
     "G2|2026-07-01|dead|", "looks", "graft date result shoot", "cm", None, 2),
    ("own labels are no codes of ours", "Label|Variety|Rootstock|Method|Date\nA-1|Tolm|M9|cleft|2026-04-01", "grafts",
     "- cultivar rootstock method date", "mm", None, 1),
    ("codes of ours",
     "Bundle|Host|Method|Date\n"
     "W7|P12|cleft|2026-04-01", "grafts", "wood plant method date", "mm", None, 1),
    ("no word for the method",
     "Variety|Rootstock|Took?|Date|\nA|M9|y|2026-04-01|cleft\n"
     "B|M9|n|2026-04-01|whip\nC|M9|y|2026-04-02|bark",
     "grafts", "cultivar rootstock result date", "mm", None, 3),
    ("curly and blank", "  Variety \u00a0|Root-stock|DATE GRAFTED|Method\n‘Tolm’ |M9|2026-04-01|cleft", "grafts",
     "cultivar rootstock date method", "mm", None, 1),
)  # fmt: skip


@pytest.mark.parametrize("sign", [";", "\t"])
@pytest.mark.parametrize("case", CORPUS, ids=[case[0] for case in CORPUS])
def test_every_sheet_is_read_as_a_person_would(case, sign):
    _name, text, thing, columns, unit, dates, rows = case
    (table,) = tables(sheet(text, sign))
    found = propose(table).reading
    assert thing == found.thing
    assert columns.split() == [meant or "-" for meant in found.columns.values()]
    assert (unit, dates, rows) == (found.unit, found.dates, len(table.rows))
    assert table.lines == len(table.rows) + len(table.totals) + len(table.notes) + len(table.repeats)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_every_encoding_gives_the_same_table(encoding):
    text = "Variety|Rootstock|Date|Method\nReine des Reinettes é|M9|2026-04-01|cleft"
    assert tables(sheet(text)) == tables(sheet(text, ",", encoding))


def test_two_tables_on_one_sheet_are_two():
    text = "Variety|Rootstock|Date|Method\nA|M9|2026-04-01|cleft\n|||\nVariety|From|Date cut|Sticks\nA|Ilo|2026-01-01|4"
    assert ["grafts", "wood"] == [propose(each).reading.thing for each in tables(sheet(text))]


def test_a_row_is_known_by_what_it_says():
    assert (
        mark({"Variety": "A", "Date": "x"})
        == mark({"Date": "x", "variety ": "A", "Note": ""})
        != mark({"Variety": "B", "Date": "x"})
    )


def test_spellings_are_suggested_with_counts_and_figures_make_another_seedling():
    found = suggestions(["Tolm Beauty"] * 3 + ["Tolm Beuaty", "tolm beauty ", "Seedling 12", "Seedling 13", "Quern"])
    assert [("Tolm Beuaty", 1, "Tolm Beauty", 4)] == [(s.name, s.rows, s.perhaps, s.perhaps_rows) for s in found]


def test_rootstocks_are_told_by_any_of_their_names_and_names_that_are_none_are_asked_about():
    names = ["M111", "MM.111", "EMLA 111", "M 111", "Bud 9", "B9", "B.9", "seedling", "MM9"]
    text = "Variety|Rootstock|Date|Method\n" + "\n".join(f"A|{name}|2026-04-01|cleft" for name in names)
    (table,) = tables(sheet(text))
    rows = list(read_rows(table, propose(table).reading, TODAY))
    assert [False] * 8 + [True] == [bool(row.doubts) for row in rows]
    assert "M.9" in rows[-1].why


@pytest.mark.parametrize("mac", [False, True])
def test_a_workbook_gives_days_in_both_epochs_merged_cells_and_only_sheets_that_are_shown(mac):
    book = openpyxl.Workbook()
    first = book.active
    first.append(["Bed", "Variety", "Rootstock", "Date", "Method"])
    first.append(["North", "Tolm", "M9", date(2024, 4, 5), "cleft"])
    first.append([None, "Quern", "M9", 45387 - (1462 if mac else 0), "cleft"])
    first.merge_cells("A2:A3")
    book.create_sheet("hidden").append(["Variety", "Date"])
    book["hidden"].sheet_state = "hidden"
    if mac:
        book.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904
    held = io.BytesIO()
    book.save(held)
    (grid,) = read_workbook(held.getvalue())
    (table,) = tables(grid)
    rows = list(read_rows(table, propose(table).reading, TODAY))
    assert [date(2024, 4, 5)] * 2 == [row.days["date"] for row in rows]
    assert ["North"] * 2 == [row.facts["place"] for row in rows]


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04 no workbook", b"hello"])
def test_what_is_no_workbook_is_said_so(data):
    with pytest.raises(UsageProblem, match="workbook"):
        read_workbook(data)
