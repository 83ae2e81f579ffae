"""match: which wood fits which stock."""

from pathlib import Path
from typing import Annotated

from graftbook.cli.grouping import app
from graftbook.cli.options import Limit, option
from graftbook.cli.verb import Desk, Report, verb
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
    limit: Limit = 40,
) -> Report:
    """Say which wood fits which stock by which method, best first, with reasons.

    Example:

        graftbook match --wood W7 --method whip-and-tongue

        graftbook match --why P12 W7 --draw joint.svg
    """
    from graftbook.actions.grafts import match

    if draw is not None and why is None:
        raise UsageProblem("--draw together with --why STOCK WOOD", "--draw alone", "Name the pair whose joint to draw")
    if why is not None:
        return match.why(at, why[0], why[1], method, on, reach, draw)
    return match.match(at, wood, stock, method, on, barred, limit, reach)
