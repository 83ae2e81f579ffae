"""doubles as a club uses it after two books came together: listed with reasons, joined one by one or all, taken back."""

from __future__ import annotations

import json
import shutil
from pathlib import Path


def pairs(did):
    return [(row["kind"], row["keep"], row["other"]) for row in did.rows]


def test_two_laptops_that_entered_the_same_are_made_one_and_parted_again(
    graftbook, location, sqlite_template, tmp_path
):
    late = str(shutil.copy(sqlite_template, tmp_path / "late.sqlite"))

    def both(*words):
        for book in (location, late):
            did = graftbook("--book", book, *words)
            assert 0 == did.code, did.err

    both(
        "tree",
        "add",
        "Quern Russet",
        "--species",
        "apple",
        "--place",
        "gate",
        "--order",
        "4",
        "--acquired",
        "2019-11-02",
    )
    both("stock", "add", "MM.106", "--count", "3", "--acquired", "2026-12-01")
    both("prune", "P1", "--on", "2027-01-14", "--save", "5 sticks 6-9mm 25cm 6 buds")
    both("graft", "W1", "P2", "--method", "cleft", "--on", "2027-03-28")
    both("graft", "W1", "P2", "--method", "cleft", "--on", "2027-03-29")
    for words in (
        ("tree", "amend", "P1", "--cultivar", "Quern Russett", "--site", "Hill"),
        ("look", "G1", "growing", "--on", "2027-06-01"),
        ("people", "add", "Ilo M."),
        ("wood", "receive", "Tolm Beauty", "--from", "Ilo M.", "--sticks", "3", "--species", "apple"),
    ):
        assert 0 == graftbook("--book", late, *words).code
    assert 0 == graftbook("people", "add", "Ilo Marren", "--initials", "IM").code
    assert 0 == graftbook("merge", late).code

    listed = graftbook("doubles", "--json")
    assert ("plant", "P1", "P5") in pairs(listed)
    assert ("person", "Ilo Marren", "Ilo M.") in pairs(listed)
    assert ("graft", "G1", "G2") in pairs(listed)  # a day apart on one stock, of one bundle, by two entries
    assert not [pair for pair in pairs(listed) if pair[0] == "plant" and pair != ("plant", "P1", "P5")]
    (tree,) = (row for row in listed.rows if row["kind"] == "plant")
    assert ("no. 4" in tree["why"], "Quern Russet / Quern Russett" in tree["differ"]) == (True, True)
    assert "by two" not in graftbook("doubles").out

    joined = graftbook("doubles", "--join", "P1=P5", "--join", "Ilo Marren=Ilo M.", "--json")
    assert 0 == joined.code, joined.err
    assert ("P1", "Hill") == tuple(graftbook("tree", "list", "--json").rows[0][name] for name in ("code", "site"))
    assert 1 == len(graftbook("tree", "list", "--json").rows)
    assert "P1" in json.dumps(graftbook("find", "P5", "--json").rows)
    assert 0 == graftbook("tree", "amend", "P5", "--place", "barn").code
    assert "barn" == graftbook("tree", "list", "--json").rows[0]["place"]
    assert ["Ilo Marren"] == [row["name"] for row in graftbook("people", "list", "--json").rows]
    assert 0 == graftbook("doctor").code
    assert [] == [row for row in graftbook("merge", late, "--json").rows if row["what"] != "setting"]
    graftbook("undo", graftbook("journal", "--json").rows[0]["entry"])
    for row in reversed(joined.rows):
        assert 0 == graftbook("undo", row["entry"]).code
    assert 2 == len(graftbook("tree", "list", "--json").rows)
    assert pairs(listed) == pairs(graftbook("doubles", "--json"))

    assert 0 == graftbook("doubles", "--join", "all").code
    assert [] == graftbook("doubles", "--json").rows
    assert 0 == graftbook("doctor").code
    for words, code in ((("P1",), 2), (("P1=W1",), 2), (("P1=P99",), 20), (("P1=P5",), 21)):
        assert code == graftbook("doubles", *(part for word in words for part in ("--join", word))).code
    assert Path(late).exists()
