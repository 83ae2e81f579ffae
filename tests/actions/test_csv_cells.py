"""Cells of the book's CSV files: what is written is read back, and what people write is read or named."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.actions.exchange.csv_cells import BLANKS, Bad, Reader, line_of, text_of
from graftbook.actions.exchange.csv_shapes import SHAPES, Column
from graftbook.units import HEIGHT, PLANT_DIAMETER

TODAY = date(2027, 11, 30)
WORDS = st.text(st.characters(exclude_characters="\0", exclude_categories=("Cs",)), min_size=1, max_size=40).map(
    lambda text: text.strip(BLANKS)
)


def read(column, text, **how):
    return Reader(TODAY, **how).remembered(column)(text)


def columns_of(kind):
    return [column for shape in SHAPES for column in shape.columns if column.kind == kind]


@given(st.lists(WORDS, min_size=1, max_size=8))
def test_text_written_as_cells_is_read_back_the_same(texts):
    column = Column("note", "note", "long")
    (cells,) = csv.reader(io.StringIO(line_of(texts), newline=""), strict=True, skipinitialspace=True)
    assert [text or None for text in texts] == [read(column, cell) for cell in cells]


@given(st.dates(date(1900, 1, 1), TODAY))
def test_a_day_written_is_read_back_the_same(day):
    assert day == read(Column("on", "on", "day"), text_of(day))


@given(st.integers(0, 2_000_000))
def test_a_length_written_is_read_back_the_same(hundredths):
    value = hundredths / 100
    assert value == read(Column("height_mm", "height_mm", "length", limit=HEIGHT), text_of(value))


@given(st.integers(-400, 600))
def test_a_temperature_written_is_read_back_the_same(tenths):
    value = tenths / 10
    assert value == read(Column("temperature_c", "temperature_c", "temperature"), text_of(value))


@given(st.data())
def test_whole_numbers_and_words_written_are_read_back_the_same(data):
    whole = data.draw(st.sampled_from(columns_of("whole")))
    number = data.draw(st.integers(whole.low, whole.high))
    assert number == read(whole, text_of(number))
    word = data.draw(st.sampled_from(columns_of("word")))
    said = data.draw(st.sampled_from(word.words))
    assert said == read(word, text_of(said))


@given(st.dictionaries(WORDS, WORDS, max_size=5))
def test_own_rows_written_as_json_are_read_back_the_same(fields):
    column = Column("fields", "fields", "json")
    (cells,) = csv.reader(io.StringIO(line_of([fields]), newline=""), strict=True)
    assert fields == read(column, cells[0])


@pytest.mark.parametrize("value", [True, False])
def test_yes_and_no_written_are_read_back_the_same(value):
    assert value is read(Column("bench", "bench", "flag"), text_of(value))


@pytest.mark.parametrize(
    ("text", "mm"), [("9", 9.0), ("9.5", 9.5), ("3/8in", 9.52), ('3/8"', 9.52), ("0,9 cm", 9.0), ("0.35 in", 8.89)]
)
def test_a_bare_length_is_in_millimetres_and_others_say_their_unit(text, mm):
    assert mm == read(Column("diameter_mm", "diameter_mm", "length", limit=PLANT_DIAMETER), text)


@pytest.mark.parametrize("text", ["8-Mar", "03-Aug-27", "2027-03-08"])
def test_a_size_that_a_spreadsheet_made_a_date_of_is_said_to_be_one(text):
    bad = read(Column("diameter_mm", "diameter_mm", "length", limit=PLANT_DIAMETER), text)
    assert isinstance(bad, Bad)
    assert "spreadsheet may have turned a size" in bad.accepted


def test_a_date_of_two_days_is_named_and_read_when_the_order_is_told():
    column = Column("on", "on", "day")
    bad = read(column, "4/10/27")
    assert isinstance(bad, Bad)
    assert "--dates day-first" in bad.accepted
    assert date(2027, 10, 4) == read(column, "4/10/27", order="day-first")
    assert date(2027, 4, 10) == read(column, "4/10/27", order="month-first")
    assert date(2027, 10, 14) == read(column, "14/10/27")


@pytest.mark.parametrize(
    ("column", "text", "accepted"),
    [
        (Column("on", "on", "day"), "2027-12-01", "a day up to today, 2027-11-30"),
        (Column("on", "on", "day"), "31/31/2027", "a day that exists"),
        (Column("sticks", "sticks", "whole", low=0, high=10), "-3", "a whole number from 0 to 10"),
        (Column("sticks", "sticks", "whole", low=0, high=10), "9" * 400, "a whole number from 0 to 10"),
        (Column("sticks", "sticks", "whole", low=0, high=10), "2.5", "a whole number from 0 to 10"),
        (Column("host", "host", "code", letters="PG"), "W7", "the code of a plant or graft"),
        (Column("graft", "graft", "code", letters="G"), "G105-X", "the check character 4 for G105"),
        (Column("kind", "kind", "word", words=("tree", "stock")), "stok", "Did you mean stock?"),
        (Column("note", "note", "long"), "x" * 4001, "at most 4,000 signs"),
        (Column("uid", "uid", "uid"), "01a21246-7e01-7710", "the line may be cut short"),
        (Column("fields", "fields", "json"), "[" * 100_000, "as JSON"),
        (Column("state", "state", "state"), "grwing", "Did you mean growing?"),
        (Column("temperature_c", "temperature_c", "temperature"), "400", "between -40 and 60"),
    ],
)
def test_what_cannot_be_read_comes_back_with_what_would_do(column, text, accepted):
    found = read(column, text)
    assert isinstance(found, Bad)
    assert accepted in found.accepted


def test_an_empty_cell_is_nothing_unless_every_row_needs_it():
    assert read(Column("place", "place"), "  ") is None
    bad = read(Column("made_on", "made_on", "day", "cell"), "")
    assert isinstance(bad, Bad)
    assert "which every row needs, such as 2027-01-14" in bad.accepted
    assert date(2027, 5, 1) == read(Column("on", "on", "day", "cell"), "", default_on=date(2027, 5, 1))


def test_whole_numbers_as_a_spreadsheet_writes_them_are_read():
    assert 24 == read(Column("sticks", "sticks", "whole", low=0, high=100), "24.0")


def test_bearings_states_and_care_may_be_said_in_the_words_of_the_command_line():
    assert 315 == read(Column("bearing_deg", "bearing_deg", "bearing"), "NW")
    assert "no-movement" == read(Column("state", "state", "state"), "still green")
    assert "tie-released" == read(Column("what", "what", "care"), "untied")
