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
    assert "it was undone by entry 2" in again.err


def test_an_unknown_setting_names_those_there_are(graftbook):
    bad = graftbook("settings", "colour=red")
    assert bad.code == 2
    assert "name, units, temperature" in bad.err
