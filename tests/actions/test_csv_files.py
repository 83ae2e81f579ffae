"""CSV files as people's programs write them: read whole, or every problem named with its place."""

from __future__ import annotations

from datetime import date

import pytest

from graftbook.actions.exchange.csv_cells import Reader
from graftbook.actions.exchange.csv_files import delimiter_of, read_sheet, shape_of
from graftbook.actions.exchange.csv_shapes import SHAPES, named

PLANTS = "code,kind,place\nP1,stock,bench\nP2,tree,orchard\n"


@pytest.fixture
def read(tmp_path):
    def reading(data, name="plants.csv", **how):
        path = tmp_path / name
        path.write_bytes(data if isinstance(data, bytes) else data.encode("utf-8"))
        return read_sheet(path, Reader(date(2027, 11, 30)), **how)

    return reading


def places(sheet):
    return [(p.line, p.column, p.header) for p in sheet.problems]


def test_rows_come_with_their_lines_and_empty_cells_left_out(read):
    sheet = read("code,kind,place\nP1,stock,\n\n  \nP2,tree,orchard\n")
    assert [(2, {"code": "P1", "kind": "stock"}), (5, {"code": "P2", "kind": "tree", "place": "orchard"})] == sheet.rows
    assert [] == sheet.problems


@pytest.mark.parametrize(
    "data",
    [
        b"\xef\xbb\xbf" + PLANTS.encode(),
        PLANTS.replace("\n", "\r\n").encode(),
        PLANTS.replace("\n", "\r").encode(),
        PLANTS.replace(",", ";").encode(),
        PLANTS.replace(",", "\t").encode(),
        PLANTS.replace(",", " , ").encode(),
        PLANTS.replace("code,kind,place", "Code,KIND, Place ").encode(),
        PLANTS.replace("place\n", "place,,\n")
        .replace("bench\n", "bench,,\n")
        .replace("orchard\n", "orchard,,\n")
        .encode(),
        ("\n\n" + PLANTS).encode(),
        PLANTS.rstrip("\n").encode(),
        PLANTS.replace("bench", '"bench"').encode(),
    ],
    ids=[
        "mark",
        "crlf",
        "cr",
        "semicolon",
        "tab",
        "blanks",
        "case",
        "over",
        "blank lines",
        "no last line feed",
        "quotes",
    ],
)
def test_every_way_a_spreadsheet_writes_it_is_the_same(read, data):
    sheet = read(data)
    assert [] == sheet.problems
    assert [
        {"code": "P1", "kind": "stock", "place": "bench"}, {"code": "P2", "kind": "tree", "place": "orchard"},
    ] == [values for _line, values in sheet.rows]  # fmt: skip


def test_a_note_may_run_over_lines_and_the_next_row_keeps_its_own(read):
    sheet = read('code,kind,note\nP1,stock,"one\ntwo, ""three"""\nP2,shrub,\n')
    assert 'one\ntwo, "three"' == sheet.rows[0][1]["note"]
    assert [(4, 2, "kind")] == places(sheet)


def test_headers_with_blanks_or_hyphens_are_the_same_headers(read):
    assert [] == read("Graft;On;State;Shoot mm\nG1;2027-05-01;growing;120\n", "round.csv").problems


def test_what_a_file_holds_is_told_from_its_headers_whatever_its_name():
    for shape in SHAPES:
        assert shape == shape_of(shape.headers, "sheet1")
        assert shape == shape_of(shape.needed, shape.name)
    assert named("looks") == shape_of(("graft", "on", "state"), "spring-round")
    assert shape_of(("red", "blue"), "sheet1") is None


def test_a_file_nobody_can_tell_names_what_there_is(read):
    sheet = read("red,blue\n1,2\n", "sheet1.csv")
    assert sheet.shape is None
    assert "plants, prunes, wood, grafts" in sheet.problems[0].accepted


def test_an_unknown_column_names_the_known_ones_and_the_nearest(read):
    sheet = read("code,kind,colour,plcae\nP1,stock,red,bench\n")
    assert [(1, 3, "colour"), (1, 4, "plcae")] == places(sheet)
    assert "did you mean place?" in sheet.problems[1].accepted


def test_a_missing_column_is_said_once(read):
    sheet = read("graft,on\nG1,2027-05-01\nG2,2027-05-01\n", "looks.csv")
    assert [("state", "no column state")] == [(p.header, p.found) for p in sheet.problems]


def test_a_header_twice_is_a_problem(read):
    assert [(1, 2, "kind")] == places(read("code,kind,kind\nP1,stock,tree\n"))


def test_a_row_cut_short_is_a_problem_and_its_code_is_still_known(read):
    sheet = read("code,kind,place,note\nP1,stock,bench,\nP2,sto")
    assert [(3, 0, "")] == places(sheet)
    assert "cut short" in sheet.problems[0].accepted
    assert {"P2"} == sheet.broken


def test_a_row_with_too_many_cells_is_a_problem(read):
    assert "delimiter in quotes" in read("code,kind\nP1,stock,bench\n").problems[0].accepted


def test_a_quote_never_closed_is_a_problem_where_it_opens(read):
    sheet = read('code,kind,note\nP1,stock,"so on\nP2,tree,\n')
    assert [2] == [problem.line for problem in sheet.problems]
    assert "never closed" in sheet.problems[0].found


def test_a_stray_quote_is_a_problem(read):
    assert "a quote inside a cell" in read('code,kind,note\nP1,stock,"a"b\n').problems[0].found


def test_bytes_that_are_not_utf_8_are_named_and_read_when_the_encoding_is_told(read):
    data = "code,kind,place\nP1,stock,bench\nP2,tree,Vallée\n".encode("cp1252")
    sheet = read(data)
    assert (3, "byte 0xE9 at place 13 of the line") == (sheet.problems[0].line, sheet.problems[0].found)
    assert "--encoding cp1252" in sheet.problems[0].accepted
    assert "Vallée" == read(data, encoding="cp1252").rows[1][1]["place"]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "an empty file"),
        (b"\n \n", "an empty file"),
        (PLANTS.encode("utf-16"), "UTF-16"),
        (b"code,kind\nP1,st\0ck\n", "NUL"),
    ],
)
def test_a_file_that_is_no_table_says_so(read, data, said):
    assert said in read(data).problems[0].found


def test_headers_alone_are_an_empty_table(read):
    sheet = read("code,kind\n")
    assert ([], []) == (sheet.rows, sheet.problems)


def test_commas_inside_quotes_do_not_count_as_delimiters():
    assert ";" == delimiter_of('"a,b,c,d";kind\n')
    assert "," == delimiter_of("code\n")


def test_a_line_of_a_hundred_thousand_headers_is_one_problem_and_soon_told(tmp_path):
    path = tmp_path / "plants.csv"
    path.write_text(",".join(f"x{number}" for number in range(100_000)) + "\n")
    sheet = read_sheet(path, Reader(date(2027, 11, 30)))
    assert [("100,000 columns", "at most 200; is this the right file?")] == [
        (p.found, p.accepted) for p in sheet.problems
    ]


def test_a_cell_may_be_as_large_as_the_largest_run_of_tags_and_no_larger(tmp_path):
    path = tmp_path / "tag_runs.csv"
    codes = ", ".join(f"G{number}" for number in range(1, 60_000, 2))
    path.write_text(f'number,on,medium,codes\n1,2027-01-01,a4-21up,"{codes}"\n')
    sheet = read_sheet(path, Reader(date(2027, 11, 30)))
    assert ([], 30_000) == (sheet.problems, len(sheet.rows[0][1]["codes"]))
    path.write_text(f'number,on,medium,codes\n1,2027-01-01,a4-21up,"{"G" * 1_000_001}"\n')
    (problem,) = read_sheet(path, Reader(date(2027, 11, 30))).problems
    assert (2, "a cell that is too large") == (problem.line, problem.found)
