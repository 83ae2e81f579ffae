"""Cells of growers' own sheets: days, sizes, counts and results, with the traps spreadsheets lay."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH, from_excel

from graftbook import units
from graftbook.sheets.cell_counts import Outcome, read_count, read_result
from graftbook.sheets.cell_days import of_serial, order_seen, read_day
from graftbook.sheets.cell_sizes import SizeWord, read_size
from graftbook.sheets.doubt import Doubt
from graftbook.sheets.reading import Reading, from_toml, from_words, to_words, toml_text

TODAY = date(2027, 11, 30)
BARE = Reading("grafts", {})


def test_numbers_of_days_count_as_the_standard_says():
    """ECMA-376 Part 1, 18.17.4.1 (from memory), and 45387 as any spreadsheet shows it; both systems are 1462 days apart."""
    assert date(2024, 4, 5) == of_serial(45387, 1900) == of_serial(45387 - 1462, 1904)
    assert date(1900, 3, 1) == of_serial(61, 1900)


@given(st.integers(61, 60_000))
def test_numbers_of_days_count_as_another_reader_of_workbooks_counts(number):
    """openpyxl as referee, in both systems."""
    assert from_excel(number, WINDOWS_EPOCH).date() == of_serial(number, 1900)
    assert from_excel(number, MAC_EPOCH).date() == of_serial(number, 1904)


@given(st.dates(date(1970, 1, 1), TODAY), st.sampled_from([1900, 1904]))
def test_a_day_is_read_back_from_every_way_of_writing_it(day, epoch):
    serial = (day - of_serial(0, epoch)).days
    written = (day, serial, str(serial), float(serial) + 0.5, day.isoformat(), f"{day:%d %B %Y}", f"{day:%a %d %b %Y}")
    assert {day} == {read_day(value, None, epoch, TODAY) for value in written}
    assert (
        day
        == read_day(f"{day:%d/%m/%Y}", "day-first", epoch, TODAY)
        == read_day(f"{day:%m/%d/%Y}", "month-first", epoch, TODAY)
    )


@pytest.mark.parametrize("text", ["Apr 2024", "spring", "5/4/24", "31/2/24", "2028-01-01", "12", "99999999"])
def test_what_is_no_day_or_may_be_two_is_a_doubt(text):
    assert isinstance(read_day(text, None, 1900, TODAY), Doubt)


def test_the_order_of_dates_is_proven_by_lines_and_contradicted_by_lines():
    cells = [(2, "25/4/26"), (3, "5/4/26"), (4, "4/5/26"), (5, "30.3.26"), (6, date(2026, 1, 1)), (7, "4/4/26")]
    seen = order_seen(cells)
    assert ("day-first", (2, 5), (3, 4), ()) == (seen.proven, seen.day_first, seen.either, seen.against)
    more = order_seen([*((line, "25/4/26") for line in range(10, 20)), (20, "4/13/26")])
    assert ("day-first", (20,)) == (more.proven, more.against)
    assert None is order_seen([(1, "25/4/26"), (2, "4/25/26")]).proven


SIZES = (
    ("⅜", 9.52), ('1½"', 38.1), ("3/8", 9.52), ("5/16″", 7.94), (9, 9.0), ("~9mm", 9.0), ("0,9 cm", 9.0), ("1 1/2 in", 38.1),
)  # fmt: skip


@pytest.mark.parametrize(("text", "mm"), SIZES)
def test_sizes_are_read_with_their_fractions(text, mm):
    assert (mm, mm) == read_size(text, "mm", units.STOCK_DIAMETER)


@pytest.mark.parametrize("text", ["pencil", "thin", "as thick as a thumb", "3/8-1/2", "6-9mm"])
def test_words_and_ranges_make_no_number(text):
    assert isinstance(read_size(text, "mm", units.STOCK_DIAMETER), SizeWord)


MADE_DAYS = (
    ("08-Mar", "3/8in"), (date(2026, 3, 8), "3/8in"), (date(2026, 8, 3), "3/8in"), ("Mar-16", "3/16in"), ("16-Nov", "11/16in"),
    ("02-Jan", "1/2in"), ("07-Mar", ""),
)  # fmt: skip


@pytest.mark.parametrize(("cell", "offer"), MADE_DAYS)
def test_a_size_that_became_a_day_is_offered_back_and_never_taken(cell, offer):
    found = read_size(cell, "in", units.STOCK_DIAMETER)
    assert isinstance(found, Doubt)
    assert offer == found.offer


@given(st.sampled_from([2, 4, 8, 16]).flatmap(lambda under: st.tuples(st.integers(1, under - 1), st.just(under))))
def test_a_fraction_of_an_inch_is_never_taken_from_a_day(fraction):
    top, under = fraction
    if top <= 12 and top % 2:
        found = read_size(date(2026, top, under), "mm", units.STOCK_DIAMETER)
        assert isinstance(found, Doubt)
        assert found.offer in ("", f"{top}/{under}in")


COUNTS = (
    ("12", (12, "")),
    (12.0, (12, "")),
    ("x3", (3, "")),
    ("12 grafts, some took", (12, "some took")),
    ("4 no.", (4, "")),
)


@pytest.mark.parametrize(("text", "read"), COUNTS)
def test_counts(text, read):
    assert read == read_count(text)


@pytest.mark.parametrize("text", ["2+1", "a few", "0", "-3", "3.5", "3000", "~20"])
def test_what_is_no_count_is_a_doubt(text):
    assert isinstance(read_count(text), Doubt)


RESULTS = (
    ("yes", None, 1, 0), ("no", 1, 0, 1), ("all", 12, 12, 0), ("none", 12, 0, 12), ("9 of 12", 12, 9, 3), ("3 of 4", None, 3, 1),
    ("3/4", 4, 3, 1), (9, 12, 9, 3), ("75%", 12, 9, 3), ("2 failed", 12, 0, 2), ("some took", 12, None, None), ("?", 3, None, None),
    ("12 grafts, some took", None, None, None), (True, 1, 1, 0), ("growing", 3, 3, 0),
)  # fmt: skip


@pytest.mark.parametrize(("text", "count", "took", "failed"), RESULTS)
def test_results(text, count, took, failed):
    found = read_result(text, count, BARE)
    assert isinstance(found, Outcome)
    assert (took, failed) == (found.took, found.failed)


UNCLEAR = (
    ("yes", 12, ""),
    ("3/4", None, "3 of 4"),
    ("3/4", 12, ""),
    (date(2026, 4, 3), 4, "3 of 4"),
    ("x", 1, ""),
    (5, 4, ""),
)


@pytest.mark.parametrize(("text", "count", "offer"), UNCLEAR)
def test_results_that_may_mean_two_things_are_asked_about(text, count, offer):
    found = read_result(text, count, BARE)
    assert isinstance(found, Doubt)
    assert offer == found.offer


@given(st.integers(1, 40), st.one_of(st.text(max_size=12), st.integers(-5, 60), st.floats(-5, 60), st.booleans()))
def test_no_result_says_more_than_there_are(count, cell):
    found = read_result(cell, count, BARE)
    assert isinstance(found, Doubt) or (found.took or 0) + (found.failed or 0) <= count


WORDS = st.text(st.characters(blacklist_categories=("Cs", "Cc")), min_size=1, max_size=12)


@given(
    st.dictionaries(WORDS, st.sampled_from(["", "cultivar", "date", "note"]), max_size=4),
    st.dictionaries(WORDS, WORDS, max_size=3),
)
def test_a_reading_is_read_back_from_its_file_and_from_the_book(columns, words):
    reading = Reading("grafts", columns, "in", "day-first", 1904, words=words, given={"method": "cleft"})
    assert {"Spring": reading} == from_toml(toml_text({"Spring": reading}))
    assert reading == from_words(to_words(reading))


def test_days_that_lie_ahead_are_asked_about():
    assert isinstance(read_day(TODAY + timedelta(1), None, 1900, TODAY), Doubt)
