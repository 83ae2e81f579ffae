"""plan: pairs for a grafting day, the sheet for the bench, and how much a nursery needs."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from graftbook.cli.grouping import Recording
from graftbook.cli.options import AsOf, Limit, Note, Who
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report


class Planning(Recording):
    """`plan --on DATE` is `plan make --on DATE`."""

    default = "make"

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """The words of the command; without any, today is planned."""
        return super().parse_args(ctx, args or [self.default])


verbs = typer.Typer(cls=Planning, rich_markup_mode=None, subcommand_metavar="--on DATE | COMMAND …")
DayOf = Annotated[str | None, typer.Option("--on", metavar="DATE", help="The day of grafting (default: today).")]
Wants = Annotated[str | None, typer.Option("--wants", metavar="NUMBERS", help="Only these wants, such as 1,3-5.")]
Methods = Annotated[
    str | None, typer.Option("--method", metavar="A,B", help="Only by these methods (default: the usual ones).")
]
PlaceOf = Annotated[str | None, typer.Option("--place", metavar="PLACE", help="Only stocks at this place or site.")]
Hosts = Annotated[str | None, typer.Option("--host", metavar="CODES", help="Only on these plants, trees too: P12-P20.")]
Positions = Annotated[
    int, typer.Option("--positions", metavar="N", min=1, max=1000, help="Grafts each of --host has room for.")
]
Without = Annotated[
    str | None, typer.Option("--without", metavar="CODES", help="Leave out this wood and these plants: W7,P12.")
]
HoldBack = Annotated[
    int, typer.Option("--hold-back", metavar="BUDS", help="Buds of every cultivar to keep for a later method.")
]
Sure = Annotated[float, typer.Option("--sure", metavar="CHANCE", help="The chance at which a must-have is safe.")]
TimeLimit = Annotated[
    float, typer.Option("--time-limit", metavar="SECONDS", help="How long to look for the best plan.")
]
DespiteNotes = Annotated[
    bool, typer.Option("--despite-notes", help="Plan in spite of your own notes on health and rights.")
]
Doubtful = Annotated[
    bool, typer.Option("--doubtful", help="Plan unions that are poor or of which nothing is known, too.")
]
Compare = Annotated[
    str | None,
    typer.Option("--compare", metavar="FACTOR=A,B", help="A fair trial of method, date, tie or buds inside the plan."),
]
Seed = Annotated[
    int | None,
    typer.Option("--seed", metavar="N", min=0, help="Draw the trial by this number (default: a new one)."),
]
Number = Annotated[int | None, typer.Argument(metavar="PLAN", min=1, help="Its number (default: the newest).")]


def add_to(app: typer.Typer) -> None:
    """Hang plan on the app."""
    app.add_typer(verbs, name="plan")


@verbs.callback()
def plan() -> None:
    """Choose pairs for a grafting day from the wants, the wood in store and the free stocks. `make` may be left out.

    Example:

        graftbook plan --on 2027-03-14
    """


@verbs.command()
@verb
def make(
    at: "Desk",
    on: DayOf = None,
    wants: Wants = None,
    method: Methods = None,
    place: PlaceOf = None,
    host: Hosts = None,
    positions: Positions = 1,
    without: Without = None,
    hold_back: HoldBack = 0,
    sure: Sure = 0.95,
    time_limit: TimeLimit = 60.0,
    despite_notes: DespiteNotes = False,
    doubtful: Doubtful = False,
    compare: Compare = None,
    seed: Seed = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show the plan and keep nothing.")] = False,
    who: Who = None,
    note: Note = None,
) -> "Report":
    """Plan a grafting day: which stick is cut how, which piece goes on which stock, what is short and what is left over.

    Example:

        graftbook plan --on 2027-03-14 --hold-back 1

        graftbook plan --compare method=cleft,whip-and-tongue --seed 7
    """
    from graftbook.actions.plan import planning
    from graftbook.actions.plan.circumstances import PlanWords

    words = PlanWords(
        on=on,
        wants=wants,
        method=method,
        place=place,
        host=host,
        positions=positions,
        without=without,
        hold_back=hold_back,
        sure=sure,
        seconds=time_limit,
        despite_notes=despite_notes,
        doubtful=doubtful,
        compare=compare,
        seed=seed,
    )
    return planning.make(at, words, who, note, dry_run)


@verbs.command("list")
@verb
def list_(at: "Desk", limit: Limit = 50) -> "Report":
    """List plans, newest first.

    Example:

        graftbook plan list
    """
    from graftbook.actions.plan import planning

    return planning.list_plans(at, limit)


@verbs.command("show")
@verb
def show_(at: "Desk", number: Number = None) -> "Report":
    """Show a plan as it was kept, and which of its lines are made.

    Example:

        graftbook plan show 3
    """
    from graftbook.actions.plan import planning

    return planning.show(at, number)


@verbs.command()
@verb
def sheet(
    at: "Desk",
    number: Number = None,
    output: Annotated[Path, typer.Option("-o", "--output", metavar="FILE", help="The PDF to write.")] = Path(
        "bench.pdf"
    ),
    paper: Annotated[str, typer.Option("--paper", metavar="NAME", help="a4 or letter.")] = "a4",
    who: Who = None,
) -> "Recorded":
    """Print a plan for the bench: one line a graft with its code and boxes to tick, and how to cut the sticks.

    The codes of the grafts are given out with the first sheet, as on blank tags.

    Example:

        graftbook plan sheet 3 -o bench.pdf
    """
    from graftbook.actions.plan import plan_sheet

    return plan_sheet.sheet(at, number, output, paper, who)


@verbs.command()
@verb
def need(
    at: "Desk",
    cultivar: Annotated[str | None, typer.Argument(metavar="CULTIVAR", help="With --trees: of this cultivar.")] = None,
    trees: Annotated[
        int | None, typer.Option("--trees", metavar="N", help="An order of so many trees (default: every open want).")
    ] = None,
    through: Annotated[
        str | None,
        typer.Option(
            "--through",
            metavar="STAGE=SHARE,…",
            help="What comes through each stage: take=0.85,winter=96%,grade=170/200 (default: this book's own counts).",
        ),
    ] = None,
    wants: Annotated[str | None, typer.Option("--wants", metavar="NUMBERS", help="Only these wants.")] = None,
    stock: Annotated[str | None, typer.Option("--stock", metavar="NAME", help="On this rootstock.")] = None,
    grade: Annotated[
        str | None, typer.Option("--grade", metavar="SIZES", help="Stocks of these grades: 8-10mm,6-8mm, best first.")
    ] = None,
    buds: Annotated[int, typer.Option("--buds", metavar="N", help="Buds on a scion.")] = 2,
    sure: Annotated[float, typer.Option("--sure", metavar="CHANCE", help="The chance of meeting the order.")] = 0.9,
    as_of: AsOf = None,
) -> "Report":
    """Reckon back from orders: grafts, sticks and stocks needed, by cultivar, against what is in store.

    Example:

        graftbook plan need --trees 2500 --through take=0.85,winter=0.96,grade=0.92
    """
    from graftbook.actions.plan import plan_inputs

    words = plan_inputs.NeedWords(
        trees=trees,
        cultivar=cultivar,
        wants=wants,
        through=through,
        stock=stock,
        grade=grade,
        buds=buds,
        sure=sure,
        as_of=as_of,
    )
    return plan_inputs.need(at, words)
