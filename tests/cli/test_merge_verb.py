"""merge as a club uses it: two laptops from one book, two books that met late, on both databases."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture
def two(graftbook, location, tmp_path):
    """A club's book, and what copies it to the second laptop: a file, whichever database the first is in."""
    for words in (("settings", "who=IM"), ("tree", "add", "Quern Russet", "--species", "apple", "--place", "gate"),
                  ("stock", "add", "MM.106", "--count", "6"),
                  ("prune", "P1", "--on", "2027-01-14", "--save", "9 sticks 6-9mm 25cm 6 buds")):  # fmt: skip
        assert 0 == graftbook(*words).code
    assert 0 == graftbook("backup", tmp_path / "shed.sqlite").code
    return on(graftbook, str(tmp_path / "shed.sqlite"))


@pytest.fixture
def mine(graftbook, location):
    """Commands on the first laptop's book."""
    return on(graftbook, location)


def on(run, book):
    """Commands on another book; each must do."""

    def running(*words):
        did = run("--book", book, *words)
        assert 0 == did.code, did.err
        return did

    running.book = book
    return running


def kinds(did):
    return {row["what"] for row in did.rows}


def codes(run, what="graft"):
    return [row["code"] for row in run(what, "list", "--json").rows]


def sound(run):
    did = run("doctor")
    assert 0 == did.code, did.out


def test_two_laptops_from_one_book_come_together_and_go_back(graftbook, mine, two, tmp_path):
    mine("graft", "W1", "P2", "--method", "cleft", "--on", "2027-03-28")
    mine("look", "G1", "growing", "--on", "2027-06-01")
    two("graft", "W1", "P3-P4", "--method", "cleft", "--on", "2027-03-29", "--who", "Lee")
    two("look", "G1-G2", "growing", "--on", "2027-06-02", "--who", "Lee")
    two("tags", "G1", "--medium", "letter-30up", "-o", tmp_path / "tags.pdf")
    two("tree", "amend", "P1", "--place", "barn", "--who", "Lee")
    before = graftbook("journal", "--json").rows

    dry = graftbook("merge", two.book, "--dry-run", "--json")
    assert (0, {"new code", "comes", "changes"}, ["G3"]) == (dry.code, kinds(dry), dry.json["reprint"])
    assert before == graftbook("journal", "--json").rows

    done = graftbook("merge", two.book, "--json")
    assert (0, ["G3"]) == (done.code, done.json["reprint"])
    assert any("G3 (its tag says G1)" in note for note in done.json["notes"])
    assert ["G1", "G2", "G3"] == codes(graftbook)
    sound(graftbook)
    history = graftbook("history", "G3", "--json").rows
    assert ("Lee", True) == (history[0]["who"], "came with entry" in history[0]["change"])
    assert {"G1", "G3"} == {row["code"] for row in graftbook("find", "G1", "--json").rows}
    assert "old tag of G3" in graftbook("look", "G1", "growing", "--on", "2027-07-01").out
    assert "G3" in str(graftbook("tags", "worklist", "--json").rows)
    assert 0 == graftbook("undo", graftbook("journal", "--json").rows[0]["entry"]).code

    again = graftbook("merge", two.book, "--json")
    assert ([], None) == (again.rows, again.json["entry"])
    assert 0 == graftbook("undo", done.json["entry"]).code
    assert ["G1"] == codes(graftbook)
    sound(graftbook)
    assert {"new code", "comes", "changes"} == kinds(graftbook("merge", two.book, "--json"))
    sound(graftbook)


def test_merging_the_other_way_comes_to_the_same_codes(graftbook, mine, two, tmp_path):
    mine("graft", "W1", "P2", "--method", "cleft", "--on", "2027-03-28")
    two("graft", "W1", "P3", "--method", "cleft", "--on", "2027-03-29")
    two("want", "add", "Tolm Beauty", "3")
    mine("want", "add", "Quern Russet", "2")
    graftbook("merge", two.book)
    graftbook("backup", tmp_path / "back.sqlite")
    two("merge", str(tmp_path / "back.sqlite"))
    for words in (("graft", "list"), ("want", "list"), ("wood", "list")):
        assert graftbook(*words, "--json").rows == two(*words, "--json").rows
    sound(two)
    assert [] == graftbook("merge", two.book, "--json").rows


def test_what_was_changed_in_both_waits_for_the_persons_word(graftbook, mine, two):
    two("tree", "amend", "P1", "--place", "barn", "--row", "3", "--who", "Lee")
    mine("tree", "amend", "P1", "--place", "kiln")
    asked = graftbook("merge", two.book, "--json")
    assert (3, 1, None) == (asked.code, asked.json["asks"], asked.json["entry"])
    clash = asked.rows[0]
    assert ("changed in both", "P1", "place", "kiln", "barn", "IM", "Lee", None) == tuple(
        clash[name] for name in ("what", "thing", "field", "here", "there", "here_who", "there_who", "stands")
    )
    assert "--newest" in graftbook("merge", two.book).out
    wrong = graftbook("merge", two.book, "--take", "P2")
    assert (2, True) == (wrong.code, "p2" in wrong.err)
    assert 2 == graftbook("merge", two.book, "--take", "P1", "--keep", "P1").code
    assert 0 == graftbook("merge", two.book, "--take", "all", "--keep", "P1").code
    tree = graftbook("tree", "list", "--json").rows[0]
    assert ("kiln", "3") == (tree["place"], tree["row"])
    assert [] == graftbook("merge", two.book, "--json").rows
    two("tree", "amend", "P1", "--place", "yard", "--who", "Lee")
    assert 3 == graftbook("merge", two.book).code
    assert 0 == graftbook("merge", two.book, "--newest", "all").code
    assert "yard" == graftbook("tree", "list", "--json").rows[0]["place"]
    sound(graftbook)


def test_what_was_undone_stays_undone_and_what_stands_on_it_is_asked_about(graftbook, mine, two):
    mine("graft", "W1", "P2", "--method", "cleft", "--on", "2027-03-28")
    two("merge", backed_up(graftbook, two))
    graftbook("undo", graftbook("journal", "--json").rows[0]["entry"])
    assert [] == graftbook("merge", two.book, "--json").rows
    two("look", "G1", "growing", "--on", "2027-06-01", "--who", "Lee")
    asked = graftbook("merge", two.book, "--json")
    assert (3, "taken away", "stands") == (asked.code, asked.rows[0]["here"], asked.rows[0]["there"])
    assert 0 == graftbook("merge", two.book, "--keep", "G1").code
    assert [] == codes(graftbook)
    assert 0 == graftbook("undo", graftbook("journal", "--json").rows[0]["entry"]).code
    assert 0 == graftbook("merge", two.book, "--take", "G1").code
    assert ["G1"] == codes(graftbook)
    sound(graftbook)


def backed_up(run, two):
    place = Path(two.book).with_name("backed-up.sqlite")
    run("backup", place)
    return str(place)


def test_sticks_used_twice_are_no_merge_until_somebody_says_where_they_came_from(graftbook, mine, two):
    mine("wood", "give", "W1", "6", "--to", "Ilo M.")
    two("wood", "give", "W1", "7", "--to", "Sela")
    refused = graftbook("merge", two.book)
    assert (21, True) == (refused.code, "wood found W1" in refused.err)
    mine("wood", "found", "W1", "4")
    assert 0 == graftbook("merge", two.book).code
    sound(graftbook)


def test_two_books_that_met_late_and_an_exported_folder(graftbook, location, other, tmp_path):
    late = on(graftbook, other)
    for run, who in ((graftbook, "IM"), (late, "Lee")):
        for words in (("tree", "add", "Quern Russet", "--species", "apple"), ("stock", "add", "M.9", "--count", "3"),
                      ("prune", "P1", "--on", "2027-01-14", "--save", "5 sticks 6-9mm 25cm 6 buds"),
                      ("graft", "W1", "P2", "--method", "cleft", "--on", "2027-03-28", "--who", who), ("people", "add", "Ilo M."),
                      ("tags", "blank", "4", "--medium", "letter-30up", "-o", tmp_path / f"{who}.pdf"),
                      ("want", "add", "Quern Russet", "2"), ("plan", "--on", "2027-04-02")):  # fmt: skip
            did = run(*words)
            assert 0 == did.code, (words, did.err)
    late("export", tmp_path / "out")
    done = graftbook("merge", other, "--json")
    assert 0 == done.code, done.err
    assert {"P5", "W2"} <= set(done.json["reprint"])
    assert any("Blank tags" in note for note in done.json["notes"])
    assert 8 == len(codes(graftbook, "tree")) + len(codes(graftbook, "stock"))
    sound(graftbook)
    assert [] == [row for row in graftbook("merge", other, "--json").rows if row["what"] != "setting"]
    folder = graftbook("merge", tmp_path / "out", "--json")
    assert (0, []) == (folder.code, [row for row in folder.rows if row["what"] != "setting"])
    assert 0 == graftbook("undo", done.json["entry"]).code
    assert 0 == graftbook("merge", tmp_path / "out").code
    sound(graftbook)


def test_what_is_no_other_book_is_refused(graftbook, location, two, tmp_path):
    (tmp_path / "letter.odt").write_bytes(b"PK dear neighbour")
    (tmp_path / "empty").mkdir()
    for other, code in (
        (location, 21),
        (tmp_path / "none.sqlite", 20),
        (tmp_path / "letter.odt", 20),
        (tmp_path / "empty", 20),
    ):
        assert code == graftbook("merge", other).code
    assert [] == [path.name for path in tmp_path.rglob("*") if "graftbook-part" in path.name]
