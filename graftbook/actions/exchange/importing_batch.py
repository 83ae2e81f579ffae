"""What one import carries from file to book: every sheet, what their rows may speak of, and what is wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from graftbook.actions.exchange.csv_files import CsvSheet
from graftbook.actions.exchange.csv_shapes import GRAFTS, Shape
from graftbook.book import bulk
from graftbook.errors import Problem
from graftbook.units import show_length

MOST_NOTES = 12

Facts = dict[str, Any]
"""What is known of one plant, bundle or graft, by the book's own names; `id` only where the book holds it."""


def _three() -> dict[str, Any]:
    return {"P": {}, "W": {}, "G": {}}


@dataclass
class Batch:
    """The sheets of one import. `known` holds the facts of every plant, bundle and graft in reach, by letter and code,
    `ids` those already in the book, `broken` the codes of rows that could not be read, `repeated` rows (by identity) that the
    book was found to have, `grafted` the day of the first graft on each plant, by its code, `others` the ids of what else
    rows point to, by the field that says so and what it says (see `plain`)."""

    sheets: list[CsvSheet]
    known: dict[str, dict[str, Facts]] = field(default_factory=_three)
    ids: dict[str, dict[str, int]] = field(default_factory=_three)
    broken: set[str] = field(default_factory=set)
    repeated: set[int] = field(default_factory=set)
    grafted: dict[str, date] = field(default_factory=dict)
    others: dict[str, dict[Any, int]] = field(default_factory=dict)
    notes: dict[str, None] = field(default_factory=dict)

    def of(self, shape: Shape) -> Iterator[tuple[CsvSheet, int, dict[str, Any]]]:
        """Every row of one thing, in the order of the files and their lines."""
        for sheet in self.sheets:
            if sheet.shape is shape:
                for line, values in sheet.rows:
                    yield sheet, line, values

    def values(self, *shapes: Shape) -> list[dict[str, Any]]:
        """The values of every row of these things."""
        sheets = (sheet for shape in shapes for sheet in self.sheets if sheet.shape is shape)
        return [values for sheet in sheets for _line, values in sheet.rows]

    def once(self, shape: Shape, field: str, taken: Iterable[Any], key: Callable[[dict[str, Any]], Any]) -> set[Any]:
        """Object to rows whose key is taken by an earlier line or the book, a key of None aside; all that is taken then."""
        header = next(column.header for column in shape.columns if column.field == field)
        held = set(taken)
        for sheet, line, values in self.of(shape):
            if key(values) in held and id(values) not in self.repeated:
                sheet.object_to(line, header, values[field], f"each {shape.one} once; this one is there already")
            held |= {key(values)} - {None}
        return held

    def problems(self) -> list[Problem]:
        """Everything wrong so far."""
        return [problem for sheet in self.sheets for problem in sheet.problems]

    def fact(self, code: str | None) -> Facts | None:
        """What is known of a code; None for no code, one nobody knows, or one whose row is broken."""
        return None if code is None else self.known[code[0]].get(code)

    def note(self, sentence: str) -> None:
        """Say something to the person, once."""
        self.notes[sentence] = None

    def all_notes(self) -> tuple[str, ...]:
        """Every note, the last of them counted where they are many."""
        notes = tuple(self.notes)
        more = len(notes) - MOST_NOTES
        return notes if more <= 0 else (*notes[:MOST_NOTES], f"And {more:,} more such notes.")


def fetch(batch: Batch, session: Any) -> None:
    """Learn from the book what rows speak of and the files do not hold."""
    wanted: dict[str, set[str]] = {"P": set(), "W": set(), "G": set()}
    for sheet in batch.sheets:
        for column in sheet.shape.references if sheet.shape is not None else ():
            for code in {values[column.field] for _line, values in sheet.rows if column.field in values}:
                if code not in batch.known[code[0]]:
                    wanted[code[0]].add(code)
    for letter, found in wanted.items():
        for code, facts in bulk.facts(session, letter, sorted(found)).items():
            batch.known[letter][code] = facts
            batch.ids[letter][code] = facts["id"]
    _first_graftings(batch, session)


def _first_graftings(batch: Batch, session: Any) -> None:
    """Learn when each plant that wood was cut from was first grafted, by the book and by the files."""
    sources = {values["source"] for sheet in batch.sheets for _line, values in sheet.rows if "source" in values}
    batch.grafted |= bulk.first_grafted(session, sorted(code for code in sources if code[0] == "P"))
    for _sheet, _line, values in batch.of(GRAFTS):
        host, day = values.get("host"), values.get("made_on")
        if host is not None and day is not None:
            batch.grafted[host] = min(day, batch.grafted.get(host, day))


def wide_scions(rows: Iterable[tuple[CsvSheet, int, Facts]]) -> str | None:
    """A question about scions wider than their stock, but for rows out of a book, where it was asked before; None where
    there is none."""
    new = (values for _sheet, _line, values in rows if "uid" not in values)
    wide = [v for v in new if v.get("scion_mm", 0) > v.get("stock_mm", 1e9)]
    if not wide:
        return None
    scion, stock = show_length(wide[0]["scion_mm"]), show_length(wide[0]["stock_mm"])
    others = f", and so in {len(wide) - 1:,} more" if len(wide) > 1 else ""
    return f"The scion of {wide[0]['code']} is {scion} on a stock of {stock}{others}: is that right?"
