"""The tag font: what it can print and how wide it is."""

from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest

import labels
from labels.errors import MissingGlyph
from labels.lettering import BOLD, REGULAR, clean, em_width

FONTS = Path(labels.__file__).parent / "fonts"


@pytest.mark.parametrize("font", [REGULAR, BOLD])
@pytest.mark.parametrize(
    "text",
    [
        "ąćęłńóśźż ĄĆĘŁŃÓŚŹŻ",
        "čďěňřšťůž őűŐŰ șțăâî",
        "āčēģīķļņšūž ğışİ",
        "äöüßåæøéèêëïñç",
        "Антоновка Μήλο",
        "×‘’'№",
    ],
)
def test_the_font_has_the_letters_of_european_names(text, font):
    assert em_width(text, font) > 0


def test_letters_the_font_lacks_are_named_each_once():
    with pytest.raises(MissingGlyph) as caught:
        em_width("Fuji 富士富", REGULAR)

    assert ("富", "士") == caught.value.missing
    assert (
        "expected characters the tag font can print; found 富 (U+5BCC), 士 (U+58EB) in 'Fuji 富士富'; "
        "write it in other letters"
    ) == str(caught.value)


def test_a_control_character_is_named_by_its_number():
    with pytest.raises(MissingGlyph) as caught:
        em_width("a\x07b", REGULAR)

    assert "control character (U+0007)" in str(caught.value)


def test_a_loose_accent_is_joined_to_its_letter_and_white_space_made_single():
    assert "é à" == clean(" " + unicodedata.normalize("NFD", "é") + "\n\t" + unicodedata.normalize("NFD", "à") + " ")


def test_width_is_the_sum_of_the_letters_widths():
    assert pytest.approx(em_width("G", BOLD) + em_width("105-K", BOLD)) == em_width("G105-K", BOLD)


def test_the_fonts_come_with_their_licence():
    words = (FONTS / "LICENSE.txt").read_text(encoding="utf-8")
    assert "Permission is hereby granted, free of charge" in words
    assert {f"{REGULAR}.ttf", f"{BOLD}.ttf"} == {path.name for path in FONTS.glob("*.ttf")}
