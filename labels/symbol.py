"""The QR code of a short text: the smallest version that holds it, then the highest error level that version allows.

A larger module helps every reader more than anything else, so the version comes first; within a version the level is
free. Searching for the best of the eight masks takes nine tenths of the encoder's time and gains little, so one mask
is used for all: the one with the lowest mean penalty on short upper-case texts. Any mask is readable.
"""

from __future__ import annotations

from dataclasses import dataclass

from labels.errors import BadPayload

LEVELS = ("H", "Q", "M", "L")
LARGEST_VERSION = 6
_MASK = 6


@dataclass(frozen=True, slots=True)
class Symbol:
    """A QR code. `rows`: one string per row from the top, "1" a dark module; the quiet zone is not part of it."""

    payload: str
    version: int
    level: str
    rows: tuple[str, ...]

    @property
    def size(self) -> int:
        """Modules along a side: 17 + 4 x version (ISO/IEC 18004)."""
        return len(self.rows)


def encode(payload: str) -> Symbol:
    """The QR code of `payload`: plain ASCII text, at most 134 characters, 195 in capitals, 322 digits.

    Text in capitals is put in alphanumeric mode; an address such as `http://HOST/X` keeps its scheme in bytes and the
    rest alphanumeric. Raises BadPayload for empty, too long or non-ASCII text.
    """
    from qrcode.main import QRCode

    chunks = _chunks(payload)
    version, level = _version_and_level(payload, chunks)
    code = QRCode(version=version, error_correction=_levels()[level], border=0, mask_pattern=_MASK)
    for chunk in chunks:
        code.add_data(chunk)
    code.make(fit=False)
    rows = tuple("".join(map("01".__getitem__, row)) for row in code.get_matrix())
    return Symbol(payload, version, level, rows)


def fits(payload: str, version: int, level: str) -> bool:
    """Whether `payload` fits a symbol of that version (1 to 6) at that level (L, M, Q or H)."""
    return _bits(_chunks(payload), version) <= _room(version, level)


def _levels() -> dict[str, int]:
    from qrcode import constants as c

    return {
        "L": c.ERROR_CORRECT_L,
        "M": c.ERROR_CORRECT_M,
        "Q": c.ERROR_CORRECT_Q,
        "H": c.ERROR_CORRECT_H,
    }


def _version_and_level(payload: str, chunks: tuple) -> tuple[int, str]:
    for version in range(1, LARGEST_VERSION + 1):
        bits = _bits(chunks, version)
        for level in LEVELS:
            if bits <= _room(version, level):
                return version, level
    raise BadPayload(
        f"a text that fits a code of version {LARGEST_VERSION}, at most 134 characters (195 in capitals)",
        f"{len(payload)} characters beginning {payload[:20]!r}",
        "print the bare code, or use a shorter address in front of it",
    )


def _room(version: int, level: str) -> int:
    """Bits a symbol holds."""
    from qrcode.base import rs_blocks

    return 8 * sum(block.data_count for block in rs_blocks(version, _levels()[level]))


def _bits(chunks: tuple, version: int) -> int:
    """Bits the chunks take: four for the mode, the count, then the characters (ISO/IEC 18004, 7.4)."""
    from qrcode.util import MODE_ALPHA_NUM, MODE_NUMBER, length_in_bits

    total = 0
    for chunk in chunks:
        n = len(chunk)
        if chunk.mode == MODE_NUMBER:
            content = 10 * (n // 3) + (0, 4, 7)[n % 3]
        elif chunk.mode == MODE_ALPHA_NUM:
            content = 11 * (n // 2) + 6 * (n % 2)
        else:
            content = 8 * n
        total += 4 + length_in_bits(chunk.mode, version) + content
    return total


def _chunks(payload: str) -> tuple:
    """The payload in the modes that take the fewest bits: whole, or bytes first and an alphanumeric end."""
    from qrcode.util import ALPHA_NUM, QRData

    if not payload or not payload.isascii():
        raise BadPayload("a text of plain ASCII characters for the code", repr(payload), "use the bare code")
    raw = payload.encode("ascii")
    head = raw.rstrip(bytes(ALPHA_NUM))
    whole = (QRData(raw),)
    if not head or len(head) == len(raw):
        return whole
    split = (QRData(head), QRData(raw[len(head) :]))
    return min(whole, split, key=lambda chunks: _bits(chunks, 1))
