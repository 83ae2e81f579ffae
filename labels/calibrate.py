"""A page to lay over the stock and measure: is the print true to size, how far is it off, how small may a code be.

A sheet gets one page with everything. Where the page is the label itself (rolls, stakes, loop tags) it is too small for
that, so a few labels are used: one with a rule along and a frame, one with a rule across, and one for each module size.
"""

from __future__ import annotations

from labels.drawing import PrintJob
from labels.errors import BadJob
from labels.ink import HAIR_MM, Pages, cross, rule
from labels.lettering import PT_MM, REGULAR, em_width
from labels.media import Medium
from labels.press import Pressed, examine
from labels.symbol import Symbol, encode

MODULES_MM = (0.25, 0.33, 0.40, 0.50, 0.60)
"""The ladder: from below what most phones read to above the usual size."""
_LEAST_W_MM, _LEAST_H_MM = 180.0, 240.0
_RULE_X, _RULE_Y, _UPRIGHT_X = 40.0, 114.0, 166.0
_ADVICE = (
    "Print at 100 % (actual size), never fitted to the page. If the lines are not 100 and 200 mm long,",
    "mend that in the print dialogue first; set a scale only for what remains, true length over measured length.",
    "Then lay this page over a sheet of the stock against the light. Of the comb at the first label's left edge and",
    "of that at its top edge, the line that falls on the label's own edge is the shift to set, in mm.",
    "Corners: the four marks stand 10 mm from the paper's edges. Edges: lines that are missing were left blank.",
    "Codes: read them with your own phone from the left; use no module smaller than the first that it reads.",
)


def page(
    medium: Medium, *, offset_mm: tuple[float, float] = (0.0, 0.0), scale: tuple[float, float] = (1.0, 1.0),
    dpi: float | None = None, payload: str = "TEST",
) -> Pressed:  # fmt: skip
    """Calibration for a medium: rules in mm, corners of the first and last label, shift combs, and a module ladder.

    `offset_mm`, `scale`: as for printing, so that a setting can be tried. `dpi`: the printer's dots an inch, to make the
    ladder's modules whole dots and say the sizes so reached; None for the sizes as named. `payload`: what the test codes
    say. A page of at least 180 x 240 mm holds all; smaller media take several labels, with a warning for what does not
    fit. Raises BadJob, BadMedium, BadPayload; BadJob also for media of kind metal, which are not printed.
    """
    if medium.kind == "metal":
        raise BadJob("a medium that goes through a printer", f"{medium.name}, written by hand", "name another medium")
    examine(PrintJob(medium, offset_mm=offset_mm, scale=scale, dpi=dpi))
    symbol = encode(payload)
    pages = Pages(medium.page_w_mm, medium.page_h_mm, f"{medium.title}; print at 100 %", offset_mm, scale)
    steps = _steps(dpi)
    if medium.page_w_mm >= _LEAST_W_MM and medium.page_h_mm >= _LEAST_H_MM:
        _sheet(pages, medium, symbol, steps)
        warnings: tuple[str, ...] = ()
    else:
        warnings = _labels(pages, medium, symbol, steps)
    numbers = tuple(range(1, pages.count + 1))
    return Pressed(pages.finish(), pages.count, warnings, (), numbers, pages.count)


def _steps(dpi: float | None) -> tuple[tuple[float, str], ...]:
    """Module sizes in mm with their words."""
    if dpi is None:
        return tuple((size, f"{size:.2f} mm") for size in MODULES_MM)
    dots = sorted({max(round(size * dpi / 25.4), 1) for size in MODULES_MM})
    return tuple((n * 25.4 / dpi, f"{n * 25.4 / dpi:.2f} mm, {n} dot{'s' if n > 1 else ''}") for n in dots)


def _sheet(pages: Pages, m: Medium, symbol: Symbol, steps: tuple[tuple[float, str], ...]) -> None:
    """Everything on one page: rules and words in the middle, combs at the first label."""
    pages.bars(rule(100, _RULE_X, _RULE_Y))
    pages.words("this line is 100 mm", _RULE_X + 50, _RULE_Y + 5, 9, middle=True)
    top = (m.page_h_mm - 200) / 2
    pages.bars(rule(200, _UPRIGHT_X, top, upright=True))
    pages.words("this line is 200 mm", _UPRIGHT_X + 5, top + 100, 9, middle=True, turned=True)
    _corners(pages, m)
    _edges(pages)
    _combs(pages, m)
    x = _RULE_X
    for size, words in steps:
        side = (symbol.size + 8) * size
        pages.code(symbol, x + 4 * size, 150 + 4 * size, size)
        pages.words(words, x + side / 2, 150 + side + 2.5, 5.5, middle=True)
        x += max(side + 4, 18.0)
    pages.words(f"{m.name}: {m.title}", _RULE_X, 126, 9)
    for i, line in enumerate(_ADVICE):
        pages.words(line, _RULE_X, 183 + 4.2 * i, 6.5)


def _corners(pages: Pages, m: Medium) -> None:
    """Cross-hairs at the corners of the first and the last label, and marks 10 mm inside the paper's corners."""
    bars = []
    for number in (1, m.cells):
        left, top = m.cell(number)
        bars += [b for x in (left, left + m.label_w_mm) for y in (top, top + m.label_h_mm) for b in cross(x, y)]
    pages.bars(bars)
    marks = []
    for x, inward in ((10.0, 1), (m.page_w_mm - 10, -1)):
        for y, down in ((10.0, 1), (m.page_h_mm - 10, -1)):
            marks += [(min(x, x + 3 * inward), y, 3.0, 0.3), (x, min(y, y + 3 * down), 0.3, 3.0)]
    pages.bars(marks)


def _edges(pages: Pages) -> None:
    """A line at each whole millimetre from every edge of the paper, the fourth longer."""
    bars = []
    for mm in range(1, 9):
        long = 16.0 if mm == 4 else 10.0
        across = ((pages.w - long) / 2, long)
        down = ((pages.h - long) / 2, long)
        bars += [(across[0], y - HAIR_MM / 2, across[1], HAIR_MM) for y in (mm, pages.h - mm)]
        bars += [(x - HAIR_MM / 2, down[0], HAIR_MM, down[1]) for x in (mm, pages.w - mm)]
    pages.bars(bars)


def _combs(pages: Pages, m: Medium) -> None:
    """Lines in half millimetres about the left and the top edge of the first label, from 3 mm before to 3 mm after."""
    left, top = m.cell(1)
    middle, along = top + m.label_h_mm / 2, left + m.label_w_mm * 0.6
    bars = []
    for half in range(-6, 7):
        long = 9.0 if half == 0 else 6.0 if half % 2 == 0 else 3.5
        bars.append((left + half / 2 - HAIR_MM / 2, middle - long / 2, HAIR_MM, long))
        bars.append((along - long / 2, top + half / 2 - HAIR_MM / 2, long, HAIR_MM))
    pages.bars([bar for bar in bars if bar[0] > 0 and bar[1] > 0])
    for mm in (-3, 0, 3):
        pages.words(f"{mm:+d}" if mm else "0", left + mm, middle - 5.5, 4.5, middle=True)
        pages.words(f"{mm:+d}" if mm else "0", along + 5.2, top + mm + 0.6, 4.5)


def _labels(pages: Pages, m: Medium, symbol: Symbol, steps: tuple[tuple[float, str], ...]) -> tuple[str, ...]:
    """One label after another; says which sizes have no room."""
    w, h = m.page_w_mm, m.page_h_mm
    for upright, room in ((False, w), (True, h)):
        length = min(int((room - 2.0) // 10) * 10, 200)
        if length:
            if pages.count > 1 or upright:
                pages.turn()
            _frame(pages)
            x, y = (8.0, (h - length) / 2) if upright else ((w - length) / 2, h / 2 + 0.5)
            pages.bars(rule(length, x, y, upright=upright))
            line = f"this line is {length} mm"
            size = min(7.0, (w - (11.5 if upright else 6)) / (em_width(line, REGULAR) * PT_MM))
            pages.words(line, *((9.0, h / 2 + 0.7) if upright else (w / 2, y + 3.2)), size, middle=not upright)
    too_big = []
    for size, words in steps:
        side = (symbol.size + 8) * size
        if side > min(w, h):
            too_big.append(words)
            continue
        pages.turn()
        beside = w - side >= 14
        x, y = (0.0, (h - side) / 2) if beside else ((w - side) / 2, max(0.0, (h - side - 3) / 2))
        pages.code(symbol, x + 4 * size, y + 4 * size, size)
        at = (side + 0.5, h / 2 + 0.7) if beside else (w / 2, min(y + side + 1.0, h - 1.0))
        pages.words(words, *at, 5.5, middle=not beside)
    if not too_big:
        return ()
    return (f"test codes with modules of {'; '.join(too_big)} have no room on {m.name} and are left out",)


def _frame(pages: Pages) -> None:
    """Two frames, 1 and 2 mm inside the label: an even gap all round means that nothing is shifted."""
    bars = []
    for inset in (1.0, 2.0):
        w, h = pages.w - 2 * inset, pages.h - 2 * inset
        bars += [(inset, inset, w, HAIR_MM), (inset, pages.h - inset - HAIR_MM, w, HAIR_MM)]
        bars += [(inset, inset, HAIR_MM, h), (pages.w - inset - HAIR_MM, inset, HAIR_MM, h)]
    pages.bars(bars)
