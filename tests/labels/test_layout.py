"""Where things go on one label: inside it, apart from each other, and never clipped."""

from __future__ import annotations

import random

import pytest

from labels import media
from labels.errors import DoesNotFit, MissingGlyph
from labels.fitting import FLOOR_PT
from labels.layout import Line, Tag, lay_out
from labels.lettering import BOLD, REGULAR, em_width

LETTERS = (
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZäöüßéèêçñåøæąćęłńśźżčďěňřšťůžőűșțğışŐŮŻÅ××''’’    -.0123456789"
)
NAMED = ("letter-30up", "letter-80up", "a4-21up", "a4-65up", "a4-20up-50x50", "stake-152x16", "sheet-20up-stick",
         "loop-203x13", "letter-8up-wrap", "roll-51x25", "roll-25x25")  # fmt: skip


def _random_names(count: int) -> list[str]:
    rng = random.Random(20250328)
    return ["".join(rng.choice(LETTERS) for _ in range(rng.randint(1, 60))) for _ in range(count)]


def _boxes(placement):
    """Every box on the label as left, top, right, bottom; codes with their quiet zone."""
    for s in placement.symbols:
        white = s.quiet * s.module_mm
        yield s.x - white, s.y - white, s.x + s.side + white, s.y + s.side + white
    for t in placement.texts:
        yield t.x, t.y, t.x + t.w, t.y + t.h


def _assert_sound(placement, medium):
    boxes = list(_boxes(placement))
    for left, top, right, bottom in boxes:
        assert left >= 0.99
        assert top >= 0.99
        assert right <= medium.label_w_mm - 0.99
        assert bottom <= medium.label_h_mm - 0.99
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert a[2] <= b[0] + 1e-6 or b[2] <= a[0] + 1e-6 or a[3] <= b[1] + 1e-6 or b[3] <= a[1] + 1e-6


@pytest.mark.parametrize("name", NAMED)
def test_boxes_of_random_names_lie_in_the_label_and_apart_from_each_other(name, make_tag):
    medium = media.get(name)
    laid = 0
    for word in _random_names(500):
        try:
            placement = lay_out(make_tag(name=word), medium)
        except DoesNotFit as problem:
            assert problem.found
            assert problem.expected
            assert problem.next_step
            continue
        laid += 1
        _assert_sound(placement, medium)
        assert min(t.size_pt for t in placement.texts) >= FLOOR_PT
        printed = " ".join(t.text for t in placement.texts)
        assert " ".join(Tag("X", "X", (), word).printed_name[0].split()) in printed if word.strip() else True
    assert laid >= 450 if medium.long_mm > 60 else laid >= 150


@pytest.mark.parametrize("name", [m.name for m in media.all()])
@pytest.mark.parametrize("dpi", [None, 203, 300])
def test_an_ordinary_tag_lies_soundly_on_every_medium(name, dpi):
    medium = media.get(name)
    spare = (Line((text,), optional=True) for text in ("on MM.106", "chip bud 2025-03-28", "Row 2"))
    placement = lay_out(Tag("G105K", "G105-K", tuple(spare), "Stoneway Pearmain"), medium, dpi=dpi)

    _assert_sound(placement, medium)
    name = [t for t in placement.texts if t.text in "Stoneway Pearmain"]
    others = [t.size_pt for t in placement.texts if t not in name and t.font == REGULAR]
    assert "Stoneway Pearmain" == " ".join(t.text for t in name)
    assert name[0].size_pt > max(others)
    assert "G105-K" in [t.text for t in placement.texts if t.font == BOLD]
    assert all(s.module_mm >= 0.4 - 1e-6 for s in placement.symbols)


@pytest.mark.parametrize("name", [m.name for m in media.all() if m.kind in ("stake", "loop")])
def test_the_blank_end_stays_blank_and_the_code_stands_at_the_top_end(name, make_tag):
    medium = media.get(name)
    placement = lay_out(make_tag(), medium)

    along = 1 if medium.label_h_mm > medium.label_w_mm else 0
    assert max(box[along + 2] for box in _boxes(placement)) <= medium.long_mm - medium.blank_mm
    assert 3 == round(min(box[along] for box in _boxes(placement)) * 2) or "loop" in name or medium.short_mm < 13


@pytest.mark.parametrize("name", ["stake-152x16", "stake-127x19", "loop-254x25", "a4-14up-strip"])
def test_a_long_tag_carries_the_code_twice_well_apart(name, make_tag):
    first, second = lay_out(make_tag(), media.get(name)).symbols
    assert first.symbol == second.symbol
    assert second.x - (first.x + first.side) >= 25


def test_a_label_on_a_sheet_carries_the_code_once(make_tag):
    assert 1 == len(lay_out(make_tag(), media.get("letter-20up")).symbols)


def test_text_runs_along_an_upright_stake(make_tag):
    placement = lay_out(make_tag(), media.get("sheet-20up-stick"))
    assert all(t.turned and t.h > t.w for t in placement.texts)
    assert all(
        pytest.approx(em_width(t.text, t.font) * t.size_pt * 25.4 / 72, rel=0.02) == t.h for t in placement.texts
    )


def test_a_shorter_form_is_taken_only_where_the_long_one_has_no_room(make_tag):
    roomy = {t.text for t in lay_out(make_tag(), media.get("letter-14up")).texts}
    narrow = {t.text for t in lay_out(make_tag(), media.get("roll-25x13")).texts}
    assert any("whip-and-tongue" in text for text in roomy)
    assert "2025-03-28" in narrow


def test_an_optional_line_without_room_is_left_out_and_reported(make_tag):
    placement = lay_out(make_tag(), media.get("roll-25x13"))
    assert ("Row 2",) == placement.left_out
    assert "Row 2" not in {t.text for t in placement.texts}


def test_the_last_optional_line_goes_first():
    lines = (Line(("Row 2",), True), "on MM.106", "chip bud", Line(("Lower Field",), True))
    assert ("Lower Field",) == lay_out(Tag("G105K", "G105-K", lines, "Amber Lea"), media.get("roll-25x13")).left_out


def test_a_line_that_must_be_there_and_has_no_room_is_an_error_saying_what_fits():
    tag = Tag("G105K", "G105-K", ("on MM.106", "2025-03-28", "Row 2", "Lower Field"), "Stoneway Pearmain")
    with pytest.raises(DoesNotFit) as caught:
        lay_out(tag, media.get("roll-25x13"))

    assert ("on MM.106", "2025-03-28") == caught.value.fits
    assert (
        "expected text that fits roll-25x13 at 4.7 pt or larger; there is room for: G105-K, Stoneway Pearmain, "
        "on MM.106, 2025-03-28; found 'Row 2' as well, on tag G105-K; "
        "use a larger medium, a shorter form of that line, or leave it out"
    ) == str(caught.value)


def test_a_head_too_long_for_the_label_is_an_error():
    with pytest.raises(DoesNotFit, match="a code and a name that fit roll-25x13"):
        lay_out(Tag("G105K", "G105-K-of-the-lower-field", ()), media.get("roll-25x13"))


def test_a_code_too_large_for_the_stock_is_an_error_saying_the_width_needed():
    with pytest.raises(DoesNotFit, match=r"use a medium at least 16\.8 mm wide"):
        lay_out(Tag("https://TAG.EXAMPLE/ORCHARD/LOWER/FIELD/G105K", "G105-K"), media.get("stake-102x13"))


def test_letters_the_font_lacks_are_an_error_naming_them(make_tag):
    with pytest.raises(MissingGlyph, match="富"):
        lay_out(make_tag(name="富 Pearmain"), media.get("letter-30up"))


def test_a_blank_tag_has_its_head_alone_and_large(make_tag):
    blank = lay_out(Tag("G231K", "G231-K"), media.get("letter-30up"))
    assert 1 == len(blank.texts)
    assert blank.texts[0].size_pt > max(t.size_pt for t in lay_out(make_tag(), media.get("letter-30up")).texts)


def test_empty_lines_are_dropped():
    assert (Line(("Amber Lea",)),) == Tag("G1K", "G1-K", ("", "Amber Lea", ("", " "))).printed_lines


def test_a_multiplication_sign_stays_with_the_word_after_it():
    tag = Tag("G105K", "G105-K", ("on MM.106", "a", "b"), "Malus × robusta × Pearmain × Stoneway Long Seedling")
    texts = [t.text for t in lay_out(tag, media.get("roll-51x25")).texts]
    assert len(texts) > 4
    assert not any(text.endswith("×") for text in texts)
