"""Small things that sheets draw: words that fit, in a font with the letters growers' names need, and codes to scan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from graftbook.errors import UsageProblem

MM = 72 / 25.4
MARGIN_MM = 12.0
QUIET_MODULES = 4
"""Light modules round a QR code (ISO/IEC 18004, quiet zone)."""


def page_size(paper: str) -> tuple[float, float]:
    """Width and height in mm of plain paper, a4 or letter. Raises UsageProblem for another name."""
    from labels.drawing import paper_size
    from labels.errors import BadJob

    try:
        return paper_size(paper)
    except BadJob as error:
        raise UsageProblem(error.expected, repr(paper), "Name one of those") from error


def printable(words: str, bold: bool = False) -> str:
    """The words with every character that the fonts have not got as a question mark."""
    from labels.errors import MissingGlyph
    from labels.lettering import BOLD, REGULAR, clean, em_width

    kept = clean(words)
    try:
        em_width(kept, BOLD if bold else REGULAR)
    except MissingGlyph as error:
        for sign in error.missing:
            kept = kept.replace(sign, "?")
    return kept


def width(words: str, size: float, bold: bool = False) -> float:
    """How wide words are, in mm, at a size in points."""
    from labels.lettering import BOLD, REGULAR, em_width

    return em_width(printable(words, bold), BOLD if bold else REGULAR) * size / MM


def fitted(words: str, size: float, across: float, bold: bool = False) -> str:
    """The words cut short with an ellipsis where they are wider than so many mm."""
    kept = printable(words, bold)
    if width(kept, size, bold) <= across:
        return kept
    while kept and width(f"{kept}…", size, bold) > across:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def shrunk(words: str, sizes: Sequence[float], across: float, bold: bool = False) -> float:
    """The first of these sizes in points at which words are no wider than so many mm; the last where none is."""
    return next((size for size in sizes if width(words, size, bold) <= across), sizes[-1])


def first_fitting(forms: Sequence[str], size: float, across: float, bold: bool = False) -> str:
    """The first of ever shorter forms that is no wider than so many mm; the last cut short where none is."""
    fits = (form for form in forms if width(form, size, bold) <= across)
    return printable(next(fits, None) or fitted(forms[-1], size, across, bold), bold)


def text(canvas: Any, x: float, y: float, words: str, size: float, *, bold: bool = False, right: bool = False) -> None:
    """Set words with their foot at `y`, from `x` on or up to it, all in mm."""
    from labels.lettering import BOLD, REGULAR

    canvas.setFont(BOLD if bold else REGULAR, size)
    put = canvas.drawRightString if right else canvas.drawString
    put(x * MM, y * MM, printable(words, bold))


def rule(canvas: Any, left: float, right: float, y: float, thick: float) -> None:
    """A level line from `left` to `right` at `y`, all in mm."""
    canvas.setLineWidth(thick * MM)
    canvas.line(left * MM, y * MM, right * MM, y * MM)


def box(canvas: Any, x: float, top: float, side: float, thick: float, wide: float | None = None) -> None:
    """A box to tick, or to write into where it is so `wide`, whose upper left corner is at `x`, `top`, all in mm."""
    canvas.setLineWidth(thick * MM)
    canvas.rect(x * MM, (top - side) * MM, (side if wide is None else wide) * MM, side * MM)


def written(
    canvas: Any, captions: Sequence[str], y: float, left: float, right: float, shares: Sequence[float] = ()
) -> None:
    """A line to write on from `left` to `right` at `y`, all in mm: before each part of it what belongs there. `shares` are the
    widths of the parts among one another; none: the last is as wide as two of the others and more."""
    shares = shares or (*([1.0] * (len(captions) - 1)), 2.5)
    x = left
    for caption, share in zip(captions, shares, strict=True):
        end = x + (right - left) * share / sum(shares)
        text(canvas, x, y, caption, 10)
        rule(canvas, x + width(caption, 10) + 1.2, end - 2.0, y - 0.6, 0.2)
        x = end


def pages_drawn(
    size: tuple[float, float], title: str, subject: str, pages: Sequence[Any], draw: Callable[[Any, Any, int], None]
) -> bytes:
    """A PDF of so many mm; `draw` is called with the canvas, what stands on a page, and the number of the page from 1 on."""
    from labels.drawing import finished, new_canvas

    canvas: Any = new_canvas(*size, title, subject)
    for number, page in enumerate(pages, 1):
        if number > 1:
            canvas.showPage()
        draw(canvas, page, number)
    return finished(canvas)


def code_square(canvas: Any, payload: str, x: float, y: float, side: float) -> None:
    """Draw a QR code of a payload into a square of `side` mm, its quiet zone included, its lower left corner at x, y.

    It is drawn as the tags draw theirs: one path, so that no hairline opens between modules, and few bytes.
    """
    from labels.drawing import symbol_operators
    from labels.layout import SymbolBox
    from labels.symbol import encode

    symbol = encode(payload)
    module = side / (symbol.size + 2 * QUIET_MODULES)
    box = SymbolBox(symbol, QUIET_MODULES * module, QUIET_MODULES * module, module, QUIET_MODULES)
    canvas.addLiteral(f"q 1 0 0 1 {x * MM:.4f} {(y + side) * MM:.4f} cm 0 g {symbol_operators(box)} Q")


def folded(words: str, across: float = 184.0, size: float = 10) -> list[str]:
    """Words folded to lines no wider than so many mm."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size) <= across:
            lines[-1] = longer
        else:
            lines.append(fitted(word, size, across))
    return lines
