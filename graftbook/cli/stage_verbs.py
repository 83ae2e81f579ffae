"""stage, bark and stages of trees and stocks: how far they have got in their year."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import Limit, Note, On, Who
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

Codes = Annotated[str, typer.Argument(metavar="CODES", help="Plants, such as P3, P3-P9 or P3,P12.")]
Bark = Annotated[str | None, typer.Option("--bark", metavar="STATE", help="The bark: slipping or tight.")]


@verb
def stage(
    at: "Desk",
    codes: Codes,
    words: Annotated[str, typer.Argument(metavar="STAGE", help="Such as dormant, 'green tip' or a BBCH code.")],
    bark: Bark = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Note how far plants have got in their year, by word or BBCH code. The stages: graftbook trade stages.

    Every stage is kept with its day; the newest stands with the plant.

    Example:

        graftbook tree stage P3-P9 "green tip" --on 2027-03-20 --bark tight
    """
    from graftbook.actions.plants import stage_notes

    return stage_notes.stage(at, codes, words, on, bark, who, note)


@verb
def bark(
    at: "Desk",
    codes: Codes,
    word: Annotated[str, typer.Argument(metavar="BARK", help="slipping or tight, as tried with the knife.")],
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Note whether the bark of plants slips. `match` goes by it while it is fresh, before any stage.

    Example:

        graftbook stock bark P12-P20 slipping --on 2027-04-28
    """
    from graftbook.actions.plants import stage_notes

    return stage_notes.bark(at, codes, word, on, who, note)


@verb
def stages(
    at: "Desk",
    codes: Annotated[str | None, typer.Argument(help="Plants, such as P3-P9 (default: every one).")] = None,
    season: Annotated[
        str | None, typer.Option("--season", metavar="SEASON", help="Only this one, such as 2026-27.")
    ] = None,
    limit: Limit = 200,
) -> "Report":
    """List the stages seen, by day, with the days from green tip.

    Example:

        graftbook tree stages P3-P9 --season 2026-27
    """
    from graftbook.actions.plants import stage_notes

    return stage_notes.list_stages(at, codes, season=season, limit=limit)
