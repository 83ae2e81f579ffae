"""due written out: the calendar file taken in and taken in again, and the sheet to walk with."""

import pypdfium2
import pytest
import zxingcpp
from ical_reading import Program, read
from refusals import refused

MARCH = "2027-03-15"


@pytest.fixture
def orchard(graftbook):
    """G1-G3 by whip on P1-P3 in the Long Row, G4-G5 on P4-P5 at the Øvre bed, made in March; one bundle in the Cellar."""
    for count, place in ((3, "Long Row"), (2, "Øvre bed; nord")):
        assert graftbook("stock", "add", "MM.106", "--count", count, "--place", place, "--row", "1", "--order", 1,
                         "--acquired", "2027-01-10").code == 0  # fmt: skip
    assert graftbook("wood", "add", "Kilwarden Pippin", "--species", "apple", "--from", "Neighbour", "--sticks", 6,
                     "--buds", 6, "--cut", "2027-01-20", "--received", "2027-01-21", "--on", "2027-01-21",
                     "--store", "Cellar").code == 0  # fmt: skip
    assert graftbook("graft", "W1", "P1-P5", "--method", "whip-and-tongue", "--tie", "tape", "--on", MARCH).code == 0
    assert graftbook("wood", "discard", "W1", 3, "--on", MARCH).code == 0
    return graftbook


def test_a_calendar_has_one_event_a_place_and_day(orchard, tmp_path):
    run = orchard("due", "--on", "2027-03-22", "--calendar", tmp_path / "round.ics", "--json")
    entries = read((tmp_path / "round.ics").read_bytes()).inside
    days = [(entry.text("LOCATION"), entry.value("DTSTART")) for entry in entries]
    assert len(days) == len(set(days)) == len(run.rows)
    assert ("Long Row", "20270322") in days and ("Øvre bed; nord", "20270329") in days
    first = next(
        entry for entry in entries if entry.text("LOCATION") == "Long Row" and entry.value("DTSTART") == "20270322"
    )
    assert "Long Row: look (3)" == first.text("SUMMARY")
    assert first.text("DESCRIPTION").startswith("look: G1-G3. Look whether the tie and the seal have held")
    assert "20271130T120000Z" == first.value("DTSTAMP")
    assert ("2027-05-17", 0) == (run.json["until"], run.code)


def test_what_was_done_goes_from_the_calendar_when_the_file_is_taken_in_again(orchard, tmp_path):
    program, file = Program(), tmp_path / "round.ics"
    orchard("due", "--on", "2027-03-22", "--calendar", file, today="2027-03-22")
    program.take_in(file.read_bytes())
    assert ("20270322", "Long Row: look (3)") in program.days()
    orchard("look", "G1-G3", "no movement", "--on", "2027-03-22")
    run = orchard("due", "--on", "2027-03-22", "--calendar", file)
    program.take_in(file.read_bytes())
    assert [] == [words for on, words in program.days() if words.startswith("Long Row") and on == "20270322"]
    assert ("20270322", "Øvre bed; nord: look (2)") in program.days()
    assert "1 done or gone and cancelled" in run.out
    twice = file.read_bytes()
    orchard("due", "--on", "2027-03-22", "--calendar", file)
    assert twice == file.read_bytes()


def test_one_place_written_over_the_whole_leaves_the_other_places_alone(orchard, tmp_path):
    program, file = Program(), tmp_path / "round.ics"
    orchard("due", "--on", "2027-03-22", "--calendar", file)
    orchard("look", "G1-G5", "no movement", "--on", "2027-03-22")
    orchard("due", "--on", "2027-03-22", "--calendar", file, "--place", "long row")
    program.take_in(file.read_bytes())
    shown = {words.split(":")[0] for on, words in program.days() if on == "20270322"}
    assert {"Øvre bed; nord"} == shown


@pytest.mark.parametrize(
    ("typed", "trigger"), [("8:00", "PT8H"), ("18.30", "PT18H30M"), ("7", "PT7H"), ("12am", "P0D"), ("1 pm", "PT13H")]
)
def test_the_calendar_rings_at_the_hour_asked_for_in_events_and_to_dos(orchard, tmp_path, typed, trigger):
    for kind in ([], ["--todo"]):
        file = tmp_path / f"round{len(kind)}.ics"
        assert orchard("due", "--on", "2027-03-22", "--calendar", file, "--alarm", typed, *kind).code == 0
        entries = read(file.read_bytes()).inside
        assert {trigger} == {alarm.value("TRIGGER") for entry in entries for alarm in entry.inside}
        assert {"VTODO" if kind else "VEVENT"} == {entry.name for entry in entries}


def test_weeks_say_how_far_the_calendar_looks(orchard, tmp_path):
    for weeks, last in ((0, "20270322"), (1, "20270329"), (None, "20270514")):
        file = tmp_path / f"{weeks}.ics"
        orchard("due", "--on", "2027-03-22", "--calendar", file, *(["--weeks", weeks] if weeks is not None else []))
        assert last == max(entry.value("DTSTART") for entry in read(file.read_bytes()).inside)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["--alarm", "25:00", "--calendar", "{new}"], 2, "an hour of the day"),
        (["--alarm", "13pm", "--calendar", "{new}"], 2, "an hour of the day"),
        (["--alarm", "8:00"], 2, "with --calendar"),
        (["--todo"], 2, "with --calendar"),
        (["--calendar", "{new}", "--brief"], 2, "without --brief"),
        (["--calendar", "{text}"], 21, "holds something other"),
        (["--calendar", "{other}"], 21, "a file of another program"),
        (["--calendar", "{half}"], 21, "cannot be read"),
        (["--calendar", "{nowhere}"], 21, "no folder"),
        (["--calendar", "{book}"], 21, "is a book or another database"),
    ],
)
def test_a_calendar_that_cannot_be_written_leaves_every_file_as_it_was(
    on_sqlite, sqlite_location, tmp_path, words, code, said
):
    files = {"new": tmp_path / "new.ics", "text": tmp_path / "text.ics", "other": tmp_path / "other.ics",
             "half": tmp_path / "half.ics", "nowhere": tmp_path / "no" / "x.ics", "book": sqlite_location}  # fmt: skip
    files["text"].write_text("dear diary\n")
    files["other"].write_bytes(b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n")
    files["half"].write_bytes(b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n")
    on_sqlite("tree", "add", "Kilwarden Pippin", "--species", "apple")
    before = {path: path.read_bytes() for path in tmp_path.iterdir() if path.suffix == ".ics"}
    run = on_sqlite("due", *(word.format(**files) for word in words))
    assert (code, "") == (run.code, run.out)
    assert said in run.err
    assert before == {path: path.read_bytes() for path in tmp_path.iterdir() if path.suffix == ".ics"}


def test_a_sheet_has_a_code_for_every_graft_and_says_how_many_boxes(orchard, tmp_path):
    file = tmp_path / "round.pdf"
    run = orchard("due", "sheet", "-o", file, "--on", "2027-04-22", "--json")
    assert [("Long Row", 3), ("Øvre bed; nord", 2)] == [(row["place"], row["blocks"]) for row in run.rows]
    read_back = {
        code.text.split("-")[0]
        for page in pypdfium2.PdfDocument(file)
        for code in zxingcpp.read_barcodes(page.render(scale=150 / 72).to_pil())
    }
    assert {"G1", "G2", "G3", "G4", "G5"} == read_back


def test_a_sheet_of_nothing_says_so_and_bad_wishes_are_refused(orchard, tmp_path):
    empty = orchard("due", "sheet", "-o", tmp_path / "a.pdf", "--on", "2027-04-20", "--place", "Nowhere")
    assert (0, True) == (empty.code, "Nothing is due at 'Nowhere'." in empty.out)
    text = tmp_path / "text.pdf"
    text.write_text("mine")
    for words, code, said in (
        (["-o", tmp_path / "b.pdf", "--paper", "a5"], 2, "a4 or letter"),
        (["-o", text], 21, "holds something other"),
        ([], 2, "-o"),
    ):
        run = orchard("due", "sheet", *words)
        assert (code, "") == (run.code, run.out)
        assert said in run.err
    assert "mine" == text.read_text()
    assert not (tmp_path / "b.pdf").exists()


def test_due_alone_and_due_list_are_the_same(orchard):
    assert orchard("due", "--on", "2027-03-22").out == orchard("due", "list", "--on", "2027-03-22").out
    assert "sheet" in orchard("due", "--help").out


def test_a_sheet_of_one_job_folds_grafts_alike_and_offers_what_may_be_seen(orchard, tmp_path):
    whole, folded = tmp_path / "whole.pdf", tmp_path / "folded.pdf"
    at = ("--on", "2027-03-22", "--json")
    assert 5 == sum(row["blocks"] for row in orchard("due", "sheet", "-o", whole, "--job", "look", *at).rows)
    rows = orchard("due", "sheet", "-o", folded, "--job", "Look", "--fold", "--paper", "letter", *at).rows
    assert [("Long Row", 1), ("Øvre bed; nord", 1)] == [(row["place"], row["blocks"]) for row in rows]
    text = pypdfium2.PdfDocument(folded)[0].get_textpage().get_text_range()
    assert all(words in text for words in ("G1-G3", "3 grafts: Kilwarden Pippin on P1-P3", "no movement", "not alike"))
    assert {"look"} == {row["what"] for row in orchard("due", "--job", "look", *at).rows}
    assert [] == orchard("due", "--job", "stake", *at).rows
    for words in (("due",), ("due", "sheet", "-o", tmp_path / "no.pdf")):
        refused(orchard(*words, "--job", "prune"), 2, "look", "release tie", "found 'prune'")
    refused(orchard("due", "--job", "look", "--calendar", tmp_path / "a.ics"), 2, "without --brief, --job and --limit")
    assert not (tmp_path / "no.pdf").exists()
