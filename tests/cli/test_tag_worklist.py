"""tags worklist: which tags want replacing, in walking order, and what answers them."""

import pytest
from filling import Filling, day

from graftbook.book.grafts import Care


@pytest.fixture
def rows(graftbook, location):
    """Grafts that took on stocks in row 10 (G1, G2) and row 2 (G3), and G4 on G3."""
    with Filling(location) as book:
        wood = book.wood()
        for row, order in (("10", 1), ("10", 2), ("2", 1)):
            last = book.graft(wood, book.stock(place="bench", row=row, order=order), "cleft")
            book.looks(last, "06-20 growing")
        book.looks(book.graft(wood, last, "cleft", "04-20"), "06-20 growing")
        book.stock(kind="tree", clone=None, cultivar="Butter Bergamot", place="home row")
    return graftbook


def listed(run, as_of="2027-11-30"):
    done = run("tags", "worklist", "--as-of", as_of, "--json")
    assert 0 == done.code, done.err
    return [(row["code"], row["why"]) for row in done.rows]


def printed(run, codes, path, *more):
    done = run("tags", codes, "--medium", "letter-30up", "-o", path, *more)
    assert 0 == done.code, done.err


NONE = "took, and no tag was printed"
SHORT = "took, still on a short-lived tag"
PAST = "past the 0.5 y such a mark lasts"


def test_rows_are_walked_by_number_and_a_graft_on_a_graft_stands_with_the_plant_at_its_foot(rows):
    found = rows("tags", "worklist", "--json").rows
    assert [("2", 1, "G3"), ("2", 1, "G4"), ("10", 1, "G1"), ("10", 2, "G2")] == [
        (row["row"], row["order"], row["code"]) for row in found
    ]
    assert {"bench"} == {row["place"] for row in found}


def test_what_stands_on_a_dead_plant_or_went_home_is_left_out(rows):
    assert 0 == rows("stock", "died", "P3", "--on", "2027-08-01").code
    assert 0 == rows("care", "G1", "gone-home", "--on", "2027-08-01").code
    assert [("G2", NONE)] == listed(rows)


def test_a_lasting_tag_put_on_a_plant_counts_for_the_graft_on_it(rows, tmp_path):
    printed(rows, "G1-G4", tmp_path / "a.pdf", "--on", "2027-04-20")
    assert 0 == rows("care", "P1", "lasting-tag", "--on", "2027-08-01").code
    assert [("G3", SHORT), ("G4", SHORT), ("G2", SHORT)] == listed(rows, "2027-08-02")


def test_a_lasting_tag_put_on_before_the_graft_was_made_is_not_the_tag_of_the_graft(rows, location):
    with Filling(location) as book:
        book.unit.add(Care, plant_id=1, on=day("03-01"), what="lasting-tag")
    assert ("G1", NONE) in listed(rows)


def test_a_tag_noted_missing_is_answered_by_printing_it_on_the_same_day(rows, tmp_path):
    printed(rows, "G1", tmp_path / "a.pdf")
    rows("care", "G1", "tag-missing")
    assert ("G1", "missing since 2027-11-30") in listed(rows)
    printed(rows, "G1", tmp_path / "a.pdf")
    assert ("G1", SHORT) in listed(rows)


def test_trees_are_listed_when_their_mark_is_past_its_time_or_noted_on_a_round(rows, tmp_path):
    assert "P4" not in dict(listed(rows))
    printed(rows, "P4", tmp_path / "a.pdf", "--on", "2027-04-20")
    assert PAST == dict(listed(rows))["P4"]
    done = rows("care", "P4", "tag", "faded")
    assert 0 == done.code, done.err
    assert "illegible since 2027-11-30" == dict(listed(rows))["P4"]
    rows("care", "P4", "lasting-tag")
    assert "P4" not in dict(listed(rows))


def test_a_stock_under_a_graft_goes_by_the_tag_of_the_graft(rows, tmp_path):
    printed(rows, "P1,G1", tmp_path / "a.pdf", "--on", "2027-04-20")
    assert {"G1": PAST, "G2": NONE, "G3": NONE, "G4": NONE} == dict(listed(rows))
    rows("care", "P1", "tag-missing", "--on", "2027-11-29")
    assert "missing since 2027-11-29" == dict(listed(rows))["P1"]
    printed(rows, "G1", tmp_path / "a.pdf")
    assert "P1" not in dict(listed(rows))


def test_noting_a_tag_missing_on_a_tree_claims_nothing_for_the_grafts_on_it(rows, location):
    with Filling(location) as book:
        wood = book.wood()
        tree = book.stock(kind="tree", clone=None, cultivar="Old Kitchen")
        for _ in range(2):
            book.graft(wood, tree, "cleft")
    assert "counts for every graft" in rows("care", tree.code, "lasting-tag").out
    assert "counts for every graft" not in rows("care", tree.code, "tag-missing").out


def test_a_day_that_is_none_is_said(rows):
    bad = rows("tags", "worklist", "--as-of", "someday")
    assert (2, "") == (bad.code, bad.out)


def test_a_place_and_a_limit_narrow_the_list_and_say_what_is_left_out(rows):
    few = rows("tags", "worklist", "--limit", 2, "--json").json
    assert (["G3", "G4"], 4) == ([row["code"] for row in few["rows"]], few["tags"])
    assert "2 more tags: --place or --limit." == few["notes"][0]
    assert 4 == len(rows("tags", "worklist", "--place", "BENCH", "--json").rows)
    none = rows("tags", "worklist", "--place", "attic", "--json").json
    assert ([], ["Nothing is due at 'attic'. Something is due at: bench."]) == (none["rows"], none["notes"])
