"""Text that leaves the program: nothing in it steers a terminal, turns the order of signs, or runs in a spreadsheet."""

import json
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.visible import as_typed, faults, in_json, inert, on_one_line, visible

ANYTHING = st.text(
    st.characters(exclude_categories=()) | st.sampled_from("\x1b\x07\x9b\x7f\u202e\u2066\u200f\r\n\t\0'=+-@＝")
)


def steers(sign: str) -> bool:
    """By the database of Unicode: controls, halves of characters, separators of lines, and what turns direction (UAX 9)."""
    turning = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
    marks = unicodedata.category(sign) == "Cf" and unicodedata.bidirectional(sign) in ("L", "R", "AL")
    return unicodedata.category(sign) in ("Cc", "Cs", "Zl", "Zp") or unicodedata.bidirectional(sign) in turning or marks


@given(ANYTHING)
def test_nothing_that_steers_is_left(text):
    assert [] == [sign for sign in visible(text) if steers(sign) and sign not in "\t\n"]
    assert [] == [sign for sign in on_one_line(text) if steers(sign)]


@given(ANYTHING)
def test_json_gives_back_what_was_kept_without_showing_it(text):
    shown = in_json(json.dumps(text, ensure_ascii=False))
    assert [] == [sign for sign in shown if steers(sign)]
    assert text == json.loads(shown)


@given(ANYTHING)
def test_an_inert_cell_never_begins_as_a_formula_and_comes_back_as_typed(text):
    cell = inert(text)
    assert text == as_typed(cell)
    assert not cell or cell[0] not in "=+-@\t\r\n＝＋－＠"


def test_plain_text_in_any_script_is_left_as_it_is():
    for text in ("Æblegård 'Grø n'", "Прививка", "שתל", "طعم", "接ぎ木", "-", "a\nb\tc"):
        assert text == visible(text)


@pytest.mark.parametrize(
    ("text", "wrong"), [("a", ""), ("a\0", "a NUL character"), ("\udcff", "bytes that are no UTF-8")]
)
def test_what_cannot_be_kept_is_named(text, wrong):
    assert wrong == faults(text)
