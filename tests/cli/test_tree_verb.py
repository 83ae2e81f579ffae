"""tree: trees added, listed, shown, amended, their stage, their end and the grower's own notes, as a person types them."""

from refusals import refused


def add(graftbook, *more):
    return graftbook("tree", "add", "Kilwarden Pippin", "--species", "apple", "--acquired", "2020-03-01", *more)


def entries(graftbook):
    return len(graftbook("journal", "--json").rows)


def test_a_tree_added_is_listed_with_every_promised_name(graftbook):
    added = add(graftbook, "--clone", "M26", "--place", "Orchard", "--row", "2", "--order", 5, "--diameter", "3in")
    assert added.out.startswith("Added tree P1: 'Kilwarden Pippin', on M.26, Malus domestica, 76.2 mm, Orchard, row 2")
    row = graftbook("tree", "list", "--json").rows[0]
    stated = {name: row[name] for name in ("code", "kind", "taxon", "clone", "diameter_mm", "place", "row", "order")}
    assert stated == {"code": "P1", "kind": "tree", "taxon": "Malus domestica", "clone": "M.26", "diameter_mm": 76.2,
                    "place": "Orchard", "row": "2", "order": 5}  # fmt: skip
    assert (row["acquired_on"], row["measured_on"], row["died_on"]) == ("2020-03-01", "2020-03-01", None)


def test_the_species_may_be_left_out_where_the_book_knows_the_cultivar(graftbook):
    add(graftbook)
    assert graftbook("tree", "add", "kilwarden pippin").code == 0
    assert [row["cultivar"] for row in graftbook("tree", "list", "--json").rows] == ["Kilwarden Pippin"] * 2
    refused(graftbook("tree", "add", "Tolm Beauty"), 2, "the species", "new to this book", "--species apple")
    refused(graftbook("tree", "add"), 2, "the species", "neither")


def test_a_cultivar_under_two_species_wants_the_species_said(graftbook):
    add(graftbook)
    graftbook("tree", "add", "Kilwarden Pippin", "--species", "pear")
    refused(graftbook("tree", "add", "Kilwarden Pippin"), 2, "Malus domestica and Pyrus communis")


def test_names_with_accents_and_quotes_are_kept_as_typed(graftbook):
    assert graftbook("tree", "add", "Reine d'Été", "--species", "plum", "--from", 'José "Pepe" O\'Neill').code == 0
    row = graftbook("tree", "list", "--json").rows[0]
    assert (row["cultivar"], row["from"]) == ("Reine d'Été", 'José "Pepe" O\'Neill')
    assert graftbook("tree", "list", "--cultivar", "REINE D'ETE", "--json").rows == [row]


def test_a_kind_that_the_tables_lack_is_kept_and_said(graftbook):
    added = graftbook("tree", "add", "--species", "Zzyxia mirabilis")
    assert "Zzyxia mirabilis is not in the tables" in added.out
    assert graftbook("tree", "list", "--json").rows[0]["taxon"] == "Zzyxia mirabilis"


NO_TREES = (
    ((" ",), 2, "a name for the cultivar"),
    (("'",), 2, "the name of a cultivar"),
    (("X" * 201, "--species", "apple"), 21, "The cultivar of a plant must have at most 200 characters; 'XXX"),
    (("A", "--species", "apple", "--acquired", "2028-01-01"), 21, "2028-01-01 lies after today, 2027-11-30"),
    (("A", "--species", "apple", "--acquired", "31 Feb 2027"), 2, "a day that exists"),
    (("A", "--species", "apple", "--order", "-1"), 2, "a place in the row"),
    (("A", "--species", "apple", "--order", "9" * 30), 2, "a place in the row"),
    (
        ("A", "--species", "apple", "--diameter", "9000mm"),
        21,
        "between 1 mm and 2000 mm, and '9000mm' is 9000 mm. Is the unit",
    ),
    (("A", "--species", "apple", "--diameter", "-3mm"), 2, "calliper"),
    (("A", "--species", "apple", "--diameter", "3-Aug"), 2, "looks like a date"),
    (("A", "--species", "apple", "--stage", "gren tip"), 2, "green tip"),
    (("A", "--species", "apple", "--bark", "wet"), 2, "tight or slipping"),
    (("A", "--species", "apple", "--acquired", "2027-05-01", "--on", "2027-04-01", "--diameter", "9mm"), 21, "came"),
)


def test_what_cannot_be_said_of_a_tree_is_refused_and_nothing_is_kept(graftbook):
    for words, code, said in NO_TREES:
        refused(graftbook("tree", "add", *words), code, said)
    assert graftbook("tree", "list", "--json").rows == []
    assert entries(graftbook) == 0


def test_lists_narrow_by_place_species_and_cultivar_and_show_the_dead_when_asked(graftbook):
    add(graftbook, "--place", "Örchard")
    graftbook("tree", "add", "--species", "fig", "--place", "Wall")
    graftbook("tree", "died", "P2")

    def codes(*words):
        return [row["code"] for row in graftbook("tree", "list", "--json", *words).rows]

    assert codes() == ["P1"]
    assert codes("--all") == ["P1", "P2"]
    assert codes("--place", "orchard") == ["P1"]
    assert codes("--species", "Ficus carica", "--all") == ["P2"]
    assert codes("--cultivar", "Kilwarden pippin", "--species", "apple") == ["P1"]
    nowhere = graftbook("tree", "list", "--place", "Moon", "--json").json
    assert nowhere["rows"] == []
    assert "Örchard, Wall" in nowhere["notes"][0]


def test_a_long_list_comes_in_pages(graftbook):
    graftbook("stock", "add", "M.9", "--count", 25)
    first = graftbook("stock", "list", "--limit", 10, "--json").json
    assert [row["code"] for row in first["rows"]] == [f"P{n}" for n in range(1, 11)]
    assert first["total"] == 25
    assert "--page 2" in first["notes"][0]
    last = graftbook("stock", "list", "--limit", 10, "--page", 3, "--json").json
    assert [row["code"] for row in last["rows"]] == [f"P{n}" for n in range(21, 26)]
    assert "Next" not in last["notes"][0]
    assert graftbook("stock", "list", "--page", 9, "--json").json["notes"] == [
        "There is no page 9: 25 stocks on 1 page."
    ]


def test_amending_changes_what_was_said_and_can_be_undone(graftbook):
    add(graftbook, "--place", "Orchard")
    graftbook("tree", "add", "--species", "fig")
    assert (
        graftbook("tree", "amend", "P1-P2", "--place", "Wall", "--order", 3).out
        == "Amended P1-P2: place Wall, order 3.\n"
    )
    assert [(r["place"], r["order"]) for r in graftbook("tree", "list", "--json").rows] == [("Wall", 3), ("Wall", 4)]
    graftbook("tree", "amend", "P1", "--place", "")
    assert graftbook("tree", "list", "--json").rows[0]["place"] is None
    graftbook("undo", 4)
    assert graftbook("tree", "list", "--json").rows[0]["place"] == "Wall"


def test_amending_refuses_nothing_said_and_a_coming_after_what_was_done(graftbook):
    add(graftbook)
    graftbook("prune", "P1", "--on", "2027-01-14")
    refused(graftbook("tree", "amend", "P1"), 2, "something to amend")
    refused(graftbook("tree", "amend", "P1", "--acquired", "2027-02-01"), 21, "2027-01-14")
    refused(graftbook("tree", "amend", "P1", "--kind", "bush"), 2, "a tree or a stock")
    assert graftbook("tree", "list", "--json").rows[0]["acquired_on"] == "2020-03-01"


def test_a_stock_planted_out_may_be_kept_as_a_tree(graftbook):
    graftbook("stock", "add", "MM.106")
    graftbook("stock", "amend", "P1", "--kind", "tree", "--place", "Orchard")
    assert [row["code"] for row in graftbook("tree", "list", "--json").rows] == ["P1"]
    assert graftbook("stock", "list", "--json").rows == []


def test_unknown_codes_and_wrong_check_characters_are_named(graftbook):
    add(graftbook)
    refused(graftbook("tree", "amend", "P1,P7,P9", "--place", "Wall"), 20, "P7, P9")
    refused(graftbook("tree", "show", "P1-0"), 2, "for P1")
    refused(graftbook("tree", "show", "W1"), 2, "plants, whose codes start with P")
    refused(graftbook("tree", "show", "pear"), 2, "a code, which is a letter and a number")
    refused(graftbook("tree", "stage", "P1-P3", "dormant"), 20, "P2, P3")
    assert graftbook("tree", "list", "--json").rows[0]["stage"] is None


def test_a_stage_is_kept_by_its_everyday_word_with_its_day(graftbook):
    add(graftbook)
    graftbook("tree", "add", "--species", "pear")
    done = graftbook("tree", "stage", "P1-P2", "budbreak", "--on", "2027-03-20", "--bark", "tight")
    assert done.out == "P1-P2 at green tip, bark tight on 2027-03-20.\n"
    row = graftbook("tree", "list", "--json").rows[1]
    assert (row["stage"], row["stage_on"], row["bark"]) == ("green tip", "2027-03-20", "tight")
    graftbook("tree", "stage", "P1", "pink", "--on", "2027-04-20")
    assert graftbook("tree", "list", "--json").rows[0]["bark"] is None


def test_a_stage_out_of_time_is_refused(graftbook):
    add(graftbook)
    graftbook("tree", "stage", "P1", "pink", "--on", "2027-04-20")
    refused(graftbook("tree", "stage", "P1", "dormant", "--on", "2019-03-01"), 21, "2020-03-01")
    refused(
        graftbook("tree", "stage", "P1", "dormant", "--on", "2027-12-24"), 21, "2027-12-24 lies after today, 2027-11-30"
    )
    refused(graftbook("tree", "stage", "P1", "asparagus"), 2, "a growth stage")


def test_a_dead_tree_stays_in_the_book_and_takes_nothing_more(graftbook):
    add(graftbook)
    graftbook("prune", "P1", "--on", "2027-06-01")
    refused(graftbook("tree", "died", "P1", "--on", "2027-05-01"), 21, "2027-06-01")
    last = "‘Kilwarden Pippin’ lives nowhere in this book now, nor in store.\n"
    died = graftbook("tree", "died", "P1", "--on", "2027-07-02", "--note", "voles")
    assert died.out == f"P1 died, 2027-07-02.\n{last}"
    refused(graftbook("tree", "died", "P1", "--on", "2027-08-02"), 21, "died on 2027-07-02")
    refused(graftbook("tree", "stage", "P1", "dormant"), 21, "died on 2027-07-02")
    row = graftbook("tree", "list", "--all", "--json").rows[0]
    assert (row["died_on"], row["note"]) == ("2027-07-02", "2027-07-02: voles")


def test_own_notes_on_health_and_rights_are_shown_with_one_caution(graftbook):
    add(graftbook)
    suspect = graftbook("tree", "note", "P1", "--health", "suspect", "--source", "blisters", "--on", "2027-05-01")
    assert suspect.out.splitlines()[0] == "Your note on P1: health: suspect."
    assert suspect.out.count("under suspicion") == 1
    rights = graftbook(
        "tree", "note", "P1", "--rights", "no wood to others", "--until", "2031-06-30", "--on", "2027-05-02"
    )
    assert "no legal advice" in rights.out
    assert "suspicion" not in graftbook("tree", "note", "P1", "--health", "visibly clean").out
    own = [row for row in graftbook("tree", "show", "P1", "--json").rows if row["section"] == "your own notes"]
    assert [(row["on"], row["name"], row["value"]) for row in own[:2]] == [
        ("2027-05-01", "health", "suspect (blisters)"),
        ("2027-05-02", "rights", "no wood to others until 2031-06-30"),
    ]


def test_own_notes_refuse_what_cannot_be_one(graftbook):
    add(graftbook)
    refused(graftbook("tree", "note", "P1"), 2, "--health and --rights")
    refused(graftbook("tree", "note", "P1", "--health", "poorly"), 2, "suspect, visibly clean, tested")
    refused(graftbook("tree", "note", "P1", "--rights", " "), 2, "your own words")
    refused(graftbook("tree", "note", "P1", "--rights", "x", "--until", "2020-01-01"), 21,
            "The note ends on 2020-01-01, before it begins on 2027-11-30")  # fmt: skip
    refused(graftbook("tree", "note", "W1", "--health", "tested"), 2, "plants")
    assert entries(graftbook) == 1


def test_show_gathers_facts_prunes_wood_and_grafts(graftbook):
    add(graftbook, "--place", "Orchard")
    graftbook("prune", "P1", "--on", "2027-01-14", "--thinning", 3, "--save", "4 sticks 6mm")
    rows = graftbook("tree", "show", "P1", "--json").rows
    assert {"section": "facts", "on": None, "name": "place", "value": "Orchard"} in rows
    assert {"section": "prunes", "on": "2027-01-14", "name": "3 thinning cuts", "value": "saved W1 (4 sticks)"} in rows
    assert {"section": "wood cut", "on": "2027-01-14", "name": "W1", "value": "4 of 4 sticks left"} in rows
    refused(graftbook("tree", "show", "P1-P2"), 20, "P2")
