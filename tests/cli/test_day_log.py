"""graft log: a sheet with a code and lines to write on for each graft of a day, and how it is typed in."""

import pytest
from filling import Filling
from reading_back import codes_in
from refusals import refused


@pytest.fixture
def bench(graftbook, location):
    """Wood, and three stocks at the bench."""
    with Filling(location) as book:
        book.wood()
        for _ in range(3):
            book.stock(place="bench")
    return graftbook


def test_a_log_gives_out_codes_that_read_back_and_are_typed_in_afterwards(bench, tmp_path):
    log, blank, both = (tmp_path / name for name in ("log.pdf", "blank.pdf", "both.pdf"))
    done = bench("graft", "log", 3, "--for", "barn day", "-o", log)
    assert 0 == done.code and "G1-G3, their codes given out" in done.out, done.err
    assert ["G1", "G2", "G3"] == sorted(code.split("-")[0] for code in codes_in(log))
    assert [("G1-G3", "barn day")] == [(row["codes"], row["purpose"]) for row in bench("tags", "blanks", "--json").rows]
    assert 0 == bench("graft", "W1", "P1", "--method", "cleft", "--tag", "G2", "--on", "2027-11-30", "--yes").code
    assert 0 == bench("tags", "blank", 2, "--medium", "letter-20up", "-o", blank).code
    again = bench("graft", "log", "--codes", "G4-G5", "--paper", "letter", "-o", both)
    assert 0 == again.code and "given out" not in again.out
    assert set(codes_in(blank)) == set(codes_in(both))


def test_a_log_that_cannot_be_written_gives_out_no_code(bench, tmp_path):
    path = tmp_path / "no.pdf"
    refused(bench("graft", "log", "-o", path), 2, "how many lines, or --codes", "neither")
    refused(bench("graft", "log", 3, "--codes", "G1", "-o", path), 2, "both")
    refused(bench("graft", "log", 9_999, "-o", path), 2, "from 1 to 5,000 lines")
    refused(bench("graft", "log", 3, "--paper", "a5", "-o", path), 2, "a4 or letter")
    refused(bench("graft", "log", "--codes", "G7-G9", "-o", path), 20, "unused blank tag G7-G9", "tags blanks")
    refused(bench("graft", "log", 3, "-o", tmp_path / "none" / "no.pdf"), 21, "none")
    (tmp_path / "mine.pdf").write_text("a letter of mine", encoding="utf-8")
    assert 0 != bench("graft", "log", 3, "-o", tmp_path / "mine.pdf").code
    assert "a letter of mine" == (tmp_path / "mine.pdf").read_text(encoding="utf-8")
    assert [] == bench("tags", "blanks", "--json").rows
    assert not path.exists()
