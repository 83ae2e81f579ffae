"""Media by dimension: what a sheet, strip, stake, loop tag or roll label measures, and whether its figures agree.

Records of one nominal sheet disagree, by up to 0.8 mm at the left edge and sometimes more, so no list of media can be
right for every drawer. The figures here are a start; the offset given when printing is the answer.
"""

from __future__ import annotations

import csv
import difflib
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files

from labels.errors import UnknownMedium

KINDS = ("sheet", "strip", "stake", "roll", "loop")
_TOLERANCE_MM = 0.01


@dataclass(frozen=True, slots=True)
class Medium:
    """Something to print tags on: a page and a grid of equal cells, all in mm from the page's top left corner.

    `pitch` is from one cell's edge to the same edge of the next. `blank_mm` is the end of the long side that stays
    blank: buried on a stake, round the stem on a loop tag; 0 elsewhere. `hand_cut`: plain stock, to be cut along ticks.
    """

    name: str
    title: str
    page_w_mm: float
    page_h_mm: float
    cols: int
    rows: int
    label_w_mm: float
    label_h_mm: float
    left_mm: float
    top_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    corner_mm: float
    kind: str
    blank_mm: float
    hand_cut: bool
    basis: str
    note: str

    @property
    def cells(self) -> int:
        """Tags on one page."""
        return self.cols * self.rows

    @property
    def long_mm(self) -> float:
        """Longer side of one label."""
        return max(self.label_w_mm, self.label_h_mm)

    @property
    def short_mm(self) -> float:
        """Shorter side of one label."""
        return min(self.label_w_mm, self.label_h_mm)

    def cell(self, number: int) -> tuple[float, float]:
        """Left and top of a cell in mm; cells are counted from 1, row by row, and start again on the next page."""
        row, col = divmod((number - 1) % self.cells, self.cols)
        return self.left_mm + col * self.pitch_x_mm, self.top_mm + row * self.pitch_y_mm


def all() -> tuple[Medium, ...]:
    """Every medium that comes with the program, in the order of the file."""
    return tuple(_by_name().values())


def get(name: str) -> Medium:
    """The medium of that name, capitals or not. Raises UnknownMedium with names that come near."""
    table = _by_name()
    wanted = name.strip().lower()
    if wanted not in table:
        raise UnknownMedium(name, tuple(difflib.get_close_matches(wanted, table, n=3, cutoff=0.5)))
    return table[wanted]


def check(medium: Medium) -> tuple[str, ...]:
    """What is wrong with a medium, one sentence each; empty when the grid lies on the page and no two overlap."""
    problems = _wrong_numbers(medium)
    return problems if problems else _wrong_grid(medium)


def _wrong_numbers(m: Medium) -> tuple[str, ...]:
    sizes = ("page_w_mm", "page_h_mm", "label_w_mm", "label_h_mm", "pitch_x_mm", "pitch_y_mm")
    found = [f"{n} must be more than 0, not {getattr(m, n):g}" for n in sizes if not 0 < getattr(m, n) < 2000]
    edges = ("left_mm", "top_mm", "corner_mm", "blank_mm")
    found += [f"{n} must not be below 0, but is {getattr(m, n):g}" for n in edges if not 0 <= getattr(m, n) < 2000]
    found += [f"{n} must be 1 or more, not {getattr(m, n)}" for n in ("cols", "rows") if not 1 <= getattr(m, n) <= 500]
    if m.kind not in KINDS:
        found.append(f"kind must be one of {', '.join(KINDS)}, not {m.kind}")
    return tuple(found)


def _wrong_grid(m: Medium) -> tuple[str, ...]:
    found = []
    for side, count, label, first, pitch, page in (
        ("across", m.cols, m.label_w_mm, m.left_mm, m.pitch_x_mm, m.page_w_mm),
        ("down", m.rows, m.label_h_mm, m.top_mm, m.pitch_y_mm, m.page_h_mm),
    ):
        end = first + (count - 1) * pitch + label
        if end > page + _TOLERANCE_MM:
            found.append(f"{side}, the last label ends at {end:.2f} mm, beyond the page's {page:.2f} mm")
        if count > 1 and pitch < label - _TOLERANCE_MM:
            found.append(f"{side}, labels of {label:.2f} mm overlap at a pitch of {pitch:.2f} mm")
    if m.corner_mm > m.short_mm / 2 + _TOLERANCE_MM:
        found.append(f"a corner radius of {m.corner_mm:.2f} mm is more than half the label's short side")
    if m.blank_mm >= m.long_mm:
        found.append(f"the blank end of {m.blank_mm:.2f} mm leaves nothing of {m.long_mm:.2f} mm to print on")
    return tuple(found)


@cache
def _by_name() -> dict[str, Medium]:
    text = files("labels").joinpath("data/media.csv").read_text(encoding="utf-8")
    return {row["name"]: _medium(row) for row in csv.DictReader(text.splitlines())}


def _medium(row: dict[str, str]) -> Medium:
    read = {"float": float, "int": int, "str": str, "bool": lambda text: text == "yes"}
    return Medium(**{f.name: read[str(f.type)](row[f.name]) for f in fields(Medium)})
