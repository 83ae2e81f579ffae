"""A page drawn in millimetres from its top left corner: bars, words and codes, for pages that are not tags."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from labels.drawing import finished, move, new_canvas, symbol_operators
from labels.layout import SymbolBox
from labels.lettering import PT_MM, REGULAR, em_width
from labels.symbol import Symbol

HAIR_MM = 0.1
Bar = tuple[float, float, float, float]
"""Left, top, width and height."""


class Pages:
    """Pages of one size, all shifted and scaled alike. Everything is filled, so its bounds in the PDF are its size."""

    def __init__(
        self, w: float, h: float, subject: str, offset_mm: tuple[float, float], scale: tuple[float, float]
    ) -> None:
        self.w, self.h, self.count = w, h, 0
        self._offset, self._scale = offset_mm, scale
        self._canvas: Any = new_canvas(w, h, "Calibration", subject)
        self.turn()

    def turn(self) -> None:
        """Begins a page."""
        if self.count:
            self._canvas.showPage()
        self.count += 1
        move(self._canvas, self.h, self._offset, self._scale)

    def bars(self, bars: Sequence[Bar]) -> None:
        """Black bars, as one path."""
        k = 1 / PT_MM
        drawn = " ".join(f"{x:.4f} {y:.4f} {w:.4f} {h:.4f} re" for x, y, w, h in bars)
        self._canvas.addLiteral(f"q {k:.8f} 0 0 -{k:.8f} 0 {self.h * k:.5f} cm 0 g {drawn} f Q")

    def words(self, text: str, x: float, y: float, size: float, *, middle: bool = False, turned: bool = False) -> None:
        """One row of text from its baseline's start, or with its middle, at `x`, `y`; `turned`: running upwards."""
        back = em_width(text, REGULAR) * size * PT_MM / 2 if middle else 0.0
        row = self._canvas.beginText()
        row.setFont(REGULAR, size)
        x, y = (x, y + back) if turned else (x - back, y)
        row.setTextTransform(*((0, 1, -1, 0) if turned else (1, 0, 0, 1)), x / PT_MM, (self.h - y) / PT_MM)
        row.textOut(text)
        self._canvas.drawText(row)

    def code(self, symbol: Symbol, x: float, y: float, module_mm: float) -> None:
        """A code with the top left of its dark area at `x`, `y`."""
        self._canvas.addLiteral(
            f"q 1 0 0 1 {x / PT_MM:.4f} {(self.h - y) / PT_MM:.4f} cm 0 g "
            f"{symbol_operators(SymbolBox(symbol, 0, 0, module_mm, 4))} Q"
        )

    def finish(self) -> bytes:
        """The file."""
        return finished(self._canvas)


def rule(length: int, x: float, y: float, *, upright: bool = False) -> list[Bar]:
    """A rule of whole millimetres from `x`, `y`: across with ticks above, or upright with ticks to its left.

    The first bar is the line itself, exactly `length` long.
    """
    line = [(0.0, 0.0, float(length), 0.2)]
    for mm in range(length + 1):
        high = 4.0 if mm % 10 == 0 else 2.8 if mm % 5 == 0 else 1.6
        line.append((mm - HAIR_MM / 2, -high, HAIR_MM, high))
    if upright:
        return [(x + b, y + a, h, w) for a, b, w, h in line]
    return [(x + a, y + b, w, h) for a, b, w, h in line]


def cross(x: float, y: float, arm: float = 4.0) -> list[Bar]:
    """A cross-hair with its middle at `x`, `y`."""
    half = HAIR_MM / 2
    return [(x - arm, y - half, 2 * arm, HAIR_MM), (x - half, y - arm, HAIR_MM, 2 * arm)]
