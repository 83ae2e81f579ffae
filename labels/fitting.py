"""Setting a name, a code and a few lines into a box: the name as large as it will go, and nothing ever clipped.

The name is what a person reads from where he stands; the code and the lines are read from near. So code and lines are
given a size that is read with ease, and the name takes what is left, in any of several arrangements; only where it then
would be small do code and lines give way, step by step, down to the least that may be printed. On a large box all grow
together. Sizes are in points, lengths in mm.

Figures of the tag fonts are all of one width, so tags that differ in nothing but figures share one search.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache, partial

from labels.lettering import ASCENT_EM, BOLD, PT_MM, REGULAR, ROW_EM, em_width
from labels.wrapping import Forms, RowSlice, broken, joined

FLOOR_PT = 4.7
"""Least size of a line: small letters 0.9 mm high, as Regulation (EU) No 1169/2011, art. 13, asks of a small package."""
EASY_PT = 6.25
"""Small letters 1.2 mm high, as the same article asks of any other."""
COLUMN_GAP_MM = 2.0
_LADDER = (*(n / 2 for n in range(10, 25)), *map(float, range(13, 31)), *map(float, range(32, 91, 2)))
_INDENT_EM = 0.7
_FIGURE = re.compile("[0-9]")


@dataclass(frozen=True, slots=True)
class Texts:
    """What is to be set: the name in ever shorter forms (none: the code is set large), the code, and lines alike.

    `cut`: a form that has room on one row is taken before a longer one is broken.
    """

    name: Forms
    head: str
    lines: tuple[Forms, ...] = ()
    cut: bool = False


@dataclass(frozen=True, slots=True)
class Ease:
    """How large code and lines are at least, and the name with them, for a tag to be so easy to read; `rank` 0 is best."""

    rank: int
    line: float
    head: float
    name: float


EASES = (
    Ease(0, 7.0, 9.0, 12.0),
    Ease(1, EASY_PT, 8.0, 9.0),
    Ease(2, 5.5, 7.0, 7.0),
    Ease(3, FLOOR_PT, 6.5, 6.0),
    Ease(4, FLOOR_PT, 6.2, 5.0),
)


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
    """Rows set into a box, how easily they are read, the sizes of name, code and lines in points, and lines to write on,
    each by its left end, height and length in mm."""

    rows: tuple[FittedRow, ...]
    ease: Ease
    name_pt: float
    head_pt: float
    line_pt: float
    rules: tuple[tuple[float, float, float], ...] = ()


def fit(texts: Texts, w: float, h: float, form: str = "tall") -> Block | None:
    """The best setting in a box of `w` x `h` mm with no line below 4.7 pt; None if there is none.

    `form`: `wide` where name and lines may also stand side by side, which suits a long low box; `centred` where rows
    must stand each alone; else `tall`.
    """
    found = spread(shape(texts), w, h, form)
    return None if found is None else found.block(texts)


def shape(texts: Texts) -> Texts:
    """The texts with every figure a nought: what is spread alike has one shape."""

    def blank(forms: Forms) -> Forms:
        return tuple(_FIGURE.sub("0", form) for form in forms)

    return Texts(blank(texts.name), _FIGURE.sub("0", texts.head), tuple(map(blank, texts.lines)))


@dataclass(frozen=True, slots=True)
class _Sizes:
    name: float
    head: float
    line: float


@dataclass(frozen=True, slots=True)
class _Spot:
    """A row as a slice of one of the texts: -2 the name, -1 the code, else the line of that number; and its corner."""

    part: int
    piece: RowSlice
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Where the rows of texts of one shape go, whatever the figures in them; how easily they are read."""

    spots: tuple[_Spot, ...]
    run_on: bool
    ease: Ease
    sizes: _Sizes

    @property
    def name_pt(self) -> float:
        """Size of the name, or of the code where there is no name."""
        return self.sizes.name

    def block(self, texts: Texts) -> Block:
        """The rows of texts of that shape."""
        texts = _named(texts)
        lines = joined(texts.lines) if self.run_on else texts.lines
        rows = tuple(self._row(spot, texts, lines) for spot in self.spots)
        return Block(rows, self.ease, self.sizes.name, self.sizes.head, self.sizes.line)

    def _row(self, spot: _Spot, texts: Texts, lines: tuple[Forms, ...]) -> FittedRow:
        size, font = _lettered(spot.part, self.sizes)
        forms = texts.name if spot.part == -2 else (texts.head,) if spot.part == -1 else lines[spot.part]
        text = forms[spot.piece.form][spot.piece.start : spot.piece.end]
        em = size * PT_MM
        return FittedRow(text, size, font, spot.x, spot.y, em_width(text, font) * em, ROW_EM * em)


def _lettered(part: int, sizes: _Sizes) -> tuple[float, str]:
    return (sizes.name, BOLD) if part == -2 else (sizes.head, BOLD) if part == -1 else (sizes.line, REGULAR)


Arranged = tuple[_Spot, ...] | None
_Arrange = Callable[[Texts, _Sizes, float, float], Arranged]


def _named(texts: Texts) -> Texts:
    """The code takes the place of a name where there is none."""
    return texts if texts.name else replace(texts, name=(texts.head,), head="")


@lru_cache(maxsize=20_000)
def spread(texts: Texts, w: float, h: float, form: str) -> Arrangement | None:
    """The search behind `fit`, of texts by their shape: the first ease that can be had, and in it the largest name."""
    if w <= 0 or h <= 0:
        return None
    texts = _named(texts)
    ways = _WAYS[form] if texts.lines else _WAYS["centred"]
    for ease in EASES:
        found = _largest(texts, ease, ways, w, h, form == "wide")
        if found is not None:
            return found
    return None


def _largest(
    texts: Texts, ease: Ease, ways: tuple[_Arrange, ...], w: float, h: float, wide: bool
) -> Arrangement | None:
    best: Arrangement | None = None
    least = next(i for i, size in enumerate(_LADDER) if size >= ease.name)
    for way in ways:
        for said, run_on in _said(texts, wide):
            start = (
                least if best is None else min(_LADDER.index(best.sizes.name) + _gain(said, texts), len(_LADDER) - 1)
            )
            found = _climb(partial(_tried, way, said, w, h), ease, start)
            if found is not None and (best is None or found[1].name > best.sizes.name):
                best = Arrangement(found[0], run_on, ease, found[1])
    return best


def _said(texts: Texts, wide: bool) -> Iterator[tuple[Texts, bool]]:
    """The texts as they may be said: whole, cut short where there are shorter forms, and lines run on in one."""
    yield texts, False
    if any(len(forms) > 1 for forms in (texts.name, *texts.lines)):
        yield replace(texts, cut=True), False
    if wide and len(texts.lines) > 1:
        yield replace(texts, lines=joined(texts.lines)), True


def _gain(said: Texts, texts: Texts) -> int:
    """How many steps larger the name must become for lines to be cut short or run on."""
    return 3 if said is not texts else 1


def _tried(way: _Arrange, texts: Texts, w: float, h: float, sizes: _Sizes) -> Arranged:
    return None if _too_high(texts, sizes, h) else way(texts, sizes, w, h)


def _too_high(texts: Texts, sizes: _Sizes, h: float) -> bool:
    """Whether the name on one row, or the lines each on one, would be too high: seen without setting them."""
    least = sizes.name if not texts.lines else max(sizes.name, len(texts.lines) * sizes.line)
    return ROW_EM * least * PT_MM > h + 1e-9


def _climb(at: Callable[[_Sizes], Arranged], ease: Ease, start: int) -> tuple[tuple[_Spot, ...], _Sizes] | None:
    """The largest name on the ladder from step `start` up at which all has room, found by halving."""
    sizes = _sizes(_LADDER[start], ease)
    spots = at(sizes)
    if spots is None:
        return None
    low, high = start, len(_LADDER)
    while high - low > 1:
        middle = (low + high) // 2
        tried = _sizes(_LADDER[middle], ease)
        found = at(tried)
        if found is None:
            high = middle
        else:
            low, spots, sizes = middle, found, tried
    return spots, sizes


def _sizes(name: float, ease: Ease) -> _Sizes:
    """Code and lines beside a name of that size: what ease asks, and on large tags a share of the name."""
    return _Sizes(name, max(ease.head, min(0.6 * name, 40.0)), max(ease.line, min(0.36 * name, 16.0)))


def _stacked(texts: Texts, sizes: _Sizes, w: float, h: float) -> Arranged:
    """Name over code over lines."""
    return _down([*_name(texts, w, sizes), *_head(texts, w, sizes), *_all_lines(texts, w, sizes)], sizes, 0, h)


def _shared(texts: Texts, sizes: _Sizes, w: float, h: float) -> Arranged:
    """Name over a row with the code at the left and the first line beside it, over the other lines."""
    left = _head_width(texts, sizes)
    beside = _rows(0, texts.lines[0], w - left, sizes, texts.cut)
    if len(beside) != 1 or beside[0] is None or not texts.head or not texts.name:
        return None
    above = _name(texts, w, sizes)
    rest = [row for i, forms in enumerate(texts.lines[1:], 1) for row in _rows(i, forms, w, sizes, texts.cut)]
    spots = _down([*above, *_head(texts, w, sizes), *rest], sizes, 0, h)
    if spots is None:
        return None
    head = spots[len(above)]
    down = ASCENT_EM * (sizes.head - sizes.line) * PT_MM
    return (*spots, _Spot(0, beside[0][1], left, head.y + max(down, 0)))


def _beneath(texts: Texts, sizes: _Sizes, w: float, h: float) -> Arranged:
    """Name over a foot with the code at the left and the lines beside it."""
    left = _head_width(texts, sizes)
    above, foot = _name(texts, w, sizes), _all_lines(texts, w - left, sizes)
    if not texts.name or not texts.head or None in above or None in foot:
        return None
    em = ROW_EM * PT_MM
    top, low = len(above) * sizes.name * em, max(len(foot) * sizes.line, sizes.head) * em
    if top + low > h or left > w:
        return None
    y = (h - top - low) / 2
    code = _down(_head(texts, w, sizes), sizes, 0, low, y + top)
    lines = _down(foot, sizes, left, low, y + top)
    return (*(_down(above, sizes, 0, top, y) or ()), *(code or ()), *(lines or ()))


def _beside(texts: Texts, sizes: _Sizes, w: float, h: float) -> Arranged:
    """Name over code at the left, lines at the right."""
    column = _widest(texts, sizes.line)
    left = w - column - COLUMN_GAP_MM
    return _columns([*_name(texts, left, sizes), *_head(texts, left, sizes)],
                    _all_lines(texts, column, sizes), sizes, left, h)  # fmt: skip


def _beside_both(texts: Texts, sizes: _Sizes, w: float, h: float) -> Arranged:
    """Name at the left, code over lines at the right."""
    column = max(_widest(texts, sizes.line), _head_width(texts, sizes) - COLUMN_GAP_MM)
    left = w - column - COLUMN_GAP_MM
    right = [*_head(texts, column, sizes), *_all_lines(texts, column, sizes)]
    return _columns(_name(texts, left, sizes), right, sizes, left, h)


_WAYS: dict[str, tuple[_Arrange, ...]] = {
    "wide": (_beneath, _beside, _beside_both, _stacked, _shared),
    "tall": (_stacked, _shared),
    "centred": (_stacked,),
}
_Row = tuple[int, RowSlice] | None


def _columns(left: list[_Row], right: list[_Row], sizes: _Sizes, width: float, h: float) -> Arranged:
    """Two columns, the left one as wide as its widest row."""
    one, two = _down(left, sizes, 0, h), None
    if one:
        ends = (em_width(spot.piece.text, BOLD) * _lettered(spot.part, sizes)[0] * PT_MM for spot in one)
        two = _down(right, sizes, min(max(ends) + 2 * COLUMN_GAP_MM, width + COLUMN_GAP_MM), h)
    return None if one is None or two is None or width <= 0 else (*one, *two)


def _head_width(texts: Texts, sizes: _Sizes) -> float:
    return em_width(texts.head, BOLD) * sizes.head * PT_MM + COLUMN_GAP_MM


def _widest(texts: Texts, size: float) -> float:
    """Width in mm that the lines take unbroken, each in its first form, or its second where they are cut."""
    second = int(texts.cut)
    return max(em_width(forms[min(second, len(forms) - 1)], REGULAR) for forms in texts.lines) * size * PT_MM


def _name(texts: Texts, w: float, sizes: _Sizes) -> list[_Row]:
    return _rows(-2, texts.name, w, sizes, texts.cut)


def _head(texts: Texts, w: float, sizes: _Sizes) -> list[_Row]:
    return _rows(-1, (texts.head,), w, sizes, False)


def _all_lines(texts: Texts, w: float, sizes: _Sizes) -> list[_Row]:
    return [row for i, forms in enumerate(texts.lines) for row in _rows(i, forms, w, sizes, texts.cut)]


def _rows(part: int, forms: Forms, w: float, sizes: _Sizes, cut: bool) -> list[_Row]:
    """The rows of one text broken to `w` mm; a row None where it has no room: a word too wide, or a text that is not to be
    broken, as the code and what has a shorter form."""
    if not forms or not forms[0]:
        return []
    if part >= 0:
        pieces = broken(forms, w / (sizes.line * PT_MM), REGULAR, _INDENT_EM, cut)
        whole = len(forms) > 1 and not cut
    else:
        size = sizes.name if part == -2 else sizes.head
        pieces = broken(forms, w / (size * PT_MM), BOLD, 0.0, cut)
        whole = part == -1
    if pieces is None or (whole and len(pieces) > 1):
        return [None]
    return [(part, piece) for piece in pieces]


def _down(rows: list[_Row], sizes: _Sizes, x: float, h: float, top: float = 0.0) -> Arranged:
    """Rows one under the other from `x`, in the middle of `h` mm below `top`; None where they have no room."""
    if None in rows:
        return None
    kept = [(row[0], row[1], _lettered(row[0], sizes)[0] * PT_MM) for row in rows if row is not None]
    high = ROW_EM * sum(em for _, _, em in kept)
    if high > h + 1e-9:
        return None
    y, spots = top + (h - high) / 2, []
    for part, piece, em in kept:
        spots.append(_Spot(part, piece, x + piece.indent * em, y))
        y += ROW_EM * em
    return tuple(spots)
