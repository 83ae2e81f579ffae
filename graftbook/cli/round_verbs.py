"""look, care and due: the rounds of the year."""

import sys
from contextlib import nullcontext, redirect_stdout
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from graftbook.cli.grouping import Recording
from graftbook.cli.options import Limit, Note, On, Place, Who, Yes
from graftbook.cli.shared import agreed, show
from graftbook.cli.verb import verb
from graftbook.errors import Refused, UsageProblem

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

MOST_LINES = 500

LeftOut = Annotated[str | None, typer.Option("--except", metavar="CODES", help="Not these.")]
Since = Annotated[str | None, typer.Option("--since", metavar="DATE", help="Only from this day on.")]
Codes = Annotated[str | None, typer.Argument(help="Grafts or plants (default: every one).")]

looks = typer.Typer(
    cls=Recording, no_args_is_help=True, rich_markup_mode=None, subcommand_metavar="CODES STATE | COMMAND …"
)
cares = typer.Typer(
    cls=Recording, no_args_is_help=True, rich_markup_mode=None, subcommand_metavar="CODES DONE | COMMAND …"
)


def add_to(app: typer.Typer) -> None:
    """Hang look, care and due on the app."""
    app.add_typer(looks, name="look")
    app.add_typer(cares, name="care")
    app.add_typer(dues, name="due")


@looks.callback()
def look() -> None:
    """Record what was seen on grafts: no-movement, swelling, pushing, growing, stalled, shrivelled, dead, not-found.

    Of a bud also set, not-set and forced. `add` may be left out.

    Example:

        graftbook look G1-G40 growing --except G7
    """


@looks.command("add")
@verb
def look_add(
    at: "Desk",
    for_programs: bool,
    words: Annotated[
        list[str],
        typer.Argument(metavar="CODES STATE", help="Grafts, or plants for their only open graft; then what was seen."),
    ],
    left_out: LeftOut = None,
    shoot: Annotated[str | None, typer.Option("--shoot", metavar="LENGTH", help="Length of the shoot.")] = None,
    cause: Annotated[
        str | None, typer.Option("--cause", metavar="TEXT", help="Cause of a loss, such as drought.")
    ] = None,
    union: Annotated[
        str | None, typer.Option("--union", metavar="yes|no|unsure", help="Was the union to blame for the loss?")
    ] = None,
    stock_fate: Annotated[
        str | None, typer.Option("--stock-fate", metavar="WORD", help="How the stock is: alive, weak, dead, unsure.")
    ] = None,
    photo: Annotated[
        str | None,
        typer.Option(
            "--photo", metavar="FILE", help="A photo; its path is kept. Without CODES, the tags in it are read."
        ),
    ] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
    yes: Yes = False,
) -> "Recorded":
    """Record one look at each graft named, as one entry. Looks are kept for ever; the last one counts.

    Example:

        graftbook look G1-G40 growing --except G7

        graftbook look G7 dead --cause drought --union no --stock-fate alive

        graftbook look --photo tray.jpg growing
    """
    from graftbook.actions.outcome import states
    from graftbook.actions.rounds import looking

    said = looking.LookWords(shoot=shoot, cause=cause, union=union, stock_fate=stock_fate, photo=photo, note=note)
    if photo is not None and not states.starts_with_code(words):
        seen = " ".join(words)
        states.state(seen)
        codes = _in_photo(at, Path(photo), yes, for_programs)
    else:
        codes, seen = states.codes_and_words(words)
    return looking.look(at, codes, seen, said, left_out=left_out, on=on, who=who)


def _in_photo(at: "Desk", photo: Path, yes: bool, for_programs: bool) -> str:
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


@looks.command("list")
@verb
def look_list(
    at: "Desk",
    codes: Codes = None,
    since: Since = None,
    state: Annotated[str | None, typer.Option("--state", help="Only looks that saw this.")] = None,
    limit: Limit = 200,
) -> "Report":
    """List looks, oldest first.

    Example:

        graftbook look list G5
    """
    from graftbook.actions.rounds import looking

    return looking.list_looks(at, codes, since=since, state=state, limit=limit)


@cares.callback()
def care() -> None:
    """Record aftercare: tie-released, rubbed-off, staked, headed-back, one-leader, potted-on, lasting-tag, moved, gone-home.

    Of a tag seen on a round also tag-missing and tag-illegible. `add` may be left out.

    Example:

        graftbook care G1-G40,P12 rub off
    """


@cares.command("add")
@verb
def care_add(
    at: "Desk",
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="[CODES] DONE",
            help="Grafts, or plants for all that stands on them; then what was done. No codes: all that lives at --place.",
        ),
    ],
    left_out: LeftOut = None,
    place: Annotated[
        str | None,
        typer.Option(
            "--place", metavar="PLACE", help="Without codes, whose grafts it was done to; else where they were moved."
        ),
    ] = None,
    row: Annotated[str | None, typer.Option("--row", metavar="ROW", help="Only this row of the place.")] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record one kind of care done to every graft and plant named, as one entry.

    Example:

        graftbook care G1-G40 tie-released --except G7

        graftbook care rub off --place "Long Row" --row 2

        graftbook care P12-P20 moved --place "Long Row"
    """
    from graftbook.actions.outcome import states
    from graftbook.actions.rounds import caring

    whole = place is not None and not states.starts_with_code(words)
    if row is not None and not whole:
        raise UsageProblem("--row with --place and without codes", "codes" if place is not None else "no --place")
    if whole and place is not None:
        done = " ".join(words)
        return caring.care_at(at, place, row, done, left_out=left_out, on=on, who=who, note=note)
    codes, done = states.codes_and_words(words)
    return caring.care(at, codes, done, left_out=left_out, place=place, on=on, who=who, note=note)


@cares.command("list")
@verb
def care_list(
    at: "Desk",
    codes: Codes = None,
    since: Since = None,
    limit: Limit = 200,
) -> "Report":
    """List care done, oldest first.

    Example:

        graftbook care list P12
    """
    from graftbook.actions.rounds import caring

    return caring.list_care(at, codes, since=since, limit=limit)


class Asking(Recording):
    """A group that lists what is due unless its first word is another of its own: `due --weeks 3` is `due list --weeks 3`."""

    default = "list"

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words of the command with `list` put before them where it was left out, also where there are none."""
        return super().parse_args(ctx, args if args else [self.default])


dues = typer.Typer(cls=Asking, rich_markup_mode=None, subcommand_metavar="[OPTIONS] | COMMAND …")

DueOn = Annotated[
    str | None, typer.Option("--on", metavar="DATE", help="The day of the walk, also one ahead (default: today).")
]
Forgotten = Annotated[
    int, typer.Option("--forgotten", min=1, max=520, metavar="WEEKS", help="Not looked at for so long is forgotten.")
]


@dues.callback()
def due() -> None:
    """Say what needs doing, by place in walking order: looks, ties, stock shoots, stakes, judging, and wood to use first.

    Living grafts only; those nobody looked at for weeks are on the list too. `list` may be left out.

    Example:

        graftbook due --place "Long Row"

        graftbook due --on 2027-06-01 --brief

        graftbook due --calendar round.ics --alarm 8:00
    """


@dues.command("list")
@verb
def due_list(
    at: "Desk",
    for_programs: bool,
    on: DueOn = None,
    weeks: Annotated[
        int | None,
        typer.Option("--weeks", min=0, max=520, help="So many weeks ahead as well (default: 0, in a calendar 8)."),
    ] = None,
    forgotten: Forgotten = 6,
    place: Place = None,
    brief: Annotated[bool, typer.Option("--brief", help="Put together grafts that want the same.")] = False,
    calendar: Annotated[
        Path | None,
        typer.Option("--calendar", metavar="FILE", help="Write it as a calendar file (iCalendar), eight weeks ahead."),
    ] = None,
    todo: Annotated[bool, typer.Option("--todo", help="To-dos in the calendar instead of all-day events.")] = False,
    alarm: Annotated[
        str | None, typer.Option("--alarm", metavar="HOUR", help="Let the calendar ring at this hour, such as 8:00.")
    ] = None,
    limit: Annotated[
        int | None,
        typer.Option("--limit", min=1, help=f"At most so many rows (default: all, {MOST_LINES} on paper or screen)."),
    ] = None,
) -> "Report":
    """Say what needs doing, or write it as a calendar file: one entry a place and day.

    Writing the same calendar file again follows on it: taken in again, it changes what is there, and what was done goes.

    Example:

        graftbook due --weeks 3 --place "Long Row"

        graftbook due --calendar round.ics --alarm 8:00
    """
    from graftbook.actions.rounds import round_calendar, rounds

    if calendar is None and (todo or alarm is not None):
        raise UsageProblem("--todo and --alarm with --calendar FILE", "no calendar file")
    if calendar is not None and (brief or limit is not None):
        raise UsageProblem("--calendar without --brief and --limit", "both")
    most = limit if limit is not None or for_programs else MOST_LINES
    if calendar is None:
        return rounds.due(at, on=on, weeks=weeks or 0, forgotten=forgotten, place=place, brief=brief, limit=most)
    return round_calendar.write_calendar(
        at, calendar, on=on, weeks=weeks, forgotten=forgotten, place=place, todo=todo, alarm=alarm
    )


@dues.command("sheet")
@verb
def due_sheet(
    at: "Desk",
    output: Annotated[Path, typer.Option("-o", "--output", metavar="FILE", help="The PDF to write.")],
    on: DueOn = None,
    weeks: Annotated[int, typer.Option("--weeks", min=0, max=520, help="So many weeks ahead as well.")] = 0,
    forgotten: Forgotten = 6,
    place: Place = None,
    paper: Annotated[str, typer.Option("--paper", metavar="a4|letter", help="The paper to print on.")] = "a4",
) -> "Report":
    """Write what is due as a sheet to walk with: a block a graft in walking order, its code to scan, boxes to tick.

    Example:

        graftbook due sheet -o round.pdf --place "Long Row"
    """
    from graftbook.actions.rounds import round_paper

    report = round_paper.write_sheet(at, output, on=on, weeks=weeks, forgotten=forgotten, place=place, paper=paper)
    return report
