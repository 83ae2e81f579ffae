"""take curve, take course and take review: what a season's looks add up to, drawn where it can be."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import AsOf, Csv, Json
from graftbook.cli.shared import desk, show, width, write

if TYPE_CHECKING:
    from graftbook.actions.desk.results import Report

By = Annotated[str, typer.Option("--by", metavar="A,B", help="Kinds kept apart: species, or any factors of take.")]
Season = Annotated[str | None, typer.Option(metavar="2026-27", help="Only grafts made in this season.")]
Picture = Annotated[Path | None, typer.Option("-o", "--output", metavar="FILE", help="Draw it: .png, .pdf or .svg.")]


def add_to(group: typer.Typer) -> None:
    """Hang the commands on take."""
    group.command("curve")(curve)
    group.command("course")(course)
    group.command("review")(review)


def curve(
    ctx: typer.Context,
    x: Annotated[str, typer.Option("--x", metavar="AXIS", help="date, wood-age, diameter or scion-diameter.")] = "date",
    by: By = "species",
    endpoint: Annotated[str, typer.Option(help="took, moved, set, standing or established.")] = "took",
    as_of: AsOf = None,
    season: Season = None,
    level: Annotated[float, typer.Option(help="Level of the ranges.")] = 0.95,
    output: Picture = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Show how the chance changes with the date, the age of the wood or a diameter, with its range, kind by kind.

    A best window is named only where the counts carry one; a line is drawn only where they carry that.

    Example:

        graftbook take curve --x date --season 2026-27 -o curve.png

        graftbook take curve --x wood-age --by species,method
    """
    from graftbook.actions.review.curve import take_curve as action

    with desk(ctx) as at:
        report = action(at, x, by.split(","), endpoint, as_of, season, level, output)
        show(report, at, as_json, as_csv, _curve_picture(report) if sys.stdout.isatty() else "")
    _told(output)


def course(
    ctx: typer.Context,
    by: By = "species",
    event: Annotated[
        str | None, typer.Option(help="Instead of the stages, when it came: push, growth or loss.")
    ] = None,
    as_of: AsOf = None,
    season: Season = None,
    level: Annotated[float, typer.Option(help="Level of the ranges.")] = 0.95,
    output: Picture = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Show how grafts fare from the day they are made: stages with the losses between, and when they push, grow or are lost.

    Example:

        graftbook take course --season 2026-27

        graftbook take course --event push --by species,method -o course.pdf
    """
    from graftbook.actions.review.course import take_course as action

    with desk(ctx) as at:
        report = action(at, by.split(","), event, as_of, season, level, output)
        show(report, at, as_json, as_csv, _course_picture(report) if event is not None and sys.stdout.isatty() else "")
    _told(output)


def review(
    ctx: typer.Context,
    season: Annotated[
        str | None, typer.Option(metavar="2026-27", help="The season (default: that of the as-of day).")
    ] = None,
    as_of: AsOf = None,
    level: Annotated[float, typer.Option(help="Level of the ranges.")] = 0.95,
    output: Annotated[
        list[Path] | None,
        typer.Option("-o", "--output", metavar="FILE", help="Write it: .pdf or .html; may be given twice."),
    ] = None,
    as_json: Json = False,
    as_csv: Csv = False,
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
            write(prose_text(report, width()))
    for file in output or ():
        _told(file, "Wrote")


def _told(output: Path | None, done: str = "Drew") -> None:
    if output is not None:
        print(f"{done} {output}.", file=sys.stderr)


def _curve_picture(report: "Report") -> str:
    return _bars(report, [(row, row.span, row.chance) for row in report.rows if row.chance is not None])


def _course_picture(report: "Report") -> str:
    return _bars(report, [(row, f"day {row.days}", row.share) for row in report.rows])


def _bars(report: "Report", rows: list) -> str:
    from graftbook.actions.takes.factors import field_name
    from graftbook.output.interval_plot import Bar, plot_text

    names = [field_name(name) for name in report.facts["by"]]
    bars = [
        Bar(" · ".join([*(str(getattr(row, name) or "not recorded") for name in names), where]), row.k_of_n, rate,
            row.low, row.high)
        for row, where, rate in rows
    ]  # fmt: skip
    unicode = (sys.stdout.encoding or "").lower().startswith("utf")
    return "\n" + plot_text(bars, width(), unicode) if bars else ""
