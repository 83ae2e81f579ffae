"""The laws of a book's history, on a short one; `tests/hold/run laws 100` tries a hundred."""

from __future__ import annotations

import shutil
from random import Random

import pytest
from hold import laws

SEED, MOST = 11, 4


@pytest.fixture
def new(sqlite_template, tmp_path):
    counted = iter(range(100))
    return lambda: str(shutil.copy(sqlite_template, tmp_path / f"empty-{next(counted)}.sqlite"))


@pytest.fixture(scope="module")
def history(sqlite_template, tmp_path_factory):
    book = tmp_path_factory.mktemp("history") / "book.sqlite"
    shutil.copy(sqlite_template, book)
    laws.played(str(book), Random(SEED), MOST)
    return book


def test_a_history_undone_from_its_end_is_the_empty_book(history, new, tmp_path):
    book = shutil.copy(history, tmp_path / "book.sqlite")
    assert [] == laws.undone(str(book), new, tmp_path)


def test_a_history_exported_imported_and_exported_is_the_same(history, new, tmp_path):
    assert [] == laws.comes_back(str(history), new, tmp_path)


def test_a_book_of_every_kind_of_row_comes_back_too(filled_book, new, tmp_path):
    assert [] == laws.comes_back(str(filled_book), new, tmp_path)


def test_both_databases_answer_every_report_alike_postgres(history, postgres):
    location = postgres("empty_book")
    laws.played(location, Random(SEED), MOST)
    assert laws.answers(str(history)) == laws.answers(location)


def test_two_histories_that_began_as_one_merge_alike_either_way(sqlite_template, tmp_path):
    places = (str(shutil.copy(sqlite_template, tmp_path / "one.sqlite")), str(tmp_path / "other.sqlite"))
    shared, wrong = laws.forked(6, 82, 8, places)
    assert shared > 5
    assert [] == wrong
    assert [] == laws.both_ways(*places, tmp_path)
