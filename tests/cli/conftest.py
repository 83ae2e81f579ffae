"""A season in CSV files, and a second book to take them into."""

from __future__ import annotations

import shutil

import pytest
from season_files import GRAFTS, LOOKS, PLANTS, WOOD


@pytest.fixture
def write(tmp_path):
    folder = tmp_path / "files"
    folder.mkdir()

    def writing(**files):
        for name, text in files.items():
            (folder / f"{name}.csv").write_text(text, encoding="utf-8")
        return folder

    return writing


@pytest.fixture
def season(write):
    return write(plants=PLANTS, wood=WOOD, grafts=GRAFTS, looks=LOOKS)


@pytest.fixture
def other(request, location, tmp_path):
    """A second empty book on the same kind of database."""
    if "://" in location:
        return request.getfixturevalue("postgres")("empty_book")
    path = tmp_path / "other.sqlite"
    shutil.copy(request.getfixturevalue("sqlite_template"), path)
    return str(path)
