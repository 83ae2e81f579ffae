"""Where on a sheet the tables are: headings in one row or two, the lines under them, totals, notes and what is repeated."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from graftbook.sheets.grid import Cells, SheetGrid, filled, written
from graftbook.sheets.headings import understood
from graftbook.sheets.text_grid import same_width

_SEARCHED = 40
_TOTAL = re.compile(r"\s*(grand |sub[- ]?)?(total|totals|sum|count|average|mean|overall)\b\s*:?[\s\w]*$", re.I)

_NUMBER = re.compile(r"[-+]?\d+(?:[.,/]\d+)*\s*%?$")


@dataclass(frozen=True)
class SheetTable:
    """One table. `headings` are its columns, '' for one without; `rows` its lines with their numbers; `totals`, `notes` and
    `repeats` are lines left out: sums, words beside the table, and headings once more. `top` is the line of the headings."""

    sheet: str
    top: int
    headings: tuple[str, ...]
    rows: tuple[tuple[int, Cells], ...]
    epoch: int = 1900
    totals: tuple[int, ...] = ()
    notes: tuple[tuple[int, str], ...] = ()
    repeats: tuple[int, ...] = ()

    @property
    def lines(self) -> int:
        """Lines under the headings that hold anything."""
        return len(self.rows) + len(self.totals) + len(self.notes) + len(self.repeats)

    def column(self, place: int) -> list[tuple[int, object]]:
        """The cells of a column that hold something, with their lines."""
        return [(line, cells[place]) for line, cells in self.rows if cells[place] is not None]


@dataclass
class _Found:
    """Headings found: the place among the lines of the sheet, how many lines they take, and the words."""

    at: int
    takes: int
    headings: tuple[str, ...]
    rest: list[tuple[int, Cells]] = field(default_factory=list)


def tables(grid: SheetGrid) -> tuple[SheetTable, ...]:
    """Every table of a sheet, from the top; none where no line looks like headings."""
    first = _search(grid, 0)
    found: list[_Found] = []
    while first is not None:
        found.append(first)
        start = first.at + first.takes
        again = _next(grid, start, first)
        end = len(grid.lines) if again is None else again.at
        first.rest = list(grid.lines[start:end])
        first = again
    return tuple(_table(grid, each) for each in found)


def _search(grid: SheetGrid, start: int) -> _Found | None:
    """The line among the first that reads most like headings."""
    best, most = None, 0.0
    for at in range(start, min(start + _SEARCHED, len(grid.lines))):
        one = _headings_at(grid, at)
        if one is None:
            continue
        score = _score(one.headings)
        if score > most + 0.01:
            best, most = one, score
    return best


def _next(grid: SheetGrid, start: int, above: _Found) -> _Found | None:
    """Headings of another table further down: other than those above, after an empty line or a lone title."""
    for at in range(start + 1, len(grid.lines)):
        gap = grid.lines[at][0] - grid.lines[at - 1][0] > 1 or len(filled(grid.lines[at - 1][1])) == 1
        if gap and len(filled(grid.lines[at][1])) >= 3:
            one = _headings_at(grid, at)
            if one is not None and one.headings != above.headings and _score(one.headings) >= 3:
                return one
    return None


def _headings_at(grid: SheetGrid, at: int) -> _Found | None:
    cells = grid.lines[at][1]
    if not _reads_as_headings(cells):
        return None
    own = tuple(_one_line(cell) for cell in cells)
    below = grid.lines[at + 1] if at + 1 < len(grid.lines) else None
    if below is not None and below[0] == grid.lines[at][0] + 1 and _reads_as_headings(below[1]):
        both = _together(own, tuple(_one_line(cell) for cell in below[1]))
        if _score(both) > _score(own) + 0.5 and _score(both) >= _score(tuple(map(_one_line, below[1]))):
            return _Found(at, 2, both)
    return _Found(at, 1, own) if _score(own) >= 1 else None


def _one_line(cell: object) -> str:
    return " ".join(written(cell).split())  # type: ignore[arg-type]


def _reads_as_headings(cells: Cells) -> bool:
    words = [cell for cell in cells if isinstance(cell, str)]
    return bool(words) and len(words) >= 0.7 * len(filled(cells)) and all(len(word) <= 60 for word in words)


def _score(headings: tuple[str, ...]) -> float:
    """How many different things known these headings speak of, a little less for words nobody knows."""
    known = [understood(text) for text in headings if text]
    fields = {each.field: each.sure for each in known if each is not None}
    if len(fields) < 2 and len(known) > 1:
        return 0.0
    return sum(sure / 3 for sure in fields.values()) - 0.1 * sum(each is None for each in known)


def _together(upper: tuple[str, ...], lower: tuple[str, ...]) -> tuple[str, ...]:
    """Two lines of headings as one: a word above stands over the columns to its right until the next."""
    width = max(len(upper), len(lower))
    top, under = (*upper, *("",) * (width - len(upper))), (*lower, *("",) * (width - len(lower)))
    found, over = [], ""
    for above, below in zip(top, under, strict=True):
        over = above or (over if below else "")
        joined = f"{over} {below}".strip()
        alone, whole = understood(below) if below else None, understood(joined)
        better = whole is not None and (alone is None or whole.sure >= alone.sure)
        found.append(joined if better or alone is None else below)
    return tuple(found)


def _table(grid: SheetGrid, found: _Found) -> SheetTable:
    width = max([len(found.headings), *(len(cells) for _line, cells in found.rest)], default=0)
    headings = _named((*found.headings, *("",) * (width - len(found.headings))))
    repeated = {tuple(filter(None, found.headings))}
    rows, totals, notes, repeats = [], [], [], []
    rest = [(line, same_width(cells, width)) for line, cells in found.rest]
    for at, (line, cells) in enumerate(rest):
        if tuple(_one_line(cell) for cell in cells if cell is not None) in repeated:
            repeats.append(line)
        elif _is_total(cells):
            totals.append(line)
        elif _is_note(rest, at, headings):
            notes.append((line, " ".join(written(cell) for cell in cells if cell is not None)))
        else:
            rows.append((line, cells))
    return SheetTable(grid.name, grid.lines[found.at][0], headings, tuple(rows), grid.epoch, tuple(totals), tuple(notes),
                      tuple(repeats))  # fmt: skip


def _named(headings: tuple[str, ...]) -> tuple[str, ...]:
    """Headings each with a name of its own: a second of one name gets a number."""
    seen: dict[str, int] = {}
    names = []
    for text in headings:
        seen[text] = seen.get(text, 0) + 1
        names.append(f"{text} ({seen[text]})" if text and seen[text] > 1 else text)
    return tuple(names)


def _is_total(cells: Cells) -> bool:
    """Whether a line sums up: a word for it, and nothing but numbers beside it."""
    texts = [written(cell) for cell in cells if cell is not None]
    words = [text for text in texts if not _NUMBER.match(text)]
    return len(words) == 1 and bool(_TOTAL.match(words[0])) and (len(texts) > 1 or len(words[0]) < 12)


def _is_note(rest: list[tuple[int, Cells]], at: int, headings: tuple[str, ...]) -> bool:
    """Whether a line is words beside the table: one text alone, after an empty line, long, or in a column without heading."""
    line, cells = rest[at]
    places = filled(cells)
    if len(places) != 1 or not isinstance(cells[places[0]], str):
        return False
    text = written(cells[places[0]])
    gap = at > 0 and line - rest[at - 1][0] > 1
    after = at + 1 < len(rest) and len(filled(rest[at + 1][1])) > 1
    known = understood(headings[places[0]]) if headings[places[0]] else None
    if gap and not after:
        return True
    below_note = at > 0 and len(filled(rest[at - 1][1])) == 1 and not after and _is_note(rest, at - 1, headings)
    return below_note or len(text) > 60 or known is None or known.field == "note"
