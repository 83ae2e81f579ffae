"""The modules of many codes of one shape, quickly: the standard's arithmetic is linear, so codes are sums of few others.

Error correction, placement and mask of a QR code are all linear over bits (ISO/IEC 18004: Reed-Solomon codewords, then
exclusive or with the mask; the format bits are constant). So the code of a text is the code of any text of its shape,
changed by one fixed pattern for each bit that differs. Each pattern is had once from the encoder; after that a tag
costs a few exclusive ors.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

MASK = 6
"""One mask for all codes: the one with the lowest mean penalty on short texts in capitals. Any mask is readable."""
DIGITS, CAPITALS, BYTES = "digits", "capitals", "bytes"
_GROUP = {DIGITS: 3, CAPITALS: 2, BYTES: 1}
_LONG = 64
_BASE = {DIGITS: 10, CAPITALS: 45, BYTES: 256}

Segment = tuple[str, bytes]
"""A mode (digits, capitals or bytes) and the characters written in it."""
Shape = tuple[int, str, tuple[tuple[str, int], ...]]
"""Version, level, and the mode and length of every segment: all that codes must share to be sums of one another."""


def modules(segments: tuple[Segment, ...], version: int, level: str) -> tuple[str, ...]:
    """Rows of the code from the top, "1" a dark module, without quiet zone.

    `version` 1 to 6, `level` L, M, Q or H; the segments must fit. The mask is always the same one.
    """
    shape = (version, level, tuple((mode, len(text)) for mode, text in segments))
    whole = _long(shape, segments) or _summed(shape, segments)
    side = 17 + 4 * version
    bits = f"{whole:0{side * side}b}"
    return tuple(bits[row : row + side] for row in range(0, side * side, side))


def _long(shape: Shape, segments: tuple[Segment, ...]) -> int:
    """The code of a long text, straight from the encoder: its patterns would hardly be used again. Else 0."""
    if sum(len(text) for _, text in segments) <= _LONG:
        return 0
    try:
        return _encoded(shape, tuple(text for _, text in segments))
    except ValueError:  # the encoder cannot divide a block of nothing but zeros
        return 0


def _summed(shape: Shape, segments: tuple[Segment, ...]) -> int:
    whole = _encoded(shape, _ones(shape))
    for i, (mode, text) in enumerate(segments):
        step = _GROUP[mode]
        for start in range(0, len(text), step):
            whole ^= _group(shape, i, start, text[start : start + step])
    return whole


@lru_cache(maxsize=20_000)
def _group(shape: Shape, segment: int, start: int, characters: bytes) -> int:
    """What a group of characters changes in the code of ones."""
    mode, _ = shape[2][segment]
    value = 0
    for digit in _values(mode, characters):
        value = value * _BASE[mode] + digit
    changed = 0
    for k in range(max(value.bit_length(), 1)):
        if (value ^ 1) >> k & 1:
            changed ^= _with(shape, segment, start, 1 << k) ^ _with(shape, segment, start, 0)
    return changed


@lru_cache(maxsize=20_000)
def _with(shape: Shape, segment: int, start: int, value: int) -> int:
    """The code of ones with one group set to another value."""
    texts = list(_ones(shape))
    mode, text = shape[2][segment][0], texts[segment]
    length = min(_GROUP[mode], len(text) - start)
    texts[segment] = text[:start] + _characters(mode, value, length) + text[start + length :]
    return _encoded(shape, tuple(texts))


def _ones(shape: Shape) -> tuple[bytes, ...]:
    """A text of that shape whose every group has the value 1."""
    return tuple(
        b"".join(_characters(mode, 1, min(_GROUP[mode], length - at)) for at in range(0, length, _GROUP[mode]))
        for mode, length in shape[2]
    )


def _values(mode: str, characters: bytes) -> Iterator[int]:
    if mode == BYTES:
        return iter(characters)
    from qrcode.util import ALPHA_NUM

    return map(bytes(ALPHA_NUM).index, characters)


def _characters(mode: str, value: int, length: int) -> bytes:
    """The characters of a group of that value."""
    from qrcode.util import ALPHA_NUM

    values = []
    for _ in range(length):
        value, last = divmod(value, _BASE[mode])
        values.append(last)
    return bytes(v if mode == BYTES else ALPHA_NUM[v] for v in reversed(values))


@lru_cache(maxsize=500)
def _encoded(shape: Shape, texts: tuple[bytes, ...]) -> int:
    """The encoder's own code of a text, as one number, row by row, the top left module highest."""
    from qrcode import constants, util
    from qrcode.main import QRCode

    modes = {DIGITS: util.MODE_NUMBER, CAPITALS: util.MODE_ALPHA_NUM, BYTES: util.MODE_8BIT_BYTE}
    version, level, parts = shape
    code = QRCode(version, getattr(constants, f"ERROR_CORRECT_{level}"), border=0, mask_pattern=MASK)
    for (mode, _), text in zip(parts, texts, strict=True):
        code.add_data(util.QRData(text, modes[mode], check_data=False))
    code.make(fit=False)
    return int("".join("01"[bool(module)] for row in code.get_matrix() for module in row), 2)
