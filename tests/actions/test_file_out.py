"""Files written whole or not at all, and never over something else."""

import os

import pytest

from graftbook.actions.desk.file_out import folder_beside, may_go, write_file, written
from graftbook.book.parts import PART, leftovers
from graftbook.errors import CannotWrite

PDF = b"%PDF-1.6 new /Creator (labels)"
OLD = b"%PDF-1.4 old /Creator (labels)"


def test_a_new_file_is_written_and_nothing_is_left_beside_it(tmp_path):
    write_file(tmp_path / "a.pdf", PDF)
    assert ["a.pdf"] == os.listdir(tmp_path)
    assert (tmp_path / "a.pdf").read_bytes() == PDF


def test_a_new_file_may_be_read_by_whom_any_new_file_may(tmp_path):
    (tmp_path / "plain").touch()
    write_file(tmp_path / "a.pdf", PDF)
    assert (tmp_path / "plain").stat().st_mode == (tmp_path / "a.pdf").stat().st_mode


@pytest.mark.parametrize(
    "before", [b"", OLD, b"\x89PNG\r\n\x1a\n tEXtSoftware\0Graftbook", b"<!-- Graftbook -->\n<svg", b"code,kind\n"]
)
def test_an_empty_file_or_one_of_our_own_making_is_written_over(tmp_path, before):
    (tmp_path / "a.pdf").write_bytes(before)
    write_file(tmp_path / "a.pdf", PDF, over=(b"code,kind",))
    assert (tmp_path / "a.pdf").read_bytes() == PDF


@pytest.mark.parametrize(
    "theirs",
    [b"PK dear neighbour", b"%PDF-1.4 of another program", b"\x89PNG\r\n\x1a\n a photo", b"<svg/>", b"code;kind\n"],
)
def test_anything_else_stays_as_it_is_pdfs_and_pictures_of_others_among_it(tmp_path, theirs):
    (tmp_path / "letter.odt").write_bytes(theirs)
    with pytest.raises(CannotWrite, match="letter.odt is there already and holds something other"):
        write_file(tmp_path / "letter.odt", PDF, over=(b"code,kind",))
    assert (tmp_path / "letter.odt").read_bytes() == theirs
    assert ["letter.odt"] == os.listdir(tmp_path)


def test_a_folder_and_a_folder_that_is_not_there_are_said(tmp_path):
    with pytest.raises(CannotWrite, match="is a folder. Nothing was written; name another file"):
        write_file(tmp_path, PDF)
    with pytest.raises(CannotWrite, match="no folder"):
        write_file(tmp_path / "none" / "a.pdf", PDF)


def test_what_a_link_points_to_is_written_and_the_link_stays(tmp_path):
    (tmp_path / "link.pdf").symlink_to(tmp_path / "real.pdf")
    write_file(tmp_path / "link.pdf", PDF)
    assert (tmp_path / "link.pdf").is_symlink()
    assert (tmp_path / "real.pdf").read_bytes() == PDF


def test_the_file_of_before_stays_when_what_is_done_meanwhile_fails(tmp_path):
    (tmp_path / "a.pdf").write_bytes(OLD)
    with pytest.raises(KeyError), written(tmp_path / "a.pdf", PDF):
        raise KeyError
    assert (tmp_path / "a.pdf").read_bytes() == OLD
    assert ["a.pdf"] == os.listdir(tmp_path)


def test_a_link_to_a_file_in_another_folder_is_not_followed(tmp_path):
    (tmp_path / "other").mkdir()
    (tmp_path / "link.pdf").symlink_to(tmp_path / "other" / "real.pdf")
    with pytest.raises(CannotWrite, match=r"link\.pdf is a link that leads to .*other.real\.pdf"):
        write_file(tmp_path / "link.pdf", PDF)
    assert [] == os.listdir(tmp_path / "other")


def test_no_book_and_nothing_that_belongs_to_one_is_written_over_whatever_else_may_be(tmp_path):
    book = tmp_path / "book.sqlite"
    book.write_bytes(b"SQLite format 3\0" + bytes(100))
    (tmp_path / "book.sqlite-shm").touch()
    os.link(book, tmp_path / "hard.pdf")
    (tmp_path / "soft.pdf").symlink_to(book)
    for name in ("book.sqlite", "hard.pdf", "soft.pdf"):
        with pytest.raises(CannotWrite, match="is a book or another database"):
            may_go(tmp_path / name, over=(b"SQLite",))
    for end in ("wal", "shm", "journal"):
        with pytest.raises(CannotWrite, match=r"belongs to the book .*book\.sqlite\. Nothing"):
            may_go(tmp_path / f"book.sqlite-{end}")
    assert may_go(tmp_path / "spring-wal") == tmp_path / "spring-wal"


def test_what_a_killed_writing_left_is_taken_away_by_the_next_once_it_is_old(tmp_path):
    fresh, old, other = (tmp_path / f".{name}{PART}" for name in ("a.pdf-fresh", "a.pdf-old", "b.pdf-old"))
    for path in (fresh, old, other):
        path.write_bytes(b"half")
    for path in (old, other):
        os.utime(path, (1, 1))
    assert [old, other] == leftovers(tmp_path)
    write_file(tmp_path / "a.pdf", PDF)
    assert {"a.pdf", fresh.name, other.name} == set(os.listdir(tmp_path))


def test_a_folder_left_half_written_is_taken_away_by_the_next_of_its_name(tmp_path):
    left = tmp_path / f".out-old{PART}"
    left.mkdir()
    (left / "plants.csv").write_text("code")
    for path in (left / "plants.csv", left):
        os.utime(path, (1, 1))
    with folder_beside(tmp_path / "out") as made:
        assert [made.name] == os.listdir(tmp_path)
    assert [] == os.listdir(tmp_path)
