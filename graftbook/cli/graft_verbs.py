"""graft: record grafts, list them, show one, mend what is recorded."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from graftbook.cli import completing
from graftbook.cli.grouping import Recording, group
from graftbook.cli.options import LeftOut, Limit, Note, On, Paper, Place, Who, Yes, argument, option, out
from graftbook.cli.verb import Desk, Recorded, Report, fill, verb
from graftbook.errors import UsageProblem


@dataclass(frozen=True)
class GraftOptions:
    """The options that say what is recorded of a graft: the words of `GraftWords`, by the same names."""

    buds: Annotated[str | None, option("--buds", "Buds on each scion (default: as the method has it).", "N")] = None
    scion: Annotated[str | None, option("--scion", "The scion's diameter at the union.", "SIZE")] = None
    stock: Annotated[str | None, option("--stock", "The stock's diameter at the union.", "SIZE")] = None
    tie: Annotated[str | None, option("--tie", "What it is tied with, such as rubber or tape.")] = None
    seal: Annotated[str | None, option("--seal", "What it is sealed with, such as wax.")] = None
    tied: Annotated[str | None, option("--tied", "When it was tied (default: when made).", "DATE")] = None
    place: Place = None
    stage: Annotated[str | None, option("--stage", "Growth stage of the stock, such as 'green tip'.")] = None
    bench: Annotated[bool | None, option("--bench/--field", "At the bench, or on a planted stock.")] = None
    limb: Annotated[str | None, option("--limb", "Which limb, as you call it.")] = None
    bearing: Annotated[str | None, option("--bearing", "Which side: NW, north-west or degrees.")] = None
    height: Annotated[str | None, option("--height", "Height along the stem.", "LENGTH")] = None
    position: Annotated[str | None, option("--position", "Where on the host, in your own words.", "TEXT")] = None
    trial: Annotated[str | None, option("--trial", "The comparison it is part of.")] = None
    block: Annotated[str | None, option("--block", "The block of that comparison.")] = None


class Grafting(Recording):
    """`graft --plan 3 --done` is `graft planned --plan 3 --done`."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words of the command with `planned` put before them where they begin with a plan."""
        if args and args[0].startswith("-") and any(word.split("=")[0] == "--plan" for word in args):
            args = ["planned", *args]
        return super().parse_args(ctx, args)


verbs = group(
    "graft",
    """Record grafts: one, or one on each of a run of hosts. `add` may be left out.

    Example:

        graftbook graft W7 P12-P20 --method whip-and-tongue --tie rubber
    """,
    cls=Grafting,
    subcommand_metavar="WOOD HOSTS --method NAME | COMMAND …",
)


@verb(verbs)
def add(
    at: Desk,
    wood: Annotated[str, argument("WOOD", "The bundle, or one stick of it: W7 or W7/3.")],
    hosts: Annotated[list[str], argument("HOSTS", "Plants, or grafts to graft on: P12, P12-P20 or G5.")],
    method: Annotated[str, option("--method", "How, such as whip-and-tongue, cleft or chip-bud.", "NAME")],
    facts: GraftOptions = GraftOptions(),
    left_out: LeftOut = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
    tag: Annotated[str | None, option("--tag", "Blank tags given out ahead, one a graft.", "CODES")] = None,
    each: Annotated[int, option("--each", "So many on each host: 2 for double budding.", "N")] = 1,
    receiver: Annotated[
        str | None, option("--by-receiver", "Made of sticks given to them; draws none here.", "NAME")
    ] = None,
    yes: Yes = False,
) -> Recorded:
    """Record a graft on each host and draw down the wood; `graftbook graft W7 P12 --method cleft` does the same.

    What the trade's tables call impossible is recorded only with --yes.

    Example:

        graftbook graft W7 P12 --method whip-and-tongue --buds 2 --scion 8mm --stock 9mm

        graftbook graft W7/3 G5 --method chip-bud --position "low, north side"

        graftbook graft W7 P12-P15 --method chip-bud --each 2

    What someone made of sticks you gave them is recorded with --by-receiver, on a stock recorded at their place.
    """
    from graftbook.actions.grafts import graft_text, grafting

    words = fill(graft_text.GraftWords, facts, note=note)
    on_these = ",".join(hosts)
    return grafting.graft(
        at, wood, on_these, method, words, left_out=left_out, on=on, who=who, yes=yes, tag=tag, receiver=receiver,
        each=each,
    )  # fmt: skip


@verb(verbs)
def planned(
    at: Desk,
    plan: Annotated[int, option("--plan", "The number of the plan.", "PLAN", min=1)],
    done: Annotated[bool, option("--done", "It was made, but for what is said here.")] = False,
    left_out: Annotated[str | None, option("--except", "Lines not made: 7,12.", "LINES")] = None,
    swap: Annotated[list[str] | None, option("--swap", "On another stock: 7=P14.", "LINE=PLANT")] = None,
    other: Annotated[list[str] | None, option("--other", "By another method: 9=cleft.", "LINE=METHOD")] = None,
    dry: Annotated[str | None, option("--dry", "Not made, the stick being dry; it is thrown away.", "LINES")] = None,
    made: Annotated[
        list[str] | None, option("--made", "So many of a batch of the sheet: 1=196.", "BATCH=COUNT")
    ] = None,
    facts: Annotated[GraftOptions, "tie seal tied stage bench"] = GraftOptions(),
    on: Annotated[str | None, option("--on", "When (default: the day of the plan).", "DATE")] = None,
    who: Who = None,
    note: Note = None,
    yes: Yes = False,
) -> Recorded:
    """Record a planned day as made, with its exceptions, all in one entry; `graft --plan 3 --done` does the same.

    Example:

        graftbook graft --plan 3 --done --except 7,12 --swap 9=P14 --tie rubber
    """
    from graftbook.actions.grafts.graft_text import GraftWords
    from graftbook.actions.plan import plan_recording
    from graftbook.actions.plan.plan_departures import ExceptionWords

    if not done:
        raise UsageProblem("--plan together with --done", "--plan alone", "Or see it: graftbook plan show PLAN")
    exceptions = ExceptionWords(left_out, dry, swap or (), other or (), made or ())
    return plan_recording.record(at, plan, fill(GraftWords, facts, note=note), exceptions, on=on, who=who, yes=yes)


@verb(verbs, csv=False)
def log(
    at: Desk,
    output: Annotated[Path, out("The PDF to write.")],
    lines: Annotated[int | None, argument("LINES", "How many grafts it has lines for.", min=1)] = None,
    codes: Annotated[str | None, option("--codes", "For blank tags printed already.", "CODES")] = None,
    purpose: Annotated[str | None, option("--for", "What the day is.", "TEXT")] = None,
    paper: Paper = "a4",
    who: Who = None,
) -> Recorded:
    """Write a day's log for the grafting bench: a code to each graft, and lines to write on. It is typed in afterwards.

    The codes are given out ahead, as on blank tags; with --codes they are those of blank tags, so that tag and log agree.

    Example:

        graftbook graft log 20 --for "barn day" -o day.pdf
    """
    from graftbook.actions.tags import log_paper

    return log_paper.log(at, lines, codes, output, purpose, paper, who)


@verb(verbs)
def list_(
    at: Desk,
    place: Place = None,
    host: Annotated[str | None, option("--host", "On this plant or graft.", "CODE")] = None,
    wood: Annotated[str | None, option("--wood", "Of this bundle or stick.", "CODE")] = None,
    method: Annotated[str | None, option("--method", "By this method.", "NAME")] = None,
    season: Annotated[str | None, option("--season", "Of this season, such as 2026-27.")] = None,
    state: Annotated[str | None, option("--state", "With this last look, such as growing or 'not looked at'.")] = None,
    limit: Limit = 200,
    page: Annotated[int, option("--page", "Which page of the list.", min=1)] = 1,
) -> Report:
    """List grafts with what was last seen of them.

    Example:

        graftbook graft list --season 2026-27 --state dead
    """
    from graftbook.actions.grafts import graft_lists

    return graft_lists.list_grafts(
        at, place=place, host=host, wood=wood, method=method, season=season, state=state, limit=limit, page=page
    )


@verb(verbs)
def show_(
    at: Desk,
    code: Annotated[
        str, argument(None, "A graft, or a plant for its only open graft.", autocompletion=completing.codes)
    ],
) -> Report:
    """Show the whole story of one graft: facts, looks, care, every attempt on the same host.

    Example:

        graftbook graft show G5
    """
    from graftbook.actions.grafts import graft_lists

    return graft_lists.show_graft(at, code)


@verb(verbs)
def amend(
    at: Desk,
    codes: Annotated[str, argument(None, "Grafts, such as G5 or G5-G9.", autocompletion=completing.codes)],
    method: Annotated[str | None, option("--method", "How it was made.", "NAME")] = None,
    facts: GraftOptions = GraftOptions(),
    on: Annotated[str | None, option("--on", "When it was made.", "DATE")] = None,
    who: Annotated[str | None, option("--who", "Who made it.", "NAME")] = None,
    note: Note = None,
) -> Recorded:
    """Mend what is recorded of grafts; an empty text takes a fact away. Wood and host are mended by undo.

    Example:

        graftbook graft amend G5 --position "low, north side" --limb A
    """
    from graftbook.actions.grafts import graft_edits, graft_text

    words = fill(graft_text.GraftWords, facts, note=note)
    return graft_edits.amend(at, codes, words, method=method, on=on, who=who)
