"""Setting a head and a few lines of text into a box: as large as they will go, never clipped.

Tried in turn: every line whole on one row; lines wrapped; shorter forms of the lines; and of all that, the first that
reaches a comfortable size, or else the largest above the floor. Sizes are in points, lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil

from labels.lettering import ASCENT_EM, BOLD, PT_MM, REGULAR, ROW_EM, em_width

FLOOR_PT = 4.5
EASY_PT = 6.0
UNWRAPPED_PT = 6.5
LARGEST_PT = 11.0
ENOUGH_PT = 8.0
HEAD_FLOOR_PT = 7.0
_HEAD_TO_LINE = 1.25
_COLUMN_GAP_MM = 2.0
_INDENT_EM = 0.7

Forms = tuple[str, ...]
Pieces = tuple[tuple[str, float], ...]
"""Rows of text, each with its indent in em."""


@dataclass(frozen=True, slots=True)
class FittedRow:
    """One printed row of text and the box it takes, in mm from the top left of the block's box."""

    text: str
    size_pt: float
    font: str
    x: float
    y: float
    w: float
    h: float

    @property
    def baseline(self) -> float:
        """Height of the baseline, measured downwards like `y`."""
        return self.y + ASCENT_EM * self.size_pt * PT_MM


@dataclass(frozen=True, slots=True)
class Block:
    """Rows set into a box, with what the set is worth: the line size first, as far as it matters, then the head's."""

    rows: tuple[FittedRow, ...]
    line_pt: float
    head_pt: float

    @property
    def worth(self) -> tuple[float, float]:
        return min(self.line_pt, ENOUGH_PT), self.head_pt


def fit(head: str, lines: tuple[Forms, ...], w: float, h: float, wide: bool) -> Block | None:
    """The best setting of head and lines in a box of `w` x `h` mm with no line below 4.5 pt; None if there is none.

    `wide`: the head may also stand to the left of the lines, which suits a long low box.
    """
    if w <= 0 or h <= 0:
        return None
    block = _fit(max(ceil(em_width(head, BOLD) * 20) / 20, 0.1), lines, w, h, wide)
    if block is None:
        return None
    return replace(block, rows=(replace(block.rows[0], text=head), *block.rows[1:]))


@lru_cache(maxsize=5_000)
def _fit(head_em: float, lines: tuple[Forms, ...], w: float, h: float, wide: bool) -> Block | None:
    """The search behind `fit`: of the head only its width matters, so tags that differ in nothing else share it."""
    best = _best(_stacked(head_em, lines, w, h))
    if wide and lines and (best is None or best.line_pt < ENOUGH_PT or w > 4 * h):
        beside = _best(_beside(head_em, lines, w, h))
        if best is None or (beside is not None and beside.worth > best.worth):
            return beside
    return best


def _best(blocks: Iterator[Block]) -> Block | None:
    """The worthiest block; blocks come with the largest head first, so the first with large enough lines will do."""
    best: Block | None = None
    for block in blocks:
        if best is None or block.worth > best.worth:
            best = block
        if best.line_pt >= ENOUGH_PT:
            break
    return best


def _head_sizes(head_em: float, w: float, h: float, shares: Sequence[float], largest: float) -> list[float]:
    """Head sizes to try, largest first, none wider than `w` or taller than `h`."""
    most = min(w / (head_em * PT_MM), h / (ROW_EM * PT_MM), largest)
    tried = {min(most, h * share / (ROW_EM * PT_MM)) for share in shares} | {min(most, 12.0), 10.5, 9.0, HEAD_FLOOR_PT}
    return sorted((size for size in tried if HEAD_FLOOR_PT <= size <= most), reverse=True)


def _stacked(head_em: float, lines: tuple[Forms, ...], w: float, h: float) -> Iterator[Block]:
    shares, largest = ((0.36, 0.28), 1.7 * _cap(h)) if lines else ((1.0,), 30.0)
    for size in _head_sizes(head_em, w, h, shares, largest):
        top = ROW_EM * size * PT_MM
        found = set_lines(lines, w, h - top, size / _HEAD_TO_LINE)
        if found is not None:
            line_pt, pieces = found
            y = (h - top - len(pieces) * ROW_EM * line_pt * PT_MM) / 2
            yield Block((_head(head_em, size, y), *lined(pieces, line_pt, 0, y + top)), line_pt, size)


def _beside(head_em: float, lines: tuple[Forms, ...], w: float, h: float) -> Iterator[Block]:
    for size in _head_sizes(head_em, w / 2, h, (1.0, 0.75, 0.5), 24.0):
        left = head_em * size * PT_MM + _COLUMN_GAP_MM
        found = set_lines(lines, w - left, h, size / _HEAD_TO_LINE)
        if found is not None:
            line_pt, pieces = found
            y = (h - len(pieces) * ROW_EM * line_pt * PT_MM) / 2
            head = _head(head_em, size, (h - ROW_EM * size * PT_MM) / 2)
            yield Block((head, *lined(pieces, line_pt, left, y)), line_pt, size)


def _cap(h: float) -> float:
    """Largest line size in points for a box `h` mm high: it grows a little on big labels."""
    return min(max(LARGEST_PT, h / (10 * PT_MM)), 18.0)


def _head(head_em: float, size: float, y: float) -> FittedRow:
    """The head's row, still without its text."""
    return FittedRow("", size, BOLD, 0, y, head_em * size * PT_MM, ROW_EM * size * PT_MM)


def lined(pieces: Pieces, size: float, x: float, y: float) -> Iterator[FittedRow]:
    """Rows of one size from the point `x`, `y` of the box down."""
    em = size * PT_MM
    for i, (text, indent) in enumerate(pieces):
        left, top = x + indent * em, y + i * ROW_EM * em
        yield FittedRow(text, size, REGULAR, left, top, em_width(text, REGULAR) * em, ROW_EM * em)


def set_lines(lines: tuple[Forms, ...], w: float, h: float, largest: float) -> tuple[float, Pieces] | None:
    """Size in points and rows of lines in a box of `w` x `h` mm, at most `largest`; None if 4.5 pt is too large."""
    if not lines:
        return LARGEST_PT, ()
    largest = min(largest, _cap(h))
    full = tuple(forms[0] for forms in lines)
    widest = max(max(em_width(text, REGULAR) for text in full), 0.1)
    flat = min(largest, w / (widest * PT_MM), h / (len(full) * ROW_EM * PT_MM))
    unbroken = tuple((text, 0.0) for text in full)
    if flat >= UNWRAPPED_PT or (flat == largest and flat >= FLOOR_PT):
        return flat, unbroken
    tries = [(flat, unbroken), _largest(lambda size: _wrapped(full, w / (size * PT_MM)), h, largest)]
    if max(tries, key=_size)[0] < EASY_PT and any(len(forms) > 1 for forms in lines):
        tries.append(_largest(lambda size: _shortened(lines, w / (size * PT_MM)), h, largest))
    best = max(tries, key=_size)
    return best if best[0] >= FLOOR_PT else None


def _size(tried: tuple[float, Pieces]) -> float:
    return tried[0]


def _largest(rows_at: Callable[[float], Pieces | None], h: float, largest: float) -> tuple[float, Pieces]:
    """The largest size, in half points from `largest` down, at which the rows fit the height; size 0 if none does."""
    size = largest
    while size >= FLOOR_PT:
        rows = rows_at(size)
        if rows is not None and len(rows) * ROW_EM * size * PT_MM <= h + 1e-9:
            return size, rows
        size = size - 0.5 if size - 0.5 >= FLOOR_PT or size == FLOOR_PT else FLOOR_PT
    return 0.0, ()


def _wrapped(texts: Sequence[str], em: float) -> Pieces | None:
    """Every text broken at spaces to rows no wider than `em`, later rows indented; None when a word is too wide."""
    rows: list[tuple[str, float]] = []
    for text in texts:
        row, indent = "", 0.0
        for word in _words(text):
            longer = f"{row} {word}" if row else word
            if em_width(longer, REGULAR) + indent <= em:
                row = longer
                continue
            if row:
                rows.append((row, indent))
            row, indent = word, _INDENT_EM if row else 0.0
            if em_width(row, REGULAR) + indent > em:
                return None
        rows.append((row, indent))
    return tuple(rows)


def _words(text: str) -> list[str]:
    """Words of a text; a multiplication sign stays with the word after it."""
    return [word.replace("\0", " ") for word in text.replace("× ", "×\0").split()]


def _shortened(lines: tuple[Forms, ...], em: float) -> Pieces | None:
    """Every line in its first form that fits one row, or its last form wrapped."""
    chosen = (next((f for f in forms if em_width(f, REGULAR) <= em), forms[-1]) for forms in lines)
    return _wrapped(tuple(chosen), em)
