"""Phrases of saved wood, read."""

import pytest

from graftbook.actions.wood.save_phrase import Saved, read_saved
from graftbook.errors import Refused, UsageProblem


class _Desk:
    """Lengths as a book in millimetres reads them."""

    from graftbook.units import read_length, read_length_range

    length = staticmethod(lambda text, limit: _Desk.read_length(text, limit))
    lengths = staticmethod(lambda text, limit: _Desk.read_length_range(text, limit))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("24 sticks 6-9mm 30cm 6 buds", Saved(24, 6, 9, 300, 6)),
        ("1 stick", Saved(1)),
        ("10 sticks 4-6mm", Saved(10, 4, 6)),
        ("10 sticks, 4 to 6 mm, 20 cm, 5 buds each", Saved(10, 4, 6, 200, 5)),
        ("10 sticks 1/4-3/8in 8in", Saved(10, 6.35, 9.52, 203.2)),
        ("10 sticks 1/4 in 1 1/2 in long", Saved(10, 6.35, 6.35, 38.1)),
        ("10 sticks 30cm long", Saved(10, None, None, 300)),
        ("10 sticks 30cm long 8mm thick 4 buds a stick", Saved(10, 8, 8, 300, 4)),
        ("10 STICKS 3 buds", Saved(10, None, None, None, 3)),
    ],
)
def test_phrases_are_read_as_they_are_meant(text, expected):
    assert read_saved(_Desk, text) == expected


@pytest.mark.parametrize(
    "text",
    ["", "sticks", "ten sticks", "-4 sticks", "4", "4 sticks thick", "4 sticks 6mm 20cm 30cm", "4 sticks 6mm thick thick",
     "4 sticks 6mm thick 7mm thick", "4 sticks 6 furlongs", "4.5 sticks", "4 sticks 6mm 0 buds", "4 sticks 6mm 900 buds"],
)  # fmt: skip
def test_phrases_that_cannot_be_read_say_what_is_expected(text):
    with pytest.raises(UsageProblem):
        read_saved(_Desk, text)


def test_a_stick_as_thick_as_a_fence_post_is_asked_about():
    with pytest.raises(Refused, match="Is the unit right"):
        read_saved(_Desk, "4 sticks 90mm")
