"""Where code and text go on one label, in mm, from rules rather than templates.

A code is read by its modules and a tag by its letters, and both want the same few square millimetres. So the module
size is fixed first (see `sizing`) and the text takes what is left (see `fitting`). A code above the usual size gives
way to text of ample size; at the usual size it gives way, down to its floor, only to text that would be hard to read.
A long tag carries the code at both ends of its printed part: scraped at one end, it is still read at the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from labels.errors import DoesNotFit
from labels.fitting import EASY_PT, ENOUGH_PT, Block, Forms, fit
from labels.lettering import clean
from labels.media import Medium
from labels.sizing import AIM_MM, FLOOR_MM, QUIET, ModuleSize, module_sizes
from labels.symbol import Symbol, encode

_GAP_MM = 0.8
_LONG_MM = 80.0
_APART_MM = 25.0


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a tag: its text and ever shorter forms of it. `optional`: may be left out where there is no room."""

    forms: Forms
    optional: bool = False


@dataclass(frozen=True)
class Tag:
    """What one tag says: the text in its code, the head in large type, and lines with the most important first.

    A line may be given as a text, as a tuple of ever shorter texts, or as a Line. Empty lines are dropped.
    """

    payload: str
    head: str
    lines: tuple[str | Forms | Line, ...] = ()
    printed_lines: tuple[Line, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "head", clean(self.head))
        lines = (_line(line) for line in self.lines)
        object.__setattr__(self, "printed_lines", tuple(line for line in lines if line.forms))


@dataclass(frozen=True, slots=True)
class SymbolBox:
    """A code on the label: top left of its dark area in mm, its module size in mm, its quiet zone in modules."""

    symbol: Symbol
    x: float
    y: float
    module_mm: float
    quiet: int

    @property
    def side(self) -> float:
        """Side of the dark area in mm, without the quiet zone."""
        return self.symbol.size * self.module_mm


@dataclass(frozen=True, slots=True)
class TextBox:
    """A row of text on the label: its box and the start of its baseline, in mm from the label's top left corner.

    `turned`: the text runs down the label (a quarter turn clockwise) instead of across.
    """

    text: str
    font: str
    size_pt: float
    x: float
    y: float
    w: float
    h: float
    base_x: float
    base_y: float
    turned: bool


@dataclass(frozen=True, slots=True)
class Placement:
    """Everything on one label, with warnings, and the optional lines that were left out."""

    symbols: tuple[SymbolBox, ...]
    texts: tuple[TextBox, ...]
    warnings: tuple[str, ...]
    left_out: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Frame:
    """A label as it is read: printed length and breadth in mm, and whether it lies turned on the page."""

    length: float
    breadth: float
    turned: bool
    long: bool

    @property
    def inset(self) -> float:
        """How far text keeps from the edge: dies drift, so about 2 mm where there is room."""
        return 2.0 if self.breadth >= 20 else 1.5 if self.breadth > 13 else 1.0


def lay_out(tag: Tag, medium: Medium, *, dpi: float | None = None) -> Placement:
    """Code and text of `tag` placed on one label of `medium`, in mm from the label's top left corner.

    `dpi`: the printer's dots per inch, to make modules a whole number of dots; None when it is not known. Raises
    DoesNotFit, BadPayload or MissingGlyph; nothing is ever clipped or left out unless its line is optional.
    """
    symbol = encode(tag.payload)
    frame = _frame(medium)
    sizes = module_sizes(symbol.size, min(frame.breadth, frame.length), dpi)
    if not sizes:
        raise _code_too_big(symbol, frame, medium)
    for lines, left_out in selections(tag.printed_lines):
        chosen = _choose(_settings(tag.head, lines, symbol, frame, sizes))
        if chosen is not None:
            return _placement(chosen, symbol, frame, left_out)
    raise _text_too_big(tag, symbol, frame, sizes, medium)


def _line(line: str | Forms | Line) -> Line:
    if not isinstance(line, Line):
        line = Line((line,) if isinstance(line, str) else tuple(line))
    return Line(tuple(form for form in map(clean, line.forms) if form), line.optional)


def _frame(m: Medium) -> _Frame:
    along = m.kind in ("stake", "strip", "loop")
    turned = m.label_h_mm > m.label_w_mm * (1.0 if along else 1.5)
    length, breadth = (m.label_h_mm, m.label_w_mm) if turned else (m.label_w_mm, m.label_h_mm)
    return _Frame(length - m.blank_mm, breadth, turned, along)


def selections(lines: tuple[Line, ...]) -> Iterator[tuple[tuple[Forms, ...], tuple[str, ...]]]:
    """All lines, then ever fewer: the last optional line goes first. With each, the texts left out."""
    kept = list(lines)
    left_out: tuple[str, ...] = ()
    while True:
        yield tuple(line.forms for line in kept), left_out
        spare = [i for i, line in enumerate(kept) if line.optional]
        if not spare:
            return
        left_out = (kept.pop(spare[-1]).forms[0], *left_out)


@dataclass(frozen=True, slots=True)
class _Setting:
    """One way to set a label: module size, corners of the codes with their quiet zone, and the text with its place."""

    size: ModuleSize
    corners: tuple[tuple[float, float], ...]
    block: Block
    x: float
    y: float
    centred_in: float | None


def _settings(
    head: str, lines: tuple[Forms, ...], symbol: Symbol, frame: _Frame, sizes: tuple[ModuleSize, ...]
) -> Iterator[_Setting]:
    """Ways to set the label, most wanted first: two codes before one, large modules before small."""
    for codes in (2, 1) if frame.long and frame.length >= _LONG_MM else (1,):
        for size in sizes:
            side = (symbol.size + 2 * size.quiet) * size.mm
            beside = _beside_code(head, lines, side, size, codes, frame)
            below = _below_code(head, lines, side, size, frame) if frame.length < 1.6 * frame.breadth else None
            found = [setting for setting in (beside, below) if setting is not None]
            if found:
                yield max(found, key=lambda setting: setting.block.worth)


def _beside_code(
    head: str, lines: tuple[Forms, ...], side: float, size: ModuleSize, codes: int, frame: _Frame
) -> _Setting | None:
    left = size.edge_mm + side + _GAP_MM
    last = frame.length - size.edge_mm - side
    right = last - _GAP_MM if codes == 2 else frame.length - frame.inset
    if codes == 2 and right - left < _APART_MM:
        return None
    block = fit(head, lines, right - left, frame.breadth - 2 * frame.inset, frame.length > 3.5 * frame.breadth)
    middle = (frame.breadth - side) / 2
    corners = ((size.edge_mm, middle), (last, middle))[:codes]
    return None if block is None else _Setting(size, corners, block, left, frame.inset, None)


def _below_code(head: str, lines: tuple[Forms, ...], side: float, size: ModuleSize, frame: _Frame) -> _Setting | None:
    w = frame.length - 2 * frame.inset
    top = size.edge_mm + side
    block = fit(head, lines, w, frame.breadth - frame.inset - top, False)
    corners = (((frame.length - side) / 2, size.edge_mm),)
    return None if block is None else _Setting(size, corners, block, frame.inset, top, w)


def _choose(settings: Iterator[_Setting]) -> _Setting | None:
    """The first good setting; if none is good, the one with the largest text, to the half point."""
    seen: list[_Setting] = []
    for setting in settings:
        if setting.block.line_pt >= (ENOUGH_PT if setting.size.mm > 1.1 * AIM_MM else EASY_PT):
            return setting
        seen.append(setting)
    return max(seen, key=lambda s: int(2 * s.block.line_pt), default=None)


def _placement(chosen: _Setting, symbol: Symbol, frame: _Frame, left_out: tuple[str, ...]) -> Placement:
    size = chosen.size
    white = size.quiet * size.mm
    dark = symbol.size * size.mm
    symbols = []
    for u, v in chosen.corners:
        u, v = u + white, v + white
        x, y = (frame.breadth - v - dark, u) if frame.turned else (u, v)
        symbols.append(SymbolBox(symbol, x, y, size.mm, size.quiet))
    return Placement(tuple(symbols), tuple(_texts(chosen, frame)), size.warnings, left_out)


def _texts(chosen: _Setting, frame: _Frame) -> Iterator[TextBox]:
    for row in chosen.block.rows:
        u, v, base = chosen.x + row.x, chosen.y + row.y, chosen.y + row.baseline
        if chosen.centred_in is not None:
            u = chosen.x + (chosen.centred_in - row.w) / 2
        if frame.turned:
            box = (frame.breadth - v - row.h, u, row.h, row.w, frame.breadth - base, u)
        else:
            box = (u, v, row.w, row.h, u, base)
        yield TextBox(row.text, row.font, row.size_pt, *box, frame.turned)


def _code_too_big(symbol: Symbol, frame: _Frame, medium: Medium) -> DoesNotFit:
    need = (symbol.size + 2 * QUIET) * FLOOR_MM + 2
    return DoesNotFit(
        f"{need:.1f} mm for a code of {symbol.size} modules a side at {FLOOR_MM:.2f} mm with its white margin",
        f"{min(frame.breadth, frame.length):.1f} mm on {medium.name}",
        f"use a medium at least {need:.1f} mm wide, or a shorter text in the code",
    )


def _text_too_big(tag: Tag, symbol: Symbol, frame: _Frame, sizes: tuple[ModuleSize, ...], medium: Medium) -> DoesNotFit:
    """Says how many of the lines that must be there do fit."""
    must = tuple(line.forms for line in tag.printed_lines if not line.optional)
    for count in range(len(must) - 1, -1, -1):
        if any(True for _ in _settings(tag.head, must[:count], symbol, frame, sizes)):
            fits = tuple(forms[0] for forms in must[:count])
            room = ", ".join([tag.head, *fits])
            return DoesNotFit(
                f"text that fits {medium.name} at 4.5 pt or larger; there is room for: {room}",
                f"{must[count][-1]!r} as well, on tag {tag.head}",
                "use a larger medium, a shorter form of that line, or leave it out",
                fits,
            )
    return DoesNotFit(
        f"a head that fits {medium.name} beside the code at 7 pt or larger", f"{tag.head!r}", "use a larger medium"
    )
