"""The sheet to walk with: pages, places, words and codes, the codes read back by another library than wrote them."""

import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader

from graftbook.errors import UsageProblem
from graftbook.paper.tick_sheet import TickBlock, TickPlace, TickSheet, draw


def block(number, *wants, about="'Kilwarden Pippin' on P1"):
    return TickBlock(
        f"G{number}", f"HTTPS://TAG.EXAMPLE/T/G{number}", f"row 2, no. {number}", about, wants or ("look",)
    )


def pages(tmp_path, content):
    path = tmp_path / "sheet.pdf"
    path.write_bytes(content)
    return [page.extract_text() for page in PdfReader(path).pages]


def test_every_code_is_read_back_from_the_printed_page(tmp_path):
    content = draw(TickSheet("Due", (TickPlace("Long Row", tuple(block(n) for n in range(1, 31))),)))
    read = set()
    for page in pypdfium2.PdfDocument(content):
        read |= {code.text for code in zxingcpp.read_barcodes(page.render(scale=150 / 72).to_pil())}
    assert {f"HTTPS://TAG.EXAMPLE/T/G{n}" for n in range(1, 31)} == read


def test_a_long_doubt_is_said_whole_and_the_block_grows_with_it(tmp_path):
    names = [f"Bellflower {n} of the High Valley" for n in range(1, 7)]
    about = f"{' or '.join(names)} on P10"
    (said,) = pages(tmp_path, draw(TickSheet("Due", (TickPlace("Row", (block(1, about=about), block(2))),))))
    assert about in " ".join(said.split())
    assert said.index("on P10") < said.index("G2")


@pytest.mark.parametrize(("paper", "size"), [("a4", (210.0, 297.0)), ("letter", (215.9, 279.4))])
def test_pages_are_true_to_size_and_asked_not_to_be_scaled(tmp_path, paper, size):
    path = tmp_path / "sheet.pdf"
    path.write_bytes(draw(TickSheet("Due", ()), paper))
    reader = PdfReader(path)
    box = reader.pages[0].mediabox
    assert size == pytest.approx((float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72), abs=0.1)
    assert "/None" == reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"]


def test_a_place_that_goes_on_says_so_and_pages_are_numbered(tmp_path):
    text = pages(tmp_path, draw(TickSheet("Due", (TickPlace("Long Row", tuple(block(n) for n in range(40))),))))
    assert ["page 1 of 3", "page 2 of 3", "page 3 of 3"] == [
        f"page {n} of 3" for n in (1, 2, 3) if f"page {n} of 3" in text[n - 1]
    ]
    assert "Long Row, continued" not in text[0]
    assert all("Long Row, continued" in page for page in text[1:])


def test_no_place_stands_alone_at_the_foot_of_a_page(tmp_path):
    for count in range(1, 16):
        first = TickPlace("First", tuple(block(n) for n in range(count)))
        for page in pages(tmp_path, draw(TickSheet("Due", (first, TickPlace("Second", (block(99),)))))):
            assert ("Second" in page) == ("G99" in page)


def test_many_wants_make_a_block_higher_and_all_are_there(tmp_path):
    wants = tuple(f"thing {n}" for n in range(9))
    text = "\n".join(pages(tmp_path, draw(TickSheet("Due", (TickPlace("A", (block(1, *wants), block(2))),)))))
    assert all(want in text for want in wants)


def test_words_too_long_are_cut_and_letters_the_font_has_not_got_are_marked(tmp_path):
    long = TickPlace("Very long place name " * 9, (block(1, "word " * 40, about="苹果 " + "on and on " * 30),))
    text = pages(tmp_path, draw(TickSheet("Øvre due " * 30, (long,), ("Why " * 90,))))[0]
    assert "Øvre due" in text and "…" in text and "??" in text


def test_the_same_sheet_gives_the_same_bytes():
    sheet = TickSheet("Due", (TickPlace("A", (block(1),)),))
    assert draw(sheet) == draw(sheet)


def test_another_paper_is_refused_with_what_was_found():
    with pytest.raises(UsageProblem, match=r"a4 or letter.*'a5'"):
        draw(TickSheet("Due", ()), "a5")


SEEN = ("no movement", "swelling", "pushing", "growing", "stalled", "shrivelled", "dead", "not found")


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_boxes_are_as_large_as_a_hand_in_the_cold_needs_and_no_word_or_date_is_cut(tmp_path, paper):
    """Field-form guidance asks for tick boxes of 5 to 6 mm and writing lines 8 mm apart (common practice)."""
    long = "release tie, by 30 Sep"
    one = TickBlock(
        "G1-W", "G1-W", "row 2", "'Kilwarden Pippin' on P1", ("judge", long), SEEN, ("shoot, mm", "seen, and why")
    )
    run = TickBlock(
        "G2-G40", "", "row 2", "39 grafts: 'Quern Russet'", (long,), SEEN, ("not alike: which, seen, and why",)
    )
    content = draw(TickSheet("Due", (TickPlace("Long Row", (one, run)),)), paper)
    (page,) = pages(tmp_path, content)
    assert all(page.count(word) >= 2 for word in (*SEEN, long))
    assert "…" not in page
    boxes = [each.get_bounds() for each in pypdfium2.PdfDocument(content)[0].get_objects() if each.type == 2]
    sides = [(x2 - x1, y2 - y1) for x1, y1, x2, y2 in boxes if y2 - y1 > 4 and x2 - x1 < 60]
    ticked = [side for side in sides if min(side) * 25.4 / 72 >= 5.9]
    assert 2 + len(SEEN) + 1 + len(SEEN) <= len(ticked)
    assert 1 == len(zxingcpp.read_barcodes(pypdfium2.PdfDocument(content)[0].render(scale=2).to_pil()))
