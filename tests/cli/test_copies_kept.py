"""The copies a book makes of itself before what changes much of it."""

from __future__ import annotations

import shutil

from whole_book import contents, everything

from graftbook.book import kept_before


def trees(graftbook, *names):
    for name in names:
        assert 0 == graftbook("tree", "add", name, "--species", "apple").code


def big(tmp_path, rows):
    text = "code,kind,taxon,cultivar\n" + "".join(f"P{n + 9},tree,apple,Quern Russet\n" for n in range(1, rows + 1))
    (tmp_path / "plants.csv").write_text(text, encoding="utf-8")
    return tmp_path / "plants.csv"


def copies_of(location, tmp_path):
    folder = tmp_path / "data" / "graftbook" / "copies" if "://" in location else tmp_path
    return kept_before.copies(location, folder)


def test_before_a_large_import_or_undo_the_book_is_copied(graftbook, location, tmp_path):
    trees(graftbook, "Dun Reinette")
    graftbook("undo", 1)
    before = everything(location)
    small = big(tmp_path, 1000)
    assert "is kept at" not in graftbook("import", small, "--dry-run").out
    large = big(tmp_path, 1001)
    assert "is kept at" not in graftbook("import", large, "--dry-run").out
    assert [] == copies_of(location, tmp_path)
    done = graftbook("import", large)
    assert (0, "") == (done.code, done.err)
    (copy,) = copies_of(location, tmp_path)
    assert f"The book as it was is kept at {copy}." in done.out
    assert before == everything(str(copy))
    full = everything(location)
    done = graftbook("undo", graftbook("journal", "--json").rows[0]["entry"])
    assert 0 == done.code, done.err
    _first, second = copies_of(location, tmp_path)
    assert f"The book as it was is kept at {second}." in done.out
    assert full == everything(str(second))


def test_no_copy_no_large_undo(on_sqlite, sqlite_location, tmp_path, monkeypatch):
    on_sqlite("import", big(tmp_path, 1001))
    full = contents(sqlite_location)

    def refuse(*_words, **_more):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(kept_before.backup, "snapshot", refuse)
    done = on_sqlite("undo", 1)
    assert 21 == done.code
    assert "could not be made: No space left on device. The book is as it was." in done.err
    assert full == contents(sqlite_location)


def test_the_last_five_copies_made_by_themselves_are_kept_and_doctor_names_them(on_sqlite, sqlite_location, tmp_path):
    from datetime import datetime

    other = tmp_path / "book-before-import-20200101T000000.sqlite"
    shutil.copy(sqlite_location, other)  # holds no entry, so nobody can say whose it is
    made = []
    for day in range(1, 8):
        trees(on_sqlite, f"Quern Russet {'I' * day}")
        made.append(kept_before.before(sqlite_location, "undo", datetime(2027, 1, day)))
    assert [other, *made[2:]] == kept_before.copies(sqlite_location, tmp_path)
    assert made[-1] == kept_before.before(sqlite_location, "import", datetime(2027, 2, 1))
    trees(on_sqlite, "Dun Reinette")
    again = kept_before.before(sqlite_location, "undo", datetime(2027, 1, 7))
    assert "book-before-undo-20270107T000000-2.sqlite" == again.name
    assert "Copies made by themselves" in on_sqlite("doctor").out
