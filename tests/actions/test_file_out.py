"""Files written whole or not at all, and never over something else."""

import os

import pytest

from graftbook.actions.desk.file_out import write_file, written
from graftbook.errors import CannotWrite

PDF = b"%PDF-1.6 new"


def test_a_new_file_is_written_and_nothing_is_left_beside_it(tmp_path):
    write_file(tmp_path / "a.pdf", PDF)
    assert ["a.pdf"] == os.listdir(tmp_path)
    assert (tmp_path / "a.pdf").read_bytes() == PDF


def test_a_new_file_may_be_read_by_whom_any_new_file_may(tmp_path):
    (tmp_path / "plain").touch()
    write_file(tmp_path / "a.pdf", PDF)
    assert (tmp_path / "plain").stat().st_mode == (tmp_path / "a.pdf").stat().st_mode


@pytest.mark.parametrize("before", [b"", b"%PDF-1.4 old", b"\x89PNG\r\n\x1a\n"])
def test_an_empty_file_a_pdf_or_a_picture_is_written_over(tmp_path, before):
    (tmp_path / "a.pdf").write_bytes(before)
    write_file(tmp_path / "a.pdf", PDF)
    assert (tmp_path / "a.pdf").read_bytes() == PDF


def test_anything_else_stays_as_it_is(tmp_path):
    (tmp_path / "letter.odt").write_bytes(b"PK dear neighbour")
    with pytest.raises(
        CannotWrite, match="letter.odt is there already and holds something other than an earlier PDF or picture"
    ):
        write_file(tmp_path / "letter.odt", PDF)
    assert (tmp_path / "letter.odt").read_bytes() == b"PK dear neighbour"
    assert ["letter.odt"] == os.listdir(tmp_path)


def test_a_folder_and_a_folder_that_is_not_there_are_said(tmp_path):
    with pytest.raises(CannotWrite, match="is a folder. Nothing was written; name a file"):
        write_file(tmp_path, PDF)
    with pytest.raises(CannotWrite, match="no folder"):
        write_file(tmp_path / "none" / "a.pdf", PDF)


def test_what_a_link_points_to_is_written_and_the_link_stays(tmp_path):
    (tmp_path / "link.pdf").symlink_to(tmp_path / "real.pdf")
    write_file(tmp_path / "link.pdf", PDF)
    assert (tmp_path / "link.pdf").is_symlink()
    assert (tmp_path / "real.pdf").read_bytes() == PDF


def test_the_file_of_before_stays_when_what_is_done_meanwhile_fails(tmp_path):
    (tmp_path / "a.pdf").write_bytes(b"%PDF-1.4 old")
    with pytest.raises(KeyError), written(tmp_path / "a.pdf", PDF):
        raise KeyError
    assert (tmp_path / "a.pdf").read_bytes() == b"%PDF-1.4 old"
    assert ["a.pdf"] == os.listdir(tmp_path)
