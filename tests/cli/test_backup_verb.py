"""backup and restore as a person uses them, on both databases: what is kept, and every way it can go wrong."""

from __future__ import annotations

import os
import shutil
import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest
from another_user import as_somebody_else
from sqlalchemy import text
from whole_book import everything, fill

from graftbook.book import backup, kept_before, versions
from graftbook.book.engine import make_engine
from graftbook.book.unit import Book


@pytest.fixture
def nowhere(request, location, tmp_path):
    """Where a book may be restored to, on the same kind of database: a path with nothing, or an empty database."""
    return request.getfixturevalue("postgres")(None) if "://" in location else str(tmp_path / "again.sqlite")


@pytest.fixture
def kept(graftbook, location, tmp_path):
    """A book with every field in use, and a backup of it."""
    fill(location)
    file = tmp_path / "kept.sqlite"
    assert 0 == graftbook("backup", file).code
    return file


def trees(graftbook, *names):
    for name in names:
        assert 0 == graftbook("tree", "add", name, "--species", "apple").code


def lines(graftbook):
    return [entry["what"] for entry in graftbook("journal", "--json").rows]


def left(folder):
    return sorted(path.name for path in Path(folder).iterdir() if "graftbook-part" in path.name)


def test_a_backup_is_one_file_that_holds_the_book(graftbook, location, tmp_path):
    fill(location)
    done = graftbook("backup", tmp_path / "kept.sqlite", "--json")
    assert (0, "") == (done.code, done.err)
    (row,) = done.rows
    held = everything(location)
    assert sum(map(len, held.values())) == row["rows"]
    assert (len(held["entry"]), versions.HEAD) == (row["entries"], row["version"])
    assert Path(row["file"]).stat().st_size == row["bytes"]
    assert held == everything(str(tmp_path / "kept.sqlite"))
    assert [] == left(tmp_path)


def test_a_book_comes_back_as_it_was_and_gives_no_code_or_id_twice(graftbook, location, nowhere, tmp_path):
    fill(location)
    trees(graftbook, "Quern Russet")
    newest = graftbook("journal", "--json").rows[0]["entry"]
    assert 0 == graftbook("undo", newest).code
    graftbook("backup", tmp_path / "kept.sqlite")
    back = graftbook("--book", nowhere, "restore", tmp_path / "kept.sqlite", "--json")
    assert (0, "") == (back.code, back.err)
    assert everything(location) == everything(nowhere)
    for book in (location, nowhere):
        assert 0 == graftbook("--book", book, "tree", "add", "Dun Reinette", "--species", "apple").code
    assert sorted(row[0] for row in everything(location)["plant"]) == sorted(
        row[0] for row in everything(nowhere)["plant"]
    )


@pytest.mark.parametrize("way", [("file", "server"), ("server", "file")])
def test_a_backup_moves_a_book_between_a_file_and_a_server(way, command, postgres, sqlite_template, tmp_path):
    shutil.copy(sqlite_template, tmp_path / "book.sqlite")
    source = str(tmp_path / "book.sqlite") if way[0] == "file" else postgres("empty_book")
    target = str(tmp_path / "to.sqlite") if way[1] == "file" else postgres(None)
    fill(source)
    assert 0 == command("--book", source, "backup", tmp_path / "kept.sqlite").code
    assert 0 == command("--book", target, "restore", tmp_path / "kept.sqlite").code
    assert everything(source) == everything(target)


def test_a_backup_goes_over_an_earlier_one_of_the_same_book(graftbook, tmp_path):
    trees(graftbook, "Quern Russet")
    graftbook("backup", tmp_path / "kept.sqlite")
    trees(graftbook, "Dun Reinette")
    assert 0 == graftbook("backup", tmp_path / "kept.sqlite").code
    assert 2 == backup.contents(tmp_path / "kept.sqlite").rows["plant"]


def test_a_backup_goes_over_nothing_else(graftbook, location, sqlite_template, tmp_path):
    trees(graftbook, "Quern Russet")
    other, foreign = tmp_path / "other.sqlite", tmp_path / "foreign.sqlite"
    shutil.copy(sqlite_template, other)
    with closing(sqlite3.connect(foreign)) as base:
        base.execute("CREATE TABLE t (x)")
    (tmp_path / "tags.pdf").write_bytes(b"%PDF-1.6 /Creator (labels)")
    (tmp_path / "letter.odt").write_bytes(b"PK dear neighbour")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "link.sqlite").symlink_to(tmp_path / "elsewhere" / "far.sqlite")
    before = {path: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()}
    for name, why in (("other", "another book"), ("foreign", "another database"), ("tags.pdf", "no backup of a book"),
                      ("letter.odt", "no backup of a book"), ("elsewhere", "is a folder"), ("link", "is a link that leads"),
                      ("none/kept", "no folder")):  # fmt: skip
        done = graftbook("backup", tmp_path / (name if "." in name or name == "elsewhere" else f"{name}.sqlite"))
        assert 21 == done.code
        assert why in done.err
    assert before == {path: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()}
    assert [] == left(tmp_path)


def test_a_backup_never_goes_over_the_open_book_by_whatever_name(on_sqlite, sqlite_location, tmp_path):
    trees(on_sqlite, "Quern Russet")
    (tmp_path / "link.sqlite").symlink_to(sqlite_location)
    os.link(sqlite_location, tmp_path / "hard.sqlite")
    for place in (sqlite_location, tmp_path / "link.sqlite", tmp_path / "hard.sqlite"):
        done = on_sqlite("backup", place)
        assert 21 == done.code
        assert "is the open book itself" in done.err
    assert 21 == on_sqlite("backup", f"{sqlite_location}-wal").code


def test_a_copy_that_was_written_in_since_is_not_written_over(on_sqlite, tmp_path):
    trees(on_sqlite, "Quern Russet")
    laptop = tmp_path / "laptop.sqlite"
    on_sqlite("backup", laptop)
    assert 0 == on_sqlite("--book", laptop, "tree", "add", "Dun Reinette", "--species", "apple").code
    done = on_sqlite("backup", laptop)
    assert 21 == done.code
    assert "with 1 entry that this one lacks" in done.err


def test_dated_backups_are_kept_to_so_many_of_this_very_book(graftbook, location, sqlite_template, tmp_path):
    trees(graftbook, "Quern Russet")
    folder = tmp_path / "backups"
    stem, _suffix = kept_before.name_of(location)
    for day in range(1, 6):
        done = graftbook("backup", folder, "--keep", 3, "--json", today=f"2027-11-0{day}")
        assert (0, "") == (done.code, done.err)
        if day == 3:
            shutil.copy(sqlite_template, folder / f"{stem}-20200101T120000Z.sqlite")
            (folder / "notes.txt").write_text("mine", encoding="utf-8")
    assert [str(folder / f"{stem}-20271102T120000Z.sqlite")] == done.json["removed"]
    days = ("20200101", "20271103", "20271104", "20271105")
    assert sorted([*(f"{stem}-{day}T120000Z.sqlite" for day in days), "notes.txt"]) == sorted(os.listdir(folder))
    assert 2 == graftbook("backup", folder / "notes.txt", "--keep", 3).code
    assert 2 == graftbook("backup", folder, "--keep", 0).code


def test_a_backup_is_consistent_while_others_write(on_sqlite, sqlite_location, tmp_path):
    """Each entry adds two plants: never is one there without the other, nor without its entry."""
    from graftbook.book.plants import Plant

    stop = threading.Event()

    def writing():
        book, number = Book(sqlite_location), 0
        while not stop.is_set():
            with book.write("tree") as unit:
                for _ in range(2):
                    number += 1
                    unit.add(Plant, number=number, code=f"P{number}", kind="tree")
                unit.commit("two")
        book.close()

    thread = threading.Thread(target=writing)
    thread.start()
    try:
        for turn in range(4):
            found = backup.snapshot(sqlite_location, tmp_path / f"{turn}.sqlite").rows
            assert (2 * found["entry"], 2 * found["entry"]) == (found["plant"], found["change"])
    finally:
        stop.set()
        thread.join()


def test_a_book_that_is_not_sound_gives_no_backup_and_leaves_the_earlier_one(on_sqlite, sqlite_location, tmp_path):
    trees(on_sqlite, "Quern Russet")
    on_sqlite("backup", tmp_path / "kept.sqlite")
    before = (tmp_path / "kept.sqlite").read_bytes()
    with closing(sqlite3.connect(sqlite_location)) as base, base:
        base.execute("INSERT INTO look (uid, graft_id, 'on', state) VALUES ('u', 99, '2027-01-01', 'dead')")
    done = on_sqlite("backup", tmp_path / "kept.sqlite")
    assert 20 == done.code
    assert "points to a graft that is not there" in done.err
    assert before == (tmp_path / "kept.sqlite").read_bytes()


def test_a_book_is_restored_over_the_old_one_only_with_yes_and_the_old_is_kept_aside(
    on_sqlite, sqlite_location, tmp_path
):
    trees(on_sqlite, "Quern Russet")
    on_sqlite("backup", tmp_path / "kept.sqlite")
    trees(on_sqlite, "Dun Reinette")
    now = everything(sqlite_location)
    refused = on_sqlite("restore", tmp_path / "kept.sqlite")
    assert 21 == refused.code
    assert "--yes" in refused.err
    assert now == everything(sqlite_location)
    done = on_sqlite("restore", tmp_path / "kept.sqlite", "--yes")
    assert (0, "") == (done.code, done.err)
    (aside,) = tmp_path.glob("book-before-restore-*.sqlite")
    assert str(aside) in done.out.replace("\n  ", " ")
    assert everything(str(tmp_path / "kept.sqlite")) == everything(sqlite_location)
    assert now == everything(str(aside))
    assert 0 == on_sqlite("restore", aside, "--yes").code
    assert now == everything(sqlite_location)


@pytest.mark.parametrize("kind", ["short", "very short", "garbled"])
def test_a_book_that_cannot_be_read_is_replaced_and_its_file_kept_as_it_lies(
    kind, on_sqlite, sqlite_location, tmp_path
):
    trees(on_sqlite, *[f"Quern Russet {'I' * number}" for number in range(1, 5)])
    on_sqlite("backup", tmp_path / "kept.sqlite")
    book = Path(sqlite_location)
    damaged(book, book.read_bytes())[kind]()
    lies = book.read_bytes()
    done = on_sqlite("restore", tmp_path / "kept.sqlite", "--yes")
    assert (0, "") == (done.code, done.err)
    (aside,) = tmp_path.glob("book-before-restore-*.sqlite")
    assert str(aside) in done.out.replace("\n  ", " ")
    assert lies == aside.read_bytes()
    assert everything(str(tmp_path / "kept.sqlite")) == everything(sqlite_location)


def test_another_database_and_a_file_of_another_kind_are_not_restored_over(on_sqlite, kept_file, tmp_path):
    with closing(sqlite3.connect(tmp_path / "foreign.sqlite")) as base:
        base.execute("CREATE TABLE t (x)")
    (tmp_path / "letter.odt").write_bytes(b"PK dear neighbour")
    for name, code in (("foreign.sqlite", 21), ("letter.odt", 20)):
        before = (tmp_path / name).read_bytes()
        assert code == on_sqlite("--book", tmp_path / name, "restore", kept_file, "--yes").code
        assert before == (tmp_path / name).read_bytes()


def test_an_older_backup_is_brought_up_to_date_and_the_file_stays_as_it_is(command, tmp_path):
    old = tmp_path / "old.sqlite"
    engine = make_engine(str(old), create=True)
    versions.upgrade(engine, "0004")
    engine.dispose()
    before = old.read_bytes()
    done = command("--book", tmp_path / "new.sqlite", "restore", old)
    assert (0, "") == (done.code, done.err)
    assert "The file was of version 0004" in done.out
    assert before == old.read_bytes()
    assert 0 == command("--book", tmp_path / "new.sqlite", "doctor").code


@pytest.mark.skipif(not hasattr(os, "fork"), reason="nobody else to be")
def test_a_folder_that_takes_no_files_is_refused_and_a_backup_in_one_is_restored(on_sqlite, kept_file, tmp_path):
    for parent in (tmp_path, *tmp_path.parents):
        if parent.stat().st_uid == os.getuid() and parent != Path("/"):
            parent.chmod(parent.stat().st_mode | 0o055)
    shut, open_ = tmp_path / "shut", tmp_path / "open"
    shut.mkdir()
    open_.mkdir()
    open_.chmod(0o777)
    shutil.copy(kept_file, shut / "kept.sqlite")
    shutil.copy(kept_file, open_ / "book.sqlite")
    for path in (shut / "kept.sqlite", open_ / "book.sqlite"):
        path.chmod(0o666)
    shut.chmod(0o555)
    book = open_ / "book.sqlite"
    assert 21 == as_somebody_else(lambda: on_sqlite("--book", book, "backup", shut / "new.sqlite").code)
    assert 21 == as_somebody_else(lambda: on_sqlite("--book", book, "backup", shut, "--keep", 3).code)
    assert 21 == as_somebody_else(lambda: on_sqlite("--book", shut / "again.sqlite", "restore", kept_file).code)
    assert ["kept.sqlite"] == os.listdir(shut)
    assert 0 == as_somebody_else(
        lambda: on_sqlite("--book", open_ / "again.sqlite", "restore", shut / "kept.sqlite").code
    )
    assert 1 == backup.contents(open_ / "again.sqlite").rows["plant"]
    assert ["kept.sqlite"] == os.listdir(shut)


def damaged(path, kept):
    return {
        "text": lambda: path.write_text("plants\n", encoding="utf-8"),
        "empty": path.touch,
        "short": lambda: path.write_bytes(kept[: len(kept) // 2]),
        "very short": lambda: path.write_bytes(kept[:100]),
        "garbled": lambda: path.write_bytes(kept[:20480] + os.urandom(40960) + kept[61440:]),
        "folder": path.mkdir,
        "none": lambda: None,
    }


@pytest.mark.parametrize("kind", ["text", "empty", "short", "very short", "garbled", "folder", "none"])
def test_what_is_no_sound_book_is_not_restored(kind, graftbook, kept, nowhere, location, tmp_path):
    before = everything(location)
    bad = tmp_path / "bad.sqlite"
    damaged(bad, kept.read_bytes())[kind]()
    for where in (nowhere, location):
        done = graftbook("--book", where, "restore", bad, "--yes")
        assert (20, "") == (done.code, done.out)
        assert "Traceback" not in done.err
        assert "bug" not in done.err
    assert before == everything(location)
    assert not Path(nowhere).exists()
    assert [] == left(tmp_path)


def test_a_newer_backup_and_a_database_of_others_are_refused(graftbook, kept, nowhere, tmp_path):
    with closing(sqlite3.connect(kept)) as base, base:
        base.execute("UPDATE alembic_version SET version_num = '9999'")
    newer = graftbook("--book", nowhere, "restore", kept)
    assert 22 == newer.code
    assert "which is newer" in newer.err
    with closing(sqlite3.connect(tmp_path / "foreign.sqlite")) as base:
        base.execute("CREATE TABLE t (x)")
    foreign = graftbook("--book", nowhere, "restore", tmp_path / "foreign.sqlite")
    assert 20 == foreign.code
    assert "a database without one" in foreign.err


def test_a_book_is_not_restored_from_itself(on_sqlite, sqlite_location, tmp_path):
    (tmp_path / "link.sqlite").symlink_to(sqlite_location)
    for file in (sqlite_location, tmp_path / "link.sqlite"):
        done = on_sqlite("restore", file, "--yes")
        assert 21 == done.code
        assert "is the book itself" in done.err


def test_the_log_of_a_book_that_is_gone_is_not_taken_for_that_of_the_restored(on_sqlite, kept_file, tmp_path):
    (tmp_path / "gone.sqlite-wal").write_bytes(b"log")
    done = on_sqlite("--book", tmp_path / "gone.sqlite", "restore", kept_file)
    assert 21 == done.code
    assert "no longer there" in done.err
    assert not (tmp_path / "gone.sqlite").exists()


@pytest.fixture
def kept_file(on_sqlite, tmp_path):
    trees(on_sqlite, "Quern Russet")
    assert 0 == on_sqlite("backup", tmp_path / "kept.sqlite").code
    return tmp_path / "kept.sqlite"


def test_a_server_is_restored_to_only_while_it_is_empty(command, postgres, sqlite_location, tmp_path):
    command("--book", sqlite_location, "backup", tmp_path / "kept.sqlite")
    there = postgres("empty_book")
    done = command("--book", there, "restore", tmp_path / "kept.sqlite", "--yes")
    assert 21 == done.code
    assert "is not empty" in done.err
    broken = postgres(None)
    with closing(sqlite3.connect(tmp_path / "kept.sqlite")) as base, base:
        base.execute("PRAGMA ignore_check_constraints = ON")
        base.execute("INSERT INTO plant (uid, number, code, kind) VALUES ('u', 1, 'P1', 'shed')")
    done = command("--book", broken, "restore", tmp_path / "kept.sqlite")
    assert 0 != done.code
    engine = make_engine(broken)
    with engine.connect() as connection:
        assert 0 == connection.execute(text("SELECT count(*) FROM pg_tables WHERE schemaname = 'public'")).scalar()
    engine.dispose()


def test_a_restore_waits_for_who_writes_and_stops_for_what_was_entered(
    sqlite_location, tmp_path, on_sqlite, monkeypatch
):
    from graftbook.book import restoring
    from graftbook.errors import CannotWrite, Refused

    trees(on_sqlite, "Quern Russet")
    on_sqlite("backup", tmp_path / "kept.sqlite")
    there = restoring.OpenBook(Path(sqlite_location))
    trees(on_sqlite, "Dun Reinette")
    now = everything(sqlite_location)
    with pytest.raises(Refused, match="meanwhile"):
        there.write_over(tmp_path / "kept.sqlite")
    there.close()
    assert now == everything(sqlite_location)
    monkeypatch.setattr(restoring, "BUSY_SECONDS", 0.2)
    book = Book(sqlite_location)
    there = restoring.OpenBook(Path(sqlite_location))
    with book.write("tree"), pytest.raises(CannotWrite):
        there.write_over(tmp_path / "kept.sqlite")
    there.close()
    book.close()
    assert now == everything(sqlite_location)
