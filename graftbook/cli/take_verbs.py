"""take: what took, counted honestly."""

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli import take_curve_verbs
from graftbook.cli.options import AsOf
from graftbook.cli.shared import width
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Report


Attempt = Annotated[str, typer.Option(help="any, or first: without what was grafted on a stock after its first day.")]


def add_to(app: typer.Typer) -> None:
    """Hang take on the app."""
    group = typer.Typer(rich_markup_mode=None, no_args_is_help=False)
    group.callback(invoke_without_command=True)(take)
    group.command("compare")(compare)
    group.command("next")(next_)
    take_curve_verbs.add_to(group)
    app.add_typer(group, name="take")


@verb
def take(
    at: "Desk",
    by: Annotated[
        str,
        typer.Option(
            "--by",
            metavar="A,B",
            help="Factors: species, cultivar, method, on, week, half-month, month, season, stage, stock, wood, wood-age, "
            "donor, mother-tree, scion-diameter, stock-diameter, mismatch, buds, tie, seal, place, bench, trial, block.",
        ),
    ] = "species,method",
    endpoint: Annotated[str, typer.Option(help="took, moved, set, standing or established.")] = "took",
    as_of: AsOf = None,
    season: Annotated[str | None, typer.Option(metavar="2026-27", help="Only grafts made in this season.")] = None,
    level: Annotated[float, typer.Option(help="Level of the range.")] = 0.95,
    interval: Annotated[str, typer.Option(help="The range: wilson, exact or jeffreys.")] = "wilson",
    unit: Annotated[str, typer.Option(help="What is counted: graft (buds apart), bud, stock or tree.")] = "graft",
    attempt: Attempt = "any",
    losses: Annotated[
        bool, typer.Option("--losses", help="Add what died of the union or not, false takes and late takes.")
    ] = False,
    bounds: Annotated[
        bool, typer.Option("--bounds", help="Add the rate if all that is not known had died, or lived.")
    ] = False,
    shrink: Annotated[
        bool, typer.Option("--shrink", help="Add rates drawn towards the kind, for rows of a few.")
    ] = False,
) -> "tuple[Report, str]":
    """Show what took: k of n, a range, and what is not decided.

    Grafts not yet decided, not looked at or not found are never counted as failures.

    Example:

        graftbook take --by species,method --endpoint took --as-of 2027-10-01

        graftbook take --by species,cultivar --shrink

        graftbook take --by species,month --losses --attempt first
    """
    from graftbook.actions.takes.take_rows import ExtraColumns
    from graftbook.actions.takes.take_table import take as action

    extra = ExtraColumns(losses, bounds, shrink)
    report = action(at, by.split(","), endpoint, as_of, season, level, unit, interval, attempt, extra)
    picture = _picture(report) if sys.stdout.isatty() else ""
    return report, picture


@verb
def compare(
    at: "Desk",
    what: Annotated[
        str,
        typer.Argument(
            metavar="FACTOR=A,B", help="Such as method=cleft,whip-and-tongue, 'on<2027-04-20' or 'wood-age<60'."
        ),
    ],
    endpoint: Annotated[str, typer.Option(help="took, moved, set, standing or established.")] = "took",
    as_of: AsOf = None,
    season: Annotated[str | None, typer.Option(metavar="2026-27", help="Only grafts made in this season.")] = None,
    level: Annotated[float, typer.Option(help="Level of the ranges.")] = 0.95,
    within: Annotated[
        str, typer.Option(metavar="A,B", help="Compare within these; grafts and buds always apart.")
    ] = "species",
    attempt: Attempt = "any",
) -> "Report":
    """Compare ways of grafting honestly: within kinds, with a range, and with what else changed at the same time.

    Example:

        graftbook take compare method=cleft,whip-and-tongue

        graftbook take compare 'on<2027-04-20' --within species,stock
    """
    from graftbook.actions.compare.comparison import compare as action

    return action(at, what, endpoint, as_of, season, level, within.split(","), attempt)


@verb
def next_(
    at: "Desk",
    what: Annotated[str, typer.Argument(metavar="FACTOR=A,B", help="Two ways, such as method=cleft,whip-and-tongue.")],
    endpoint: Annotated[str, typer.Option(help="took, moved, set, standing or established.")] = "took",
    power: Annotated[float, typer.Option(help="The chance of telling them apart.")] = 0.8,
    rates: Annotated[
        str | None, typer.Option(metavar="A,B", help="Rates to tell apart (default: this book's).")
    ] = None,
    buds: Annotated[int, typer.Option(help="Buds on a scion.")] = 2,
    species: Annotated[str | None, typer.Option(help="Only wood of this kind.")] = None,
    as_of: AsOf = None,
    season: Annotated[str | None, typer.Option(metavar="2026-27", help="The book's rates from this season.")] = None,
) -> "Report":
    """Say how many grafts a side would tell two ways apart next season, and split the wood in store fairly.

    Example:

        graftbook take next method=cleft,whip-and-tongue --rates 0.7,0.9
    """
    from graftbook.actions.compare.next_season import plan as action

    return action(at, what, endpoint, power, rates, buds, species, as_of, season)


def _picture(report: "Report") -> str:
    from graftbook.actions.takes.factors import field_name
    from graftbook.output.interval_plot import Bar, plot_text

    names = [field_name(name) for name in report.facts["by"]]
    bars = [
        Bar(" · ".join(str(getattr(row, name) or "not recorded") for name in (*names, "unit")), row.k_of_n, row.rate,
            row.low, row.high)
        for row in report.rows
    ]  # fmt: skip
    unicode = (sys.stdout.encoding or "").lower().startswith("utf")
    return "\n" + plot_text(bars, width(), unicode)
