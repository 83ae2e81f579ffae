"""only and mcpd: what would be lost with one tree, and what is alive here, for other collections."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import AsOf
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Report


def add_to(app: typer.Typer) -> None:
    """Hang these verbs on the app."""
    app.command()(only)
    app.command()(mcpd)


@verb
def only(at: "Desk", as_of: AsOf = None) -> "Report":
    """List cultivars alive on one tree, in one place, or only as grafts not yet judged: cut wood from these first.

    Example:

        graftbook only
    """
    from graftbook.actions.names import at_risk

    return at_risk.only(at, as_of)


@verb
def mcpd(
    at: "Desk",
    output: Annotated[Path, typer.Option("-o", "--output", metavar="FILE", help="The CSV file to write.")],
    force: Annotated[bool, typer.Option("--force", help="Write over an earlier file.")] = False,
) -> "Report":
    """Write the living cultivars as multi-crop passport descriptors (FAO/Bioversity MCPD v2.1), identity only.

    What is in doubt stays out; no donor, place or contact goes along.

    Example:

        graftbook mcpd -o living.csv
    """
    from graftbook.actions.exchange import mcpd

    return mcpd.mcpd(at, output, force)
