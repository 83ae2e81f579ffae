"""Labels, ticks and notes as PDF operators, and the PDF being written.

Each code is drawn as one filled path of merged runs on a whole-number grid, the scale set once: no hairlines between
modules, few bytes, and little number formatting, which is where a PDF library spends its time. Everything on a label
is drawn from the label's own corner, so lines that many tags share are formatted once and pack well.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from labels.errors import BadJob
from labels.layout import Placement, SymbolBox, TextBox
from labels.lettering import DESCENT_EM, PT_MM, REGULAR, em_width, register
from labels.media import Medium

MARGIN_NOTE_MM = 6.0
PRINTED_HEADING = ("print at 100 %, not to fit", 6.0)
"""What the margin of a printed page says, and its size in points."""
_TICK_MM = 2.5
_RULE_PT = 0.5
_LEADING = re.compile(r"( Tf) [0-9.]+ TL(?= \()")
_RUN = re.compile("1+")


def new_canvas(w_mm: float, h_mm: float, title: str, subject: str) -> Any:
    """An empty PDF of true-size pages that asks viewers not to scale; the same drawing gives the same bytes."""
    from reportlab.pdfgen.canvas import Canvas

    register()
    canvas: Any = Canvas(
        "tags.pdf", pagesize=(w_mm / PT_MM, h_mm / PT_MM), pdfVersion=(1, 6), invariant=1, pageCompression=1
    )
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setTitle(title)
    canvas.setSubject(subject)
    canvas.setCreator("labels")
    return canvas


def finished(canvas: Any, last: Callable[[], None] | None = None) -> bytes:
    """Ends the last page and gives the file, its streams in plain binary: a fifth smaller than in letters.

    `last`: done to the document once all its pages are there.
    """
    from reportlab import rl_config

    canvas.showPage()
    if last is not None:
        last()
    before, rl_config.useA85 = rl_config.useA85, 0
    try:
        return canvas.getpdfdata()
    finally:
        rl_config.useA85 = before


PAPERS = (("a4", 210.0, 297.0), ("letter", 215.9, 279.4))
"""Plain paper by name, width and height in mm: ISO 216 A4, and US Letter."""


def paper_size(name: str) -> tuple[float, float]:
    """Width and height in mm of plain paper, a4 or letter; raises BadJob for another name."""
    for paper, w, h in PAPERS:
        if paper == name.strip().lower():
            return w, h
    raise BadJob("paper a4 or letter", name, "name one of those")


def move(canvas: Any, h_mm: float, offset_mm: tuple[float, float], scale: tuple[float, float]) -> None:
    """Shifts what is drawn next right and down by `offset_mm`, after scaling it about the page's top left corner."""
    (dx, dy), (sx, sy) = offset_mm, scale
    if (dx, dy, sx, sy) != (0, 0, 1, 1):
        canvas.transform(sx, 0, 0, sy, dx / PT_MM, h_mm / PT_MM * (1 - sy) - dy / PT_MM)


@dataclass(frozen=True, slots=True)
class PrintJob:
    """How a run is printed: the first cell used, copies of each tag, everything moved right and down in mm and scaled across
    and down, the title of the run, and the printer's dots per inch (None: not known)."""

    medium: Medium
    start: int = 1
    copies: int = 1
    offset_mm: tuple[float, float] = (0.0, 0.0)
    scale: tuple[float, float] = (1.0, 1.0)
    title: str = ""
    dpi: float | None = None


class Sink:
    """A run being written page by page: cells must come in rising order, pages without any are passed over."""

    def __init__(self, job: PrintJob, sheets: int, heading: tuple[str, float] = PRINTED_HEADING) -> None:
        self.sheets = sheets
        self._job, self._medium, self._page = job, job.medium, 0
        self._note, self._note_pt = heading
        subject = f"{job.medium.title}; print at 100 %"
        self._canvas = new_canvas(job.medium.page_w_mm, job.medium.page_h_mm, job.title or "Tags", subject)
        self._lettered = lru_cache(maxsize=5_000)(self._letter)

    def draw(self, placement: Placement, cell: int) -> None:
        """Draws one label into the cell of that number, counted from 1 on the first page."""
        page = (cell - 1) // self._medium.cells + 1
        if page != self._page:
            self._open(page)
        left, top = self._medium.cell(cell)
        x, y = left / PT_MM, (self._medium.page_h_mm - top) / PT_MM
        codes = " ".join(symbol_operators(box) for box in placement.symbols)
        words = " ".join(map(self._lettered, placement.texts))
        lines = ruled_operators(placement.rules)
        self._canvas.addLiteral(f"q 1 0 0 1 {x:.4f} {y:.4f} cm 0 g {codes} {words}{lines} Q")

    def finish(self) -> bytes:
        """The file."""
        return finished(self._canvas)

    def _letter(self, box: TextBox) -> str:
        """PDF operators for one row of text, from the label's corner."""
        text = self._canvas.beginText()
        text.setFont(box.font, box.size_pt)
        text.textOut(box.text)
        said = _LEADING.sub(r"\1", text.getCode().split(" Tm ", 1)[-1])
        turn = "0 -1 1 0" if box.turned else "1 0 0 1"
        return f"BT {turn} {box.base_x / PT_MM:.2f} {-box.base_y / PT_MM:.2f} Tm {said}"

    def _open(self, page: int) -> None:
        if self._page:
            self._canvas.showPage()
        self._page = page
        move(self._canvas, self._medium.page_h_mm, self._job.offset_mm, self._job.scale)
        if self._medium.hand_cut:
            self._canvas.addLiteral(_cut_ticks(self._medium))
        self._margin_note()

    def _margin_note(self) -> None:
        """Run, stock and page in the top margin, where the sheet has waste enough there."""
        m = self._medium
        lift = _TICK_MM + 1.0 if m.hand_cut else 0.7
        if m.top_mm - lift < MARGIN_NOTE_MM:
            return
        parts = [self._job.title, m.name, f"sheet {self._page} of {self.sheets}", self._note]
        note = " · ".join(part for part in parts if part)
        room = (m.page_w_mm - 2 * max(m.left_mm, MARGIN_NOTE_MM)) / (em_width(note, REGULAR) * PT_MM)
        self._canvas.setFont(REGULAR, min(self._note_pt, room))
        base = m.top_mm - lift - DESCENT_EM * self._note_pt * PT_MM
        self._canvas.drawString(max(m.left_mm, MARGIN_NOTE_MM) / PT_MM, (m.page_h_mm - base) / PT_MM, note)


def ruled_operators(rules: tuple[tuple[float, float, float, float], ...]) -> str:
    """PDF operators for lines to write on, from the label's corner; nothing where there are none."""
    drawn = (f"{a / PT_MM:.3f} {-b / PT_MM:.3f} m {c / PT_MM:.3f} {-d / PT_MM:.3f} l" for a, b, c, d in rules)
    return f" {_RULE_PT} w 0 G {' '.join(drawn)} S" if rules else ""


def symbol_operators(box: SymbolBox, rows: tuple[str, ...] | None = None) -> str:
    """PDF operators for one code from the label's corner: one module to the unit, rows downwards, one path, one fill.

    `rows`: only these modules of it.
    """
    unit = box.module_mm / PT_MM
    runs = "".join([_runs(row, modules) for row, modules in enumerate(rows or box.symbol.rows)])
    return f"q {unit:.5f} 0 0 -{unit:.5f} {box.x / PT_MM:.4f} {-box.y / PT_MM:.4f} cm {runs}f Q"


@lru_cache(maxsize=50_000)
def _runs(row: int, modules: str) -> str:
    return "".join(f"{run.start()} {row} {run.end() - run.start()} 1 re " for run in _RUN.finditer(modules))


def _cut_ticks(m: Medium) -> str:
    """PDF operators for short lines in the margins at every edge of the grid, 0.25 pt."""
    last_x, last_y = m.cell(m.cells)
    right, bottom = last_x + m.label_w_mm, last_y + m.label_h_mm
    xs = sorted({round(m.left_mm + c * m.pitch_x_mm + e, 4) for c in range(m.cols) for e in (0, m.label_w_mm)})
    ys = sorted({round(m.top_mm + r * m.pitch_y_mm + e, 4) for r in range(m.rows) for e in (0, m.label_h_mm)})
    lines = [(x, y, x, y + _TICK_MM) for x in xs for y in (m.top_mm - _TICK_MM - 0.5, bottom + 0.5)]
    lines += [(x, y, x + _TICK_MM, y) for y in ys for x in (m.left_mm - _TICK_MM - 0.5, right + 0.5)]
    height = m.page_h_mm / PT_MM
    drawn = (
        f"{a / PT_MM:.3f} {height - b / PT_MM:.3f} m {c / PT_MM:.3f} {height - d / PT_MM:.3f} l" for a, b, c, d in lines
    )
    return f"q 0.25 w 0 G {' '.join(drawn)} S Q"
