"""trace: up to the source, down to every graft; descended and exposed are two lists; health notes reach both."""

import pytest
from refusals import refused

DESCENDED, EXPOSED, GIVEN = "descended: the same clone", "exposed: shared a plant", "given away: fate not known"
APART = "same name, other thread: nothing in this book links them"


@pytest.fixture
def threads(graftbook):
    """P1 -> W1 -> G1 on P3 -> W3 -> G3 on P4; P2 -> W2 -> G2 on P3 as well, W4 cut from G2 -> G4 on P5; 2 sticks given."""
    for name, place in (("Kilwarden Pippin", "orchard"), ("Quern Russet", "orchard")):
        graftbook("tree", "add", name, "--species", "apple", "--acquired", "2020-03-01", "--place", place)
    graftbook("stock", "add", "MM.106", "--count", 4, "--acquired", "2023-01-01", "--place", "bed")
    for tree in ("P1", "P2"):
        graftbook("wood", "add", "--source", tree, "--sticks", 6, "--buds", 3, "--cut", "2024-01-14")
    for wood, day in (("W1", "2024-03-20"), ("W2", "2024-03-25")):
        assert graftbook("graft", wood, "P3", "--method", "cleft", "--on", day).code == 0
    graftbook("wood", "add", "--source", "G1", "--sticks", 5, "--buds", 3, "--cut", "2026-01-14")
    graftbook("wood", "add", "--source", "G2", "--sticks", 5, "--buds", 3, "--cut", "2026-01-15")
    graftbook("graft", "W3", "P4", "--method", "cleft", "--on", "2026-03-20")
    graftbook("graft", "W4", "P5", "--method", "cleft", "--on", "2026-03-21")
    graftbook("wood", "give", "W3", 2, "--to", "Ilo", "--on", "2026-02-01")
    graftbook("wood", "give", "W4", 1, "--to", "Mo", "--on", "2026-02-01")
    return graftbook


def lists(run):
    assert (0, "") == (run.code, run.err)
    found = {}
    for row in run.rows:
        found.setdefault(row["list"], []).append(row["code"])
    return found


def test_up_goes_thread_by_thread_to_the_mother_tree_and_says_what_it_stood_on(threads):
    found = lists(threads("trace", "up", "G3", "--json"))
    assert ["W3", "G1", "W1", "P1"] == found["came from: the same clone"]
    assert ["P4", "P3"] == found["stood on"]


def test_down_keeps_what_descends_and_what_was_exposed_apart(threads):
    found = lists(threads("trace", "down", "P1", "--json"))
    assert ["P1", "W1", "G1", "W3", "G3"] == found[DESCENDED]
    assert ["P3", "G2", "W4", "P4", "P5", "G4"] == sorted(
        found[EXPOSED], key=["P3", "G2", "W4", "P4", "P5", "G4"].index
    )
    assert ["W3", "W4"] == sorted(found[GIVEN])
    assert not set(found[DESCENDED]) & set(found[EXPOSED])


def test_exposure_can_be_kept_to_the_very_plant(threads):
    found = lists(threads("trace", "down", "P1", "--plants", 1, "--json"))
    assert {"P3", "G2", "W4", "G4", "P4"} == set(found[EXPOSED])


def test_since_a_day_leaves_out_what_was_cut_before_it_and_nothing_that_came_later(threads):
    """A false all-clear is the worst answer: the walk goes on through what was cut before the day."""
    found = lists(threads("trace", "down", "G1", "--since", "2026-01-15", "--json"))
    assert ["G1", "G3"] == found[DESCENDED]
    assert {"P3", "P4", "G2", "W4", "G4", "P5"} == set(found[EXPOSED])
    assert ["W3", "W4"] == found[GIVEN]


def test_what_was_grafted_on_before_and_died_before_was_not_exposed(threads):
    threads("look", "G2", "dead", "--on", "2025-05-01")
    found = lists(threads("trace", "down", "G1", "--since", "2025-06-01", "--json"))
    assert "G2" not in found[EXPOSED]


def test_living_and_dead_and_not_known_are_said(threads):
    threads("look", "G1", "growing", "--on", "2024-06-20")
    threads("look", "G3", "dead", "--on", "2026-06-20")
    rows = {
        row["code"]: row["fate"] for row in threads("trace", "down", "P1", "--json").rows if row["list"] == DESCENDED
    }
    assert ("growing", "dead 2026-06-20", "alive") == (rows["G1"], rows["G3"], rows["P1"])


def test_it_goes_by_thread_and_never_by_name(threads):
    threads(
        "wood", "receive", "Kilwarden Pippin", "--from", "IM", "--sticks", 2, "--species", "apple", "--on", "2027-01-05"
    )
    found = lists(threads("trace", "down", "P1", "--json"))
    assert "W5" not in found[DESCENDED] + found[EXPOSED]
    assert ["W5"] == found[APART]
    assert ["W5"] == lists(threads("trace", "down", "IM", "--json"))[DESCENDED]


def test_a_donor_is_found_by_name_or_initials(threads):
    threads("people", "add", "Ilo Marren", "--initials", "I.M.")
    threads("wood", "receive", "Tolm Beauty", "--from", "IM", "--sticks", 2, "--species", "apple")
    assert ["W5"] == lists(threads("trace", "down", "ilo marren", "--json"))[DESCENDED]


def test_what_comes_through_mixed_wood_is_perhaps(threads):
    threads("wood", "mixed", "W1", "W2", "--sticks", 10, "--on", "2027-01-10")
    rows = {
        row["code"]: row["possible"]
        for row in threads("trace", "down", "P1", "--json").rows
        if row["list"] == DESCENDED
    }
    assert (False, True) == (rows["G1"], rows["W5/3"])
    found = lists(threads("trace", "up", "W5/3", "--json"))
    assert ["W1", "W2", "P1", "P2"] == found["came from: the same clone"]
    threads("name", "W5/3", "Kilwarden Pippin", "--sure", "tested")
    assert ["W1", "P1"] == lists(threads("trace", "up", "W5/3", "--json"))["came from: the same clone"]


def test_the_words_leave_the_ruling_to_the_plant_health_service(threads):
    assert "the local plant-health service decides" in " ".join(threads("trace", "down", "P1").out.split())


def gate(graftbook, stock, wood, name="health note"):
    rows = graftbook("match", "--why", stock, wood, "--json").rows
    return next((row["outcome"], row["reason"]) for row in rows if row["gate"] == name)


def test_a_suspicion_reaches_the_clone_and_what_shares_a_plant_and_no_other(threads):
    assert "pass" == gate(threads, "P6", "W4")[0]
    threads("tree", "note", "P1", "--health", "suspect", "--on", "2026-01-01", "--source", "own eyes")
    outcome, reason = gate(threads, "P6", "W3")
    assert "caution" == outcome
    assert "suspect, noted of P1 on 2026-01-01 by own eyes; W3 comes from it" in reason
    outcome, reason = gate(threads, "P6", "W4")
    assert ("caution", True) == (outcome, "W4 cut from G2" in reason)
    assert ("pass", "caution") == (gate(threads, "P6", "W2")[0], gate(threads, "P5", "W2")[0])
    assert "plant-health service decides" in " ".join(threads("match", "--wood", "W3").out.split())


def test_a_later_clean_word_on_the_thing_itself_lifts_the_suspicion_of_it(threads):
    threads("tree", "note", "P1", "--health", "suspect", "--on", "2026-01-01")
    threads("wood", "note", "W3", "--health", "tested", "--on", "2026-01-20", "--source", "clinic")
    assert "pass" == gate(threads, "P6", "W3")[0]


def test_a_tested_tree_speaks_for_what_came_from_it(threads):
    threads("tree", "note", "P1", "--health", "tested", "--on", "2026-01-01", "--source", "clinic")
    outcome, reason = gate(threads, "P6", "W3")
    assert ("pass", True) == (outcome, "tested, noted of P1 on 2026-01-01 by clinic" in reason)


def test_a_note_on_rights_reaches_every_bundle_of_the_cultivar_until_its_last_day(threads, monkeypatch):
    threads("tree", "note", "P1", "--rights", "club only", "--until", "2027-12-05", "--on", "2026-01-01")
    assert "caution" == gate(threads, "P6", "W3", "rights note")[0]
    monkeypatch.setenv("GRAFTBOOK_TODAY", "2027-12-05")
    assert "caution" == gate(threads, "P6", "W3", "rights note")[0]
    monkeypatch.setenv("GRAFTBOOK_TODAY", "2027-12-06")
    assert "pass" == gate(threads, "P6", "W3", "rights note")[0]


WRONG = (
    (("down", "nobody"), 20, "no donor 'nobody'"),
    (("down", "P99"), 20, "no plant with the code P99"),
    (("up", "G99"), 20, "no graft with the code G99"),
    (("up", "nobody"), 2, "a code, which is a letter and a number"),
    (("down", "P1", "--since", "2029-01-01"), 21, "2029-01-01 lies after today, 2027-11-30"),
    (("down", "P1", "--since", "soon"), 2, "date"),
    (("down", "P1-A"), 20, "no donor"),
)  # fmt: skip


@pytest.mark.parametrize(("words", "code", "said"), WRONG)
def test_what_cannot_be_followed_is_refused(threads, words, code, said):
    run = threads("trace", *words)
    assert (code, "") == (run.code, run.out)
    assert said.casefold() in run.err.casefold()


def test_kinds_are_counted_apart_and_whoever_has_sticks_is_named(threads):
    document = threads("trace", "down", "P1", "--json").json
    assert document["notes"][0].startswith("Descended: 1 plant (1 living), 2 bundles, 2 grafts (2 living); exposed: ")
    assert any(note.startswith("To be told, for they were given sticks: ") for note in document["notes"])


def test_a_note_reaches_what_shared_a_plant_before_it_was_written(threads):
    """A suspicion noted late bears on wood given long before: the day that counts is the one on which the plant was shared."""
    threads("tree", "note", "P1", "--health", "suspect", "--on", "2027-01-05")
    for code in ("W3", "W4"):
        assert "suspect" in threads("wood", "give", code, 1, "--to", "Somebody", "--on", "2027-01-10").out


def test_what_a_receiver_made_of_given_sticks_is_on_the_thread_and_draws_none(threads):
    before = threads("wood", "list", "--json").rows
    threads("stock", "add", "MM.106", "--acquired", "2026-01-01", "--place", "at Ilo's")
    done = threads("graft", "W3", "P7", "--method", "whip", "--on", "2026-03-25", "--by-receiver", "ilo")
    assert (0, "") == (done.code, done.err)
    assert before == threads("wood", "list", "--json").rows
    rows = {row["code"]: row for row in threads("trace", "down", "P1", "--json").rows if row["list"] == DESCENDED}
    assert "at Ilo's" == rows["G5"]["place"]
    assert 0 == threads("doctor").code
    refused(
        threads("graft", "W3", "P6", "--method", "whip", "--by-receiver", "Zed"), 21, "given to Zed", "wood give W3"
    )
