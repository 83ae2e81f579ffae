"""print: the whole book on paper, read back by another library than wrote it."""

import pypdfium2
from refusals import refused


def words(file):
    """What stands on the pages of a PDF, in order, folded lines joined."""
    pages = pypdfium2.PdfDocument(str(file))
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pages)


def test_someone_with_the_paper_alone_finds_what_stands_where_on_what_and_how_it_does(graftbook, tmp_path):
    for line in (
        ("people", "add", "Ilo Marren", "--initials", "IM", "--contact", "the mill"),
        ("tree", "add", "Quern Russet", "--species", "apple", "--place", "row end", "--note", "Leans."),
        ("stock", "add", "MM.106", "--count", "5", "--place", "bed"),
        ("tree", "add", "Tolm Beauty", "--species", "apple", "--place", "bed"),
        ("wood", "receive", "Old Pippin", "--species", "apple", "--from", "IM", "--sticks", "8", "--on", "2026-02-01"),
        ("graft", "W1", "P2", "--method", "cleft", "--on", "2026-03-01", "--limb", "B", "--bearing", "NW", "--height", "1.2m"),
        ("graft", "W1", "G1", "--method", "whip-and-tongue", "--on", "2026-03-02"),
        ("graft", "W1", "P3", "--method", "cleft", "--on", "2026-03-02"), ("look", "G3", "dead", "--on", "2026-06-01"),
        ("look", "G1", "growing", "--on", "2026-06-01"), ("tree", "died", "P7", "--on", "2026-06-01"),
        ("want", "add", "Old Pippin", "3"),
    ):  # fmt: skip
        assert 0 == graftbook(*line).code, line
    done = graftbook("print", "-o", tmp_path / "book.pdf", "--json")
    assert 0 == done.code
    sections = [row["section"] for row in done.rows if row["section"] != "What is wanted now"]
    assert [
        "How to read this",
        "bed",
        "row end",
        "Wood in store",
        "Trees wanted",
        "People",
        "No longer here",
    ] == sections
    read = words(tmp_path / "book.pdf")
    assert (
        "P2 stock, MM.106 G1 'Old Pippin', cleft of 2026-03-01, limb B, NW, 1200 mm high, growing on 2026-06-01" in read
    )
    assert "G2 'Old Pippin', whip-and-tongue of 2026-03-02, not looked at P3" in read
    assert "G3 'Old Pippin', cleft of 2026-03-02, dead on 2026-06-01" in read
    assert "3 stocks without a graft, each MM.106: P4-P6" in read
    assert "P1 tree, 'Quern Russet'. Leans." in read
    assert "W1 Old Pippin, " in read and "from IM" in read
    assert "P7 tree, 'Tolm Beauty', bed, dead on 2026-06-01" in read
    assert "1 Old Pippin, 3 trees wanted" in read
    assert "Ilo Marren, IM" in read and "the mill" not in read
    assert 0 == graftbook("print", "-o", tmp_path / "book.pdf", "--contacts", "--paper", "letter").code
    assert "the mill" in words(tmp_path / "book.pdf")


def test_an_empty_book_prints_and_nothing_else_is_written_over(on_sqlite, sqlite_location, tmp_path):
    assert 0 == on_sqlite("print", "-o", tmp_path / "book.pdf").code
    assert "How to read this" in words(tmp_path / "book.pdf")
    (tmp_path / "mine.pdf").write_bytes(b"%PDF- mine")
    refused(on_sqlite("print", "-o", tmp_path / "mine.pdf"), 21, "other than")
    refused(on_sqlite("print", "-o", sqlite_location), 21, "book")
    refused(on_sqlite("print", "-o", tmp_path / "x.pdf", "--paper", "a9"), 2, "paper a4 or letter")
    refused(on_sqlite("print"), 2, "-o")
