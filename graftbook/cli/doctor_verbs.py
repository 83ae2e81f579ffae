"""doctor: is the book sound."""

import typer

from graftbook.cli.grouping import app
from graftbook.cli.options import Csv, Json
from graftbook.cli.shared import desk, progress, show
from graftbook.errors import EXIT_PROBLEMS


@app.command()
def doctor(ctx: typer.Context, as_json: Json = False, as_csv: Csv = False) -> None:
    """Check that the record is sound; nothing is changed.

    A breach means that the record itself is broken: sticks below nothing, a row changed past the program, a graft older
    than its wood. A contradiction means that the grower's own words disagree: a graft growing on a tree that died. Each is
    shown with what was expected, what was found and what to do next. The exit code is 0 when there is nothing to show
    and 3 when there is, of either kind.

    Example:

        graftbook doctor
    """
    from graftbook.actions.soundness.doctor import TOTAL
    from graftbook.actions.soundness.doctor import doctor as action

    with desk(ctx) as at:
        with progress("Checking", TOTAL) as step:
            report = action(at, step)
        show(report, at, as_json, as_csv)
    if report.rows:
        raise typer.Exit(EXIT_PROBLEMS)
