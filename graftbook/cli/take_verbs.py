"""take: what took, counted honestly."""

from typing import Annotated

from graftbook.cli.grouping import group
from graftbook.cli.options import AsOf, argument, option
from graftbook.cli.shared import bars
from graftbook.cli.verb import Desk, Report, verb

Endpoint = Annotated[str, option("--endpoint", "took, moved, set, standing or established.")]
Season = Annotated[str | None, option("--season", "Only grafts made in this season.", "2026-27")]
Level = Annotated[float, option("--level", "Level of the ranges.")]
Attempt = Annotated[str, option("--attempt", "any, or first: without what was grafted on a stock after its first day.")]

Of = Annotated[
    str, option("--of", "Rates of those decided, of all made, or of those headed back.", "decided|made|headed-back")
]

verbs = group("take", no_args_is_help=False)


@verbs.callback(invoke_without_command=True)
@verb()
def take(
    at: Desk,
    by: Annotated[
        str,
        option(
            "--by",
            "Factors: species, cultivar, method, on, week, half-month, month, season, stage, stock, wood, wood-age, "
            "donor, mother-tree, scion-diameter, stock-diameter, mismatch, buds, tie, seal, film, wax, place, bench, trial, block.",
            "A,B",
        ),
    ] = "species,method",
    endpoint: Endpoint = "took",
    as_of: AsOf = None,
    season: Season = None,
    level: Level = 0.95,
    interval: Annotated[str, option("--interval", "The range: wilson, exact or jeffreys.")] = "wilson",
    unit: Annotated[str, option("--unit", "What is counted: graft (buds apart), bud, stock or tree.")] = "graft",
    attempt: Attempt = "any",
    of: Of = "decided",
    losses: Annotated[
        bool, option("--losses", "Add what died of the union or not, false takes and late takes.")
    ] = False,
    bounds: Annotated[bool, option("--bounds", "Add the rate if all that is not known had died, or lived.")] = False,
    shrink: Annotated[bool, option("--shrink", "Add rates drawn towards the kind, for rows of a few.")] = False,
) -> tuple[Report, str]:
    """Show what took: k of n, a range, and what is not decided.

    Grafts not yet decided, not looked at or not found are never counted as failures.

    Example:

        graftbook take --by species,method --endpoint took --as-of 2027-10-01

        graftbook take --by species,cultivar --shrink

        graftbook take --by species,month --losses --attempt first

        graftbook take --endpoint moved --of made --as-of 2027-05-20
    """
    from graftbook.actions.takes.take_rows import ExtraColumns
    from graftbook.actions.takes.take_table import take as action

    extra = ExtraColumns(losses, bounds, shrink)
    report = action(at, by.split(","), endpoint, as_of, season, level, unit, interval, attempt, of, extra)
    return report, bars(report, [(row, row.unit, row.rate) for row in report.rows])


@verb(verbs)
def compare(
    at: Desk,
    what: Annotated[
        str, argument("FACTOR=A,B", "Such as method=cleft,whip-and-tongue, 'on<2027-04-20' or 'wood-age<60'.")
    ],
    endpoint: Endpoint = "took",
    as_of: AsOf = None,
    season: Season = None,
    level: Level = 0.95,
    within: Annotated[
        str, option("--within", "Compare within these; grafts and buds always apart.", "A,B")
    ] = "species",
    attempt: Attempt = "any",
    of: Of = "decided",
) -> Report:
    """Compare ways of grafting honestly: within kinds, with a range, and with what else changed at the same time.

    Example:

        graftbook take compare method=cleft,whip-and-tongue

        graftbook take compare 'on<2027-04-20' --within species,stock
    """
    from graftbook.actions.compare.comparison import compare as action

    return action(at, what, endpoint, as_of, season, level, within.split(","), attempt, of)


@verb(verbs)
def next_(
    at: Desk,
    what: Annotated[str, argument("FACTOR=A,B", "Two ways, such as method=cleft,whip-and-tongue.")],
    endpoint: Endpoint = "took",
    power: Annotated[float, option("--power", "The chance of telling them apart.")] = 0.8,
    rates: Annotated[str | None, option("--rates", "Rates to tell apart (default: this book's).", "A,B")] = None,
    buds: Annotated[int, option("--buds", "Buds on a scion.")] = 2,
    species: Annotated[str | None, option("--species", "Only wood of this kind.")] = None,
    as_of: AsOf = None,
    season: Annotated[str | None, option("--season", "The book's rates from this season.", "2026-27")] = None,
    on: Annotated[
        str | None, option("--on", "The day of grafting, or of the first half (default: today).", "DATE")
    ] = None,
) -> Report:
    """Say how many grafts a side would tell two ways apart next season, and split the wood in store fairly.

    Example:

        graftbook take next method=cleft,whip-and-tongue --rates 0.7,0.9

        graftbook take next 'on<2027-04-20' --rates 0.7,0.9 --on 2027-04-01
    """
    from graftbook.actions.compare.next_season import plan as action

    return action(at, what, endpoint, power, rates, buds, species, as_of, season, on)
