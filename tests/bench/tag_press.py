"""Tags a second, bytes a tag and memory of the press, beside plainer ways to draw the same tags, in one process each.

Every way is a whole function: from codes and words to the bytes of a PDF, on the same sheet with the same lines of text
at the same places. The plainer ways differ in the code alone: the encoder's default (best of eight masks) with one
rectangle a module, and the QR widget that comes with the PDF library.
"""

from __future__ import annotations

import io
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from statistics import median

from labels import media
from labels.layout import Line, Placement, SymbolBox, Tag, lay_out
from labels.lettering import PT_MM, register
from labels.press import press

RUNS = 5
NAMES = ("Stoneway Pearmain", "Amber Lea", "Old Mill Russet", "Winter Bower", "Přívětivá", "Long Acre Seedling")


def tags(count: int, front: str = "") -> list[Tag]:
    """Tags as a nursery would print: a code, a cultivar of 240, a stock, method and day, and a place."""
    return [
        Tag(
            f"{front}G{number}-{'0123456789ACDEFGHJKMNPQRTVWXY'[number % 29]}",
            f"G{number}-{'0123456789ACDEFGHJKMNPQRTVWXY'[number % 29]}",
            (
                f"on {('MM.106', 'M.26', 'B.118')[number % 3]}",
                (f"whip-and-tongue 2025-03-{number % 28 + 1:02}", f"W&T 2025-03-{number % 28 + 1:02}"),
                Line((f"Row {number // 50 % 30}, no. {number % 50}",), optional=True),
            ),
            f"{NAMES[number % 6]} {number % 40}",
        )
        for number in range(100_000, 100_000 + count)
    ]


def ours(batch: list[Tag], medium: media.Medium) -> bytes:
    """The press."""
    return press(batch, medium).pdf


def plain(batch: list[Tag], medium: media.Medium, draw: Callable[..., None]) -> bytes:
    """A page of the same text set by the PDF library's own calls, with the code drawn by `draw`."""
    from reportlab.pdfgen.canvas import Canvas

    register()
    out = io.BytesIO()
    canvas = Canvas(out, (medium.page_w_mm / PT_MM, medium.page_h_mm / PT_MM), pageCompression=1, invariant=1)
    for number, tag in enumerate(batch, 1):
        if number > 1 and number % medium.cells == 1 % medium.cells:
            canvas.showPage()
        left, top = medium.cell(number)
        placement: Placement = lay_out(tag, medium)
        for box in placement.symbols:
            draw(canvas, box, left, medium.page_h_mm - top)
        for row in placement.texts:
            canvas.setFont(row.font, row.size_pt)
            canvas.drawString((left + row.base_x) / PT_MM, (medium.page_h_mm - top - row.base_y) / PT_MM, row.text)
    canvas.save()
    return out.getvalue()


def module_by_module(canvas, box: SymbolBox, left: float, up: float) -> None:
    """The encoder's default, and a rectangle for each dark module."""
    from qrcode.constants import ERROR_CORRECT_H
    from qrcode.main import QRCode

    code = QRCode(error_correction=ERROR_CORRECT_H, border=0)
    code.add_data(box.symbol.payload)
    code.make()
    unit = box.module_mm / PT_MM
    x, y = (left + box.x) / PT_MM, (up - box.y) / PT_MM
    for i, row in enumerate(code.get_matrix()):
        for j, module in enumerate(row):
            if module:
                canvas.rect(x + j * unit, y - (i + 1) * unit, unit, unit, stroke=0, fill=1)


def widget(canvas, box: SymbolBox, left: float, up: float) -> None:
    """The PDF library's own QR widget."""
    from reportlab.graphics import renderPDF
    from reportlab.graphics.barcode.qr import QrCodeWidget
    from reportlab.graphics.shapes import Drawing

    side = box.side / PT_MM
    drawing = Drawing(side, side)
    drawing.add(QrCodeWidget(box.symbol.payload, barLevel="H", barBorder=0, barWidth=side, barHeight=side))
    renderPDF.draw(drawing, canvas, (left + box.x) / PT_MM, (up - box.y) / PT_MM - side)


WAYS = {"press": ours, "rect": partial(plain, draw=module_by_module), "widget": partial(plain, draw=widget)}


def one(way: str, medium: str, count: int, front: str) -> None:
    """One measured run in this process, after a page to load the libraries: seconds, bytes, peak MB."""
    batch, stock = tags(count, front), media.get(medium)
    WAYS[way](tags(1)[:1], stock)
    begun = time.perf_counter()
    pdf = WAYS[way](batch, stock)
    print(time.perf_counter() - begun, len(pdf), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)


def measured(way: str, medium: str, count: int, front: str = "", runs: int = RUNS) -> tuple[float, float, float]:
    """Median tags a second, bytes a tag and largest peak of several processes."""
    words = [sys.executable, __file__, "one", way, medium, str(count), front]
    found = [
        tuple(map(float, subprocess.run(words, check=True, capture_output=True, text=True).stdout.split()))
        for _ in range(runs)
    ]
    return count / median(f[0] for f in found), found[0][1] / count, max(f[2] for f in found)


def main() -> None:
    """Measure and print."""
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}; median of {RUNS} runs, each a process of its own")
    print(f"{'':<44}{'tags/s':>9}{'bytes/tag':>11}{'peak MB':>9}{'press is':>10}")
    best = measured("press", "letter-30up", 3000)
    rows = [("press, letter-30up, code and 4 lines", best)]
    rows.append(("default encode, a rect a module", measured("rect", "letter-30up", 600)))
    rows.append(("the PDF library's QR widget", measured("widget", "letter-30up", 300)))
    rows.append(("press, an address in front", measured("press", "letter-30up", 3000, "https://TAG.EXAMPLE/T/")))
    rows.append(("press, roll-51x25, a page a tag", measured("press", "roll-51x25", 3000)))
    rows.append(("press, 30 tags (one sheet)", measured("press", "letter-30up", 30)))
    rows.append(("press, 15 000 tags in one PDF", measured("press", "letter-30up", 15_000, runs=3)))
    rows.append(("press, 15 000 tags on a roll", measured("press", "roll-51x25", 15_000, runs=3)))
    for what, (rate, size, peak) in rows:
        print(f"{what:<44}{rate:9.0f}{size:11.0f}{peak:9.0f}{best[0] / rate:8.1f} x")


if __name__ == "__main__":
    if sys.argv[1:2] == ["one"]:
        one(sys.argv[2], sys.argv[3], int(sys.argv[4]), sys.argv[5])
    else:
        main()
