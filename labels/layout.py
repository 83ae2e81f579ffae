"""Where code and text go on one label, in mm, from rules rather than templates.

A tag is read by people from its name and by phones from its code, and both want the same few square millimetres. So a
code is tried as large as the label's height allows and ever smaller (see `sizing`), each time with the text set as large
as it goes beside or below it (see `fitting`). Of the settings that are most easily read near by, the one with the
largest code is taken whose name is not much smaller than it could be. A long tag carries the code at both ends of its
printed part: scraped at one end, it is still read at the other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from labels.errors import DoesNotFit
from labels.fitting import EASES, FLOOR_PT, Arrangement, Block, Texts, shape, spread
from labels.lettering import clean
from labels.media import Medium
from labels.ruled import Ruled, ruled
from labels.sizing import FLOOR_MM, QUIET, ModuleSize, module_sizes
from labels.symbol import Symbol, encode
from labels.wrapping import Forms

_GAP_MM = 0.8
_LONG_MM = 80.0
_APART_MM = 25.0
_MUCH, _TWICE = 0.75, 0.65
ENOUGH_PT = 18.0
"""A name so large gives way to the code: it is large print (18 points, American Printing House for the Blind)."""
_NO_CODE = ModuleSize(0.0, 0, 0.0, ())


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a tag: its text and ever shorter forms of it. `optional`: may be left out where there is no room."""

    forms: Forms
    optional: bool = False


@dataclass(frozen=True)
class Tag:
    """What one tag says: the text in its code ('' for none), the head that is typed back, lines with the most important
    first, the name that people read, and on a blank tag what is to be written on its ruled lines.

    Name and lines may be given as a text, as a tuple of ever shorter texts, or a line as a Line. Empty ones are dropped.
    """

    payload: str
    head: str
    lines: tuple[str | Forms | Line, ...] = ()
    name: str | Forms = ()
    to_write: tuple[str, ...] = ()
    printed_lines: tuple[Line, ...] = field(init=False, repr=False, compare=False)
    printed_name: Forms = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "head", clean(self.head))
        lines = (_line(line) for line in self.lines)
        object.__setattr__(self, "printed_lines", tuple(line for line in lines if line.forms))
        object.__setattr__(self, "printed_name", _line(self.name).forms)


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
    """Everything on one label, with warnings, and the optional lines that were left out.

    `rules`: lines to write on, each its start and end in mm from the label's top left corner.
    """

    symbols: tuple[SymbolBox, ...]
    texts: tuple[TextBox, ...]
    warnings: tuple[str, ...]
    left_out: tuple[str, ...]
    rules: tuple[tuple[float, float, float, float], ...] = ()


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
    symbol = encode(tag.payload) if tag.payload else None
    frame = _frame(medium)
    side = symbol.size if symbol is not None else 0
    sizes = module_sizes(side, min(frame.breadth, frame.length), dpi) if symbol is not None else (_NO_CODE,)
    if symbol is not None and not sizes:
        raise _code_too_big(symbol, frame, medium)
    for lines, left_out in selections(tag.printed_lines):
        texts = Texts(tag.printed_name, tag.head, lines)
        chosen = _choose(shape(texts), tag.to_write, side, frame, sizes)
        if chosen is not None:
            return _placement(chosen, texts, symbol, frame, left_out)
    raise _text_too_big(tag, side, frame, sizes, medium)


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
    said: Arrangement | Ruled
    x: float
    y: float
    centred_in: float | None


@lru_cache(maxsize=20_000)
def _choose(
    texts: Texts, to_write: tuple[str, ...], modules: int, frame: _Frame, sizes: tuple[ModuleSize, ...]
) -> _Setting | None:
    """The setting taken for texts of one shape; None when no setting has room."""
    found = list(_settings(texts, to_write, modules, frame, sizes))
    ease = min((setting.said.ease.rank for setting in found), default=0)
    easy = [setting for setting in found if setting.said.ease.rank == ease]
    twice = [setting for setting in easy if len(setting.corners) > 1]
    if _largest_name(twice) >= min(_TWICE * _largest_name(easy), ENOUGH_PT) > 0:
        easy = twice
    enough = min(_MUCH * _largest_name(easy), ENOUGH_PT)
    large = (setting for setting in easy if setting.said.name_pt >= enough)
    return max(large, key=lambda setting: (setting.size.mm, setting.said.name_pt), default=None)


def _largest_name(settings: Sequence[_Setting]) -> float:
    return max((setting.said.name_pt for setting in settings), default=0.0)


def _settings(
    texts: Texts, to_write: tuple[str, ...], modules: int, frame: _Frame, sizes: tuple[ModuleSize, ...]
) -> Iterator[_Setting]:
    """Every way to set the label: one code or two, each size of module, text beside or below."""

    def said(w: float, h: float, form: str) -> Arrangement | Ruled | None:
        w, h = round(w, 4), round(h, 4)
        return ruled(texts.head, to_write, w, h, form == "wide") if to_write else spread(texts, w, h, form)

    for size in sizes:
        side = (modules + 2 * size.quiet) * size.mm
        for codes in (2, 1) if modules and frame.long and frame.length >= _LONG_MM else (1,):
            setting = _beside_code(said, side, size, codes, frame)
            if setting is not None:
                yield setting
        if modules and frame.length < 1.6 * frame.breadth:
            setting = _below_code(said, side, size, frame)
            if setting is not None:
                yield setting


_Said = Callable[[float, float, str], Arrangement | Ruled | None]


def _beside_code(said: _Said, side: float, size: ModuleSize, codes: int, frame: _Frame) -> _Setting | None:
    left = size.edge_mm + side + _GAP_MM if side else frame.inset
    last = frame.length - size.edge_mm - side
    right = last - _GAP_MM if codes == 2 else frame.length - frame.inset
    if codes == 2 and right - left < _APART_MM:
        return None
    w, h = right - left, frame.breadth - 2 * frame.inset
    found = said(w, h, "wide" if w > 1.6 * h else "tall")
    middle = (frame.breadth - side) / 2
    corners = ((size.edge_mm, middle), (last, middle))[:codes] if side else ()
    return None if found is None else _Setting(size, corners, found, left, frame.inset, None)


def _below_code(said: _Said, side: float, size: ModuleSize, frame: _Frame) -> _Setting | None:
    w = frame.length - 2 * frame.inset
    top = size.edge_mm + side
    found = said(w, frame.breadth - frame.inset - top, "centred")
    corners = (((frame.length - side) / 2, size.edge_mm),)
    return None if found is None else _Setting(size, corners, found, frame.inset, top, w)


def _placement(
    chosen: _Setting, texts: Texts, symbol: Symbol | None, frame: _Frame, left_out: tuple[str, ...]
) -> Placement:
    size = chosen.size
    symbols = []
    for u, v, symbol in ((*corner, symbol) for corner in chosen.corners if symbol is not None):
        white, dark = size.quiet * size.mm, symbol.size * size.mm
        u, v = u + white, v + white
        x, y = (frame.breadth - v - dark, u) if frame.turned else (u, v)
        symbols.append(SymbolBox(symbol, x, y, size.mm, size.quiet))
    block = chosen.said.block(texts)
    rules = tuple(_rule(chosen, rule, frame) for rule in block.rules)
    return Placement(tuple(symbols), tuple(_texts(chosen, block, frame)), size.warnings, left_out, rules)


def _rule(chosen: _Setting, rule: tuple[float, float, float], frame: _Frame) -> tuple[float, float, float, float]:
    """A line to write on, from its left end, height and length in the block."""
    u, v = chosen.x + rule[0], chosen.y + rule[1]
    if frame.turned:
        return frame.breadth - v, u, frame.breadth - v, u + rule[2]
    return u, v, u + rule[2], v


def _texts(chosen: _Setting, block: Block, frame: _Frame) -> Iterator[TextBox]:
    for row in block.rows:
        u, v, base = chosen.x + row.x, chosen.y + row.y, chosen.y + row.baseline
        if chosen.centred_in is not None and not block.rules:
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


def _text_too_big(tag: Tag, modules: int, frame: _Frame, sizes: tuple[ModuleSize, ...], medium: Medium) -> DoesNotFit:
    """Says how many of the lines that must be there do fit."""
    must = tuple(line.forms for line in tag.printed_lines if not line.optional)
    named = [tag.head, *tag.printed_name[:1]]
    for count in range(len(must) - 1, -1, -1):
        if _choose(shape(Texts(tag.printed_name, tag.head, must[:count])), (), modules, frame, sizes) is not None:
            fits = tuple(forms[0] for forms in must[:count])
            room = ", ".join([*named, *fits])
            return DoesNotFit(
                f"text that fits {medium.name} at {FLOOR_PT:g} pt or larger; there is room for: {room}",
                f"{must[count][-1]!r} as well, on tag {tag.head}",
                "use a larger medium, a shorter form of that line, or leave it out",
                fits,
            )
    least = EASES[-1]
    return DoesNotFit(
        f"a code and a name that fit {medium.name} at {least.head:g} and {least.name:g} pt or larger",
        ", ".join(map(repr, named)), "use a larger medium, or a shorter name",
    )  # fmt: skip
