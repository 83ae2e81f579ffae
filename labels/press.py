"""Tags to a PDF that prints true to size: the page is the stock's page, and readers are told not to scale it.

Each code is drawn as one filled path of merged runs on a whole-number grid, the scale set once: no hairlines between
modules, few bytes, and little number formatting, which is where a PDF library spends its time.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from labels.errors import BadJob, BadMedium
from labels.layout import Placement, SymbolBox, Tag, lay_out
from labels.lettering import DESCENT_EM, PT_MM, REGULAR, clean, em_width, register
from labels.media import Medium, check

_RUN = re.compile("1+")
_UNPRINTED_MM = 4.3
_MARGIN_NOTE_MM = 6.0
_NOTE_PT = 6.0
_TICK_MM = 2.5


@dataclass(frozen=True, slots=True)
class LeftOut:
    """An optional line that had no room on the tag with that head."""

    head: str
    line: str


@dataclass(frozen=True, slots=True)
class Pressed:
    """A printed run: the PDF, its number of pages, warnings (each once), and the optional lines left out."""

    pdf: bytes
    pages: int
    warnings: tuple[str, ...]
    left_out: tuple[LeftOut, ...]


@dataclass(frozen=True, slots=True)
class _Job:
    medium: Medium
    start: int
    copies: int
    offset_mm: tuple[float, float]
    scale: tuple[float, float]
    title: str
    dpi: float | None


def press(
    tags: Iterable[Tag],
    medium: Medium,
    *,
    start: int = 1,
    copies: int = 1,
    offset_mm: tuple[float, float] = (0.0, 0.0),
    scale: tuple[float, float] = (1.0, 1.0),
    title: str = "",
    dpi: float | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Pressed:
    """A PDF with the tags in the order given, `copies` of each side by side; same input, same bytes.

    `start`: first cell used, 1 to the cells of a page. `offset_mm`: moves everything right and down, within 25 mm.
    `scale`: across and down, about the page's top left corner, 0.9 to 1.1. `title`: named in the margin and the file.
    `dpi`: the printer's dots per inch, or None. `progress(done, of)` is called after each tag. Raises DoesNotFit,
    BadPayload, MissingGlyph, BadMedium or BadJob before any byte is returned.
    """
    batch = tuple(tags)
    job = _Job(medium, start, copies, offset_mm, scale, clean(title), dpi)
    _examine(job, batch)
    sheets = -(-(start - 1 + len(batch) * copies) // medium.cells)
    sink = _Sink(job, sheets)
    warnings = dict.fromkeys(_edge_warnings(job))
    left_out: list[LeftOut] = []
    cell = start
    for done, tag in enumerate(batch, 1):
        placement = lay_out(tag, medium, dpi=dpi)
        warnings.update(dict.fromkeys(placement.warnings))
        left_out += (LeftOut(tag.head, line) for line in placement.left_out)
        for _ in range(copies):
            sink.draw(placement, cell)
            cell += 1
        if progress is not None:
            progress(done, len(batch))
    return Pressed(sink.finish(), sheets, tuple(warnings), tuple(left_out))


def _examine(job: _Job, batch: tuple[Tag, ...]) -> None:
    """Refuses a job that makes no sense."""
    problems = check(job.medium)
    if problems:
        raise BadMedium(job.medium.name, problems)
    cells = job.medium.cells
    if not batch:
        raise BadJob("at least one tag to print", "none", "name what to print")
    if not 1 <= job.start <= cells:
        raise BadJob(f"a start cell from 1 to {cells}", str(job.start), "count cells row by row from the top left")
    if not 1 <= job.copies <= 1000:
        raise BadJob("1 to 1000 copies", str(job.copies), "give a whole number of copies")
    if not all(math.isfinite(o) and abs(o) <= 25 for o in job.offset_mm):
        raise BadJob("an offset within 25 mm", _pair(job.offset_mm), "measure how far off the first label is, in mm")
    if not all(0.9 <= s <= 1.1 for s in job.scale):
        raise BadJob("a scale from 0.9 to 1.1", _pair(job.scale), "divide the true length by the one you measured")
    if job.dpi is not None and not 100 <= job.dpi <= 5000:
        raise BadJob("a printer of 100 to 5000 dots per inch", f"{job.dpi:g}", "look it up, or leave it out")


def _pair(two: tuple[float, float]) -> str:
    return f"{two[0]:g} across, {two[1]:g} down"


def _edge_warnings(job: _Job) -> Iterator[str]:
    """Where cells lie in the strip most sheet printers leave blank, or are moved off the page."""
    m, (dx, dy), (sx, sy) = job.medium, job.offset_mm, job.scale
    left, top = m.left_mm * sx + dx, m.top_mm * sy + dy
    last_x, last_y = m.cell(m.cells)
    right = m.page_w_mm - (last_x + m.label_w_mm) * sx - dx
    bottom = m.page_h_mm - (last_y + m.label_h_mm) * sy - dy
    least = min(left, top, right, bottom)
    if least < -1.0:
        yield f"offset and scale move labels {-least:.1f} mm beyond the edge of the page: print may be cut off there"
    if (m.cols > 1 or m.rows > 1) and least + 1.5 < _UNPRINTED_MM:
        yield (
            f"labels of {m.name} come within {max(least, 0):.1f} mm of the edge of the page, and many printers leave "
            f"about {_UNPRINTED_MM:.1f} mm blank: print one sheet and look"
        )


class _Sink:
    """A PDF being written, page by page; cells must come in rising order."""

    def __init__(self, job: _Job, sheets: int) -> None:
        from reportlab.pdfgen.canvas import Canvas

        register()
        m = job.medium
        self._job, self._sheets, self._page = job, sheets, 1
        self._height = m.page_h_mm / PT_MM
        size = (m.page_w_mm / PT_MM, self._height)
        self._canvas: Any = Canvas("tags.pdf", pagesize=size, pdfVersion=(1, 6), invariant=1, pageCompression=1)
        self._canvas.setViewerPreference("PrintScaling", "None")
        self._canvas.setTitle(job.title or "Tags")
        self._canvas.setSubject(f"{m.title}; print at 100 %")
        self._canvas.setCreator("labels")
        self._open_page()

    def draw(self, placement: Placement, cell: int) -> None:
        """Draws one label into the cell of that number, counted from 1 on the first page."""
        page = (cell - 1) // self._job.medium.cells + 1
        while self._page < page:
            self._canvas.showPage()
            self._page += 1
            self._open_page()
        left, top = self._job.medium.cell(cell)
        for box in placement.symbols:
            self._canvas.addLiteral(_symbol_path(box, left, top, self._height))
        text = self._canvas.beginText()
        for row in placement.texts:
            x, y = (left + row.base_x) / PT_MM, self._height - (top + row.base_y) / PT_MM
            text.setFont(row.font, row.size_pt)
            text.setTextTransform(*((0, -1, 1, 0) if row.turned else (1, 0, 0, 1)), x, y)
            text.textOut(row.text)
        self._canvas.drawText(text)

    def finish(self) -> bytes:
        self._canvas.showPage()
        return self._canvas.getpdfdata()

    def _open_page(self) -> None:
        (dx, dy), (sx, sy) = self._job.offset_mm, self._job.scale
        if (dx, dy, sx, sy) != (0, 0, 1, 1):
            self._canvas.transform(sx, 0, 0, sy, dx / PT_MM, self._height * (1 - sy) - dy / PT_MM)
        if self._job.medium.hand_cut:
            self._canvas.addLiteral(_cut_ticks(self._job.medium, self._height))
        self._margin_note()

    def _margin_note(self) -> None:
        """Run, stock and page in the top margin, where the sheet has waste enough there."""
        m = self._job.medium
        lift = _TICK_MM + 1.0 if m.hand_cut else 0.7
        if m.top_mm - lift < _MARGIN_NOTE_MM:
            return
        parts = [self._job.title, m.name, f"sheet {self._page} of {self._sheets}", "print at 100 %, not to fit"]
        note = " · ".join(part for part in parts if part)
        room = (m.page_w_mm - 2 * max(m.left_mm, _MARGIN_NOTE_MM)) / (em_width(note, REGULAR) * PT_MM)
        self._canvas.setFont(REGULAR, min(_NOTE_PT, room))
        base = m.top_mm - lift - DESCENT_EM * _NOTE_PT * PT_MM
        self._canvas.drawString(max(m.left_mm, _MARGIN_NOTE_MM) / PT_MM, self._height - base / PT_MM, note)


def _symbol_path(box: SymbolBox, left: float, top: float, page_h_pt: float) -> str:
    """PDF operators for one code: a grid of one module to the unit, rows downwards, one path, one fill."""
    unit = box.module_mm / PT_MM
    x, y = (left + box.x) / PT_MM, page_h_pt - (top + box.y) / PT_MM
    runs = [
        f"{run.start()} {row} {run.end() - run.start()} 1 re"
        for row, modules in enumerate(box.symbol.rows)
        for run in _RUN.finditer(modules)
    ]
    return f"q {unit:.5f} 0 0 -{unit:.5f} {x:.4f} {y:.4f} cm 0 g {' '.join(runs)} f Q"


def _cut_ticks(m: Medium, page_h_pt: float) -> str:
    """PDF operators for short lines in the margins at every edge of the grid, 0.25 pt."""
    last_x, last_y = m.cell(m.cells)
    right, bottom = last_x + m.label_w_mm, last_y + m.label_h_mm
    xs = sorted({round(m.left_mm + c * m.pitch_x_mm + e, 4) for c in range(m.cols) for e in (0, m.label_w_mm)})
    ys = sorted({round(m.top_mm + r * m.pitch_y_mm + e, 4) for r in range(m.rows) for e in (0, m.label_h_mm)})
    lines = [(x, y, x, y + _TICK_MM) for x in xs for y in (m.top_mm - _TICK_MM - 0.5, bottom + 0.5)]
    lines += [(x, y, x + _TICK_MM, y) for y in ys for x in (m.left_mm - _TICK_MM - 0.5, right + 0.5)]
    drawn = (
        f"{a / PT_MM:.3f} {page_h_pt - b / PT_MM:.3f} m {c / PT_MM:.3f} {page_h_pt - d / PT_MM:.3f} l"
        for a, b, c, d in lines
    )
    return f"q 0.25 w 0 G {' '.join(drawn)} S Q"
