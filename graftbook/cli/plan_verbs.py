"""match and plan: which wood fits which stock, pairs for a grafting day, the sheet for the bench, and how much a nursery needs."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from graftbook.cli.grouping import Recording, app, group
from graftbook.cli.options import AsOf, Limit, Note, On, Paper, Who, argument, option, out
from graftbook.cli.verb import Desk, Recorded, Report, verb
from graftbook.errors import UsageProblem


@verb(app)
def match(
    at: Desk,
    wood: Annotated[str | None, option("--wood", "Only this wood, such as W7,W9.", "CODES")] = None,
    stock: Annotated[str | None, option("--stock", "Only on these, such as P12-P20.", "CODES")] = None,
    method: Annotated[str | None, option("--method", "Only by this method.", "NAME")] = None,
    on: Annotated[str | None, option("--on", "The day of grafting (default: today).", "DATE")] = None,
    why: Annotated[tuple[str, str] | None, option("--why", "Explain one pair in full.", "STOCK WOOD")] = None,
    draw: Annotated[Path | None, option("--draw", "With --why: draw the joint true to scale, as SVG.", "FILE")] = None,
    reach: Annotated[str | None, option("--reach", "The gap callus is trusted to bridge (0.5 mm).", "SIZE")] = None,
    barred: Annotated[bool, option("--barred", "Show what does not go, and why, instead.")] = False,
    every: Annotated[bool, option("--all", "Every pair up to the limit, not the best few of each stock.")] = False,
    limit: Annotated[
        int | None, option("--limit", "At most so many pairs (default: 40).", min=1, max=1_000_000)
    ] = None,
    for_programs: bool = False,
) -> Report:
    """Say which wood fits which stock by which method, best first, with reasons.

    Asked of everything, it shows the best few of each stock.

    Example:

        graftbook match --wood W7 --method whip-and-tongue

        graftbook match --why P12 W7 --draw joint.svg
    """
    from graftbook.actions.grafts import match

    if draw is not None and why is None:
        raise UsageProblem("--draw together with --why STOCK WOOD", "--draw alone", "Name the pair whose joint to draw")
    if why is not None:
        return match.why(at, why[0], why[1], method, on, reach, draw)
    asked = (wood, stock, method, limit) != (None,) * 4 or barred or every or for_programs
    return match.match(at, wood, stock, method, on, barred, limit or match.MOST_PAIRS_SHOWN, reach, few=not asked)


class Planning(Recording):
    """`plan --on DATE` is `plan make --on DATE`, and `plan` alone plans today."""

    default = "make"
    alone = True


@dataclass(frozen=True)
class PlanOptions:
    """The options that say what is planned: the words of `PlanWords`, by the same names."""

    on: Annotated[str | None, option("--on", "The day of grafting (default: today).", "DATE")] = None
    wants: Annotated[str | None, option("--wants", "Only these wants, such as 1,3-5.", "NUMBERS")] = None
    method: Annotated[str | None, option("--method", "Only by these methods (default: the usual ones).", "A,B")] = None
    place: Annotated[str | None, option("--place", "Only stocks at this place or site.", "PLACE")] = None
    host: Annotated[str | None, option("--host", "Only on these plants, trees too: P12-P20.", "CODES")] = None
    positions: Annotated[int, option("--positions", "Grafts each of --host has room for.", "N", min=1, max=1000)] = 1
    without: Annotated[str | None, option("--without", "Leave out this wood and these plants: W7,P12.", "CODES")] = None
    hold_back: Annotated[int, option("--hold-back", "Buds of every cultivar to keep for a later method.", "BUDS")] = 0
    sure: Annotated[float, option("--sure", "The chance at which a must-have is safe.", "CHANCE")] = 0.95
    spare: Annotated[
        str | None, option("--spare", "Trees to plan beside the number wanted, once each want has it: 10%.", "SHARE")
    ] = None
    seconds: Annotated[float, option("--time-limit", "How long to look for the best plan.", "SECONDS")] = 60.0
    despite_notes: Annotated[
        bool, option("--despite-notes", "Plan in spite of your own notes on health and rights.")
    ] = False
    doubtful: Annotated[bool, option("--doubtful", "Plan unions that are poor or of which nothing is known, too.")] = (
        False
    )
    days: Annotated[int, option("--days", "Deal the grafts out to so many days in a row.", "N", min=1, max=366)] = 1
    crews: Annotated[int, option("--crews", "Deal each day out to so many crews.", "N", min=1, max=1000)] = 1
    compare: Annotated[
        str | None, option("--compare", "A fair trial of method, date, tie or buds inside the plan.", "FACTOR=A,B")
    ] = None
    seed: Annotated[int | None, option("--seed", "Draw the trial by this number (default: a new one).", "N", min=0)] = (
        None
    )


@dataclass(frozen=True)
class NeedOptions:
    """What an order is worked back from: the words of `NeedWords`, by the same names."""

    cultivar: Annotated[str | None, argument("CULTIVAR", "With --trees: of this cultivar.")] = None
    trees: Annotated[int | None, option("--trees", "An order of so many trees (default: every open want).", "N")] = None
    through: Annotated[
        str | None,
        option(
            "--through",
            "What comes through each stage: take=0.85,winter=96%,grade=170/200 (default: this book's own counts).",
            "STAGE=SHARE,…",
        ),
    ] = None
    wants: Annotated[str | None, option("--wants", "Only these wants.", "NUMBERS")] = None
    stock: Annotated[str | None, option("--stock", "On this rootstock.", "NAME")] = None
    grade: Annotated[str | None, option("--grade", "Stocks of these grades: 8-10mm,6-8mm, best first.", "SIZES")] = None
    buds: Annotated[int, option("--buds", "Buds on a scion.", "N")] = 2
    sure: Annotated[float, option("--sure", "The chance of meeting the order.", "CHANCE")] = 0.9
    as_of: AsOf = None
    standing: Annotated[
        str | None,
        option(
            "--standing", "With --trees: what stands, by the stage it came through: made=120,take=80.", "STAGE=COUNT,…"
        ),
    ] = None
    flat: Annotated[str | None, option("--flat", "Your own percentage on top, set beside: 15%.", "SHARE")] = None


EveryLine = Annotated[bool, option("--all", "Show every line, however many there are.")]
Number = Annotated[int | None, argument("PLAN", "Its number (default: the newest).", min=1)]

verbs = group(
    "plan",
    """Choose pairs for a grafting day from the wants, the wood in store and the free stocks. `make` may be left out.

    Example:

        graftbook plan --on 2027-03-14
    """,
    cls=Planning,
    no_args_is_help=False,
    subcommand_metavar="--on DATE | COMMAND …",
)


@verb(verbs)
def make(
    at: Desk,
    facts: PlanOptions,
    dry_run: Annotated[bool, option("--dry-run", "Show the plan and keep nothing.")] = False,
    every: EveryLine = False,
    who: Who = None,
    note: Note = None,
    for_programs: bool = False,
) -> Report:
    """Plan a grafting day: which stick is cut how, which piece goes on which stock, what is short and what is left over.

    Stocks and sticks of a plan are kept from other days until it is done, dropped or past, and from its own once it is printed.

    Example:

        graftbook plan --on 2027-03-14 --hold-back 1

        graftbook plan --on 2027-02-01 --days 12 --crews 3

        graftbook plan --compare method=cleft,whip-and-tongue --seed 7
    """
    from graftbook.actions.plan import planning
    from graftbook.actions.plan.circumstances import PlanWords

    return planning.make(at, PlanWords(**vars(facts)), who, note, dry_run, every or for_programs)


@verb(verbs)
def list_(at: Desk, limit: Limit = 50) -> Report:
    """List plans, newest first.

    Example:

        graftbook plan list
    """
    from graftbook.actions.plan import planning

    return planning.list_plans(at, limit)


@verb(verbs)
def show_(at: Desk, number: Number = None, every: EveryLine = False, for_programs: bool = False) -> Report:
    """Show a plan as it was kept, and which of its lines are made; a large one in totals.

    Example:

        graftbook plan show 3
    """
    from graftbook.actions.plan import planning

    return planning.show(at, number, every or for_programs)


@verb(verbs)
def sheet(
    at: Desk,
    number: Number = None,
    output: Annotated[Path, out("The PDF to write.")] = Path("bench.pdf"),
    paper: Paper = "a4",
    who: Who = None,
) -> Recorded:
    """Print a plan for the bench: one line a graft with its code and boxes to tick, and how to cut the sticks.

    The codes of the grafts are given out with the first sheet, as on blank tags.

    Example:

        graftbook plan sheet 3 -o bench.pdf
    """
    from graftbook.actions.plan import plan_sheet

    return plan_sheet.sheet(at, number, output, paper, who)


@verb(verbs)
def drop(
    at: Desk,
    number: Annotated[int, argument("PLAN", "Its number.", min=1)],
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Give up a plan: its stocks and sticks are free for other plans.

    Example:

        graftbook plan drop 3
    """
    from graftbook.actions.plan import planning

    return planning.drop(at, number, on, who, note)


@verb(verbs)
def need(at: Desk, facts: NeedOptions) -> Report:
    """Work back from orders: grafts, sticks and stocks needed, by cultivar, against what is in store; and forward from what
    stands, which has only the losses still ahead of it.

    Example:

        graftbook plan need --trees 2500 --through take=0.85,winter=0.96,grade=0.92 --flat 15%

        graftbook plan need --trees 9800 --through take=0.85,winter=0.96,grade=0.92 --standing take=10964
    """
    from graftbook.actions.plan import plan_inputs

    return plan_inputs.need(at, plan_inputs.NeedWords(**vars(facts)))
