"""look: one graft and whole rows, states and their spellings, contradictions that stay, and what is refused."""

import pytest
from refusals import refused

MARCH, MAY, JUNE = "2027-03-15", "2027-05-01", "2027-06-10"


@pytest.fixture
def row(graftbook):
    """Stocks P1-P8; W1; grafts G1-G4 by whip on P1-P4 and buds G5-G6 by chip on P5-P6, made in March."""
    assert graftbook("stock", "add", "MM.106", "--count", 8, "--grade", "6-8mm", "--acquired", "2027-01-10").code == 0
    assert graftbook("wood", "add", "Kilwarden Pippin", "--species", "apple", "--from", "Neighbour", "--sticks", 10,
                     "--diameter", "6-9mm", "--buds", 6, "--cut", "2027-01-20", "--received", "2027-01-21",
                     "--on", "2027-01-21").code == 0  # fmt: skip
    assert graftbook("graft", "W1", "P1-P4", "--method", "whip", "--on", MARCH).code == 0
    assert graftbook("graft", "W1", "P5-P6", "--method", "chip", "--on", MARCH).code == 0
    return graftbook


@pytest.fixture
def on_one_row(on_sqlite):
    """One graft on SQLite, for spellings that no database can change."""
    on_sqlite("stock", "add", "MM.106", "--acquired", "2027-01-10")
    on_sqlite("wood", "add", "Kilwarden Pippin", "--species", "apple", "--from", "Neighbour", "--sticks", 1,
              "--cut", "2027-01-20", "--received", "2027-01-21", "--on", "2027-01-21")  # fmt: skip
    assert on_sqlite("graft", "W1", "P1", "--method", "whip", "--on", MARCH).code == 0
    return on_sqlite


def looks(book, *words):
    return [(row["graft"], row["on"], row["state"]) for row in book("look", "list", *words, "--json").rows]


def test_a_row_is_looked_at_in_one_entry_with_exceptions(row):
    done = row("look", "G1-G4", "growing", "--except", "G2", "--on", MAY, "--who", "Bo")
    assert "G1, G3-G4: 3 grafts growing, 2027-05-01.\n" == done.out
    assert [("G1", MAY, "growing"), ("G3", MAY, "growing"), ("G4", MAY, "growing")] == looks(row)
    entry = row("journal", "--json").rows[0]
    assert ("Bo", "G1, G3-G4: 3 grafts growing, 2027-05-01") == (entry["who"], entry["what"])
    assert row("undo", entry["entry"]).code == 0
    assert [] == looks(row)


def test_grafts_and_buds_are_counted_apart(row):
    assert row("look", "G1-G6", "swelling", "--on", MAY).out.startswith("G1-G6: 4 grafts and 2 buds swelling")


def test_a_look_keeps_shoot_cause_union_stock_photo_and_note(row, tmp_path):
    photo = tmp_path / "union.jpg"
    photo.write_bytes(b"\xff\xd8")
    row("look", "G1", "growing", "--shoot", "12in", "--on", MAY)
    done = row("look", "G1", "dead", "--cause", "drought", "--union", "no", "--stock-fate", "alive", "--photo", photo,
               "--note", "dry corner", "--who", "Ada", "--on", JUNE)  # fmt: skip
    assert done.out.startswith("G1: 1 graft dead, drought, not the union, 2027-06-10.")
    rows = row("look", "list", "G1", "--json").rows
    assert [304.8, None] == [each["shoot_mm"] for each in rows]
    assert {
        "graft": "G1", "on": JUNE, "state": "dead", "shoot_mm": None, "cause": "drought", "union": "no", "stock_fate": "alive",
        "who": "Ada", "photo": str(photo), "note": "dry corner", "cultivar": "Kilwarden Pippin",
    } == rows[1]  # fmt: skip
    text = row("look", "list", "G1").out
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.parametrize(
    ("typed", "state"),
    [
        ("no movement", "no-movement"), ("No-Movement", "no-movement"), ("green", "no-movement"), ("growing on", "growing"),
        ("buds open", "pushing"), ("shriveled", "shrivelled"), ("not found", "not-found"), ("died", "dead"),
        ("stopped", "stalled"), ("swelling", "swelling"),
    ],
)  # fmt: skip
def test_states_are_read_in_plain_spellings(on_one_row, typed, state):
    assert on_one_row("look", "G1", typed, "--on", MAY).code == 0
    assert [state] == [seen for _, _, seen in looks(on_one_row)]


def test_words_may_be_split_as_typed_and_codes_given_one_by_one(row):
    assert row("look", "G1", "G2,G3", "not", "found", "--on", MAY).code == 0
    assert ["not-found"] * 3 == [state for _, _, state in looks(row)]


def test_a_dead_graft_can_be_seen_growing_later_and_both_looks_stay(row):
    row("look", "G1", "dead", "--on", MAY)
    done = row("look", "G1,G2", "growing", "--on", JUNE)
    assert "G1: seen dead on 2027-05-01, and growing now; both looks stay and the later one counts." in done.out
    assert [("G1", MAY, "dead"), ("G1", JUNE, "growing")] == looks(row, "G1")
    assert "growing" == row("graft", "list", "--json").rows[0]["state"]


def test_a_look_entered_late_says_that_a_later_one_stays_the_last(row):
    row("look", "G1", "dead", "--on", JUNE)
    done = row("look", "G1", "growing", "--on", MAY)
    assert "already looked at later, dead on 2027-06-10; that look stays the last." in done.out
    assert "dead" == row("graft", "list", "--json").rows[0]["state"]
    assert "looked at the same day and found growing" in row("look", "G1", "stalled", "--on", MAY).out


def test_what_grew_and_is_still_now_is_said_to_contradict(row):
    row("look", "G1", "growing", "--on", MAY)
    assert "seen growing on 2027-05-01, which no-movement contradicts" in row("look", "G1", "green", "--on", JUNE).out


def test_a_plant_stands_for_its_only_open_graft(row):
    assert "G1: 1 graft pushing" in row("look", "P1", "pushing", "--on", MAY).out
    assert "G2-G4: 3 grafts pushing" in row("look", "P2-P4", "pushing", "--on", MAY).out
    row("look", "G1", "dead", "--on", MAY)
    refused(
        row("look", "P1", "growing", "--on", JUNE),
        21,
        "P1 carries none (G1 dead on 2027-05-01)",
        "Name the graft itself",
    )
    row("graft", "W1", "P1", "--method", "chip", "--on", "2027-05-20")
    assert "G7: 1 bud growing" in row("look", "P1", "growing", "--on", JUNE).out


def test_a_plant_with_two_open_grafts_names_both(row):
    row("graft", "W1", "P1", "--method", "chip", "--on", "2027-03-20")
    refused(row("look", "P1-P2", "growing", "--on", MAY), 21, "P1 carries G1, G7", "Name the graft itself")
    assert "G7, G2: 1 graft and 1 bud growing" in row("look", "P1-P2", "growing", "--on", MAY, "--except", "G1").out
    assert [] == looks(row, "G1")


def test_a_graft_on_a_graft_leaves_its_plant_in_doubt_too(row):
    row("graft", "W1", "G1", "--method", "chip", "--on", "2027-04-20")
    refused(row("look", "P1", "growing", "--on", MAY), 21, "P1 carries G1, G7")


def test_what_went_home_is_open_no_longer(row):
    row("care", "P1", "gone home", "--on", MAY)
    refused(row("look", "P1", "growing", "--on", JUNE), 21, "G1 gone home on 2027-05-01")
    assert row("look", "G1", "growing", "--on", JUNE).code == 0


def test_bud_states_are_for_buds(row):
    assert "G5-G6: 2 buds set" in row("look", "G5-G6", "set", "--on", "2027-04-10").out
    refused(row("look", "G1-G6", "set", "--on", "2027-04-10"), 21, "Only a bud can be set; G1-G4 are not buds.")
    refused(row("look", "G1", "not set", "--on", MAY), 21, "Only a bud can be not set; G1 is not a bud.")
    assert row("look", "G5", "forced", "--on", MAY).code == 0
    assert row("look", "G6", "not set", "--union", "yes", "--on", MAY).code == 0


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("G1", "grown up"), 2, "no-movement, swelling, pushing"),
        (("G1", "growin"), 2, "Did you mean growing"),
        (("G1", "not looked at"), 2, "leave it out"),
        (("G1",), 2, "codes and then a word"),
        (("growing",), 2, "codes and then a word"),
        (("W1", "growing"), 2, "grafts or plants"),
        (("G99", "growing"), 20, "No graft with the code G99"),
        (("G1-G9", "growing"), 20, "G7, G8, G9"),
        (("P99", "growing"), 20, "No plant with the code P99"),
        (("G1-Q", "growing"), 2, "the check character W for G1"),
        (("G4-G1", "growing"), 2, "runs upwards"),
        (("G1", "growing", "--on", "2027-03-01"), 21, "G1, made on 2027-03-15"),
        (
            ("G1", "growing", "--on", "2028-03-01"),
            21,
            "2028-03-01 lies after today, 2027-11-30. What has not happened cannot be recorded.",
        ),
        (("G1", "growing", "--on", "soon"), 2, "a date"),
        (("G1", "growing", "--union", "yes"), 2, "--union with a loss"),
        (("G1", "growing", "--cause", "drought"), 2, "--cause with a loss"),
        (("G1", "dead", "--union", "perhaps"), 2, "yes, no, unsure"),
        (("G1", "dead", "--stock-fate", "fine"), 2, "alive, weak, dead, unsure"),
        (("G1", "no movement", "--shoot", "3cm"), 2, "no shoot"),
        (("G1", "growing", "--shoot", "30m"), 21, "Is the unit right?"),
        (("G1", "growing", "--photo", "nowhere.jpg"), 2, "a photo that is there"),
        (("G1-G4", "growing", "--except", "G9"), 2, "among the codes"),
        (("G1", "growing", "--except", "G1"), 2, "at least one code left"),
    ],
)
def test_bad_input_is_refused_and_nothing_recorded(row, words, code, said):
    words = (*words, "--on", MAY) if "--on" not in words else words
    refused(row("look", *words), code, said)
    assert [] == looks(row)


def test_a_code_with_its_check_character_is_read(row):
    from graftbook.codes import with_check

    assert row("look", with_check("G1"), "growing", "--on", MAY).code == 0


def test_a_stock_seen_dead_is_said_to_be_dead_only_by_its_own_verb(row):
    done = row("look", "G1", "dead", "--stock-fate", "dead", "--on", MAY)
    assert "graftbook stock died CODE" in done.out


def test_a_grafting_that_was_looked_at_is_not_undone_and_the_looks_are_named(row):
    row("look", "G1", "growing", "--on", MAY)
    made = next(entry["entry"] for entry in row("journal", "--json").rows if entry["what"].startswith("G1-G4"))
    refused(row("undo", made), 21, "look growing on 2027-05-01")
    assert 6 == len(row("graft", "list", "--json").rows)


def test_looks_are_listed_by_plant_day_and_state(row):
    row("look", "G1-G2", "pushing", "--on", "2027-04-10")
    row("look", "G1", "growing", "--on", MAY)
    assert [("G1", "2027-04-10", "pushing"), ("G1", MAY, "growing")] == looks(row, "P1")
    assert [("G1", MAY, "growing")] == looks(row, "--since", "2027-05-01")
    assert 2 == len(looks(row, "--state", "pushing"))
    assert [("G1", MAY, "growing")] == looks(row, "--limit", 1)
    refused(row("look", "list", "G77"), 20, "No graft with the code G77")


def test_help_names_every_state(row):
    text = row("look", "--help").out
    for word in (
        "no-movement",
        "swelling",
        "pushing",
        "growing",
        "stalled",
        "shrivelled",
        "dead",
        "not-found",
        "forced",
    ):
        assert word in text
    assert "Example:" in row("look", "add", "--help").out
