"""tags: what is printed for each thing, true to size, read back by an independent reader."""

import io

import pytest
from filling import Filling
from reading_back import codes_in


@pytest.fixture
def bench(graftbook, location):
    """A stock, a bundle and a graft."""
    with Filling(location) as book:
        wood = book.wood(cultivar="Fitch’s Œillet d’été")
        book.graft(wood, book.stock(place="Bench", row="2"), "whip-and-tongue")
    return graftbook


def words_in(path):
    """The text of the PDF, by pypdf."""
    import pypdf

    return " ".join(
        " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(path.read_bytes())).pages).split()
    )


@pytest.mark.parametrize("medium", ["letter-30up", "a4-21up", "stake-152x16"])
def test_every_code_reads_back_from_a_sheet_of_letter_of_a4_and_a_stake(bench, tmp_path, medium):
    path = tmp_path / "tags.pdf"
    done = bench("tags", "G1,P1,W1", "--medium", medium, "-o", path)
    assert 0 == done.code, done.err
    assert "Printed 3 tags (G1, P1, W1)" in done.out
    assert {"G1-W", "P1-2", "W1-C"} == set(codes_in(path))
    assert "Fitch’s Œillet d’été" in words_in(path)


def test_a_graft_says_what_it_is_on_how_and_when(bench, tmp_path):
    path = tmp_path / "tags.pdf"
    bench("tags", "G1", "--medium", "letter-20up", "-o", path)
    for words in ("G1-W", "on MM.106", "whip-and-tongue 2027-04-01"):
        assert words in words_in(path)


def test_the_page_is_not_to_be_scaled_and_the_same_every_time(bench, tmp_path):
    first, second = tmp_path / "a.pdf", tmp_path / "b.pdf"
    for path in (first, second):
        bench("tags", "P1", "--medium", "a4-21up", "-o", path)
    assert b"/PrintScaling /None" in first.read_bytes()
    assert first.read_bytes() == second.read_bytes()


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["P1", "--medium", "letter-31up"], 20, "letter-30up"),
        (["P9", "--medium", "letter-30up"], 20, "P9"),
        (["P1-X", "--medium", "letter-30up"], 2, "check character"),
        (["P1", "--medium", "letter-30up", "--start", "31"], 2, "30"),
        (["G1", "--medium", "stake-102x13"], 24, ""),
    ],
)
def test_what_cannot_be_printed_is_said_and_no_file_is_left(bench, location, tmp_path, words, code, said):
    with Filling(location) as book:
        book.graft(book.wood(cultivar="Supercalifragilisticpearmainofthehighvalleyorchards" * 3), book.stock())
    if code == 24:
        words = ["G2", *words[1:]]
    bad = bench("tags", *words, "-o", tmp_path / "tags.pdf")
    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err
    assert [] == list(tmp_path.glob("tags*"))


def test_a_folder_that_is_not_there_is_said(bench, tmp_path):
    bad = bench("tags", "P1", "--medium", "letter-30up", "-o", tmp_path / "none" / "tags.pdf")
    assert (21, "") == (bad.code, bad.out)


def test_media_are_listed_by_their_dimensions(graftbook):
    rows = graftbook("tags", "media", "--json").rows
    assert {"letter-30up", "a4-21up", "stake-152x16"} <= {row["name"] for row in rows}
    assert all(row["label_w_mm"] > 0 for row in rows)
