"""match: which wood fits which stock."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import Limit
from graftbook.cli.verb import verb
from graftbook.errors import UsageProblem

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Report


def add_to(app: typer.Typer) -> None:
    """Hang match on the app."""
    app.command()(match)


@verb
def match(
    at: "Desk",
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
    draw: Annotated[
        Path | None, typer.Option("--draw", metavar="FILE", help="With --why: draw the joint true to scale, as SVG.")
    ] = None,
    reach: Annotated[
        str | None, typer.Option("--reach", metavar="SIZE", help="The gap callus is trusted to bridge (0.5 mm).")
    ] = None,
    barred: Annotated[bool, typer.Option("--barred", help="Show what does not go, and why, instead.")] = False,
    limit: Limit = 40,
) -> "Report":
    """Say which wood fits which stock by which method, best first, with reasons.

    Example:

        graftbook match --wood W7 --method whip-and-tongue

        graftbook match --why P12 W7 --draw joint.svg
    """
    from graftbook.actions.grafts import match

    if draw is not None and why is None:
        raise UsageProblem("--draw together with --why STOCK WOOD", "--draw alone", "Name the pair whose joint to draw")
    if why is not None:
        report = match.why(at, why[0], why[1], method, on, reach, draw)
    else:
        report = match.match(at, wood, stock, method, on, barred, limit, reach)
    return report
