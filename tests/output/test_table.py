"""Tables for people: units with every number, never wider than asked, every letter kept."""

import json
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftbook.actions.desk.results import Report, Usual
from graftbook.output import plain_rows
from graftbook.output.table import View, prose_text, table_text


@dataclass(frozen=True)
class Thing:
    """A row for these tests."""

    code: str
    cultivar: str | None
    diameter_mm: float | None = None
    temperature_c: float | None = None
    rate: float | None = None
    on: date | None = None
    place: str | None = None
    seen: bool | None = None
    shown: ClassVar = ("code", "cultivar", "diameter_mm", "temperature_c", "rate", "on", "place", "seen")


THING = Thing("P1", "Œillet d’été", 9.52, 3.5, 0.625, date(2027, 3, 1), "yard", True)


def test_numbers_carry_the_books_units():
    metric = table_text(Report(Thing, (THING,)), View())
    inches = table_text(Report(Thing, (THING,)), View("in", "F"))
    assert "9.52 mm" in metric
    assert "3.5 C" in metric
    assert "62 %" in metric
    assert "3/8 in" in inches
    assert "38 F" in inches


def test_an_empty_report_says_so_and_keeps_its_notes():
    assert table_text(Report(Thing, (), ("Why there is none.",)), View()) == "Nothing to show.\nWhy there is none.\n"


READ = Report(
    Thing, (THING, THING, THING), ("Look at P1 again.", Usual("Counted twice.")), cautions=("Sharp.",), most=2
)


def test_usual_notes_and_rows_past_the_most_are_named_in_one_line_and_cautions_stay():
    short = table_text(READ, View()).splitlines()
    assert ["Look at P1 again.", "Sharp.", "1 more of 3 lines: --all. 1 usual note: --notes."] == short[-3:]
    assert 2 == sum(line.startswith("P1 ") for line in short)
    assert ["Look at P1 again.", "Counted twice.", "Sharp."] == table_text(READ, View(notes=True)).splitlines()[-4:-1]


@dataclass(frozen=True)
class Gate:
    """A row that may stand aside for these tests."""

    gate: str
    aside: ClassVar = property(lambda self: self.gate == "pass")


def test_rows_that_stand_aside_are_counted_and_read_with_the_notes():
    gates = Report(Gate, (Gate("caution"), Gate("pass"), Gate("pass")), (Usual("How."),))
    assert "2 more of 3 lines and 1 usual note: --notes." == table_text(gates, View()).splitlines()[-1]
    assert 2 == table_text(gates, View(notes=True)).count("pass")
    assert 3 == len(json.loads(plain_rows.json_text(gates))["rows"])
    assert 1 == table_text(Report(Gate, (Gate("pass"),)), View()).count("pass")


def test_programs_get_every_row_and_every_note():
    document = json.loads(plain_rows.json_text(READ))
    assert 3 == len(document["rows"])
    assert ["Look at P1 again.", "Counted twice.", "Sharp."] == document["notes"]
    assert 4 == len(plain_rows.csv_text(READ).splitlines())


@dataclass(frozen=True)
class Said:
    """A row of running text for these tests."""

    section: str
    sentence: str


def test_a_section_of_usual_sentences_alone_is_left_out_until_asked_for():
    told = Report(Said, (Said("What took", "Two."), Said("How", Usual("By counting."))), title="Review")
    assert "Review\n\nWhat took\nTwo.\n1 usual note: --notes.\n" == prose_text(told)
    assert prose_text(told, notes=True).endswith("\nHow\nBy counting.\n")


def test_groups_stand_under_their_name_without_a_column_of_it():
    text = table_text(Report(Thing, (THING, Thing("P2", None)), group="place"), View())
    assert ["yard", "place not recorded"] == [
        line for line in text.splitlines() if line in ("yard", "place not recorded")
    ]
    assert "place " not in text.splitlines()[1]


@given(
    st.lists(st.text("abcdefgh' -é", min_size=1, max_size=60), min_size=1, max_size=4), st.sampled_from([60, 80, 120])
)
def test_no_line_is_wider_than_asked_and_no_letter_is_lost(names, width):
    rows = tuple(
        Thing(f"P{number}", name, 9.0, 3.0, 0.5, date(2027, 3, 1), name, False) for number, name in enumerate(names)
    )
    text = table_text(Report(Thing, rows), View(width=width))
    assert max(len(line) for line in text.splitlines()) <= width
    for name in names:
        for letter in "abcdefghé":
            assert text.count(letter) >= 2 * name.count(letter)


def test_json_is_one_document_with_rows_notes_and_facts():
    import json

    text = plain_rows.json_text(Report(Thing, (THING,), ("A note.",), {"as_of": date(2027, 3, 1)}))
    document = json.loads(text)
    assert ["A note."] == document["notes"]
    assert "2027-03-01" == document["as_of"]
    assert {"code": "P1", "cultivar": "Œillet d’été", "rate": 0.625, "on": "2027-03-01"}.items() <= document["rows"][
        0
    ].items()


def test_csv_has_a_header_even_when_there_is_nothing():
    assert plain_rows.csv_text(Report(Thing, ())).startswith("code,cultivar,diameter_mm")
    assert 'P1,"a ""b"", c"' in plain_rows.csv_text(Report(Thing, (Thing("P1", 'a "b", c'),)))


def test_json_never_holds_a_number_that_is_none():
    with pytest.raises(ValueError, match="Out of range"):
        plain_rows.json_text(Report(Thing, (Thing("P1", None, float("nan")),)))
