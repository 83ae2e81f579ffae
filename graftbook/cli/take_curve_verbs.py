"""take curve, take course and take review: what a season's looks add up to, drawn where it can be."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from graftbook.cli.options import AsOf, Csv, Json, Notes, option, out
from graftbook.cli.shared import bars, desk, show, width, write
from graftbook.cli.take_verbs import Endpoint, Level, Of, Season, verbs
from graftbook.cli.verb import Desk, Report, verb

By = Annotated[str, option("--by", "Kinds kept apart: species, or any factors of take.", "A,B")]
Picture = Annotated[Path | None, out("Draw it: .png, .pdf or .svg.")]


@verb(verbs)
def curve(
    at: Desk,
    x: Annotated[str, option("--x", "date, wood-age, diameter or scion-diameter.", "AXIS")] = "date",
    by: By = "species",
    endpoint: Endpoint = "took",
    as_of: AsOf = None,
    season: Season = None,
    level: Level = 0.95,
    of: Of = "decided",
    output: Picture = None,
) -> tuple[Report | str, ...]:
    """Show how the chance changes with the date, the age of the wood or a diameter, with its range, kind by kind.

    A best window is named only where the counts carry one; a line is drawn only where they carry that.

    Example:

        graftbook take curve --x date --season 2026-27 -o curve.png

        graftbook take curve --x wood-age --by species,method
    """
    from graftbook.actions.review.curve import take_curve as action

    report = action(at, x, by.split(","), endpoint, as_of, season, level, output, of)
    plot = bars(report, [(row, row.span, row.chance) for row in report.rows if row.chance is not None])
    return report, plot, *_drawn(output)


@verb(verbs)
def course(
    at: Desk,
    by: By = "species",
    event: Annotated[
        str | None, option("--event", "Instead of the stages, when it came: push, growth or loss.")
    ] = None,
    as_of: AsOf = None,
    season: Season = None,
    level: Level = 0.95,
    output: Picture = None,
) -> tuple[Report | str, ...]:
    """Show how grafts fare from the day they are made: stages with the losses between, and when they push, grow or are lost.

    Example:

        graftbook take course --season 2026-27

        graftbook take course --event push --by species,method -o course.pdf
    """
    from graftbook.actions.review.course import take_course as action

    report = action(at, by.split(","), event, as_of, season, level, output)
    plot = bars(report, [(row, f"day {row.days}", row.share) for row in report.rows]) if event is not None else ""
    return report, plot, *_drawn(output)


def _drawn(output: Path | None) -> tuple[str, ...]:
    return () if output is None else (f"Drew {output}.",)


@verbs.command()
def review(
    ctx: typer.Context,
    season: Annotated[str | None, option("--season", "The season (default: that of the as-of day).", "2026-27")] = None,
    as_of: AsOf = None,
    level: Level = 0.95,
    output: Annotated[list[Path] | None, out("Write it: .pdf or .html; may be given twice.")] = None,
    as_json: Json = False,
    as_csv: Csv = False,
    with_notes: Notes = False,
) -> None:
    """Say what a season comes to: plain sentences, and with -o the same with pictures, to read in winter.

    Example:

        graftbook take review --season 2026-27 -o review.pdf -o review.html
    """
    from graftbook.actions.review.season_review import take_review as action
    from graftbook.output.table import prose_text

    with desk(ctx) as at:
        report = action(at, season, as_of, output or (), level)
        if as_json or as_csv:
            show(report, at, as_json, as_csv)
        else:
            write(prose_text(report, width(), with_notes))
    for file in output or ():
        sys.stderr.write(f"Wrote {file}.\n")
