"""Bark by kind and size, the trade's rows and a person's own."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.errors import UsageProblem
from graftbook.trade import bark_thickness, own, tables, taxa

NAMES = [row.taxon for row in bark_thickness.rows() if row.taxon]


def own_row(**cells):
    return bark_thickness.from_row(own.parse("bark", cells))


def test_every_row_is_from_memory_and_one_row_is_for_all_other_kinds():
    assert {"from memory"} == {row.basis for row in bark_thickness.rows()}
    assert [True] == [row.is_default for row in bark_thickness.rows() if not row.taxon]
    assert all(taxa.get(name) is not None for name in NAMES)


@pytest.mark.parametrize("row", bark_thickness.rows(), ids=lambda row: row.taxon or "default")
def test_bark_is_as_the_table_says_at_both_its_sizes(row):
    assert pytest.approx(row.thin_mm) == row.at(8.0)
    assert pytest.approx(row.thick_mm) == row.at(50.0)


@given(st.sampled_from(bark_thickness.rows()), st.floats(1.0, 400.0), st.floats(0.1, 50.0))
def test_a_thicker_stem_has_thicker_bark_and_more_wood(row, size, more):
    thin, thick = row.at(size), row.at(size + more)

    assert 0 < thin <= thick
    assert size / 2 - thin < (size + more) / 2 - thick


def test_a_kind_answers_by_its_own_row_its_genus_or_the_default():
    assert "Prunus persica" == bark_thickness.of("peach").taxon
    assert "Prunus" == bark_thickness.of("plum").taxon
    assert "Malus" == bark_thickness.of("apple").taxon
    assert "" == bark_thickness.of("moon tree").taxon == bark_thickness.of("").taxon


def test_a_row_of_ones_own_is_heard_first():
    mine = own_row(taxon="apple", thin_mm="1.4", thick_mm="3.5", source="my calliper")

    assert 1.4 == pytest.approx(bark_thickness.of("Malus domestica", (mine,)).at(8.0))
    assert 0.9 == pytest.approx(bark_thickness.of("pear", (mine,)).at(8.0))
    assert ("own", "my calliper") == (mine.basis, mine.source)


@pytest.mark.parametrize("text", ["0", "-1", "thin", ""])
def test_bark_that_is_no_size_is_refused(text):
    with pytest.raises(UsageProblem, match="thin_mm: a number above 0"):
        own_row(taxon="apple", thin_mm=text, thick_mm="3")


def test_the_table_is_printed_with_the_others():
    assert "bark" in tables.names()
