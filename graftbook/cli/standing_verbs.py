"""find, limb, and what is said of one standing plant: its sheet, and its end."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import Limit, Note, On, Out, Who, Yes
from graftbook.cli.shared import agreed, write_sentences
from graftbook.cli.verb import verb
from graftbook.errors import Refused, UsageProblem

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

OnePlant = Annotated[str, typer.Argument(metavar="CODE", help="One plant, such as P9.")]
LimbName = Annotated[str, typer.Argument(metavar="LIMB", help="The limb, as it was recorded with the grafts.")]


def add_to(app: typer.Typer) -> None:
    """Hang find and limb on the app."""
    app.command("find")(find)
    limbs = typer.Typer(rich_markup_mode=None, no_args_is_help=True, help="Limbs of a tree that carries grafts: gone.")
    limbs.command("gone")(limb_gone)
    app.add_typer(limbs, name="limb")


@verb
def find(
    at: "Desk",
    words: Annotated[list[str] | None, typer.Argument(metavar="WORDS", help="Part of a name, or a code.")] = None,
    host: Annotated[str | None, typer.Option("--host", metavar="CODE", help="What it stands on.")] = None,
    bearing: Annotated[
        str | None, typer.Option("--bearing", help="Which side, by eye: NW, north-west or degrees.")
    ] = None,
    height: Annotated[
        str | None, typer.Option("--height", metavar="LENGTH", help="About how high along the stem.")
    ] = None,
    within: Annotated[
        str | None, typer.Option("--within", metavar="LENGTH", help="How far that may be off (default: 100 mm).")
    ] = None,
    place: Annotated[
        str | None, typer.Option("--place", metavar="PLACE", help="Where it stands, or a part of it.")
    ] = None,
    row: Annotated[str | None, typer.Option("--row", metavar="ROW", help="The row it stands in.")] = None,
    order: Annotated[str | None, typer.Option("--order", metavar="N", help="Its number in the row.")] = None,
    beside: Annotated[
        str | None, typer.Option("--beside", metavar="CODES", help="A plant next to it, or both: P12,P14.")
    ] = None,
    mark: Annotated[
        str | None,
        typer.Option("--mark", metavar="WORD", help="A word of its note, position, tie, lot or pot: 'blue'."),
    ] = None,
    made: Annotated[
        str | None, typer.Option("--made", metavar="DATE", help="Made, cut or come: a day, 2027-04 or 2027.")
    ] = None,
    limit: Limit = 200,
) -> "Report":
    """Find what has lost its tag. Every candidate is shown with its year, and none is chosen.

    Example:

        graftbook find "pearm" --place "home row"

        graftbook find --host P9 --bearing NW --height 54in --within 4in
    """
    from graftbook.actions.plants import finding

    said = finding.FindWords(
        words=" ".join(words) if words else None,
        host=host,
        bearing=bearing,
        height=height,
        within=within,
        place=place,
        row=row,
        order=order,
        beside=beside,
        mark=mark,
        made=made,
    )
    return finding.find(at, said, limit)


@verb
def sheet(
    at: "Desk",
    code: OnePlant,
    output: Out = None,
    paper: Annotated[str, typer.Option("--paper", help="a4 or letter.")] = "a4",
) -> "Report":
    """Write a page for the shed wall: every living graft of a tree limb by limb, drawn and with its code.

    Example:

        graftbook tree sheet P9 -o tree.pdf
    """
    from graftbook.actions.plants import tree_paper

    if output is None:
        raise UsageProblem("a file to write", "none", "Such as: -o tree.pdf")
    return tree_paper.write_sheet(at, code, output, paper)


@verb
def gone(
    at: "Desk",
    code: OnePlant,
    on: On = None,
    who: Who = None,
    note: Note = None,
    yes: Yes = False,
) -> "Recorded":
    """Record that a plant is taken away, once you have seen what goes with it. What died by itself: died.

    Example:

        graftbook tree gone P9 --on 2027-11-12 --note "making room"
    """
    from graftbook.actions.plants import last_of_cultivar

    ask_first(at, code, None, on, yes)
    return last_of_cultivar.plant_gone(at, code, on, who, note)


@verb
def limb_gone(
    at: "Desk",
    code: OnePlant,
    limb: LimbName,
    on: On = None,
    who: Who = None,
    note: Note = None,
    yes: Yes = False,
) -> "Recorded":
    """Record that a limb came off, once you have seen which grafts go with it.

    Example:

        graftbook limb gone P9 C --on 2027-07-30 --note "storm"
    """
    from graftbook.actions.plants import last_of_cultivar

    ask_first(at, code, limb, on, yes)
    return last_of_cultivar.limb_gone(at, code, limb, on, who, note)


def ask_first(at: "Desk", code: str, limb: str | None, on: str | None, yes: bool) -> None:
    """Say what would be lost and ask, unless the person said yes beforehand. Raises Refused where they do not agree."""
    from graftbook.actions.plants import last_of_cultivar

    lost = last_of_cultivar.ahead(at, code, limb, on)
    if not lost or yes:
        return
    write_sentences(lost)
    if not agreed("Record it?"):
        raise Refused("nobody said yes", "", "Nothing was recorded; say --yes if it is so")
