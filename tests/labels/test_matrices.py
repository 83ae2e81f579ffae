"""The modules of a code, summed from few others, are those that the encoder itself gives."""

from __future__ import annotations

import random

import pytest
from qrcode import constants, util
from qrcode.main import QRCode

from labels.matrices import BYTES, CAPITALS, DIGITS, MASK, modules
from labels.symbol import CAPITAL_SIGNS, encode

MODES = {DIGITS: util.MODE_NUMBER, CAPITALS: util.MODE_ALPHA_NUM, BYTES: util.MODE_8BIT_BYTE}


def _straight(segments, version, level):
    """The same code straight from the reference library, nothing summed."""
    code = QRCode(version, getattr(constants, f"ERROR_CORRECT_{level}"), border=0, mask_pattern=MASK)
    for mode, text in segments:
        code.add_data(util.QRData(text, MODES[mode], check_data=False))
    code.make(fit=False)
    return tuple("".join("01"[module] for module in row) for row in code.get_matrix())


def _random_segments(rng):
    capitals = bytes(rng.choice(CAPITAL_SIGNS.encode()) for _ in range(rng.randint(1, 20)))
    digits = bytes(rng.choice(b"0123456789") for _ in range(rng.randint(1, 20)))
    letters = bytes(rng.randint(32, 126) for _ in range(rng.randint(1, 12)))
    return rng.choice([((CAPITALS, capitals),), ((DIGITS, digits),), ((BYTES, letters),),
                       ((BYTES, b"https"), (CAPITALS, b"://" + capitals)), ((BYTES, letters), (DIGITS, digits))])  # fmt: skip


@pytest.mark.parametrize("level", ["L", "M", "Q", "H"])
@pytest.mark.parametrize("version", [4, 5, 6])
def test_random_texts_have_the_modules_of_the_reference_encoder(version, level):
    """Versions 5-Q, 5-H and 6 have several error-correction blocks of two lengths."""
    rng = random.Random(version)
    for _ in range(4):
        segments = _random_segments(rng)
        assert _straight(segments, version, level) == modules(segments, version, level)


def test_a_run_of_codes_has_the_modules_of_the_reference_encoder():
    for number in (*range(90, 130), 1000, 12345, 99999):
        segments = ((CAPITALS, f"G{number}-K".encode()),)
        made = encode(f"G{number}-K")
        assert _straight(segments, made.version, made.level) == made.rows


def test_a_long_text_comes_straight_from_the_encoder():
    segments = ((CAPITALS, b"STONEWAY " * 9),)
    assert _straight(segments, 4, "L") == modules(segments, 4, "L")


@pytest.mark.parametrize("zeros", [1, 2, 3, 17, 80, 200])
def test_nothing_but_zeros_can_be_encoded_too(zeros):
    assert encode("0" * zeros).size == len(encode("0" * zeros).rows)


def test_what_was_encoded_before_makes_no_difference():
    alone = encode("W77-Q").rows
    for number in range(200):
        encode(f"W{number}-X")
    assert alone == encode("W77-Q").rows
