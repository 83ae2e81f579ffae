"""The bench sheet: pages, codes that scan, words large enough to read at arm's length."""

from __future__ import annotations

import io

import pypdfium2
import pytest
import zxingcpp

from graftbook.codes import with_check
from graftbook.errors import UsageProblem
from graftbook.paper import bench_sheet
from graftbook.paper.bench_sheet import BatchLine, BenchGroup, BenchLine, BenchSheet, CutLine


def sheet(lines=40, name="Æblegård Pearmain"):
    made = tuple(
        BenchLine(
            at,
            with_check(f"G{at}"),
            with_check(f"G{at}"),
            f"W1 {at}/1",
            "2 buds, 8 mm",
            f"P{at}",
            "MM.106, 9 mm",
            "cleft",
        )
        for at in range(1, lines + 1)
    )
    half = len(made) // 2
    cuts = ((name, (CutLine("W1 stick 1", "2 buds + 2 buds (butt 8 mm)", "1-2"),)),)
    groups = (
        BenchGroup(name, made[:half]),
        BenchGroup("Second kind of a name that is longer than a page is wide " * 3, made[half:]),
    )
    return BenchSheet("Bench of an invented orchard", groups, cuts, ("Print at 100 %.",))


def opened(pdf):
    return pypdfium2.PdfDocument(io.BytesIO(pdf))


@pytest.mark.parametrize(("paper", "width_mm"), [("a4", 210.0), ("letter", 215.9)])
def test_every_code_is_read_back_from_paper_of_both_sizes(paper, width_mm):
    document = opened(bench_sheet.draw(sheet(), paper))
    read = [s.text for page in document for s in zxingcpp.read_barcodes(page.render(scale=150 / 72).to_pil())]

    assert pytest.approx(width_mm, abs=0.1) == document[0].get_width() * 25.4 / 72
    assert sorted(with_check(f"G{at}") for at in range(1, 41)) == sorted(read)
    document.close()


def test_names_of_growers_are_printed_and_said_again_where_they_go_on():
    document = opened(bench_sheet.draw(sheet(60)))
    words = [page.get_textpage().get_text_bounded() for page in document]
    document.close()

    assert "Æblegård Pearmain" in words[0]
    assert any("Æblegård Pearmain, continued" in page for page in words)
    assert all(f"page {at} of {len(words)}" in page for at, page in enumerate(words, 1))


def test_the_same_sheet_gives_the_same_bytes_and_counts_its_pages():
    counted = []

    assert bench_sheet.draw(sheet()) == bench_sheet.draw(sheet(), progress=counted.append)
    assert 4 == len(counted)


def test_other_paper_is_refused():
    with pytest.raises(UsageProblem, match="a4 or letter"):
        bench_sheet.draw(sheet(), "a9")


def test_eight_thousand_grafts_in_batches_are_a_few_pages_with_a_box_for_each_count():
    groups = tuple(
        BenchGroup(
            f"Invented {at}",
            (),
            (
                BatchLine(
                    at, 200, "G1-G200", "W19", "2 buds", "on MM.106 6-9 mm", "whip-and-tongue, for a far field", "1-200"
                ),
            ),
        )
        for at in range(1, 41)
    )
    cuts = tuple((group.name, (CutLine("W19 sticks 1-67", "2 buds + 2 buds + 2 buds", "1-200"),)) for group in groups)
    document = opened(bench_sheet.draw(BenchSheet("Bench of an invented nursery", groups, cuts)))
    words = [page.get_textpage().get_text_bounded() for page in document]
    document.close()

    assert len(words) <= 9
    assert 40 == sum(page.count("of 200 made") for page in words)
    assert "for a far field" in " ".join(words[0].split()) and "batch 1" in words[0]
