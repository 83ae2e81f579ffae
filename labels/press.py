"""Tags to a PDF that prints true to size: the page is the stock's page, and viewers are asked not to scale it."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from labels import writing
from labels.drawing import PRINTED_HEADING, PrintJob, Sink
from labels.errors import BadJob, BadMedium
from labels.layout import Placement, Tag, lay_out
from labels.lettering import clean
from labels.media import Medium, check
from labels.rolls import Roll, suits

_UNPRINTED_MM = 4.3


@dataclass(frozen=True, slots=True)
class LeftOut:
    """An optional line that had no room on the tag with that head."""

    head: str
    line: str


@dataclass(frozen=True, slots=True)
class Pressed:
    """A printed run: the PDF, its number of pages, warnings (each once), and the optional lines left out.

    `sheets`: the numbers of the sheets in the PDF, in order; `of`: how many sheets the whole run takes.
    """

    pdf: bytes
    pages: int
    warnings: tuple[str, ...]
    left_out: tuple[LeftOut, ...]
    sheets: tuple[int, ...] = ()
    of: int = 0


def sheets(count: int, medium: Medium, *, start: int = 1, copies: int = 1) -> int:
    """Pages that `count` tags take, `copies` of each, from cell `start` on; raises BadJob or BadMedium as `press`.

    For a medium of kind metal: the pages of its writing sheet on A4.
    """
    if count < 0:
        raise BadJob("a count of tags of 0 or more", str(count), "count what is to be printed")
    if medium.kind == "metal" and medium.cells == 1:
        medium = writing.page_for(medium, "a4")
    examine(PrintJob(medium, start, copies))
    return -(-(start - 1 + count * copies) // medium.cells) if count else 0


def press(
    tags: Iterable[Tag], medium: Medium, *, start: int = 1, copies: int = 1, offset_mm: tuple[float, float] = (0.0, 0.0),
    scale: tuple[float, float] = (1.0, 1.0), title: str = "", dpi: float | None = None,
    only_sheets: Collection[int] | None = None, paper: str = "a4", progress: Callable[[int, int], None] | None = None,
) -> Pressed:  # fmt: skip
    """A PDF with the tags in the order given, `copies` of each side by side; same input, same bytes.

    `start`: first cell used, 1 to the cells of a page. `offset_mm`: moves everything right and down, within 25 mm.
    `scale`: across and down, about the page's top left corner, 0.9 to 1.1. `title`: named in the margin and the file.
    `dpi`: the printer's dots per inch, or None. `only_sheets`: numbers, from 1, of the sheets of the run to print, each
    as it stands in the whole run; None for all. `progress(done, of)` is called after each tag. On a medium of kind
    metal, which takes no print, a writing sheet to copy by hand is made on `paper` (a4 or letter). Raises DoesNotFit,
    BadPayload, MissingGlyph, BadMedium or BadJob before any byte is returned.
    """
    batch = tuple(tags)
    by_hand = medium.kind == "metal"
    sheet = writing.page_for(medium, paper) if by_hand else medium
    job = PrintJob(sheet, start, copies, offset_mm, scale, clean(title), dpi)
    examine(job)
    if not batch:
        raise BadJob("at least one tag to print", "none", "name what to print")
    of = sheets(len(batch), sheet, start=start, copies=copies)
    sink = (Roll if suits(sheet) else Sink)(job, of, writing.HEADING if by_hand else PRINTED_HEADING)
    return _run(batch, job, sink, _chosen(only_sheets, of), progress)


def _run(
    batch: Sequence[Tag],
    job: PrintJob,
    sink: Sink,
    chosen: tuple[int, ...],
    progress: Callable[[int, int], None] | None,
) -> Pressed:
    """Lays out and draws what stands on the chosen sheets, one tag at a time."""
    edges = _Edges(job)
    warnings = dict.fromkeys(edges.beyond())
    left_out: list[LeftOut] = []
    wanted = list(_wanted(len(batch), job, frozenset(chosen)))
    for done, (index, cells) in enumerate(wanted, 1):
        placement = _placed(batch[index], job)
        warnings.update(dict.fromkeys(placement.warnings))
        left_out += (LeftOut(batch[index].head, line) for line in placement.left_out)
        for cell in cells:
            sink.draw(placement, cell)
            edges.note(placement, cell)
        if progress is not None:
            progress(done, len(wanted))
    warnings.update(dict.fromkeys(edges.close()))
    return Pressed(sink.finish(), len(chosen), tuple(warnings), tuple(left_out), chosen, sink.sheets)


def _placed(tag: Tag, job: PrintJob) -> Placement:
    if job.medium.kind == "metal":
        return writing.lay_out(tag, job.medium)
    return lay_out(tag, job.medium, dpi=job.dpi)


def _wanted(count: int, job: PrintJob, chosen: frozenset[int]) -> Iterator[tuple[int, list[int]]]:
    """Place in the batch and cells of every tag that stands on a chosen sheet."""
    for index in range(count):
        first = job.start + index * job.copies
        cells = [n for n in range(first, first + job.copies) if (n - 1) // job.medium.cells + 1 in chosen]
        if cells:
            yield index, cells


def _chosen(only_sheets: Collection[int] | None, of: int) -> tuple[int, ...]:
    """The sheets to print, in order, each once."""
    if only_sheets is None:
        return tuple(range(1, of + 1))
    wrong = sorted({number for number in only_sheets if not 1 <= number <= of})
    if wrong or not only_sheets:
        found = ", ".join(map(str, wrong)) or "none"
        raise BadJob(f"sheets from 1 to {of}", found, f"the whole run takes {of}: name some of those")
    return tuple(sorted(set(only_sheets)))


def examine(job: PrintJob) -> None:
    """Refuses a job that makes no sense, with BadMedium or BadJob."""
    problems, cells = check(job.medium), job.medium.cells
    if problems:
        raise BadMedium(job.medium.name, problems)
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


class _Edges:
    """How near ink comes to the edges of the page. Media of one label a page feed edge to edge and are not watched."""

    def __init__(self, job: PrintJob) -> None:
        self._job, self._least, self._tags = job, _UNPRINTED_MM, 0
        m = job.medium
        last_x, last_y = m.cell(m.cells)
        self._labels = self._distance(m.left_mm, m.top_mm, last_x + m.label_w_mm, last_y + m.label_h_mm)
        self._watched = m.cells > 1 and self._labels < _UNPRINTED_MM

    def beyond(self) -> Iterator[str]:
        """Whether labels are moved off the page."""
        if self._labels < -1.0:
            far = f"{-self._labels:.1f} mm beyond the edge of the page"
            yield f"offset and scale move labels {far}: print may be cut off there"

    def note(self, placement: Placement, cell: int) -> None:
        """Looks at the ink of one label."""
        if not self._watched:
            return
        x, y = self._job.medium.cell(cell)
        boxes = [(s.x, s.y, s.x + s.side, s.y + s.side) for s in placement.symbols]
        boxes += [(t.x, t.y, t.x + t.w, t.y + t.h) for t in placement.texts]
        near = min(self._distance(x + left, y + top, x + right, y + bottom) for left, top, right, bottom in boxes)
        self._least = min(self._least, near)
        self._tags += near < _UNPRINTED_MM

    def close(self) -> Iterator[str]:
        """What was seen."""
        if self._tags:
            yield (
                f"print comes within {max(self._least, 0):.1f} mm of the edge of the page on {self._tags} of the tags, "
                f"and many printers leave about {_UNPRINTED_MM:.1f} mm blank: print one sheet and look"
            )

    def _distance(self, left: float, top: float, right: float, bottom: float) -> float:
        """Least distance of a box from the edges of the page, once moved and scaled."""
        m, (dx, dy), (sx, sy) = self._job.medium, self._job.offset_mm, self._job.scale
        return min(
            left * sx + dx, top * sy + dy, m.page_w_mm - right * sx - dx, m.page_h_mm - bottom * sy - dy
        )  # fmt: skip
