"""A joint drawn true to scale as one SVG text, to be looked at or printed at 100 per cent and laid under the knife."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from html import escape

from graftbook.fit.joint_lines import THICK, THIN, Panel, panels
from graftbook.fit.joints import Joint
from graftbook.units import show_length
from graftbook.visible import visible

MARGIN = 6.0
TEXT = 3.2
_LEADING = 4.4
_LEAST_WIDTH = 110.0
# Letters to a millimetre of line at this size of text: a little fewer than a plain sans serif needs.
_LETTERS = 0.58


def drawing(found: Joint, title: str, lines: Sequence[str], unit: str = "mm") -> str:
    """The joint as SVG in mm: both stems from the end, the cut face, a bar for scale, a legend, and the lines as text.

    `title` and `lines` are plain text; `unit`, mm or in, is that of the scale bar.
    """
    left, right = panels(found, show_length(round(found.shift_mm, 1), unit))
    width = max(_LEAST_WIDTH, 2 * (left.half_width + right.half_width) + 3 * MARGIN)
    room = int((width - 2 * MARGIN) * _LETTERS)
    heads = textwrap.wrap(title, int(room * 0.9), break_on_hyphens=False)
    top = MARGIN + len(heads) * (_LEADING + 0.6) + _LEADING + 2
    level = top + max(left.above, right.above)
    spare = (width - 2 * (left.half_width + right.half_width)) / 3
    places = (spare + left.half_width, 2 * spare + 2 * left.half_width + right.half_width)
    bottom = level + max(left.below, right.below)
    wrapped = [part for line in lines for part in textwrap.wrap(line, room, break_on_hyphens=False)]
    body = [
        *(_text(MARGIN, MARGIN + TEXT + at * (_LEADING + 0.6), head, bold=True) for at, head in enumerate(heads)),
        *(_panel(panel, x, level, top - 2.5) for panel, x in zip((left, right), places, strict=True)),
        *_scale(bottom + 6, unit), *_legend(bottom + 6, found, unit),
        *(_text(MARGIN, bottom + 27 + at * _LEADING, line) for at, line in enumerate(wrapped)),
    ]  # fmt: skip
    height = bottom + 27 + len(wrapped) * _LEADING + 1
    return _page(width, height, title, body)


def _page(width: float, height: float, title: str, body: Sequence[str]) -> str:
    size = f'width="{width:.2f}mm" height="{height:.2f}mm" viewBox="0 0 {width:.2f} {height:.2f}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="sans-serif" font-size="{TEXT}">'
    paper = f'<rect width="{width:.2f}" height="{height:.2f}" fill="white"/>'
    return "\n".join((head, f"<title>{escape(visible(title))}</title>", paper, *body, "</svg>")) + "\n"


def _text(x: float, y: float, words: str, bold: bool = False, middle: bool = False) -> str:
    style = (' font-weight="bold"' if bold else "") + (' text-anchor="middle"' if middle else "")
    return f'<text x="{x:.2f}" y="{y:.2f}"{style}>{escape(visible(words))}</text>'


def _panel(panel: Panel, x: float, level: float, title_at: float) -> str:
    middle = f'<g transform="translate({x:.3f} {level:.3f})">'
    return "\n".join((_text(x, title_at, panel.title, middle=True), middle, *panel.marks, "</g>"))


def _scale(y: float, unit: str) -> list[str]:
    long = 25.4 if unit == "in" else 20.0
    steps = 4 if unit == "in" else 2
    ticks = "".join(f"M{MARGIN + long * at / steps:.3f} {y - 1:.2f}v2" for at in range(steps + 1))
    bar = f'<path d="M{MARGIN} {y:.2f}h{long}{ticks}" fill="none" stroke="black" stroke-width="{THIN * 1.5:.2f}"/>'
    return [bar, _text(MARGIN + long + 2, y + 1.1, f"{show_length(long, unit)}, printed at 100 %")]


def _legend(y: float, found: Joint, unit: str) -> list[str]:
    reach = show_length(found.reach_mm, unit)
    dotted = f'stroke="black" stroke-width="{THIN}" stroke-dasharray="0.2 0.7" stroke-linecap="round"'
    rows = (
        (f'stroke="black" stroke-width="{THICK}"', "the scion's cambium, dashed where it is out of reach"),
        ('stroke="#ccc" stroke-width="1.6"', f"the stock's cambium, a thin line, and {reach} round it"),
        (dotted, "outside of the bark"),
    )
    marks = []
    for at, (pen, words) in enumerate(rows):
        down = y + 5.5 + at * _LEADING
        marks += [f'<path d="M{MARGIN} {down - 1:.2f}h8" {pen}/>', _text(MARGIN + 10, down, words)]
    return marks
