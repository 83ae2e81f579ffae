"""Sheets of a run: how many, one of them again just as it was, and print that comes near the edge."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from labels import media
from labels.errors import BadJob, BadMedium
from labels.press import press, sheets
from labels.reading import read_image


def _contents(pdf):
    return [page.get_contents().get_data() for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.mark.parametrize(
    ("count", "how", "expected"),
    [
        (0, {}, 0),
        (1, {}, 1),
        (30, {}, 1),
        (31, {}, 2),
        (30, {"start": 2}, 2),
        (10, {"copies": 3}, 1),
        (15_000, {}, 500),
    ],
)
def test_pages_are_counted_without_pressing(count, how, expected):
    assert expected == sheets(count, media.get("letter-30up"), **how)


def test_the_count_is_what_the_press_prints(make_tag):
    for count, start, copies in ((25, 7, 1), (24, 7, 1), (8, 1, 4), (1, 30, 2)):
        how = {"start": start, "copies": copies}
        pressed = press([make_tag(i) for i in range(count)], media.get("letter-30up"), **how)
        assert pressed.pages == sheets(count, media.get("letter-30up"), **how) == pressed.of


def test_a_count_that_makes_no_sense_is_refused():
    with pytest.raises(BadJob, match="0 or more"):
        sheets(-1, media.get("letter-30up"))
    with pytest.raises(BadJob, match="a start cell"):
        sheets(1, media.get("letter-30up"), start=31)
    with pytest.raises(BadMedium):
        sheets(1, replace(media.get("letter-30up"), rows=12))


@pytest.mark.parametrize("how", [{}, {"start": 7}, {"copies": 4}, {"offset_mm": (0.4, -0.3), "scale": (1.002, 1)}])
def test_a_sheet_printed_alone_has_the_very_content_it_has_in_the_whole_run(how, make_tag):
    tags = [make_tag(i) for i in range(95)]
    medium = media.get("letter-30up")
    whole = press(tags, medium, title="Bench run", **how)
    alone = press(tags, medium, title="Bench run", only_sheets=(3,), **how)
    assert (1, (3,), whole.pages) == (alone.pages, alone.sheets, alone.of)
    assert _contents(whole.pdf)[2] == _contents(alone.pdf)[0]
    assert f"sheet 3 of {whole.pages}" in PdfReader(io.BytesIO(alone.pdf)).pages[0].extract_text()


def test_names_with_accents_look_alike_alone_and_in_the_run(make_tag, page_image):
    names = ("Ärzteglück", "Přívětivá", "Żółta Renet", "Αμβροσία")
    tags = [make_tag(i, names[i % 4]) for i in range(70)]
    whole = press(tags, media.get("letter-30up"), title="Łąka")
    alone = press(tags, media.get("letter-30up"), title="Łąka", only_sheets=[2])
    assert page_image(whole.pdf, page=1).tobytes() == page_image(alone.pdf).tobytes()


def test_sheets_asked_for_come_in_order_each_once_and_only_their_tags_are_set(make_tag, page_image):
    seen = []
    pressed = press([make_tag(i) for i in range(100)], media.get("letter-30up"), only_sheets=[4, 2, 4],
                    progress=lambda done, of: seen.append((done, of)))  # fmt: skip
    assert ((2, 4), 2, 4) == (pressed.sheets, pressed.pages, pressed.of)
    assert (40, 40) == seen[-1]
    assert 40 == len(seen)
    read = [r.text for page in (0, 1) for r in read_image(page_image(pressed.pdf, page))]
    assert [f"G{i}K" for i in (*range(30, 60), *range(90, 100))] == read


@pytest.mark.parametrize(("asked", "found"), [((0, 2), "0"), ((5, 9), "5, 9"), ((), "none")])
def test_a_sheet_the_run_does_not_have_is_refused(asked, found, make_tag):
    with pytest.raises(BadJob) as caught:
        press([make_tag(i) for i in range(100)], media.get("letter-30up"), only_sheets=asked)

    assert ("sheets from 1 to 4", found) == (caught.value.expected, caught.value.found)


def test_print_near_the_edge_is_counted_and_its_distance_told(make_tag):
    medium = media.get("a4-40up-52x30")
    warned = press([make_tag(i) for i in range(40)], medium).warnings
    assert 1 == len(warned)
    assert "print comes within 2.9 mm of the edge of the page on 16 of the tags" in warned[0]
    assert () == press([make_tag(1), make_tag(2)], medium, start=6).warnings, "only the outer rows come near"


def test_print_far_enough_from_the_edge_is_not_warned_of(make_tag):
    medium = media.get("a4-40up-52x30")
    tags = [make_tag(i) for i in range(2)]
    assert () == press(tags, medium, start=6).warnings
    assert 1 == len(press(tags, medium, start=1).warnings)


def test_an_offset_can_bring_print_too_near_the_edge(make_tag):
    assert () == press([make_tag()], media.get("a4-21up")).warnings
    (said,) = press([make_tag(1), make_tag(2)], media.get("letter-30up"), offset_mm=(0, -12)).warnings
    assert "print comes within 2.9 mm of the edge of the page on 2 of the tags" in said


def test_a_tag_takes_at_most_300_bytes(make_tag):
    tags = [make_tag(100_000 + i, f"Stoneway Pearmain {i % 90}") for i in range(1500)]
    assert len(press(tags, media.get("letter-30up")).pdf) <= 300 * len(tags)


def test_a_press_leaves_the_pdf_librarys_own_setting_as_it_was(make_tag):
    from reportlab import rl_config

    before = rl_config.useA85
    press([make_tag()], media.get("letter-30up"))
    assert before == rl_config.useA85
