"""Small things that sheets draw: words that fit, in a font with the letters growers' names need, and codes to scan."""

from __future__ import annotations

from typing import Any

from graftbook.errors import UsageProblem

MM = 72 / 25.4
QUIET_MODULES = 4
"""Light modules round a QR code (ISO/IEC 18004, quiet zone)."""


def page_size(paper: str) -> tuple[float, float]:
    """Width and height in mm of plain paper, a4 or letter. Raises UsageProblem for another name."""
    from labels.drawing import paper_size
    from labels.errors import BadJob

    try:
        return paper_size(paper)
    except BadJob as error:
        raise UsageProblem(error.expected, repr(paper), error.next_step) from error


def printable(words: str, bold: bool = False) -> str:
    """The words with every character that the fonts have not got as a question mark."""
    from labels.errors import MissingGlyph
    from labels.lettering import BOLD, REGULAR, clean, em_width

    said = clean(words)
    try:
        em_width(said, BOLD if bold else REGULAR)
    except MissingGlyph as error:
        for sign in error.missing:
            said = said.replace(sign, "?")
    return said


def width(words: str, size: float, bold: bool = False) -> float:
    """How wide words are, in mm, at a size in points."""
    from labels.lettering import BOLD, REGULAR, em_width

    return em_width(printable(words, bold), BOLD if bold else REGULAR) * size / MM


def fitted(words: str, size: float, across: float, bold: bool = False) -> str:
    """The words cut short with an ellipsis where they are wider than so many mm."""
    said = printable(words, bold)
    if width(said, size, bold) <= across:
        return said
    while said and width(f"{said}…", size, bold) > across:
        said = said[:-1]
    return f"{said.rstrip()}…"


def text(
    canvas: Any, x: float, y: float, words: str, size: float, *, bold: bool = False, right: bool = False
) -> None:  # fmt: skip
    """Set words with their foot at `y`, from `x` on or up to it, all in mm."""
    from labels.lettering import BOLD, REGULAR

    canvas.setFont(BOLD if bold else REGULAR, size)
    put = canvas.drawRightString if right else canvas.drawString
    put(x * MM, y * MM, printable(words, bold))


def code_square(canvas: Any, payload: str, x: float, y: float, side: float) -> None:
    """Draw a QR code of a payload into a square of `side` mm, its quiet zone included, its lower left corner at x, y.

    Runs of dark modules are one path, so that no hairline opens between them.
    """
    from labels.symbol import encode

    symbol = encode(payload)
    step = side * MM / (symbol.size + 2 * QUIET_MODULES)
    left, top = x * MM + QUIET_MODULES * step, y * MM + side * MM - QUIET_MODULES * step
    path = canvas.beginPath()
    for down, row in enumerate(symbol.rows):
        for begin, length in _runs(row):
            path.rect(left + begin * step, top - (down + 1) * step, length * step, step)
    canvas.drawPath(path, stroke=0, fill=1)


def _runs(row: str) -> list[tuple[int, int]]:
    found, begin = [], None
    for at, module in enumerate(f"{row}0"):
        if module == "1" and begin is None:
            begin = at
        elif module != "1" and begin is not None:
            found.append((begin, at - begin))
            begin = None
    return found
