"""Days from green tip as the book has it: from notes, and from plants that were told their stage before there were notes."""

from datetime import date

from graftbook.actions.plants import stage_notes
from graftbook.book.plants import Plant
from graftbook.book.stages import StageNote
from graftbook.book.unit import Book


def test_green_tip_is_read_from_notes_and_from_what_plants_hold_themselves(location):
    book = Book(location)
    with book.write("filling") as unit:
        old = unit.add(Plant, number=1, code="P1", kind="tree", taxon="Malus domestica", place="Row", stage="green tip",
                       stage_on=date(2026, 4, 2))  # fmt: skip
        tree = unit.add(Plant, number=2, code="P2", kind="tree", taxon="Malus domestica", place="Row")
        unit.add(StageNote, plant_id=tree.id, on=date(2027, 4, 9), stage="green tip", bbch="07")
        unit.add(StageNote, plant_id=old.id, on=date(2027, 4, 20), bark="slipping")
        unit.commit("Filled")
    with book.read() as session:
        tips = stage_notes.tips(session, "north")
    place = ("Malus domestica", "Row")
    assert 8 == tips.since(date(2026, 4, 10), old.id, *place).days
    assert -1 == tips.since(date(2027, 4, 8), tree.id, *place).days
    told = tips.since(date(2027, 4, 9), old.id, *place)
    assert (0, "kind here") == (told.days, told.whose)
    assert tips.since(date(2025, 4, 9), tree.id, *place) is None
    book.close()
