"""Faults that were found by trying what nobody would type, each answered now as any other slip is."""

from __future__ import annotations

import pytest
from refusals import refused
from test_visible import steers

FIGURES = "9" * 5_000


@pytest.mark.parametrize(
    "words",
    [
        ["find", "--height", FIGURES], ["graft", "W1", "P3", "--method", "cleft", "--scion", FIGURES],
        ["graft", "W1", "P3", "--method", "cleft", "--stock", f"{'9' * 400}mm"], ["look", "G1", "growing", "--shoot", FIGURES],
        ["tree", "amend", "P3", "--stage", FIGURES], ["plan", "show", FIGURES], ["undo", "9" * 20], ["undo", FIGURES],
        ["journal", "--before", "9" * 20], ["graft", "list", "--page", "9" * 20], ["plan", "show", "9" * 20],
        ["tags", "again", "9" * 20, "-o", "x.pdf"], ["want", "show", FIGURES], ["prune", "P3", "--removed", "1e400000000"],
        ["plan", "--sure", "nan"], ["plan", "--time-limit", "inf"],
        ["graft", "--plan", "1", "--done", "--swap", f"{FIGURES}=P3"],
        ["weather", "since", "2027-01-01", "--until", "9999-12-31"], ["tree", "add", "X", "--on", "-9999w"],
        ["want", "amend", "1", "--trees", ""], ["tree", "add", "X", "--note", "a\udcff"],
        ["look", "G1", "growing", "--who", "\udcff"],
        ["journal", "--verb", "\udcff"], ["tree", "add", "X\0"], ["export", "\0"],
    ],
    ids=lambda words: " ".join(words)[:40].encode("ascii", "backslashreplace").decode().replace("\0", "NUL"),
)  # fmt: skip
def test_it_is_a_slip_of_the_pen_and_not_a_bug(season, words):
    run = season(*words)
    assert run.code in (2, 20, 21), run.err
    assert "" == run.out
    assert "bug" not in run.err
    assert len(run.err) < 1_500


def test_a_run_far_past_the_codes_there_are_is_answered_without_asking_for_each(season, monkeypatch):
    from graftbook.book import journal

    asked = []
    monkeypatch.setattr(journal, "uids_of_code", lambda *words: asked.append(words) or ())
    refused(season("name", "G1-G99999", "Quern Russet"), 20, "No graft with the code G3", " more")
    assert len(asked) <= 20


STEERING = (
    ("tree", "add", "Red\x1b[31m", "--species", "apple\x9b2J"), ("tree", "amend", "P3", "--place", "by the \x1b]0;x\x07 gate"),
    ("tree", "add", "Tolm\u202eYtuaeb"), ("wood", "receive", "Q\x1b[1m", "--from", "I\x1bM", "--sticks", "3"),
    ("stock", "add", "M\x1b[5m"), ("no\x1b[7mverb",), ("tree", "list", "--\x1b[7m"), ("look", "G\x1b[7m1", "growing"),
    ("settings", "name=\x1b[7m"), ("import", "no\x1b[7m.csv"), ("find", "\x1b[7m"), ("take", "--by", "\x1b[7m"),
    ("want", "add", "\x1b[7m", "3"), ("journal",), ("settings",), ("name", "list"), ("trade", "\x1b[7m"),
    *(words for verb in (("tree", "list"), ("stock", "list"), ("wood", "list"), ("want", "list"), ("find", "P3"))
      for words in (verb, (*verb, "--csv"), (*verb, "--json"))),
)  # fmt: skip


def test_nothing_typed_steers_the_terminal_now_or_when_it_is_listed(season):
    for words in STEERING:
        run = season(*words)
        assert [] == [sign for sign in run.out + run.err if steers(sign) and sign not in "\n\t"], words
        assert 1 != run.code, words


def test_a_header_of_an_imported_file_is_shown_and_not_done(season, tmp_path):
    (tmp_path / "plants.csv").write_text("code,kind,\x1b]0;owned\x07\nP9,stock,1\n")
    run = season("import", tmp_path / "plants.csv")
    assert 3 == run.code
    assert "\\x1b]0;owned\\x07" in run.err
    assert "\x1b" not in run.err + run.out


def test_the_first_hundred_problems_are_named_and_the_rest_counted(season, tmp_path):
    (tmp_path / "plants.csv").write_text("code,kind\n" + "P9,shrub\n" * 1_000)
    run = season("import", tmp_path / "plants.csv")
    lines = run.err.splitlines()
    assert (3, 102) == (run.code, len(lines))
    assert "… and 900 more" == lines[100]
    assert "1000 problems" in lines[101]
