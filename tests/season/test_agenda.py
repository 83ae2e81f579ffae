"""Calendar files: the rules of RFC 5545 (IETF, 2009, https://www.rfc-editor.org/rfc/rfc5545), read by a reader of our own."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as some
from ical_reading import Program, read

from graftbook.errors import UsageProblem
from graftbook.season import agenda
from graftbook.season.agenda import CalendarFrame
from graftbook.season.agenda_entries import Stop, Task
from graftbook.visible import visible

DAY = date(2026, 4, 1)
NOON = datetime(2026, 4, 1, 12, tzinfo=UTC)


def frame(**more):
    return CalendarFrame(**{"book": "b", "stamp": NOON, "revision": 3, "todo": False, "alarm": None, "until": date(2026, 5, 27),
                    **more})  # fmt: skip


def stop(place="Long Row", on=DAY, words="Look.", now=False, codes="G1", number=1):
    return Stop(place, on, (Task("look", number, codes, words, None, "common practice"),), now)


def entries(made):
    return read(made.content).inside


def test_an_all_day_event_has_a_date_and_no_end_and_leaves_the_day_free():
    """RFC 5545, 3.6.1: DTSTART;VALUE=DATE without DTEND lasts one day."""
    entry = entries(agenda.calendar_file([stop()], frame()))[0]
    assert ("VEVENT", "20260401", {"VALUE": "DATE"}) == (
        entry.name, entry.value("DTSTART"), entry.parameters("DTSTART"))  # fmt: skip
    assert "DTEND" not in entry.properties
    assert ("CONFIRMED", "TRANSPARENT") == (entry.value("STATUS"), entry.value("TRANSP"))
    assert ("20260401T120000Z", "20260401T120000Z") == (entry.value("DTSTAMP"), entry.value("LAST-MODIFIED"))


def test_text_is_escaped_as_the_standard_says():
    """RFC 5545, 3.3.11: backslash, semicolon and comma get a backslash, a newline is \\n, a colon stays bare."""
    said = "Cut; wrap, label\\next: note\nsecond line"
    entry = entries(agenda.calendar_file([stop(place="Cut; wrap, label\\next: note", words=said)], frame()))[0]
    assert "Cut\\; wrap\\, label\\\\next: note" == entry.value("LOCATION")
    assert "look: G1. Cut\\; wrap\\, label\\\\next: note\\nsecond line (common practice)." == entry.value("DESCRIPTION")


@given(some.text(some.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1, max_size=200))
def test_any_words_fold_at_75_octets_and_come_back_as_they_were(words):
    """RFC 5545, 3.1: lines of at most 75 octets, folded by CRLF and one blank, never inside a character."""
    entry = entries(agenda.calendar_file([stop(place=words)], frame()))[0]
    assert visible(words) == entry.text("LOCATION")


def test_what_would_steer_a_screen_is_shown_by_its_number():
    """RFC 5545, 3.1: no control character but a tab stands in a text."""
    made = agenda.calendar_file([stop(place="Row\x1b[31m", words="Look\u202e.")], frame())
    entry = entries(made)[0]
    assert ("Row\\x1b[31m", "look: G1. Look\\u202e (common practice).") == (
        entry.text("LOCATION"),
        entry.text("DESCRIPTION"),
    )
    assert entry.text("SUMMARY").startswith("Row\\x1b[31m: ")


@pytest.mark.parametrize(
    ("hour", "todo", "trigger", "parameters"),
    [
        (9, False, "PT9H", {}),
        (0, False, "P0D", {}),
        (9, True, "PT9H", {"RELATED": "END"}),
    ],
)
def test_an_alarm_counts_from_midnight_of_the_day(hour, todo, trigger, parameters):
    """RFC 5545, 3.8.6.3: on a DATE counted from 00:00, so PT9H is 09:00; a to-do with only DUE needs RELATED=END."""
    made = agenda.calendar_file([stop()], frame(todo=todo, alarm=timedelta(hours=hour)))
    alarm = entries(made)[0].inside[0]
    assert (trigger, parameters) == (alarm.value("TRIGGER"), alarm.parameters("TRIGGER"))


def test_a_to_do_has_its_day_as_due():
    """RFC 5545, 3.6.2 and 3.8.1.11."""
    entry = entries(agenda.calendar_file([stop()], frame(todo=True)))[0]
    assert ("VTODO", "20260401", "NEEDS-ACTION") == (entry.name, entry.value("DUE"), entry.value("STATUS"))
    assert not {"DTSTART", "DURATION", "TRANSP"} & set(entry.properties)


def test_the_same_again_is_the_same_file_byte_for_byte():
    first = agenda.calendar_file([stop(), stop("Bench")], frame())
    later = frame(stamp=NOON + timedelta(days=1), revision=9)
    again = agenda.calendar_file([stop(), stop("Bench")], later, first.content)
    assert first.content == again.content
    assert (2, 0, 0, 0) == (again.standing, again.fresh, again.changed, again.dropped)


def test_a_change_keeps_the_uid_and_raises_the_sequence():
    first = agenda.calendar_file([stop()], frame())
    second = agenda.calendar_file([stop(codes="G1-G2", number=2)], frame(), first.content)
    before, after = entries(first)[0], entries(second)[0]
    assert before.value("UID") == after.value("UID")
    assert (3, 4) == (int(before.value("SEQUENCE")), int(after.value("SEQUENCE")))
    assert (1, 0, 1, 0) == (second.standing, second.fresh, second.changed, second.dropped)


def test_what_is_done_is_cancelled_once_more_and_no_alarm_of_it_rings():
    first = agenda.calendar_file([stop(), stop("Bench")], frame(alarm=timedelta(hours=8)))
    later = frame(alarm=timedelta(hours=8), stamp=NOON + timedelta(days=2), revision=5)
    second = agenda.calendar_file([stop("Bench")], later, first.content)
    gone = next(entry for entry in entries(second) if entry.value("STATUS") == "CANCELLED")
    assert ("Long Row", "5", "20260403T120000Z", []) == (
        gone.text("LOCATION"), gone.value("SEQUENCE"), gone.value("DTSTAMP"), gone.inside)  # fmt: skip
    assert (1, 1) == (second.standing, second.dropped)


def test_a_program_that_takes_the_files_in_shows_what_is_due_and_nothing_else():
    program, content = Program(), None
    for day, stops, shown in (
        (1, [stop("Bench", now=True), stop(on=date(2026, 4, 9))], [("20260401", "Bench"), ("20260409", "Long Row")]),
        (2, [stop(on=date(2026, 4, 9))], [("20260409", "Long Row")]),
        (9, [stop(on=date(2026, 4, 9), now=True)], [("20260409", "Long Row")]),
        (10, [], []),
    ):
        content = agenda.calendar_file(stops, frame(stamp=NOON.replace(day=day), revision=day), content).content
        program.take_in(content)
        assert shown == [(on, words.split(":")[0]) for on, words in program.days()]


def test_a_file_written_elsewhere_still_changes_what_the_program_holds():
    """The number of the newest entry of the book only rises, so a second file is not taken for an old one."""
    program = Program()
    first = agenda.calendar_file([stop()], frame(revision=4))
    program.take_in(agenda.calendar_file([stop(number=2)], frame(revision=4), first.content).content)
    program.take_in(agenda.calendar_file([stop(number=3)], frame(revision=6)).content)
    assert [("20260401", "Long Row: look (3)")] == program.days()


def test_cancelled_entries_are_named_for_three_months_and_then_left_out():
    first = agenda.calendar_file([stop()], frame())
    gone = agenda.calendar_file([], frame(), first.content)
    kept = agenda.calendar_file([], frame(stamp=NOON + timedelta(days=90)), gone.content)
    past = agenda.calendar_file([], frame(stamp=NOON + timedelta(days=91)), gone.content)
    assert (1, 0) == (len(entries(kept)), len(entries(past)))


def test_what_was_not_looked_at_this_time_stays_as_it_was():
    first = agenda.calendar_file([stop(), stop("Bench"), stop(on=date(2026, 6, 1))], frame(until=date(2026, 6, 30)))
    second = agenda.calendar_file([], frame(place="long-row"), first.content)
    assert {"Bench 20260401 CONFIRMED", "Long Row 20260401 CANCELLED", "Long Row 20260601 CONFIRMED"} == {
        f"{entry.text('LOCATION')} {entry.value('DTSTART')} {entry.value('STATUS')}" for entry in entries(second)
    }


def test_turning_events_into_to_dos_takes_the_events_away():
    first = agenda.calendar_file([stop()], frame())
    second = agenda.calendar_file([stop()], frame(todo=True), first.content)
    assert {("VEVENT", "CANCELLED"), ("VTODO", "NEEDS-ACTION")} == {
        (entry.name, entry.value("STATUS")) for entry in entries(second)
    }


def test_two_books_and_two_places_never_share_a_uid():
    uids = {agenda.uid(stop(place), frame(book=book)) for place in ("A", "B", None) for book in ("x", "y")}
    assert 6 == len(uids)
    assert agenda.uid(stop("Long  row"), frame()) == agenda.uid(stop("Long Row"), frame(revision=9))


@pytest.mark.parametrize(
    "content",
    [
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:another\r\nEND:VCALENDAR\r\n",
        b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nEND:VCALENDAR\r\n",
        b"BEGIN:VCALENDAR\r\n",
    ],
)
def test_a_file_of_another_program_or_half_a_file_is_not_followed_on(content):
    with pytest.raises(UsageProblem, match="a calendar file that graftbook wrote"):
        agenda.calendar_file([stop()], frame(), content)


def test_the_library_reads_its_own_file_back():
    from icalendar import Calendar

    made = agenda.calendar_file([stop("Øvre bed; älv", words="x" * 300)], frame())
    event = Calendar.from_ical(made.content).walk("VEVENT")[0]
    assert ("Øvre bed; älv", DAY) == (str(event["LOCATION"]), event.decoded("DTSTART"))
