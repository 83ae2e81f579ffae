"""A full disk, a book cut off or changed past the program, a clock that jumps: said in words, nothing half done."""

from __future__ import annotations

import os
import shutil
import signal
from pathlib import Path

import pytest
from hold import kills
from hold.calls import call

VERBS = (["journal"], ["tree", "list"], ["tree", "add", "Tolm", "--species", "apple"], ["doctor"], ["migrate"])


def cut_off(book: Path) -> None:
    book.write_bytes(book.read_bytes()[: book.stat().st_size // 2])


def cut_to_the_head(book: Path) -> None:
    book.write_bytes(book.read_bytes()[:16])


def scratched(book: Path) -> None:
    held = bytearray(book.read_bytes())
    for at in range(4_096 + 50, len(held), 2_048):
        held[at : at + 40] = b"\xff" * 40
    book.write_bytes(held)


def wrong_log(book: Path) -> None:
    Path(f"{book}-wal").write_bytes(b"\x37\x7f\x06\x82" + bytes(range(200)))


def log_as_a_folder(book: Path) -> None:
    Path(f"{book}-wal").mkdir()


@pytest.mark.parametrize(
    "damage", [cut_off, cut_to_the_head, scratched, wrong_log, log_as_a_folder], ids=lambda one: one.__name__
)
def test_a_damaged_book_is_said_to_be_one(filled_book, tmp_path, damage):
    book = tmp_path / "book.sqlite"
    shutil.copy(filled_book, book)
    damage(book)
    for words in VERBS:
        did = call(words, str(book))
        assert did.code in (0, 3, 20, 21, 22), (words, did)
        assert "bug" not in did.err, (words, did)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the limit is set in a process forked from this one")
@pytest.mark.filterwarnings("ignore::DeprecationWarning")
@pytest.mark.parametrize(
    "words",
    [["stock", "add", "M.9", "--species", "apple", "--count", "5000"], ["export", "DIR/out"],
     ["tags", "blank", "900", "--medium", "letter-30up", "-o", "DIR/t.pdf"]],
    ids=lambda words: words[0],
)  # fmt: skip
def test_a_full_disk_is_said_and_leaves_the_book_sound_and_nothing_half_written(sqlite_template, tmp_path, words):
    import resource

    book = tmp_path / "book.sqlite"
    shutil.copy(sqlite_template, book)
    call(["stock", "add", "M.9", "--species", "apple", "--count", "300"], str(book))
    before = kills.entries(str(book))
    child = os.fork()
    if child == 0:
        code = 99
        try:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            most = 20_000 if words[0] != "stock" else book.stat().st_size + 60_000
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
            code = call([word.replace("DIR", str(tmp_path)) for word in words], str(book)).code
        finally:
            os._exit(code)
    assert 21 == os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert before == kills.entries(str(book))
    assert 0 == call(["doctor"], str(book)).code
    assert {"book.sqlite"} == {path.name for path in tmp_path.iterdir()} - {"book.sqlite-wal", "book.sqlite-shm"}


def test_a_clock_that_jumps_back_keeps_entries_in_their_order_and_the_book_sound(on_sqlite):
    for today in ("2027-11-30", "2027-01-01", "2027-12-01"):
        assert 0 == on_sqlite("tree", "add", "Quern Russet", "--species", "apple", today=today).code
    entries = [row["entry"] for row in on_sqlite("journal", "--json").rows]
    assert sorted(entries, reverse=True) == entries
    assert 0 == on_sqlite("undo", entries[0], today="2026-01-01").code
    assert 0 == on_sqlite("doctor", today="2028-01-01").code


def test_doctor_names_what_stopped_work_left_on_the_disk_and_finds_no_breach_in_it(on_sqlite, sqlite_location):
    folder = Path(sqlite_location).parent
    left = folder / f".tags.pdf-x{kills.PART}"
    left.write_bytes(b"%PDF half")
    assert left.name not in on_sqlite("doctor").out
    os.utime(left, (1, 1))
    for day in ("20270101T000000", "20270102T000000"):
        shutil.copy(sqlite_location, folder / f"book-before-0007-{day}.sqlite")
    run = on_sqlite("doctor")
    assert 0 == run.code
    assert "Left half written by work that was stopped" in run.out and left.name in run.out
    assert "book-before-0007-20270101" in run.out
