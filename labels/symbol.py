"""The QR code of a short text: the smallest version that holds it, then the highest error level that version allows.

A larger module helps every reader more than anything else, so the version comes first; within a version the level is
free. Searching for the best of the eight masks takes nine tenths of the encoder's time and gains little, so one mask
is used for all.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from labels.errors import BadPayload
from labels.matrices import BYTES, CAPITALS, DIGITS, Segment, modules

LEVELS = ("H", "Q", "M", "L")
LARGEST_VERSION = 6
CAPITAL_SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
"""The 45 characters that take eleven bits a pair (ISO/IEC 18004, alphanumeric mode)."""
_CAPITALS = CAPITAL_SIGNS.encode()
_COUNT_BITS = {DIGITS: 10, CAPITALS: 9, BYTES: 8}

Sizes = tuple[tuple[str, int], ...]
"""Mode and number of characters of every segment."""


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
    segments = _segments(payload)
    found = _version_and_level(_sizes(segments))
    if found is None:
        raise BadPayload(
            f"a text that fits a code of version {LARGEST_VERSION}, at most 134 characters (195 in capitals)",
            f"{len(payload)} characters beginning {payload[:20]!r}",
            "print the bare code, or use a shorter address in front of it",
        )
    return Symbol(payload, *found, modules(segments, *found))


def fits(payload: str, version: int, level: str) -> bool:
    """Whether `payload` fits a symbol of that version (1 to 6) at that level (L, M, Q or H)."""
    return _bits(_sizes(_segments(payload))) <= _room(version, level)


@lru_cache(maxsize=1_000)
def _version_and_level(sizes: Sizes) -> tuple[int, str] | None:
    """The smallest version that holds the segments, at its highest level; None when none does."""
    bits = _bits(sizes)
    for version in range(1, LARGEST_VERSION + 1):
        for level in LEVELS:
            if bits <= _room(version, level):
                return version, level
    return None


@lru_cache(maxsize=100)
def _room(version: int, level: str) -> int:
    """Bits a symbol holds."""
    from qrcode import constants
    from qrcode.base import rs_blocks

    blocks = rs_blocks(version, getattr(constants, f"ERROR_CORRECT_{level}"))
    return 8 * sum(block.data_count for block in blocks)


def _sizes(segments: tuple[Segment, ...]) -> Sizes:
    return tuple((mode, len(text)) for mode, text in segments)


def _bits(sizes: Sizes) -> int:
    """Bits the segments take in versions 1 to 9: four for the mode, the count, the characters (ISO/IEC 18004, 7.4)."""
    total = 0
    for mode, n in sizes:
        if mode == DIGITS:
            content = 10 * (n // 3) + (0, 4, 7)[n % 3]
        elif mode == CAPITALS:
            content = 11 * (n // 2) + 6 * (n % 2)
        else:
            content = 8 * n
        total += 4 + _COUNT_BITS[mode] + content
    return total


def _segments(payload: str) -> tuple[Segment, ...]:
    """The payload in the modes that take the fewest bits: whole, or bytes first and an alphanumeric end."""
    if not payload or not payload.isascii():
        raise BadPayload("a text of plain ASCII characters for the code", repr(payload), "use the bare code")
    raw = payload.encode("ascii")
    if raw.isdigit():
        return ((DIGITS, raw),)
    head = raw.rstrip(_CAPITALS)
    if not head:
        return ((CAPITALS, raw),)
    tail = raw[len(head) :]
    whole: tuple[Segment, ...] = ((BYTES, raw),)
    split: tuple[Segment, ...] = ((BYTES, head), (DIGITS if tail.isdigit() else CAPITALS, tail))
    return split if tail and _bits(_sizes(split)) < _bits(_sizes(whole)) else whole
