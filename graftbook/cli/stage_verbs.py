"""stage, bark and stages of trees and stocks: how far they have got in their year."""

from typing import Annotated

import typer

from graftbook.cli.options import Csv, Json, Limit, Note, On, Who
from graftbook.cli.shared import desk, show, tell

Codes = Annotated[str, typer.Argument(metavar="CODES", help="Plants, such as P3, P3-P9 or P3,P12.")]
Bark = Annotated[str | None, typer.Option("--bark", metavar="STATE", help="The bark: slipping or tight.")]


def stage(
    ctx: typer.Context,
    codes: Codes,
    words: Annotated[str, typer.Argument(metavar="STAGE", help="Such as dormant, 'green tip' or a BBCH code.")],
    bark: Bark = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Note how far plants have got in their year, by word or BBCH code. The stages: graftbook trade stages.

    Every stage is kept with its day; the newest stands with the plant.

    Example:

        graftbook tree stage P3-P9 "green tip" --on 2027-03-20 --bark tight
    """
    from graftbook.actions.plants import stage_notes

    with desk(ctx) as at:
        tell(stage_notes.stage(at, codes, words, on, bark, who, note), as_json, as_csv)


def bark(
    ctx: typer.Context,
    codes: Codes,
    word: Annotated[str, typer.Argument(metavar="BARK", help="slipping or tight, as tried with the knife.")],
    on: On = None,
    who: Who = None,
    note: Note = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Note whether the bark of plants slips. `match` goes by it while it is fresh, before any stage.

    Example:

        graftbook stock bark P12-P20 slipping --on 2027-04-28
    """
    from graftbook.actions.plants import stage_notes

    with desk(ctx) as at:
        tell(stage_notes.bark(at, codes, word, on, who, note), as_json, as_csv)


def stages(
    ctx: typer.Context,
    codes: Annotated[str | None, typer.Argument(help="Plants, such as P3-P9 (default: every one).")] = None,
    season: Annotated[
        str | None, typer.Option("--season", metavar="SEASON", help="Only this one, such as 2026-27.")
    ] = None,
    limit: Limit = 200,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """List the stages seen, by day, with the days from green tip.

    Example:

        graftbook tree stages P3-P9 --season 2026-27
    """
    from graftbook.actions.plants import stage_notes

    with desk(ctx) as at:
        show(stage_notes.list_stages(at, codes, season=season, limit=limit), at, as_json, as_csv)
