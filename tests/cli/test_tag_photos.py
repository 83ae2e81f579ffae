"""Tags read from photos: one row a tag, what is strange named, and looks recorded from a picture."""

import pytest
from filling import Filling

from graftbook.codes import with_check


@pytest.fixture
def bench(graftbook, location):
    """Two grafts at the bench."""
    with Filling(location) as book:
        wood = book.wood()
        for order in (1, 2):
            book.graft(wood, book.stock(place="bench", row="2", order=order), "cleft")
    return graftbook


def photo_of(pdf, picture):
    """Every page of a PDF lying below each other, as one photo."""
    import pypdfium2
    from PIL import Image

    document = pypdfium2.PdfDocument(pdf)
    pages = [page.render(scale=200 / 72, grayscale=True).to_pil() for page in document]
    document.close()
    tray = Image.new("L", (max(p.width for p in pages), sum(p.height + 30 for p in pages)), 255)
    top = 0
    for page in pages:
        tray.paste(page, (0, top))
        top += page.height + 30
    tray.save(picture, quality=85)


def codes_drawn(texts, picture):
    """QR codes of any text in a row, drawn by the qrcode library itself."""
    import qrcode
    from PIL import Image

    row = Image.new("L", (320 * len(texts) + 320, 320), 255)
    for number, text in enumerate(texts):
        row.paste(qrcode.make(text, box_size=8).get_image().convert("L").resize((300, 300)), (320 * number, 10))
    row.save(picture)


@pytest.fixture
def tray(bench, tmp_path):
    """A photo of two stakes, each with its code at both ends."""
    done = bench("tags", "G1-G2", "--medium", "stake-152x25", "-o", tmp_path / "stakes.pdf")
    assert 0 == done.code, done.err
    photo_of(tmp_path / "stakes.pdf", tmp_path / "tray.jpg")
    return tmp_path / "tray.jpg"


def test_a_stake_that_carries_its_code_twice_is_one_row_that_says_what_and_where(bench, tray):
    assert [
        ("tray.jpg", "G1", "known", "Stoneway Pearmain, on MM.106, cleft 2027-04-01", "bench, row 2, no. 1"),
        ("tray.jpg", "G2", "known", "Stoneway Pearmain, on MM.106, cleft 2027-04-01", "bench, row 2, no. 2"),
    ] == [tuple(row.values()) for row in bench("tags", "read", tray, "--json").rows]


def test_strange_codes_are_told_apart(bench, tmp_path):
    bench("tags", "blank", 1, "--medium", "letter-30up", "-o", tmp_path / "blank.pdf")
    texts = (
        "G1-X",
        with_check("G99"),
        "https://else.example/abc",
        with_check("G3"),
        f"https://t.example/{with_check('W1')}",
    )
    codes_drawn(texts, tmp_path / "odd.png")
    assert [
        ("G1-X", "misread", "its check character is wrong: G1 has W"),
        ("G99", "unknown", "nothing in this book has this code"),
        ("https://else.example/abc", "unknown", "no code of a plant, wood or a graft"),
        ("G3", "blank", "a blank tag, not used yet"),
        ("W1", "known", "Stoneway Pearmain, cut 2027-01-14, 7-9 mm"),
    ] == [
        (row["code"], row["found"], row["what"]) for row in bench("tags", "read", tmp_path / "odd.png", "--json").rows
    ]


def test_a_look_may_be_said_in_several_words(bench, tray):
    done = bench("look", "--photo", tray, "not", "moved", "--yes")
    assert "G1-G2: 2 grafts no-movement, 2027-11-30.\n" == done.out


def test_codes_beside_a_photo_are_those_looked_at(bench, tray):
    done = bench("look", "--photo", tray, "G2", "growing")
    assert "G2: 1 graft growing, 2027-11-30.\n" == done.out


def test_where_programs_read_the_list_is_shown_on_stderr(bench, tray):
    asked = bench("look", "--photo", tray, "growing", "--json")
    assert (21, "") == (asked.code, asked.out)
    assert "Stoneway Pearmain" in asked.err
    assert ["G1", "G2"] == [row["code"] for row in bench("look", "--photo", tray, "growing", "--json", "--yes").rows]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["TRAY", "flourishing"], 2, "what was seen"),
        (["NONE", "growing"], 3, "no file"),
        (["EMPTY", "growing"], 2, "none that can be read"),
        (["TRAY", "set"], 21, "Only a bud can be set; G1-G2 are not buds"),
    ],
)
def test_a_photo_that_cannot_be_used_records_nothing(bench, tray, tmp_path, words, code, said):
    codes_drawn((), tmp_path / "empty.png")
    paths = {"TRAY": tray, "NONE": tmp_path / "none.jpg", "EMPTY": tmp_path / "empty.png"}
    bad = bench("look", "--photo", *(paths.get(word, word) for word in words), "--yes")
    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err
    assert bench("look", "list", "--json").rows == []
