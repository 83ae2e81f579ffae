"""only and mcpd: what would be lost with one tree, and what is alive here, for other collections."""

from pathlib import Path
from typing import Annotated

import typer

from graftbook.cli.options import AsOf, Csv, Json
from graftbook.cli.shared import desk, show


def add_to(app: typer.Typer) -> None:
    """Hang these verbs on the app."""
    app.command()(only)
    app.command()(mcpd)


def only(ctx: typer.Context, as_of: AsOf = None, as_json: Json = False, as_csv: Csv = False) -> None:
    """List cultivars alive on one tree, in one place, or only as grafts not yet judged: cut wood from these first.

    Example:

        graftbook only
    """
    from graftbook.actions.names import at_risk

    with desk(ctx) as at:
        show(at_risk.only(at, as_of), at, as_json, as_csv)


def mcpd(
    ctx: typer.Context,
    output: Annotated[Path, typer.Option("-o", "--output", metavar="FILE", help="The CSV file to write.")],
    force: Annotated[bool, typer.Option("--force", help="Write over an earlier file.")] = False,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Write the living cultivars as multi-crop passport descriptors (FAO/Bioversity MCPD v2.1), identity only.

    What is in doubt stays out; no donor, place or contact goes along.

    Example:

        graftbook mcpd -o living.csv
    """
    from graftbook.actions.exchange import mcpd

    with desk(ctx) as at:
        show(mcpd.mcpd(at, output, force), at, as_json, as_csv)
