"""History and undo: nothing is erased, and nothing that others stand on is pulled away."""

from datetime import date

import pytest
from sqlmodel import select

from graftbook.book import journal
from graftbook.book.grafts import Graft, Look
from graftbook.book.plants import Plant
from graftbook.book.tables import Entry
from graftbook.book.unit import Book


@pytest.fixture
def book(location):
    held = Book(location)
    yield held
    held.close()


def record(book, verb, work):
    with book.write(verb) as unit:
        row = work(unit)
        return row, unit.commit(f"{verb} done").id


def undo(book, entry_id):
    with book.write("undo") as unit:
        journal.put_back(unit, unit.session.get(Entry, entry_id))
        return unit.commit(f"undid {entry_id}").id


def blockers(book, entry_id):
    with book.read() as session:
        return [(b.entry_id, b.thing) for b in journal.blockers(session, entry_id)]


def held(book, table):
    with book.read() as session:
        return list(session.exec(select(table)))


def add_plant(unit):
    return unit.add(Plant, number=1, code="P1", kind="stock", place="bench")


def add_graft(plant):
    return lambda unit: unit.add(
        Graft, number=1, code="G1", method="cleft", made_on=date(2027, 3, 1), host_plant_id=plant.id
    )


def test_undoing_an_insert_takes_the_row_away_and_undoing_that_brings_it_back(book):
    plant, entry = record(book, "stock", add_plant)
    first = undo(book, entry)
    assert [] == held(book, Plant)
    undo(book, first)
    (back,) = held(book, Plant)
    assert (plant.uid, "bench") == (back.uid, back.place)
    assert [None, 3] == [e.undone_by for e in held(book, Entry)][:2]


def test_undoing_an_amendment_puts_the_values_before_it_back(book):
    plant, _ = record(book, "stock", add_plant)
    _, entry = record(
        book, "stock", lambda u: u.amend(u.session.get(Plant, plant.id), place="field", died_on=date(2027, 4, 1))
    )
    undo(book, entry)
    (back,) = held(book, Plant)
    assert ("bench", None) == (back.place, back.died_on)


def test_what_stands_on_an_entry_is_named(book):
    plant, planted = record(book, "stock", add_plant)
    graft, grafted = record(book, "graft", add_graft(plant))
    record(book, "look", lambda u: u.add(Look, graft_id=graft.id, on=date(2027, 5, 1), state="growing"))
    assert [(grafted, "G1")] == blockers(book, planted)
    assert [(grafted + 1, "look growing on 2027-05-01")] == blockers(book, grafted)
    assert [] == blockers(book, grafted + 1)


def test_what_was_undone_no_longer_stands_in_the_way(book):
    plant, planted = record(book, "stock", add_plant)
    _, mended = record(book, "stock", lambda u: u.amend(u.session.get(Plant, plant.id), place="field"))
    assert [(mended, "P1")] == blockers(book, planted)
    undo(book, mended)
    assert [] == blockers(book, planted)


def test_history_keeps_every_change_in_order(book):
    plant, _ = record(book, "stock", add_plant)
    _, mended = record(book, "stock", lambda u: u.amend(u.session.get(Plant, plant.id), place="field"))
    undo(book, mended)
    with book.read() as session:
        steps = journal.history(session, [plant.uid])
    assert ["insert", "update", "update"] == [step.operation for step in steps]
    assert [False, True, False] == [step.undone for step in steps]
