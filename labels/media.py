"""Media by dimension: what a sheet, strip, stake, loop tag, roll label or metal tag measures, and how long it lasts.

Records of one nominal sheet disagree, by up to 0.8 mm at the left edge and sometimes more, so no list of media can be
right for every drawer. The figures here are a start; the offset given when printing is the answer.
"""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from functools import cache
from importlib.resources import files
from typing import Any

from labels.errors import BadMedium, UnknownMedium

KINDS = ("sheet", "strip", "stake", "roll", "loop", "metal")
SHORT_LIFE_YEARS = 1.0
_TOLERANCE_MM = 0.01
_NAME = re.compile("[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?")
_NEEDED = ("name", "page_w_mm", "page_h_mm", "label_w_mm", "label_h_mm")
_YES_NO = ("yes", "no", "true", "false")


@dataclass(frozen=True, slots=True)
class Medium:
    """Something to print tags on: a page and a grid of equal cells, all in mm from the page's top left corner.

    `pitch` is from one cell's edge to the same edge of the next. `blank_mm` is the end of the long side that stays
    blank: buried on a stake, round the stem on a loop tag; 0 elsewhere. `hand_cut`: plain stock, to be cut along ticks.
    Kind metal takes no print and no QR code: it is written by hand from a sheet. `life_years`: how long its usual mark
    can be read out of doors, with `life_basis` saying of which mark and by what word; None where nothing is known.
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
    life_years: float | None = None
    life_basis: str = ""

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

    @property
    def short_lived(self) -> bool:
        """Whether its mark is known to last a year or less out of doors: a second tag must follow."""
        return self.life_years is not None and self.life_years <= SHORT_LIFE_YEARS

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


def from_fields(given: Mapping[str, object]) -> Medium:
    """A medium from a grower's own figures, by the names of Medium's fields; numbers may come as text.

    Needed: name, page_w_mm, page_h_mm, label_w_mm, label_h_mm. Where not given or empty: one column and row, edges at
    0, a pitch of one label's size, kind sheet, basis own. Raises BadMedium with all that is wrong at once.
    """
    problems: list[str] = []
    filled = {name: value for name, value in given.items() if value is not None and str(value).strip() != ""}
    known = [f.name for f in fields(Medium)]
    for name in filled.keys() - set(known):
        near = difflib.get_close_matches(name, known, n=1)
        problems.append(f"there is no field {name}" + (f"; did you mean {near[0]}" if near else ""))
    values = {**_usual(filled), **filled}
    read: dict[str, Any] = {name: _read(name, values[name], problems) for name in known if name in values}
    missing = [f.name for f in fields(Medium) if f.name not in read and f.default is MISSING]
    problems += [f"{name} is missing" for name in missing if name in _NEEDED]
    if not any(value is None for value in read.values()) and not missing:
        medium = Medium(**read)
        if not problems and not check(medium):
            return medium
        problems += check(medium)
    raise BadMedium(str(given.get("name") or "a medium without a name"), tuple(sorted(problems, key=_place_of)))


def to_fields(medium: Medium) -> dict[str, str]:
    """The figures of a medium as text, by field, such that `from_fields` gives the same medium again."""
    return {f.name: _text(getattr(medium, f.name)) for f in fields(Medium)}


def _usual(filled: Mapping[str, object]) -> dict[str, object]:
    """What holds where a grower says nothing."""
    usual: dict[str, object] = dict.fromkeys(("left_mm", "top_mm", "corner_mm", "blank_mm"), 0.0)
    usual |= {"cols": 1, "rows": 1, "kind": "sheet", "hand_cut": "no", "basis": "own", "note": ""}
    usual |= {
        f"pitch_{a}_mm": filled[f"label_{b}_mm"] for a, b in (("x", "w"), ("y", "h")) if f"label_{b}_mm" in filled
    }
    return usual | {"title": filled["name"]} if "name" in filled else usual


def _read(name: str, value: object, problems: list[str]) -> object:
    """The value of a field, or None with the problem noted."""
    text = str(value).strip()
    kind = {f.name: str(f.type) for f in fields(Medium)}[name]
    try:
        if name == "name" and not _NAME.fullmatch(text):
            raise ValueError("letters a to z, digits and hyphens, 1 to 40 of them")
        if kind.startswith("float"):
            return _number(text, float, "a number such as 25.4")
        if kind == "int":
            return _number(text, int, "a whole number")
        if kind == "bool":
            return _yes_or_no(text)
    except ValueError as expected:
        problems.append(f"{name} must be {expected}, not {text}")
        return None
    return text.lower() if name == "kind" else text


def _number(text: str, read: type, expected: str) -> float:
    try:
        return read(text)
    except ValueError:
        raise ValueError(expected) from None


def _yes_or_no(text: str) -> bool:
    if text.lower() not in _YES_NO:
        raise ValueError("yes or no")
    return _YES_NO.index(text.lower()) % 2 == 0


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return repr(value).removesuffix(".0") if isinstance(value, float) else str(value)


def _place_of(problem: str) -> int:
    """Problems come in the order of the fields they begin with, others after."""
    return next((i for i, f in enumerate(fields(Medium)) if problem.startswith(f.name + " ")), len(fields(Medium)))


def _wrong_numbers(m: Medium) -> tuple[str, ...]:
    sizes = ("page_w_mm", "page_h_mm", "label_w_mm", "label_h_mm", "pitch_x_mm", "pitch_y_mm")
    found = [f"{n} must be more than 0, not {getattr(m, n):g}" for n in sizes if not getattr(m, n) > 0]
    edges = ("left_mm", "top_mm", "corner_mm", "blank_mm")
    found += [f"{n} must not be below 0, but is {getattr(m, n):g}" for n in edges if not getattr(m, n) >= 0]
    found += [f"{n} must be below 2000 mm, not {getattr(m, n):g}" for n in (*sizes, *edges) if getattr(m, n) >= 2000]
    found += [f"{n} must be 1 or more, not {getattr(m, n)}" for n in ("cols", "rows") if getattr(m, n) < 1]
    found += [f"{n} must be 500 or less, not {getattr(m, n)}" for n in ("cols", "rows") if getattr(m, n) > 500]
    if m.kind not in KINDS:
        found.append(f"kind must be one of {', '.join(KINDS)}, not {m.kind}")
    if m.life_years is not None and not 0 < m.life_years <= 100:
        found.append(f"life_years must be more than 0 and at most 100, not {m.life_years:g}; leave it out if unknown")
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
    if m.hand_cut and min(m.left_mm, m.top_mm) < 3.0:
        found.append("a sheet to be cut by hand must leave 3 mm at the left and the top for the cutting ticks")
    return tuple(found)


@cache
def _by_name() -> dict[str, Medium]:
    text = files("labels").joinpath("data/media.csv").read_text(encoding="utf-8")
    return {row["name"]: from_fields(row) for row in csv.DictReader(text.splitlines())}
