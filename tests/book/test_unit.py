"""The unit of work: all or nothing, one entry, changes with values before and after."""

from datetime import date

import pytest
from sqlmodel import select

from graftbook.book.plants import Plant
from graftbook.book.tables import Change, Entry
from graftbook.book.unit import Book, row_values
from graftbook.book.wood import Bundle
from graftbook.errors import Refused


@pytest.fixture
def book(location):
    held = Book(location)
    yield held
    held.close()


def add_tree(book, **values):
    with book.write("tree", "K") as unit:
        number = unit.next_number("P")
        row = unit.add(Plant, number=number, code=f"P{number}", kind="tree", **values)
        unit.commit(f"Added P{number}")
    return row


def rows(book, table):
    with book.read() as session:
        return list(session.exec(select(table)))


def test_leaving_the_block_without_commit_keeps_nothing(book):
    with book.write("tree") as unit:
        unit.add(Plant, number=1, code="P1", kind="tree")
    assert [] == rows(book, Plant)
    assert [] == rows(book, Entry)


def test_an_error_in_the_block_keeps_nothing(book):
    with pytest.raises(RuntimeError), book.write("tree") as unit:
        unit.add(Plant, number=1, code="P1", kind="tree")
        raise RuntimeError
    assert [] == rows(book, Plant)


def test_a_commit_keeps_the_row_its_entry_and_its_change(book):
    row = add_tree(book, cultivar="Fitch’s Œillet", note="it's ‘old’")
    assert ["Fitch’s Œillet"] == [plant.cultivar for plant in rows(book, Plant)]
    (entry,) = rows(book, Entry)
    assert ("tree", "K", "Added P1") == (entry.verb, entry.who, entry.summary)
    assert entry.at.tzinfo is not None
    (change,) = rows(book, Change)
    assert ("insert", row.uid, None) == (change.operation, change.row_uid, change.before)
    assert "P1" == change.after["code"]


def test_an_amendment_keeps_the_values_before_and_after(book):
    row = add_tree(book, place="yard")
    with book.write("tree") as unit:
        held = unit.session.get(Plant, row.id)
        unit.amend(held, place=None, died_on=date(2027, 5, 1))
        unit.commit("Mended P1")
    last = rows(book, Change)[-1]
    assert ("yard", None) == (last.before.get("place"), last.after.get("place"))
    assert "2027-05-01" == last.after["died_on"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"kind": "bush"}, {"diameter_mm": -1}, {"diameter_mm": float("nan")}, {"diameter_mm": 1e12}, {"code": "G1"},
        {"number": 0}, {"cultivar": ""}, {"cultivar": "x" * 201}, {"order": -1}, {"bark": "loose"},
    ],
)  # fmt: skip
def test_the_validated_base_refuses_what_breaks_its_rules(book, wrong):
    values = {"number": 1, "code": "P1", "kind": "tree", **wrong}
    with pytest.raises(Refused), book.write("tree") as unit:
        unit.add(Plant, **values)
        unit.commit("no")
    assert [] == rows(book, Plant)


@pytest.mark.parametrize(
    "sql",
    [
        "INSERT INTO plant (number, code, kind, uid) VALUES (1, 'P1', 'bush', 'a')",
        "INSERT INTO plant (number, code, kind, uid) VALUES (1, 'P2', 'tree', 'a')",
        "INSERT INTO plant (number, code, kind, uid, diameter_mm) VALUES (1, 'P1', 'tree', 'a', 0)",
        "INSERT INTO movement (uid, bundle_id, \"on\", kind, sticks) VALUES ('a', 99, '2027-01-01', 'saved', 3)",
        "INSERT INTO look (uid, graft_id, \"on\", state) VALUES ('a', 99, '2027-01-01', 'growing')",
    ],
)
def test_the_database_holds_the_same_rules(book, sql):
    from sqlalchemy import text

    with pytest.raises(Refused), book.write("x") as unit:
        unit.session.execute(text(sql))
        unit.commit("no")


def test_a_number_is_never_given_twice_even_after_a_row_is_gone(book):
    row = add_tree(book)
    with book.write("undo") as unit:
        unit.remove_many(Plant, [(row.uid, row_values(row))])
        unit.commit("gone")
    assert "P2" == add_tree(book).code
    with book.write("x") as unit:
        unit.number_used("P", 40)
        assert 41 == unit.next_number("P", 3)
        assert 44 == unit.next_number("P")


def test_many_rows_at_once_are_validated_and_recorded_like_one(book):
    with book.write("import") as unit:
        unit.add_many(Plant, [{"number": n, "code": f"P{n}", "kind": "stock"} for n in range(1, 4)])
        unit.commit("three")
    assert ["P1", "P2", "P3"] == sorted(plant.code for plant in rows(book, Plant))
    assert 3 == len(rows(book, Change))
    with pytest.raises(Refused), book.write("import") as unit:
        unit.add_many(Plant, [{"number": 9, "code": "P9", "kind": "stock"}, {"number": 10, "code": "P10", "kind": "x"}])
    assert 3 == len(rows(book, Plant))


def test_a_uid_orders_by_time_and_stays_the_same(book):
    first, second = add_tree(book), add_tree(book)
    assert first.uid < second.uid
    assert "7" == first.uid[14]


def test_a_bundle_may_not_have_two_sources_or_a_range_upside_down(book):
    row = add_tree(book)
    for wrong in ({"diameter_min_mm": 9.0, "diameter_max_mm": 6.0}, {"cut_plant_id": row.id, "cut_graft_id": 1}):
        with pytest.raises(Refused), book.write("wood") as unit:
            unit.add(Bundle, number=1, code="W1", **wrong)
            unit.commit("no")
