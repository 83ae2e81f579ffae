"""Verbs killed half-way, and many writing at once, for a moment; `tests/hold/run kills 1000` does so at length."""

from __future__ import annotations

import os
import random
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from hold import kills, writers

pytestmark = [
    pytest.mark.skipif(not hasattr(os, "fork"), reason="what is killed is a process forked from this one"),
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
]
SHORT = (("graft", "W1", "P6-P9"), ("import",), ("tags", "blank"), ("start",), ("migrate",), ("merge",))


@pytest.fixture(scope="module")
def on_files(tmp_path_factory):
    return kills.on_files(tmp_path_factory.mktemp("kills"))


@pytest.mark.parametrize("begin", SHORT, ids=" ".join)
def test_a_verb_killed_half_way_leaves_a_sound_book(on_files, tmp_path, begin):
    words = next(each for each in kills.VERBS if each[: len(begin)] == begin)
    _dead, found = kills.one(on_files, words, random.Random(str(begin)).uniform(0.02, 0.15), tmp_path)
    assert [] == found


def test_a_verb_killed_half_way_leaves_a_sound_book_on_postgres(postgres, tmp_path):
    ground = kills.on_server(postgres)
    for words in (kills.VERBS[5], kills.VERBS[16]):
        assert [] == kills.one(ground, words, 0.1, tmp_path)[1]


def test_the_check_after_a_kill_sees_a_row_without_its_entry_and_half_a_file(on_files, tmp_path):
    location = on_files.season(tmp_path)
    had = kills.entries(location)
    assert [] == kills.faults(location, had, tmp_path)
    (tmp_path / "tags.pdf").write_bytes(b"%PDF-1.6 cut o")
    (tmp_path / "living.csv").write_bytes(b"PUID,INST")
    with closing(sqlite3.connect(location)) as raw:
        raw.execute("DELETE FROM change WHERE id = (SELECT max(id) FROM change)")
        raw.commit()
    found = kills.faults(location, had, tmp_path)
    assert ["half a file: living.csv", "half a file: tags.pdf"] == sorted(found)[-2:]
    assert found[0].startswith("doctor 3")
    Path(location).unlink()


@pytest.mark.parametrize("writing", [8])
def test_many_write_at_once_and_nothing_is_lost_or_given_twice(location, tmp_path, writing):
    tally = writers.many(location, tmp_path, writing, 2, calls=1)
    assert [] == tally.wrong
    assert writing == tally.wrote
