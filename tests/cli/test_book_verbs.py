"""start, settings, journal, history and undo, as a person uses them."""


def test_an_empty_book_has_settings_and_an_empty_journal(graftbook):
    assert graftbook("settings", "--json").rows[0] == {"setting": "name", "value": "Graftbook"}
    assert graftbook("journal", "--json").rows == []


def test_a_setting_changed_is_an_entry_that_can_be_undone(graftbook):
    assert graftbook("settings", "units=in").out == "Set units to in.\n"
    entry = graftbook("journal", "--json").rows[0]["entry"]
    assert graftbook("undo", entry).code == 0
    assert {"setting": "units", "value": "mm"} in graftbook("settings", "--json").rows


def test_an_entry_cannot_be_undone_twice(graftbook):
    graftbook("settings", "units=in")
    graftbook("undo", 1)
    again = graftbook("undo", 1)
    assert again.code == 21
    assert again.out == ""
    assert "Entry 1 was undone by entry 2." in again.err


def test_an_unknown_setting_names_those_there_are(graftbook):
    bad = graftbook("settings", "colour=red")
    assert bad.code == 2
    assert "name, units, temperature" in bad.err


def test_history_tells_what_was_seen_and_done_even_after_the_entry_was_undone(graftbook):
    graftbook("stock", "add", "MM.106", "--count", 2, "--diameter", "8mm", "--acquired", "2027-01-01")
    graftbook(
        "wood", "add", "Stoneway Pearmain", "--species", "apple", "--sticks", 9, "--cut", "2027-01-14", "--from", "K."
    )
    graftbook("graft", "W1", "P1", "--method", "cleft", "--on", "2027-04-01")
    graftbook("look", "G1", "growing", "--on", "2027-06-20")
    told = [row["change"] for row in graftbook("history", "G1", "--json").rows]
    assert 2 == len(told)
    assert "growing" in told[1]
    entries = [row["entry"] for row in graftbook("journal", "--limit", 2, "--json").rows]
    refused = graftbook("undo", entries[1])
    assert 21 == refused.code
    assert f"entry {entries[0]}: " in refused.err
    for entry in entries:
        assert 0 == graftbook("undo", entry).code
    undone = graftbook("history", "G1", "--json").rows
    assert [True, True, False, False] == [row["undone"] for row in undone]
    assert 20 == graftbook("history", "G2").code


def test_undo_without_a_number_names_the_last_entry_and_undoes_nothing(graftbook):
    assert "Nothing is recorded yet" in graftbook("undo").err
    for name in ("Kilwarden Pippin", "Tarrow Russet"):
        graftbook("tree", "add", name, "--species", "apple")
    newest, before = (row["entry"] for row in graftbook("journal", "--json").rows[:2])
    asked = graftbook("undo")
    assert asked.code == 2 and f"To undo it: graftbook undo {newest}." in asked.err
    assert graftbook("undo", newest).code == 0
    assert f"To undo it: graftbook undo {before}." in graftbook("undo").err
