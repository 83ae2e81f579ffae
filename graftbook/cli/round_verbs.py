"""look, care and due: the rounds of the year."""

import sys
from contextlib import nullcontext, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from graftbook.cli import completing
from graftbook.cli.grouping import Listing, Recording, group
from graftbook.cli.options import (
    LeftOut,
    Limit,
    LongLimit,
    Note,
    On,
    Paper,
    Place,
    Who,
    Yes,
    argument,
    option,
    out,
    rows_shown,
)
from graftbook.cli.shared import agreed, show
from graftbook.cli.verb import Desk, Recorded, Report, fill, verb
from graftbook.errors import Refused, UsageProblem

Since = Annotated[str | None, option("--since", "Only from this day on.", "DATE")]
RowOfPlace = Annotated[str | None, option("--row", "Only this row of the place.", "ROW")]
Codes = Annotated[str | None, argument(None, "Grafts or plants (default: every one).", autocompletion=completing.codes)]


@dataclass(frozen=True)
class LookOptions:
    """The options that say what was seen beside the state: words of `LookWords`, by the same names."""

    shoot: Annotated[str | None, option("--shoot", "Length of the shoot.", "LENGTH")] = None
    cause: Annotated[str | None, option("--cause", "Cause of a loss, such as drought.", "TEXT")] = None
    union: Annotated[str | None, option("--union", "Was the union to blame for the loss?", "yes|no|unsure")] = None
    stock_fate: Annotated[
        str | None, option("--stock-fate", "How the stock is: alive, weak, dead, unsure.", "WORD")
    ] = None
    photo: Annotated[
        str | None, option("--photo", "A photo; its path is kept. Without CODES, the tags in it are read.", "FILE")
    ] = None


looks = group(
    "look",
    """Record what was seen on grafts: no-movement, swelling, pushing, growing, stalled, shrivelled, dead, not-found.

    Of a bud also set, not-set and forced. `add` may be left out.

    Example:

        graftbook look G1-G40 growing --except G7
    """,
    cls=Recording,
    subcommand_metavar="CODES STATE | COMMAND …",
)


@verb(looks, name="add")
def look_add(
    at: Desk,
    for_programs: bool,
    words: Annotated[
        list[str],
        argument(
            "[CODES] STATE",
            "Grafts, or plants for their only open graft; then what was seen. No codes: all that lives at --place.",
        ),
    ],
    left_out: LeftOut = None,
    place: Annotated[str | None, option("--place", "Without codes, whose grafts were seen so.", "PLACE")] = None,
    row: RowOfPlace = None,
    facts: LookOptions = LookOptions(),
    on: On = None,
    who: Who = None,
    note: Note = None,
    yes: Yes = False,
) -> Recorded:
    """Record one look at each graft named, as one entry. Looks are kept for ever; the last one counts.

    Example:

        graftbook look G1-G40 growing --except G7

        graftbook look G7 dead --cause drought --union no --stock-fate alive

        graftbook look P121 set

        graftbook look P122 one set

        graftbook look growing --place "Long Row" --row 2

        graftbook look --photo tray.jpg growing
    """
    from graftbook.actions.outcome import states
    from graftbook.actions.rounds import looking

    seen_there = fill(looking.LookWords, facts, note=note)
    if _whole(words, place, row):
        if facts.photo is not None:
            raise UsageProblem("--photo or --place", "both", "The tags in a photo say which grafts were seen")
        return looking.look_at(at, place or "", row, " ".join(words), seen_there, left_out=left_out, on=on, who=who)
    if place is not None:
        raise UsageProblem("codes or --place", "both", "Leave the codes out for all that lives at the place")
    if facts.photo is not None and not states.starts_with_code(words):
        seen = " ".join(words)
        states.state(seen)
        codes = _in_photo(at, Path(facts.photo), yes, for_programs)
    else:
        codes, seen = states.codes_and_words(words)
    return looking.look(at, codes, seen, seen_there, left_out=left_out, on=on, who=who)


def _whole(words: list[str], place: str | None, row: str | None) -> bool:
    """Whether all that lives at a place is meant: a place, and no codes. Raises UsageProblem for a row without that."""
    from graftbook.actions.outcome import states

    whole = place is not None and not states.starts_with_code(words)
    if row is not None and not whole:
        raise UsageProblem("--row with --place and without codes", "codes" if place is not None else "no --place")
    return whole


def _in_photo(at: Desk, photo: Path, yes: bool, for_programs: bool) -> str:
    """The codes in a photo, once the person has seen the list and agreed; the list is no result where programs read."""
    from graftbook.actions.tags import tag_photos

    report = tag_photos.read(at, [photo])
    codes = tag_photos.grafts_in(report, photo)
    if not yes:
        with redirect_stdout(sys.stderr) if for_programs else nullcontext():
            show(report, at, False, False)
        if not agreed("Record a look at all of these?"):
            raise Refused(
                "nobody said yes", "", "Nothing was recorded; say --yes, or name the codes to look at some of them"
            )
    return codes


@verb(looks, name="list")
def look_list(
    at: Desk,
    codes: Codes = None,
    since: Since = None,
    state: Annotated[str | None, option("--state", "Only looks that saw this.")] = None,
    limit: Limit = 200,
) -> Report:
    """List looks, oldest first.

    Example:

        graftbook look list G5
    """
    from graftbook.actions.rounds import looking

    return looking.list_looks(at, codes, since=since, state=state, limit=limit)


cares = group(
    "care",
    """Record aftercare: tie-released, rubbed-off, staked, headed-back, one-leader, potted-on, lasting-tag, moved, gone-home.

    Of a tag seen on a round also tag-missing and tag-illegible. `add` may be left out.

    Example:

        graftbook care G1-G40,P12 rub off
    """,
    cls=Recording,
    subcommand_metavar="CODES DONE | COMMAND …",
)


@verb(cares, name="add")
def care_add(
    at: Desk,
    words: Annotated[
        list[str],
        argument(
            "[CODES] DONE",
            "Grafts, or plants for all that stands on them; then what was done. No codes: all that lives at --place.",
        ),
    ],
    left_out: LeftOut = None,
    place: Annotated[
        str | None,
        option("--place", "Without codes, whose grafts it was done to; else where they were moved.", "PLACE"),
    ] = None,
    row: RowOfPlace = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Record one kind of care done to every graft and plant named, as one entry.

    Example:

        graftbook care G1-G40 tie-released --except G7

        graftbook care rub off --place "Long Row" --row 2

        graftbook care P12-P20 moved --place "Long Row"
    """
    from graftbook.actions.outcome import states
    from graftbook.actions.rounds import caring

    if _whole(words, place, row):
        return caring.care_at(at, place or "", row, " ".join(words), left_out=left_out, on=on, who=who, note=note)
    codes, done = states.codes_and_words(words)
    return caring.care(at, codes, done, left_out=left_out, place=place, on=on, who=who, note=note)


@verb(cares, name="list")
def care_list(at: Desk, codes: Codes = None, since: Since = None, limit: Limit = 200) -> Report:
    """List care done, oldest first.

    Example:

        graftbook care list P12
    """
    from graftbook.actions.rounds import caring

    return caring.list_care(at, codes, since=since, limit=limit)


dues = group(
    "due",
    """Say what needs doing, by place in walking order: looks, ties, stock shoots, stakes, judging, and wood to use first.

    Living grafts only; those nobody looked at for weeks are on the list too. `list` may be left out.

    Example:

        graftbook due --place "Long Row"

        graftbook due --on 2027-06-01 --brief

        graftbook due --calendar round.ics --alarm 8:00
    """,
    cls=Listing,
    no_args_is_help=False,
    subcommand_metavar="[OPTIONS] | COMMAND …",
)

DueOn = Annotated[str | None, option("--on", "The day of the walk, also one ahead (default: today).", "DATE")]
Forgotten = Annotated[int, option("--forgotten", "Not looked at for so long is forgotten.", "WEEKS", min=1, max=520)]

Job = Annotated[str | None, option("--job", "Only this, such as look, release tie, judge.", "JOB")]


@verb(dues, name="list")
def due_list(
    at: Desk,
    for_programs: bool,
    on: DueOn = None,
    weeks: Annotated[
        int | None, option("--weeks", "So many weeks ahead as well (default: 0, in a calendar 8).", min=0, max=520)
    ] = None,
    forgotten: Forgotten = 6,
    place: Place = None,
    job: Job = None,
    brief: Annotated[bool, option("--brief", "Put together grafts that want the same.")] = False,
    calendar: Annotated[
        Path | None, option("--calendar", "Write it as a calendar file (iCalendar), eight weeks ahead.", "FILE")
    ] = None,
    todo: Annotated[bool, option("--todo", "To-dos in the calendar instead of all-day events.")] = False,
    alarm: Annotated[str | None, option("--alarm", "Let the calendar ring at this hour, such as 8:00.", "HOUR")] = None,
    limit: LongLimit = None,
) -> Report:
    """Say what needs doing, or write it as a calendar file: one entry a place and day.

    Writing the same calendar file again follows on it: taken in again, it changes what is there, and what was done goes.

    Example:

        graftbook due --weeks 3 --place "Long Row" --job "release tie"

        graftbook due --calendar round.ics --alarm 8:00
    """
    from graftbook.actions.rounds import round_calendar, rounds

    if calendar is None and (todo or alarm is not None):
        raise UsageProblem("--todo and --alarm with --calendar FILE", "no calendar file")
    if calendar is not None and (brief or job is not None or limit is not None):
        raise UsageProblem("--calendar without --brief, --job and --limit", "both")
    most = rows_shown(limit, for_programs)
    if calendar is None:
        return rounds.due(
            at, on=on, weeks=weeks or 0, forgotten=forgotten, place=place, job=job, brief=brief, limit=most
        )
    return round_calendar.write_calendar(
        at, calendar, on=on, weeks=weeks, forgotten=forgotten, place=place, todo=todo, alarm=alarm
    )


@verb(dues, name="sheet")
def due_sheet(
    at: Desk,
    output: Annotated[Path, out("The PDF to write.")],
    on: DueOn = None,
    weeks: Annotated[int, option("--weeks", "So many weeks ahead as well.", min=0, max=520)] = 0,
    forgotten: Forgotten = 6,
    place: Place = None,
    job: Job = None,
    fold: Annotated[
        bool, option("--fold", "One block for a run of grafts alike in one row, to write counts in.")
    ] = False,
    paper: Paper = "a4",
) -> Report:
    """Write what is due as a sheet to walk with: a block a graft in walking order, its code to scan, boxes to tick.

    Boxes for what is to be done and for what may be seen, and a line to write on.

    Example:

        graftbook due sheet -o round.pdf --place "Long Row"

        graftbook due sheet -o ties.pdf --job "release tie" --fold
    """
    from graftbook.actions.rounds import round_paper

    return round_paper.write_sheet(
        at, output, on=on, weeks=weeks, forgotten=forgotten, place=place, job=job, fold=fold, paper=paper
    )
