"""One question, one answer: what is alive, what is here and where a cultivar lives is said alike by every verb."""

import pytest

CUT, MADE = "2027-01-10", "2027-04-10"


@pytest.fixture
def house(graftbook):
    """P1, a tree of Kilwarden Pippin; W1 to W3 wood received of it, of Dun Reinette and of Copper Codlin; P2 a stock."""
    for words in (
        ("tree", "add", "Kilwarden Pippin", "--species", "apple", "--place", "Garth"),
        ("stock", "add", "MM.106", "--place", "Nursery", "--acquired", "2027-01-05"),
    ):
        assert graftbook(*words).code == 0
    for name in ("Kilwarden Pippin", "Dun Reinette", "Copper Codlin"):
        assert graftbook("wood", "add", name, "--species", "apple", "--sticks", 2, "--buds", 9, "--cut", CUT, "--received",
                         "2027-01-11", "--from", "Neighbour", "--temperature", "3C").code == 0  # fmt: skip
    return graftbook


@pytest.fixture
def stack(house):
    """P3, a stock with G1 (Dun Reinette) on it as interstem and G2 (Kilwarden Pippin) on that, both seen growing."""
    add(house, "stock", "add", "MM.106", "--place", "Yard", "--acquired", "2027-01-05")
    add(house, "want", "add", "Kilwarden Pippin", 3, "--on", "2027-03-01")
    graft(house, "W2", "P3")
    graft(house, "W1", "G1")
    add(house, "look", "G1-G2", "growing", "--on", "2027-07-01")
    for bundle in ("W1", "W2"):
        add(house, "wood", "count", bundle, 0, "--on", "2027-07-01")
    return house


def add(book, *words):
    run = book(*words)
    assert 0 == run.code, run.err
    return run


def graft(book, wood, host, on=MADE):
    return add(book, "graft", wood, host, "--method", "bark", "--on", on, "--yes")


def alive(book):
    """Living grafts of a want, then what name have counts: trees, grafts, sticks."""
    want = book("want", "list", "--json").rows[0]["alive"]
    have = book("name", "have", "Kilwarden Pippin", "--json").rows
    return want, *((row["trees"], row["grafts"], row["sticks"]) for row in have)


def at_risk(book):
    return {row["cultivar"]: row for row in book("only", "--json").rows}


def open_on(book, plant):
    """Whether a look at the plant by its code finds an open graft on it."""
    return book("look", plant, "growing", "--on", "2027-11-01").code == 0


def free(book):
    return [row["code"] for row in book("stock", "list", "--free", "--json").rows]


def test_nothing_lives_on_a_dead_stock_whoever_is_asked(stack):
    assert (1, (1, 1, 0)) == alive(stack)
    add(stack, "stock", "died", "P3", "--on", "2027-09-01")
    add(stack, "tree", "died", "P1", "--on", "2027-09-01")
    assert (0,) == alive(stack)
    assert {} == at_risk(stack)
    fates = {row["code"]: row["fate"] for row in stack("trace", "down", "W1", "--json").rows}
    assert "dead" in fates["G2"]


def test_what_stands_on_a_dead_interstem_is_dead_until_it_is_seen_alive(stack):
    add(stack, "look", "G1", "dead", "--on", "2027-08-01")
    assert (0, (1, 0, 0)) == alive(stack)
    assert [] == [row for row in stack("due", "--on", "2027-08-02", "--json").rows if row["code"] in ("G1", "G2")]
    assert "P3" in free(stack)
    asked = stack("tree", "gone", "P1", "--on", "2027-11-02")
    assert (21, True) == (asked.code, "‘Kilwarden Pippin’ would live nowhere else" in asked.err)
    said = stack("graft", "W3", "G2", "--method", "bark", "--on", "2027-08-03", "--yes")
    assert (21, True) == (said.code, "G1 under it dead on 2027-08-01" in said.err)
    add(stack, "look", "G2", "growing", "--on", "2027-08-20")
    assert (1, (1, 1, 0)) == alive(stack)
    assert "P3" not in free(stack)


def test_what_went_home_is_here_no_longer_for_any_verb(house):
    add(house, "want", "add", "Dun Reinette", 3, "--on", "2027-03-01")
    graft(house, "W2", "P2")
    add(house, "stock", "add", "MM.106", "--place", "Nursery", "--acquired", "2027-01-05")
    graft(house, "W2", "P3")
    add(house, "look", "G1-G2", "growing", "--on", "2027-07-01")
    add(house, "care", "P2", "gone-home", "--on", "2027-08-01")
    said = add(house, "care", "--place", "Nursery", "staked", "--on", "2027-08-02").out
    assert ("G2: staked" in said, "G1" in said) == (True, False)
    assert 1 == house("want", "list", "--json").rows[0]["alive"]
    assert [1] == [row["grafts"] for row in house("name", "have", "Dun Reinette", "--json").rows]
    assert {"G2"} == {row["code"] for row in house("due", "--on", "2027-08-02", "--json").rows if row["code"][0] == "G"}
    assert [] == free(house)
    add(house, "wood", "count", "W2", 0, "--on", "2027-08-02")
    asked = house("tree", "gone", "P3", "--on", "2027-08-03")
    assert (21, True) == (asked.code, "‘Dun Reinette’ would live nowhere else in this book" in asked.err)
    add(house, "look", "G1", "growing", "--on", "2027-08-10")
    assert 2 == house("want", "list", "--json").rows[0]["alive"]
    assert "would live nowhere else" not in house("tree", "gone", "P3", "--on", "2027-08-11").err


def test_a_plant_that_came_back_is_here_again(house):
    add(house, "care", "P2", "gone-home", "--on", "2027-08-01")
    assert [] == free(house)
    add(house, "care", "P2", "moved", "--place", "Nursery", "--on", "2027-08-20")
    assert ["P2"] == free(house)


def test_a_graft_not_found_counts_nowhere_as_living(house):
    graft(house, "W3", "P2")
    add(house, "wood", "count", "W3", 0, "--on", "2027-06-01")
    add(house, "look", "G1", "not-found", "--on", "2027-06-10")
    assert "Copper Codlin" not in at_risk(house)
    assert "G1" not in {row["code"] for row in house("due", "--on", "2027-06-11", "--json").rows}
    assert 20 == house("care", "--place", "Nursery", "staked", "--on", "2027-06-11").code
    assert ["P2"] == free(house)


def test_a_cultivar_is_told_by_what_it_is_and_not_by_how_it_was_written(house):
    """A synonym and a later naming: both trees are one cultivar, for the list of what is at risk and for the saw alike."""
    add(house, "tree", "add", "Old Crab", "--species", "apple", "--place", "Lane")
    add(house, "wood", "count", "W1", 0, "--on", "2027-02-01")
    assert "‘Old Crab’ would live nowhere else" in house("tree", "gone", "P3").err
    add(house, "name", "synonym", "Old Crab", "--of", "Kilwarden Pippin")
    assert "Kilwarden Pippin" not in at_risk(house)
    assert 0 == house("tree", "gone", "P3").code
    add(house, "undo", max(row["entry"] for row in house("journal", "--json").rows))
    add(house, "name", "add", "P3", "Quern Russet", "--sure", "verified by fruit", "--on", "2027-10-01")
    assert {"Kilwarden Pippin", "Quern Russet"} <= set(at_risk(house))
    assert "‘Quern Russet’ would live nowhere else" in house("tree", "gone", "P3").err
    assert "‘Kilwarden Pippin’ would live nowhere else" in house("tree", "gone", "P1").err


def test_a_want_is_met_by_what_was_later_found_to_be_it(house):
    add(house, "want", "add", "Kilwarden Pippin", 3, "--on", "2027-03-01")
    graft(house, "W2", "P2")
    add(house, "look", "G1", "growing", "--on", "2027-07-01")
    assert 0 == house("want", "list", "--json").rows[0]["alive"]
    add(house, "name", "add", "G1", "Kilwarden Pippin", "--sure", "verified by fruit", "--on", "2027-10-01")
    assert 1 == house("want", "list", "--json").rows[0]["alive"]


def test_a_cultivar_left_only_as_sticks_is_at_risk_first_of_all(house):
    said = add(house, "tree", "died", "P1", "--on", "2027-02-01")
    assert "‘Kilwarden Pippin’ lives nowhere in this book now; 2 sticks of it are in store." in said.out
    rows = house("only", "--as-of", "2027-02-10", "--json").json["rows"]
    row = next(row for row in rows if row["cultivar"] == "Kilwarden Pippin")
    assert ["only as sticks: 2 in W1, graft it first"] == list(row["risks"])
    assert (0, 0, "W1") == (row["trees"], row["grafts"], row["cut_from"])
    assert "Kilwarden Pippin" in [row["cultivar"] for row in rows][:3]


def test_sticks_past_keeping_are_no_safety_before_the_saw(house):
    near = house("tree", "gone", "P1", "--on", "2027-02-01")
    assert "nowhere else in this book; 2 sticks of it are in store." in near.err
    far = house("tree", "gone", "P1", "--on", "2027-11-20")
    assert "nowhere else in this book; 2 sticks of it are in store but past keeping." in far.err
    add(house, "tree", "gone", "P1", "--on", "2027-11-20", "--yes")
    assert "Kilwarden Pippin" not in at_risk(house)
    add(house, "wood", "inspect", "W2", "dead", "--on", "2027-01-20")
    assert "Dun Reinette" not in [row["cultivar"] for row in house("only", "--as-of", "2027-01-21", "--json").rows]


def test_a_death_is_followed_by_the_same_warning_as_a_felling(house):
    graft(house, "W3", "P2")
    add(house, "look", "G1", "growing", "--on", "2027-07-01")
    add(house, "wood", "count", "W3", 0, "--on", "2027-07-01")
    said = add(house, "stock", "died", "P2", "--on", "2027-09-01", "--json").json
    assert any("‘Copper Codlin’ lives nowhere in this book now, nor in store." in one for one in said["notes"])


def test_a_last_copy_that_only_a_graft_not_yet_judged_backs_is_said(house):
    add(house, "wood", "count", "W1", 1, "--on", "2027-04-01")
    graft(house, "W1", "P2")
    add(house, "wood", "count", "W1", 0, "--on", "2027-04-11")
    asked = house("tree", "gone", "P1", "--on", "2027-04-20")
    assert "‘Kilwarden Pippin’ would live only in what was not yet seen growing: G1." in asked.err


def test_a_dead_stock_asks_for_no_tag_and_no_graft(stack):
    assert {"G1", "G2"} <= {row["code"] for row in stack("tags", "worklist", "--as-of", "2027-11-02", "--json").rows}
    add(stack, "look", "G1", "dead", "--stock-fate", "dead", "--on", "2027-11-02")
    assert set() == {row["code"] for row in stack("tags", "worklist", "--json").rows} & {"G1", "G2"}
    assert "P3" not in free(stack)
    assert "P3" not in " ".join(row["stock"] for row in stack("match", "--wood", "W3", "--json").rows)


def planned(book, *words):
    """The wood of a plan not kept, and its notes."""
    run = book("plan", "--on", "2027-03-20", "--dry-run", *words, "--json")
    return {row["wood"] for row in run.rows} if run.code == 0 else set(), run.out + run.err


@pytest.fixture
def wanted(house):
    """Three trees of Kilwarden Pippin are wanted, and its tree and W1 are all the book has of it; P3 to P5 are stocks."""
    add(house, "want", "add", "Kilwarden Pippin", 3, "--on", "2027-01-20")
    add(
        house,
        "stock",
        "add",
        "MM.106",
        "--count",
        3,
        "--place",
        "Nursery",
        "--acquired",
        "2027-01-05",
        "--diameter",
        "9mm",
    )
    for bundle in ("W1", "W2", "W3"):
        add(house, "wood", "amend", bundle, "--diameter", "8-10mm", "--length", "30cm")
    return house


def test_a_plan_uses_wood_by_what_it_is_and_not_by_how_it_was_written(wanted):
    assert {"W1"} == planned(wanted)[0]
    add(wanted, "name", "W2", "Kilwarden Pippin", "--sure", "verified by fruit", "--on", "2027-02-01")
    add(wanted, "name", "W1", "Quern Russet", "--sure", "verified by fruit", "--on", "2027-02-01")
    assert {"W2"} == planned(wanted)[0]
    row = wanted("plan", "need", "--through", "take=0.9", "--as-of", "2027-03-20", "--json").rows[0]
    assert ("Kilwarden Pippin", 0) == (row["cultivar"], row["sticks_short"])


def test_a_want_under_a_synonym_is_met_by_wood_of_the_name_preferred(wanted):
    add(wanted, "want", "add", "Old Crab", 1, "--on", "2027-01-20")
    assert {"W1"} == planned(wanted, "--wants", "1")[0]
    assert set() == planned(wanted, "--wants", "2")[0]
    add(wanted, "name", "synonym", "Old Crab", "--of", "Kilwarden Pippin")
    assert {"W1"} == planned(wanted, "--wants", "2")[0]


def test_wood_in_doubt_is_not_planned_and_that_is_said(wanted):
    add(wanted, "name", "W1", "Kilwarden Pippin or Quern Russet", "--on", "2027-02-01")
    wood, said = planned(wanted)
    assert (set(), True) == (wood, "W1 may be of a cultivar that is wanted, or may not" in said)
    add(wanted, "name", "W2", "Kilwarden Pippin", "--sure", "verified by fruit", "--on", "2027-02-01")
    wood, said = planned(wanted)
    assert ({"W2"}, True) == (wood, "W1 may be of a cultivar that is wanted, or may not" in said)


def test_what_goes_with_a_tree_is_called_by_what_it_is(house):
    graft(house, "W2", "P1")
    add(house, "name", "G1", "Tolm Beauty", "--sure", "verified by fruit", "--on", "2027-06-01")
    assert "G1 ‘Tolm Beauty’" in house("tree", "gone", "P1").err
    said = add(house, "prune", "P1", "--save", "2 sticks", "--on", "2027-08-01", "--yes").out
    assert "P1 carries G1 'Tolm Beauty'. Wood of a graft is saved with --from G1." in said
    rows = house("take", "next", "method=cleft,bark", "--rates", "0.7,0.9", "--on", "2027-03-01", "--json").rows
    assert ["Tolm Beauty"] == [row["cultivar"] for row in rows if row["wood"] == "W2"]


def standing(book, *words):
    rows = book("take", "--endpoint", "standing", "--as-of", "2027-11-30", *words, "--json").rows
    return tuple(sum(row[key] for row in rows) for key in ("k", "n", "lost_otherwise", "unknown"))


def test_nothing_stands_on_a_dead_stock_for_a_take_either(stack):
    add(stack, "look", "G1-G2", "growing", "--on", "2027-10-20")
    assert (2, 2, 0, 0) == standing(stack)
    add(stack, "stock", "died", "P3", "--on", "2027-11-10")
    assert (0, 2, 2, 0) == standing(stack)
    assert [2, 2] == [stack("take", "--as-of", "2027-11-30", "--json").rows[0][key] for key in ("k", "n")]
    row = stack("take", "--endpoint", "standing", "--losses", "--as-of", "2027-11-30", "--json").rows[0]
    assert (2, 2, 0) == (row["died"], row["died_not_union"], row["false_takes"])


def test_what_stands_on_a_graft_not_found_is_not_known_to_a_take(stack):
    add(stack, "look", "G1-G2", "growing", "--on", "2027-10-20")
    add(stack, "look", "G1", "not-found", "--on", "2027-11-10")
    assert (0, 0, 0, 2) == standing(stack)


def test_wood_of_unknown_cutting_day_is_past_its_time_once_it_has_lain_here_so_long(house):
    add(
        house,
        "wood",
        "receive",
        "Tolm Beauty",
        "--from",
        "Neighbour",
        "--species",
        "apple",
        "--sticks",
        2,
        "--on",
        "2027-01-15",
    )
    assert "Tolm Beauty" in at_risk_on(house, "2027-07-01")
    row = next(row for row in house("wood", "list", "--as-of", "2027-07-20", "--json").rows if row["code"] == "W4")
    assert ("past the longest known", None) == (row["keeping"], row["age_days"])
    assert "when it was cut is not known, it came about 6 months ago, past the longest known" in row["keeping_words"]
    assert "Tolm Beauty" not in at_risk_on(house, "2027-07-20")


def at_risk_on(book, day):
    return {row["cultivar"] for row in book("only", "--as-of", day, "--json").rows}
