"""wood moved from store to store, and the lists of what is to be used, looked at and cleared."""

import pytest
from refusals import refused

JANUARY = "2027-01-10"


@pytest.fixture
def store(graftbook):
    """W1 sweet cherry and W2 apple, ten sticks each, cut on 10 January and put in the fridge at 2 C."""
    for name, kind in (("Black Heart", "sweet cherry"), ("Kilwarden Pippin", "apple")):
        assert graftbook("wood", "add", name, "--species", kind, "--from", "Neighbour", "--sticks", 10, "--buds", 6,
                         "--cut", JANUARY, "--received", JANUARY, "--store", "fridge", "--temperature", "2C").code == 0  # fmt: skip
    return graftbook


def wood(book, *words, code="W1"):
    return next(row for row in book("wood", "list", *words, "--json").rows if row["code"] == code)


def stays(book, code="W1"):
    return [
        (row["on"], row["name"], row["value"])
        for row in book("wood", "show", code, "--json").rows
        if row["section"] == "stores"
    ]


def test_a_move_counts_from_its_day_and_what_was_before_is_kept(store):
    before = wood(store, "--as-of", "2027-03-01")
    store("wood", "store", "W1", "--store", "shed", "--temperature", "4.5C", "--on", "2027-02-09")
    assert [("2027-01-10", "fridge", "2 C"), ("2027-02-09", "shed", "4.5 C")] == stays(store)
    after = wood(store, "--as-of", "2027-03-01")
    assert (60, 45) == (before["usual_days"], after["usual_days"])
    assert ("use first", "past the usual time") == (before["keeping"], after["keeping"])
    assert "it lay 30 days at 2 C, 20 days at 4.5 C" in after["keeping_words"]
    assert 60 == wood(store, "--as-of", "2027-02-01")["usual_days"]
    assert ("shed", 4.5) == (after["store"], after["temperature_c"])
    assert [] == stays(store, "W2")


def test_the_rounds_and_the_match_count_the_moves_too(store):
    store("wood", "store", "W1", "--store", "shed", "--temperature", "4.5C", "--on", "2027-02-09")
    due = {row["code"]: row for row in store("due", "--on", "2027-02-16", "--json").rows}
    assert {"W1"} == set(due)
    assert ("shed", "2027-02-24") == (due["W1"]["place"], due["W1"]["until"])
    store("stock", "add", "Gisela 5", "--species", "sweet cherry", "--diameter", "8mm", "--acquired", JANUARY)
    why = store("match", "--why", "P1", "W1", "--on", "2027-03-20", "--json")
    assert "past the usual" in why.out or "past" in why.out


def test_a_move_told_late_is_put_in_its_place_and_leaves_the_wood_where_it_is(store):
    store("wood", "store", "W1", "--store", "shed", "--temperature", "4.5C", "--on", "2027-02-09")
    store("wood", "store", "W1", "--store", "cellar", "--temperature", "6C", "--on", "2027-01-20")
    assert ["fridge", "cellar", "shed"] == [name for _, name, _ in stays(store)]
    assert ("shed", 4.5) == tuple(wood(store)[name] for name in ("store", "temperature_c"))


def test_what_is_told_again_for_the_same_day_mends_it(store):
    store("wood", "store", "W1", "--temperature", "3C", "--on", JANUARY)
    assert ([], 3) == (stays(store), wood(store)["temperature_c"])
    store("wood", "store", "W1", "--store", "shed", "--temperature", "8C", "--on", "2027-02-09")
    store("wood", "store", "W1", "--temperature", "4.5C", "--on", "2027-02-09")
    assert [("2027-01-10", "fridge", "3 C"), ("2027-02-09", "shed", "4.5 C")] == stays(store)


def test_a_move_is_undone_with_all_it_wrote(store):
    store("wood", "store", "W1-W2", "--store", "shed", "--temperature", "4.5C", "--on", "2027-02-09")
    assert store("undo", store("journal", "--json").rows[0]["entry"]).code == 0
    assert ([], [], "fridge") == (stays(store), stays(store, "W2"), wood(store)["store"])


def test_a_day_before_the_wood_was_there_is_refused(store):
    refused(store("wood", "store", "W1", "--store", "shed", "--on", "2027-01-01"), 21, "2027-01-10")
    refused(store("wood", "store", "W1", "--temperature", "99C"), 21, "between -40 and 60 C")
    assert [] == stays(store)


def test_what_is_to_be_used_first_can_be_asked_for_alone(store):
    rows = store("wood", "list", "--use-first", "--as-of", "2027-03-01", "--json")
    assert (["W1"], 1, 10) == ([row["code"] for row in rows.rows], rows.json["total"], rows.json["sticks_left"])
    assert [] == store("wood", "list", "--use-first", "--as-of", "2027-01-20", "--json").rows


def test_what_nobody_looked_at_for_so_long_can_be_asked_for_alone(store):
    store("wood", "inspect", "W1", "sound", "--on", "2027-02-01")
    for days, on, codes in ((14, "2027-02-10", ["W2"]), (14, "2027-02-15", ["W1", "W2"]), (40, "2027-02-15", [])):
        assert codes == sorted(
            row["code"] for row in store("wood", "list", "--unseen", days, "--as-of", on, "--json").rows
        )
    refused(store("wood", "list", "--unseen", 0), 2, "--unseen")


def test_a_store_is_listed_with_what_to_do_to_empty_it(store):
    store("wood", "store", "W2", "--store", "cellar", "--on", "2027-02-01")
    listed = store("wood", "list", "--store", "Fridge", "--as-of", "2027-07-01", "--json").json
    assert ["W1"] == [row["code"] for row in listed["rows"]]
    assert "To empty Fridge, 10 sticks in 1 bundle: try the green under the bark, else discard: W1." in listed["notes"]
    assert "No sticks lie in 'attic'. Wood lies in: cellar, fridge." in store("wood", "list", "--store", "attic").out


def test_several_bundles_are_thrown_away_at_once_or_not_at_all(store):
    refused(store("wood", "discard", "W1-W2", 3), 2, "one bundle")
    done = store("wood", "discard", "W1-W2", "--note", "dried out")
    assert "Discarded 10 sticks of W1, 10 sticks of W2; 0 left.\n" == done.out
    refused(store("wood", "discard", "W1-W2"), 21, "0 left")
    assert [] == store("wood", "list", "--json").rows


def test_the_age_of_the_wood_is_told_with_each_graft(store):
    store("stock", "add", "MM.106", "--acquired", JANUARY)
    store("graft", "W2", "P1", "--method", "whip", "--on", "2027-03-15")
    assert 64 == store("graft", "list", "--json").rows[0]["wood_age_days"]
    assert "64 days from the tree when it was used" in store("graft", "show", "G1").out


def test_stays_in_a_file_are_checked_and_taken_in(store, tmp_path):
    file = tmp_path / "stays.csv"
    file.write_text(
        "wood,on,store,temperature_c\nW1,2027-01-01,shed,4.5\nW9,2027-02-09,shed,4.5\nW1,2027-02-09,shed,99\n"
    )
    run = store("import", file)
    refused(run, 3, "2027-01-10", "line 3", "line 4")
    file.write_text("wood,on,store,temperature_c\nW1,2027-01-10,fridge,2\nW1,2027-02-09,shed,4.5\n")
    assert 0 == store("import", file).code
    assert 45 == wood(store, "--as-of", "2027-03-01")["usual_days"]


def test_a_temperature_wood_is_not_kept_at_is_questioned(store):
    """Common practice: dormant wood is kept a little above freezing; a household freezer at -18 C kills it."""
    assert "Is -18 C right?" in store("wood", "store", "W1", "--temperature", "-18C", "--on", "2027-02-09").out
    assert "right?" not in store("wood", "store", "W1", "--temperature", "3C", "--on", "2027-02-10").out
    assert "Is 30 C right?" in store("wood", "add", "Old Codlin", "--species", "apple", "--from", "Neighbour",
                                     "--sticks", 2, "--received", JANUARY, "--temperature", "30C").out  # fmt: skip


def test_fruit_beside_the_wood_is_named_with_the_first_of_a_season(graftbook):
    said = [
        graftbook("wood", "add", "Kilwarden Pippin", "--species", "apple", "--from", "Neighbour", "--sticks", 2,
                  "--received", JANUARY, "--store", "fridge").out
        for _ in range(2)
    ]  # fmt: skip
    assert [1, 0] == [text.count("ethylene") for text in said]
