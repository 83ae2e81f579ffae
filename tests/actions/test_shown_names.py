"""What things are called: the clones of a few things alone come to what the whole book comes to, and doubt has short forms."""

from __future__ import annotations

import random

import pytest
from filling import Filling, day
from sqlmodel import select

from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import Shown, shorter
from graftbook.book.grafts import Graft
from graftbook.book.lineage import Naming, Synonym
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle, Movement

NAMES = ("Quern Russet", "quern russet", "Tolm Beauty", "Kilwarden Pippin", "Tolm Beauty or Kilwarden Pippin")


def fill(book: Filling, chance: random.Random) -> None:
    """Trees and stocks, wood of them and of grafts, two mixes, and namings of all of these."""
    plants = [book.stock(kind="tree", clone=None, cultivar=chance.choice((*NAMES, None))) for _ in range(4)]
    plants += [book.stock(mm=None) for _ in range(3)]
    bundles, grafts = [], []
    for _ in range(chance.randint(10, 18)):
        source = chance.choice((*plants, *grafts))
        key = "cut_plant_id" if isinstance(source, Plant) else "cut_graft_id"
        said = chance.choice((*NAMES, None, None, None))
        bundles.append(book.wood(cultivar=said, sticks=3, **{key: source.id}))
        for _ in range(chance.randint(0, 2)):
            stick = chance.choice((None, 1, 2, 3))
            grafts.append(book.graft(bundles[-1], chance.choice(plants), stick=stick))
    for parts in (bundles[:2], bundles[2:5]):
        bundles.append(book.wood(cultivar=None, sticks=3 * len(parts)))
        for part in parts:
            row = {"bundle_id": part.id, "on": day("02-01"), "kind": "mixed", "sticks": -3}
            book.unit.add(Movement, into_bundle_id=bundles[-1].id, **row)
        grafts += [book.graft(bundles[-1], plants[-1], stick=stick) for stick in (None, 1, 2)]
    for _ in range(chance.randint(2, 8)):
        thing = chance.choice((*plants, *bundles, *grafts))
        key = {Plant: "plant_id", Bundle: "bundle_id", Graft: "graft_id"}[type(thing)]
        names = chance.choice(("Quern Russet", "Tolm Beauty | Quern Russet", "Corner Apple", None))
        sure = chance.choice(("believed", "tested", "doubtful"))
        on = day(f"0{chance.randint(3, 9)}-01")
        nickname = None if names else "old yard"
        book.unit.add(Naming, candidates=names, sure=sure, on=on, nickname=nickname, **{key: thing.id})
    if chance.random() < 0.5:
        book.unit.add(Synonym, name="Corner Apple", preferred="quern russet", on=day("03-01"))


@pytest.mark.parametrize("seed", range(12))
def test_a_few_things_are_called_as_they_are_in_the_whole_book(location, graftbook, seed):
    with Filling(location) as book:
        fill(book, random.Random(seed))
        session = book.unit.session
        whole = shown_names.every(session)
        rows = [row for table in (Plant, Bundle, Graft) for row in session.exec(select(table))]
        for row in rows:
            assert whole.of(row) == shown_names.of(session, [row]).of(row), row.code
        till = day("05-15")
        before, few = shown_names.every(session, till), shown_names.of(session, rows, till)
        assert [before.of(row) for row in rows] == [few.of(row) for row in rows]


@pytest.mark.parametrize(
    ("names", "forms"),
    [
        (("Quern Russet", "Tolm Beauty"), ("Quern Russet/Tolm Beauty?", "Quern / Tolm?")),
        (("Golden Quern", "Golden Tolm"), ("Golden Quern/Golden Tolm?", "Quern / Tolm?")),
        (("Golden", "Golden Tolm"), ("Golden/Golden Tolm?", "one of 2?")),
        (("A", "B", "C", "D"), ("A/B/C/D?", "A / B / C / D?", "one of 4?")),
    ],
)
def test_candidates_are_told_apart_in_ever_shorter_forms(names, forms):
    assert forms == shorter(names)


def test_a_tag_always_shows_a_doubt_as_one():
    assert ("Quern Russet",) == Shown("Quern Russet", ("Quern Russet",), None, "tested").forms
    assert ("Quern Russet?",) == Shown("Quern Russet", ("Quern Russet",), None, "doubtful").forms
    assert ('unknown ("old yard")', '"old yard"') == Shown('unknown ("old yard")', (), "old yard", "believed").forms
    assert ("unknown apple", "unknown") == Shown("unknown", (), None, "believed", None, "Malus domestica").forms
    assert "apple" == Shown(taxon="Malus domestica").forms[0]
    assert () == Shown().forms
