"""Making, recognising and migrating books."""

import os
import re
import sqlite3
import stat
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from another_user import as_somebody_else
from sqlalchemy import text

from graftbook.book import kept_before, versions
from graftbook.book.engine import make_engine
from graftbook.book.tables import METADATA
from graftbook.book.unit import Book, row_values
from graftbook.errors import CannotWrite, NotABook, Refused, UsageProblem, WrongVersion


def set_version(location, version):
    engine = make_engine(location)
    with engine.begin() as connection:
        connection.execute(text(f"UPDATE alembic_version SET version_num = '{version}'"))
    engine.dispose()


def test_the_schema_that_migrations_make_is_the_schema_of_the_code(location):
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    engine = make_engine(location)
    with engine.connect() as connection:
        assert [] == compare_metadata(MigrationContext.configure(connection), METADATA)
    engine.dispose()


def test_the_list_of_revisions_is_that_of_the_scripts():
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(versions.SCRIPTS))
    scripts = [script.revision for script in ScriptDirectory.from_config(config).walk_revisions()]
    assert list(versions.REVISIONS) == scripts[::-1]


@pytest.fixture(params=["sqlite", "postgres"])
def old_book(request, tmp_path):
    """A book as the first version of the tables made it, with one plant in it."""
    if request.param == "postgres":
        where = request.getfixturevalue("postgres")(None)
    else:
        where = str(tmp_path / "old.sqlite")
    engine = make_engine(where, create=True)
    versions.upgrade(engine, versions.REVISIONS[0])
    with engine.begin() as connection:
        connection.execute(text("INSERT INTO plant (number, code, kind, uid) VALUES (1, 'P1', 'tree', 'a')"))
    engine.dispose()
    return where


def test_an_older_book_says_so_and_is_left_alone(old_book):
    with pytest.raises(WrongVersion, match="older"):
        Book(old_book)
    engine = make_engine(old_book)
    assert versions.REVISIONS[0] == versions.version_of(engine)
    assert versions.REVISIONS[1:] == versions.pending(engine)
    engine.dispose()


def test_the_oldest_book_and_all_steps_give_the_schema_of_a_fresh_one(old_book):
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    engine = make_engine(old_book)
    versions.upgrade(engine)
    with engine.connect() as connection:
        assert [] == compare_metadata(MigrationContext.configure(connection), METADATA)
        assert [("P1",)] == list(map(tuple, connection.execute(text("SELECT code FROM plant"))))
    engine.dispose()


def test_migrate_copies_the_book_first(command, old_book, tmp_path):
    done = command("--book", old_book, "migrate")
    assert 0 == done.code, done.err
    assert 0 == command("--book", old_book, "journal").code
    assert "nothing to do" in command("--book", old_book, "migrate").out
    folder = tmp_path / "data" / "graftbook" / "copies" if "://" in old_book else tmp_path
    (copy,) = folder.glob("*-before-*.sqlite")
    assert str(copy) in done.out
    with closing(sqlite3.connect(copy)) as kept:
        assert [("0001",)] == kept.execute("SELECT version_num FROM alembic_version").fetchall()
        assert [("P1",)] == kept.execute("SELECT code FROM plant").fetchall()


def test_a_migration_tried_again_keeps_one_copy_of_the_same_book_and_what_is_in_its_log(sqlite_location):
    with closing(sqlite3.connect(sqlite_location)) as other:  # an open reader keeps the write-ahead file where it is
        other.execute("SELECT * FROM entry").fetchall()
        book = Book(sqlite_location)
        with book.write("tree", "Ilo") as unit:
            unit.commit("kept in the log")
        first = kept_before.before(sqlite_location, versions.HEAD, datetime(2027, 1, 1))
        assert first == kept_before.before(sqlite_location, "undo", datetime(2027, 1, 2))
        with closing(sqlite3.connect(first)) as kept:
            assert [("kept in the log",)] == kept.execute("SELECT summary FROM entry").fetchall()
        with book.write("tree", "Ilo") as unit:
            unit.commit("more")
        assert first != kept_before.before(sqlite_location, versions.HEAD, datetime(2027, 1, 3))
        book.close()
    assert 2 == len(kept_before.copies(sqlite_location, Path(sqlite_location).parent))
    assert [] == list(Path(sqlite_location).parent.glob(".*"))


def test_a_start_that_was_stopped_leaves_no_book_behind(tmp_path):
    def fill(place):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        versions.create(str(tmp_path / "book.sqlite"), fill)
    assert [] == list(tmp_path.iterdir())


def test_a_newer_book_says_so(location, command):
    set_version(location, "9999")
    with pytest.raises(WrongVersion, match="newer"):
        Book(location)
    assert 22 == command("--book", location, "journal").code
    assert 22 == command("--book", location, "migrate").code


def test_a_book_is_not_made_over_another(location):
    with pytest.raises(Refused):
        versions.create(location)


def test_a_folder_is_no_book(tmp_path):
    with pytest.raises(NotABook, match="the folder"):
        Book(str(tmp_path))


@pytest.mark.parametrize("content", [b"", b"plants,grafts\n", b"SQLite format 3\x00" + b"\x00" * 84])
def test_a_file_of_another_kind_is_no_book(tmp_path, content):
    path = tmp_path / "notes.txt"
    path.write_bytes(content)
    with pytest.raises(NotABook):
        Book(str(path))
    assert content == path.read_bytes()


def test_a_database_without_a_book_is_no_book(tmp_path):
    path = tmp_path / "other.sqlite"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE t (x)")
    with pytest.raises(NotABook, match="without one"):
        Book(str(path))


def test_a_missing_book_says_how_to_make_one(tmp_path):
    with pytest.raises(NotABook, match="start"):
        Book(str(tmp_path / "none.sqlite"))
    with pytest.raises(NotABook, match="Make the folder first"):
        versions.create(str(tmp_path / "no-such-folder" / "book.sqlite"))


def test_a_url_of_another_kind_of_database_is_refused():
    with pytest.raises(UsageProblem, match="postgresql://"):
        Book("mysql://x/y")


def test_foreign_keys_and_write_ahead_logging_are_on(sqlite_location):
    book = Book(sqlite_location)
    with book.read() as session:
        assert 1 == session.execute(text("PRAGMA foreign_keys")).scalar()
        assert "wal" == session.execute(text("PRAGMA journal_mode")).scalar()
        assert 20_000 == session.execute(text("PRAGMA busy_timeout")).scalar()
    book.close()


def test_a_failed_start_leaves_nothing_behind(tmp_path, monkeypatch):
    def broken(engine, to="head"):
        raise RuntimeError("the disk is on fire")

    monkeypatch.setattr(versions, "upgrade", broken)
    with pytest.raises(RuntimeError):
        versions.create(str(tmp_path / "book.sqlite"))
    assert [] == list(tmp_path.iterdir())


def test_copying_to_a_place_that_cannot_be_written_says_so(sqlite_location, monkeypatch):
    def refuse(location, target, sound):
        raise PermissionError("read-only folder")

    monkeypatch.setattr(kept_before.backup, "snapshot", refuse)
    with pytest.raises(
        CannotWrite, match=r"A copy at .*\.sqlite could not be made: read-only folder\. The book is as it was\."
    ):
        kept_before.before(sqlite_location, "undo", datetime.now(UTC))


def test_a_book_in_a_read_only_folder_is_refused_clearly(sqlite_location, monkeypatch):
    folder = Path(sqlite_location).parent
    for parent in (folder, *folder.parents):
        if parent.stat().st_uid == os.getuid() and parent != Path("/"):
            parent.chmod(parent.stat().st_mode | 0o055)
    Path(sqlite_location).chmod(0o444)
    folder.chmod(0o555)

    def work():
        try:
            book = Book(sqlite_location)
            with book.write("tree") as unit:
                unit.commit("no")
        except (CannotWrite, NotABook) as error:
            return error.exit_code
        return 0

    try:
        assert as_somebody_else(work) == CannotWrite.exit_code
    finally:
        folder.chmod(stat.S_IRWXU)


def test_every_constraint_has_the_name_the_convention_gives_it(location):
    from sqlalchemy import CheckConstraint, inspect

    engine = make_engine(location)
    seen = inspect(engine)
    for table in METADATA.tables.values():
        wanted = {str(check.name) for check in table.constraints if isinstance(check, CheckConstraint)}
        assert wanted == {check["name"] for check in seen.get_check_constraints(table.name)}, table.name
        keys = {str(key.name) for key in table.foreign_key_constraints}
        assert keys == {key["name"] for key in seen.get_foreign_keys(table.name)}, table.name
    engine.dispose()


def test_an_id_once_given_is_never_given_again(location):
    from graftbook.book.plants import Plant

    book = Book(location)
    ids = []
    for number in (1, 2):
        with book.write("tree") as unit:
            row = unit.add(Plant, number=number, code=f"P{number}", kind="tree")
            ids.append(row.id)
            unit.commit("added")
        if number == 1:
            with book.write("undo") as unit:
                unit.remove_many(Plant, [(row.uid, row_values(row))])
                unit.commit("gone")
    book.close()
    assert ids[0] < ids[1]


def test_the_database_checks_what_the_code_says_it_checks(sqlite_location):
    """Alembic does not compare constraints, so that their names and their words are compared here."""
    from sqlalchemy import CheckConstraint, inspect

    def plain(text):
        return re.sub(r"(\w+) IS NULL OR \1 (?=[<>])", r"\1 ", re.sub(r"\s+", " ", str(text)))

    engine = make_engine(sqlite_location)
    for table in METADATA.sorted_tables:
        checked = {each["name"]: plain(each["sqltext"]) for each in inspect(engine).get_check_constraints(table.name)}
        said = {each.name: plain(each.sqltext) for each in table.constraints if isinstance(each, CheckConstraint)}
        assert checked == said, table.name
    engine.dispose()
