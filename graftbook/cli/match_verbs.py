"""match: which wood fits which stock."""

from typing import Annotated

import typer

from graftbook.cli.options import Csv, Json, Limit
from graftbook.cli.shared import desk, show


def add_to(app: typer.Typer) -> None:
    """Hang match on the app."""
    app.command()(match)


def match(
    ctx: typer.Context,
    wood: Annotated[str | None, typer.Option("--wood", metavar="CODES", help="Only this wood, such as W7,W9.")] = None,
    stock: Annotated[
        str | None, typer.Option("--stock", metavar="CODES", help="Only on these, such as P12-P20.")
    ] = None,
    method: Annotated[str | None, typer.Option("--method", metavar="NAME", help="Only by this method.")] = None,
    on: Annotated[
        str | None, typer.Option("--on", metavar="DATE", help="The day of grafting (default: today).")
    ] = None,
    why: Annotated[
        tuple[str, str] | None, typer.Option("--why", metavar="STOCK WOOD", help="Explain one pair in full.")
    ] = None,
    barred: Annotated[bool, typer.Option("--barred", help="Show what does not go, and why, instead.")] = False,
    limit: Limit = 40,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Say which wood fits which stock by which method, best first, with reasons.

    Example:

        graftbook match --wood W7 --method whip-and-tongue

        graftbook match --why P12 W7
    """
    from graftbook.actions import match as action

    with desk(ctx) as at:
        if why is not None:
            report = action.why(at, why[0], why[1], method, on)
        else:
            report = action.match(at, wood, stock, method, on, barred, limit)
        show(report, at, as_json, as_csv)
