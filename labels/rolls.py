"""Tags on a roll, a page a tag: what many tags share is drawn once and only named on each page.

On a sheet thirty tags pack together, since a PDF packs a page at a time. On a roll nothing packs from tag to tag, so the
three corner marks of every code, and every row of text that comes again, are forms that pages point to (ISO 32000-1,
8.10), and all pages point to one list of fonts and forms.
"""

from __future__ import annotations

from collections import Counter
from typing import Any

from labels.drawing import (
    MARGIN_NOTE_MM,
    PRINTED_HEADING,
    PrintJob,
    Sink,
    finished,
    move,
    ruled_operators,
    symbol_operators,
)
from labels.layout import Placement, SymbolBox, TextBox
from labels.lettering import PT_MM
from labels.media import Medium

_OFTEN = 4
"""A row of text on so many tags is worth a form of its own."""
_CORNER = 7
_INTERNAL = "FormXob."


def suits(medium: Medium) -> bool:
    """Whether a medium feeds one label a page, with nothing printed beside it."""
    return medium.cells == 1 and medium.top_mm < MARGIN_NOTE_MM and not medium.hand_cut


class Roll(Sink):
    """A run of one label a page; pages are drawn when the last is known, and with it what comes often."""

    def __init__(self, job: PrintJob, sheets: int, heading: tuple[str, float] = PRINTED_HEADING) -> None:
        super().__init__(job, sheets, heading)
        self._kept: list[tuple[Placement, int]] = []
        self._forms: dict[object, str] = {}

    def draw(self, placement: Placement, cell: int) -> None:
        """Keeps one label for the page of that number."""
        self._kept.append((placement, cell))

    def finish(self) -> bytes:
        """Draws every page and gives the file."""
        seen = Counter(box for placement, _ in self._kept for box in placement.texts)
        for page, (placement, _) in enumerate(self._kept):
            if page:
                self._canvas.showPage()
            self._canvas._preamble = ""  # fonts and colours are set by every tag itself
            self._page_of(placement, seen)
        return finished(self._canvas, self._shared)

    def _page_of(self, placement: Placement, seen: Counter[TextBox]) -> None:
        """One label on its page."""
        m = self._medium
        codes = " ".join(self._symbol(box) for box in placement.symbols)
        words = " ".join(
            self._form(box, self._lettered(box)) if seen[box] >= _OFTEN else self._lettered(box)
            for box in placement.texts
        )
        left, top = m.cell(1)
        at = f"1 0 0 1 {left / PT_MM:.4g} {(m.page_h_mm - top) / PT_MM:.5g} cm"
        move(self._canvas, m.page_h_mm, self._job.offset_mm, self._job.scale)
        self._canvas.addLiteral(f"q {at} 0 g {codes} {words}{ruled_operators(placement.rules)} Q")

    def _symbol(self, box: SymbolBox) -> str:
        """A code without its corner marks, over the form of these."""
        side = box.symbol.size
        corners = "".join(
            row[:_CORNER] + "0" * (side - 2 * _CORNER) + row[-_CORNER:] for row in box.symbol.rows[:_CORNER]
        )
        marks = [corners[i : i + side] for i in range(0, len(corners), side)]
        marks += ["0" * side] * (side - 2 * _CORNER)
        marks += [row[:_CORNER] + "0" * (side - _CORNER) for row in box.symbol.rows[-_CORNER:]]
        name = self._form((side, box.module_mm, box.x, box.y), symbol_operators(box, tuple(marks)))
        pairs = zip(box.symbol.rows, marks, strict=True)
        rest = tuple("".join("01"[a > b] for a, b in zip(row, mark, strict=True)) for row, mark in pairs)
        return f"{name} {symbol_operators(box, rest)}"

    def _form(self, key: object, operators: str) -> str:
        """The operators that draw a form, made the first time it is asked for."""
        if key not in self._forms:
            from reportlab.pdfbase import pdfdoc

            m = self._medium
            w, h = m.page_w_mm / PT_MM, m.page_h_mm / PT_MM
            form: Any = pdfdoc.PDFFormXObject(0, -h, w, 0)
            form.compression = 1
            form.stream = pdfdoc.pdfdocEnc(operators)
            form.Resources = self._listed()
            name = f"f{len(self._forms)}"
            self._canvas._doc.addForm(name, form)
            self._forms[key] = f"/{name} Do"
        return self._forms[key]

    def _listed(self) -> Any:
        """A pointer to the list of fonts and forms that all pages share."""
        from reportlab.pdfbase import pdfdoc

        if not hasattr(self, "_resources"):
            self._resources: Any = pdfdoc.PDFResourceDictionary()
            self._resources.basicFonts()
            self._resources.ProcSet = []
        return self._canvas._doc.Reference(self._resources, "shared")

    def _shared(self) -> None:
        """Points every page to the shared list, and leaves out what says nothing."""
        from reportlab.pdfbase import pdfdoc

        listed = self._listed()
        names = (operators.split()[0][1:] for operators in self._forms.values())
        self._resources.XObject = {name: pdfdoc.PDFObjectReference(_INTERNAL + name) for name in names}
        for page in self._canvas._doc.Pages.pages:
            page.Resources, page.Trans, page.Rotate = listed, None, None
