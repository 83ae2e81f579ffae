"""The way in: streams kept apart, one place for errors, exit codes, and two programs writing at once."""

import os
import subprocess
import sys

import pytest

from graftbook import __version__, errors
from graftbook.actions.desk import journal
from graftbook.cli.main import main


def test_version_is_one_line_on_stdout(command):
    done = command("--version")
    assert (0, f"graftbook {__version__}\n", "") == (done.code, done.out, done.err)


def test_no_words_and_no_book_give_the_first_five_commands(command, monkeypatch, tmp_path):
    monkeypatch.delenv("GRAFTBOOK_BOOK", raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    done = command()
    assert (0, "") == (done.code, done.err)
    assert 5 == done.out.count("  graftbook ")
    assert done.out.splitlines()[1].strip().startswith("graftbook start")


def test_no_words_on_a_book_say_what_is_due_and_what_comes_next(on_sqlite):
    empty = on_sqlite()
    assert (0, "") == (empty.code, empty.err)
    assert "Nothing is due today." in empty.out
    assert "Next: graftbook tree add" in empty.out
    on_sqlite("tree", "add", "Dun Reinette", "--species", "apple")
    assert "Next: graftbook prune P1" in on_sqlite().out
    on_sqlite("wood", "add", "--source", "P1", "--sticks", 4, "--cut", "2027-01-10")
    on_sqlite("stock", "add", "M.9", "--count", 2)
    on_sqlite("graft", "W1", "P2,P3", "--method", "whip", "--on", "2027-03-20")
    held = on_sqlite().out
    assert "3 plants, 1 bundle of wood, 2 grafts" in held
    assert "Next: graftbook due" in held
    assert len(held.splitlines()) <= 10


@pytest.mark.parametrize(
    "words", [["nonsense"], ["take", "--nonsense"], ["undo"], ["undo", "seven"], ["journal", "--limit", "0"]]
)
def test_wrong_usage_is_two_on_stderr(graftbook, words):
    bad = graftbook(*words)
    assert (2, "") == (bad.code, bad.out)
    assert bad.err


def test_a_bug_of_ours_says_so_and_names_the_place(on_sqlite, monkeypatch):
    def broken(*_, **__):
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(journal, "journal", broken)
    bad = on_sqlite("journal")
    assert (1, "") == (bad.code, bad.out)
    assert "a bug of ours: ZeroDivisionError: division by zero (broken, line" in bad.err


def test_problems_in_data_come_all_at_once_with_line_and_column(on_sqlite, monkeypatch):
    def broken(*_, **__):
        problems = [errors.Problem("a.csv", line, 2, "kind", "'bush'", "tree or stock") for line in (7, 3)]
        raise errors.BadData(problems, "a.csv")

    monkeypatch.setattr(journal, "journal", broken)
    bad = on_sqlite("journal")
    assert 3 == bad.code
    assert [
        "a.csv, line 3, column 2 (kind): found 'bush'; accepted: tree or stock",
        "a.csv, line 7, column 2 (kind): found 'bush'; accepted: tree or stock",
        "graftbook: 2 problems in a.csv; nothing was recorded. Mend the lines named and run the same command again.",
    ] == bad.err.splitlines()


def test_being_stopped_is_130_and_keeps_nothing(on_sqlite, monkeypatch):
    from graftbook.book import settings

    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(settings, "save", stopped)
    bad = on_sqlite("settings", "units=in")
    assert 130 == bad.code
    assert "Nothing of this command was recorded" in bad.err
    assert on_sqlite("journal", "--json").rows == []


def test_every_error_has_a_slug_and_a_code_of_its_kind():
    kinds = [
        kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, errors.GraftbookError)
    ]
    slugs = [kind.slug for kind in kinds]
    assert len(slugs) == len(set(slugs))
    assert {1, 2, 3, 20, 21, 22, 23, 24} == {kind.exit_code for kind in kinds}


@pytest.mark.parametrize(
    ("error", "message"),
    [
        (
            errors.UsageProblem("a date", "'soon'", "Write it as 2027-01-14"),
            "Expected a date; found 'soon'. Write it as 2027-01-14.",
        ),
        (errors.NotFound("no plant P9"), "No plant P9."),
        (
            errors.Refused("a length", "'90mm'", "Is the unit right?"),
            "Expected a length; found '90mm'. Is the unit right?",
        ),
    ],
)
def test_a_message_says_expected_found_and_what_to_do(error, message):
    assert message == error.message() == str(error)


def test_a_bad_day_in_the_environment_is_said(on_sqlite):
    bad = on_sqlite("journal", today="soon")
    assert 2 == bad.code
    assert "GRAFTBOOK_TODAY" in bad.err


def test_a_book_may_be_named_by_the_environment_or_by_the_option(command, sqlite_location, monkeypatch, tmp_path):
    monkeypatch.setenv("GRAFTBOOK_BOOK", str(tmp_path / "none.sqlite"))
    assert 20 == command("journal").code
    assert 0 == command("--book", sqlite_location, "journal").code


def test_start_says_what_it_made_and_refuses_to_do_it_twice(command, tmp_path):
    path = tmp_path / "book.sqlite"
    assert f"Started a new book at {path}." in command("--book", path, "start", "--dates", "day-first").out
    assert 21 == command("--book", path, "start").code
    assert 2 == command("--book", tmp_path / "b.sqlite", "start", "--hemisphere", "east").code
    assert not (tmp_path / "b.sqlite").exists()


def test_programs_writing_at_once_wait_for_each_other(location):
    """Eight processes each change a setting; every entry is there afterwards and none is doubled."""
    words = [sys.executable, "-m", "graftbook", "--book", location, "settings"]
    environment = {**os.environ, "GRAFTBOOK_TODAY": "2027-11-30"}
    running = [
        subprocess.Popen(
            [*words, f"name=orchard {number}"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment
        )
        for number in range(8)
    ]
    done = [(*process.communicate(timeout=60), process.returncode) for process in running]
    for out, err, code in done:
        assert (0, b"") == (code, err)
        assert out.startswith(b"Set name to orchard ")


def test_a_program_that_holds_the_book_too_long_is_named(location, monkeypatch, command):
    """The second writer waits, then says that another program is writing; nothing is half-written."""
    from graftbook.book import engine
    from graftbook.book.unit import Book

    monkeypatch.setattr(engine, "BUSY_SECONDS", 1)
    holder = Book(location)
    with holder.write("holding"):
        late = command("--book", location, "settings", "units=in")
    holder.close()
    assert (21, "") == (late.code, late.out)
    assert "being written by another program" in late.err


def test_a_closed_pipe_is_no_bug(sqlite_location):
    words = f"{sys.executable} -m graftbook --book {sqlite_location} journal | true"
    assert subprocess.run(words, shell=True, capture_output=True, text=True).stderr == ""


def test_main_reads_the_command_line_itself(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["graftbook", "--version"])
    assert 0 == main()
    assert capsys.readouterr().out.startswith("graftbook ")
