"""trade: the tables printed and searched, and rows of one's own.

The facts checked here stand in the tables with their sources: pear on quince depends on the cultivar (University of
California, Quince as Pear Rootstock); the rest are checks of the search.
"""

import pytest
from refusals import refused

TABLES = ("methods", "pairs", "clones", "keeping", "callus", "stages", "cautions", "sources", "aftercare", "taxa")


def test_without_a_name_the_tables_are_listed_with_their_rows(graftbook):
    rows = {row["table"]: row for row in graftbook("trade", "--json").rows}
    assert set(TABLES) <= set(rows)
    assert all(row["rows"] > 5 and row["own_rows"] == 0 for row in rows.values())


@pytest.mark.parametrize("table", [*TABLES, "grades", "method-limits"])
def test_every_table_prints_narrow_for_people_and_whole_for_programs(on_sqlite, table):
    from graftbook.trade import tables

    out = on_sqlite("trade", table).out
    assert max(len(line) for line in out.splitlines()) <= 80
    rows = on_sqlite("trade", table, "--json", "--limit", 10_000).rows
    assert tuple(rows[0]) == tables.columns(table.replace("-", "_"))
    assert len(rows) == len(tables.rows(table.replace("-", "_")))
    assert on_sqlite("trade", table, "--csv").out.splitlines()[0] == ",".join(rows[0])


def test_words_find_pairs_under_any_name_in_either_direction(graftbook):
    rows = graftbook("trade", "pairs", "apple", "pear", "--json").rows
    found = {(row["scion_taxon"], row["stock_taxon"]) for row in rows}
    assert {("Malus domestica", "Pyrus communis"), ("Pyrus communis", "Malus domestica")} <= found
    shouted = graftbook("trade", "pairs", "APPLE", "Pyrus communis", "--json").rows
    assert ("Malus domestica", "Pyrus communis") in {(row["scion_taxon"], row["stock_taxon"]) for row in shouted}


def test_runs_of_words_and_rootstock_names_are_understood(graftbook):
    cherry = graftbook("trade", "pairs", "sweet", "cherry", "--json").rows
    assert "Prunus avium" in {row["scion_taxon"] for row in cherry}
    assert {row["clone"] for row in graftbook("trade", "clones", "mm106", "--json").rows} >= {"MM.106"}


def test_every_published_row_has_its_source_below(graftbook):
    document = graftbook("trade", "pairs", "pear", "quince", "--json").json
    keys = {row["source"] for row in document["rows"] if row["basis"] == "published"}
    assert keys
    assert all(any(note.startswith(f"{key}: ") for note in document["notes"]) for key in keys)
    assert "Quince as Pear Rootstock (University of California" in " ".join(document["notes"])


def test_nothing_found_and_no_such_table_say_what_to_do(graftbook):
    none = graftbook("trade", "pairs", "unicorn", "--json").json
    assert none["rows"] == []
    assert "Fewer words find more" in none["notes"][0]
    refused(graftbook("trade", "spells"), 2, "methods, ", "'spells'")
    refused(graftbook("trade", "pairs", *"abcdefghij"), 2, "at most 8 words")


def test_a_row_of_ones_own_stands_first_with_its_source_and_is_undoable(graftbook):
    added = graftbook("trade", "add", "pairs", "scion=pear", "stock=quince", "verdict=good", "caveat=So far.",
                      "source=my own trees 2019")  # fmt: skip
    assert added.out.startswith("Added your own row to pairs: scion_taxon Pyrus communis, stock_taxon Cydonia oblonga")
    first = graftbook("trade", "pairs", "pear", "quince", "--json").rows[0]
    assert (first["basis"], first["verdict"], first["source"]) == ("own", "good", "my own trees 2019")
    assert {row["table"]: row["own_rows"] for row in graftbook("trade", "--json").rows}["pairs"] == 1
    assert "own: my own" in graftbook("trade", "pairs", "pear", "quince").out
    assert graftbook("undo", 1).code == 0
    assert graftbook("trade", "pairs", "pear", "quince", "--json").rows[0]["basis"] != "own"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("pairs", "scion=pear", "stock=quince", "verdict=lovely"), "good, workable, delayed, poor, no"),
        (("pairs", "scion=pear"), "verdict"),
        (("pairs", "scion=pear", "colour=red"), "'colour'"),
        (("pairs", "pear"), "COLUMN=TEXT"),
        (("pairs", "=x"), "COLUMN=TEXT"),
        (("stages", "word=x"), "a table that takes your own rows"),
        (("spells", "word=x"), "a table: "),
        (("keeping", "wood=dormant", "days_min=-4"), "a whole number"),
    ],
)
def test_rows_that_cannot_stand_are_refused_and_nothing_is_kept(graftbook, words, said):
    refused(graftbook("trade", "add", *words), 2, said)
    assert graftbook("journal", "--json").rows == []


def test_one_row_of_ones_own_for_each_key(graftbook):
    words = ("trade", "add", "cautions", "key=my-saw", "when=prune", "words=The old saw jumps.")
    assert graftbook(*words).code == 0
    refused(graftbook(*words), 21, "There is a row of your own for 'my-saw' already", "Undo that entry")
