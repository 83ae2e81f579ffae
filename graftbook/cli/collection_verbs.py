"""only and mcpd: what would be lost with one tree, and what is alive here, for other collections."""

from pathlib import Path
from typing import Annotated

from graftbook.cli.grouping import app
from graftbook.cli.options import AsOf, option, out
from graftbook.cli.verb import Desk, Report, verb


@verb(app)
def only(at: Desk, as_of: AsOf = None) -> Report:
    """List cultivars alive on one tree, in one place, or only as grafts not yet judged: cut wood from these first.

    Example:

        graftbook only
    """
    from graftbook.actions.names import at_risk

    return at_risk.only(at, as_of)


@verb(app)
def mcpd(
    at: Desk,
    output: Annotated[Path, out("The CSV file to write.")],
    force: Annotated[bool, option("--force", "Write over an earlier file.")] = False,
) -> Report:
    """Write the living cultivars as multi-crop passport descriptors (FAO/Bioversity MCPD v2.1), identity only.

    What is in doubt stays out; no donor, place or contact goes along.

    Example:

        graftbook mcpd -o living.csv
    """
    from graftbook.actions.exchange import mcpd

    return mcpd.mcpd(at, output, force)
