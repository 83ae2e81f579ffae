"""A book with something of every kind in it, to be copied for tests of what must hold."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from whole_book import fill


@pytest.fixture(scope="session")
def filled_book(sqlite_template, tmp_path_factory) -> Path:
    """A SQLite book that holds a row of every kind."""
    path = tmp_path_factory.mktemp("filled") / "book.sqlite"
    shutil.copy(sqlite_template, path)
    fill(str(path))
    return path


@pytest.fixture
def season(filled_book, sqlite_location, on_sqlite):
    """Run commands on a copy of that book."""
    shutil.copy(filled_book, sqlite_location)
    return on_sqlite
