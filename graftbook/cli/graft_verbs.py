"""graft: record grafts, list them, show one, mend what is recorded."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any

import typer

from graftbook.cli.grouping import Recording
from graftbook.cli.options import Limit, Note, On, Place, Who, Yes
from graftbook.cli.verb import verb
from graftbook.errors import UsageProblem

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

Method = Annotated[
    str, typer.Option("--method", metavar="NAME", help="How, such as whip-and-tongue, cleft or chip-bud.")
]
Buds = Annotated[
    str | None, typer.Option("--buds", metavar="N", help="Buds on each scion (default: as the method has it).")
]
Scion = Annotated[str | None, typer.Option("--scion", metavar="SIZE", help="The scion's diameter at the union.")]
Stock = Annotated[str | None, typer.Option("--stock", metavar="SIZE", help="The stock's diameter at the union.")]
Tie = Annotated[str | None, typer.Option("--tie", help="What it is tied with, such as rubber or tape.")]
Seal = Annotated[str | None, typer.Option("--seal", help="What it is sealed with, such as wax.")]
Tied = Annotated[str | None, typer.Option("--tied", metavar="DATE", help="When it was tied (default: when made).")]
Stage = Annotated[str | None, typer.Option("--stage", help="Growth stage of the stock, such as 'green tip'.")]
Bench = Annotated[bool | None, typer.Option("--bench/--field", help="At the bench, or on a planted stock.")]
Limb = Annotated[str | None, typer.Option("--limb", help="Which limb, as you call it.")]
Bearing = Annotated[str | None, typer.Option("--bearing", help="Which side: NW, north-west or degrees.")]
Height = Annotated[str | None, typer.Option("--height", metavar="LENGTH", help="Height along the stem.")]
Position = Annotated[
    str | None, typer.Option("--position", metavar="TEXT", help="Where on the host, in your own words.")
]
Trial = Annotated[str | None, typer.Option("--trial", help="The comparison it is part of.")]
Block = Annotated[str | None, typer.Option("--block", help="The block of that comparison.")]
LeftOut = Annotated[str | None, typer.Option("--except", metavar="CODES", help="Not these.")]


@dataclass(frozen=True)
class GraftOptions:
    """The options that say what is recorded of a graft: the words of `GraftWords`, by the same names."""

    buds: Buds = None
    scion: Scion = None
    stock: Stock = None
    tie: Tie = None
    seal: Seal = None
    tied: Tied = None
    place: Place = None
    stage: Stage = None
    bench: Bench = None
    limb: Limb = None
    bearing: Bearing = None
    height: Height = None
    position: Position = None
    trial: Trial = None
    block: Block = None


class Grafting(Recording):
    """`graft --plan 3 --done` is `graft planned --plan 3 --done`."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words of the command with `planned` put before them where they begin with a plan."""
        if args and args[0].startswith("-") and any(word.split("=")[0] == "--plan" for word in args):
            args = ["planned", *args]
        return super().parse_args(ctx, args)


verbs = typer.Typer(
    cls=Grafting,
    no_args_is_help=True,
    rich_markup_mode=None,
    subcommand_metavar="WOOD HOSTS --method NAME | COMMAND …",
)


def add_to(app: typer.Typer) -> None:
    """Hang graft on the app."""
    app.add_typer(verbs, name="graft")


@verbs.callback()
def graft() -> None:
    """Record grafts: one, or one on each of a run of hosts. `add` may be left out.

    Example:

        graftbook graft W7 P12-P20 --method whip-and-tongue --tie rubber
    """


@verbs.command()
@verb
def add(
    at: "Desk",
    wood: Annotated[str, typer.Argument(metavar="WOOD", help="The bundle, or one stick of it: W7 or W7/3.")],
    hosts: Annotated[
        list[str], typer.Argument(metavar="HOSTS", help="Plants, or grafts to graft on: P12, P12-P20 or G5.")
    ],
    method: Method,
    facts: GraftOptions = GraftOptions(),
    left_out: LeftOut = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
    tag: Annotated[
        str | None, typer.Option("--tag", metavar="CODES", help="Blank tags given out ahead, one a host.")
    ] = None,
    yes: Yes = False,
) -> "Recorded":
    """Record a graft on each host and draw down the wood; `graftbook graft W7 P12 --method cleft` does the same.

    What the trade's tables call impossible is recorded only with --yes.

    Example:

        graftbook graft W7 P12 --method whip-and-tongue --buds 2 --scion 8mm --stock 9mm

        graftbook graft W7/3 G5 --method chip-bud --position "low, north side"
    """
    from graftbook.actions.grafts import graft_text, grafting

    said = graft_text.GraftWords(**vars(facts), note=note)
    done = grafting.graft(at, wood, ",".join(hosts), method, said, left_out=left_out, on=on, who=who, yes=yes, tag=tag)
    return done


@verbs.command()
@verb
def planned(
    at: "Desk",
    plan: Annotated[int, typer.Option("--plan", metavar="PLAN", min=1, help="The number of the plan.")],
    done: Annotated[bool, typer.Option("--done", help="It was made, but for what is said here.")] = False,
    left_out: Annotated[str | None, typer.Option("--except", metavar="LINES", help="Lines not made: 7,12.")] = None,
    swap: Annotated[
        list[str] | None, typer.Option("--swap", metavar="LINE=PLANT", help="On another stock: 7=P14.")
    ] = None,
    other: Annotated[
        list[str] | None, typer.Option("--other", metavar="LINE=METHOD", help="By another method: 9=cleft.")
    ] = None,
    dry: Annotated[
        str | None, typer.Option("--dry", metavar="LINES", help="Not made, the stick being dry; it is thrown away.")
    ] = None,
    tie: Tie = None,
    seal: Seal = None,
    tied: Tied = None,
    stage: Stage = None,
    bench: Bench = None,
    on: Annotated[str | None, typer.Option("--on", metavar="DATE", help="When (default: the day of the plan).")] = None,
    who: Who = None,
    note: Note = None,
    yes: Yes = False,
) -> "Recorded":
    """Record a planned day as made, with its exceptions, all in one entry; `graft --plan 3 --done` does the same.

    Example:

        graftbook graft --plan 3 --done --except 7,12 --swap 9=P14 --tie rubber
    """
    from graftbook.actions.grafts.graft_text import GraftWords
    from graftbook.actions.plan import plan_recording
    from graftbook.actions.plan.plan_departures import ExceptionWords

    if not done:
        raise UsageProblem("--plan together with --done", "--plan alone", "Or see it: graftbook plan show PLAN")
    words = GraftWords(tie=tie, seal=seal, tied=tied, stage=stage, bench=bench, note=note)
    said = ExceptionWords(left_out=left_out, dry=dry, swap=tuple(swap or ()), other=tuple(other or ()))
    return plan_recording.record(at, plan, words, said, on=on, who=who, yes=yes)


@verbs.command("list")
@verb
def list_(
    at: "Desk",
    place: Place = None,
    host: Annotated[str | None, typer.Option("--host", metavar="CODE", help="On this plant or graft.")] = None,
    wood: Annotated[str | None, typer.Option("--wood", metavar="CODE", help="Of this bundle or stick.")] = None,
    method: Annotated[str | None, typer.Option("--method", metavar="NAME", help="By this method.")] = None,
    season: Annotated[str | None, typer.Option("--season", help="Of this season, such as 2026-27.")] = None,
    state: Annotated[
        str | None, typer.Option("--state", help="With this last look, such as growing or 'not looked at'.")
    ] = None,
    limit: Limit = 200,
    page: Annotated[int, typer.Option("--page", min=1, help="Which page of the list.")] = 1,
) -> "Report":
    """List grafts with what was last seen of them.

    Example:

        graftbook graft list --season 2026-27 --state dead
    """
    from graftbook.actions.grafts import graft_lists

    found = graft_lists.list_grafts(
        at, place=place, host=host, wood=wood, method=method, season=season, state=state, limit=limit, page=page
    )
    return found


@verbs.command("show")
@verb
def show_(
    at: "Desk",
    code: Annotated[str, typer.Argument(help="A graft, or a plant for its only open graft.")],
) -> "Report":
    """Show the whole story of one graft: facts, looks, care, every attempt on the same host.

    Example:

        graftbook graft show G5
    """
    from graftbook.actions.grafts import graft_lists

    return graft_lists.show_graft(at, code)


@verbs.command()
@verb
def amend(
    at: "Desk",
    codes: Annotated[str, typer.Argument(help="Grafts, such as G5 or G5-G9.")],
    method: Annotated[str | None, typer.Option("--method", metavar="NAME", help="How it was made.")] = None,
    facts: GraftOptions = GraftOptions(),
    on: Annotated[str | None, typer.Option("--on", metavar="DATE", help="When it was made.")] = None,
    who: Annotated[str | None, typer.Option("--who", metavar="NAME", help="Who made it.")] = None,
    note: Note = None,
) -> "Recorded":
    """Mend what is recorded of grafts; an empty text takes a fact away. Wood and host are mended by undo.

    Example:

        graftbook graft amend G5 --position "low, north side" --limb A
    """
    from graftbook.actions.grafts import graft_edits, graft_text

    said = graft_text.GraftWords(**vars(facts), note=note)
    return graft_edits.amend(at, codes, said, method=method, on=on, who=who)
