"""prune: cuts and saved wood in one breath."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.grouping import Recording
from graftbook.cli.options import Limit, Note, On, Who, Yes
from graftbook.cli.plant_verbs import Page
from graftbook.cli.standing_verbs import ask_first
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

Saves = Annotated[
    list[str] | None,
    typer.Option(
        "--save", metavar="WOOD", help='Wood saved, such as "24 sticks 6-9mm 30cm 6 buds"; as often as needed.'
    ),
]
LimbOff = Annotated[
    str | None, typer.Option("--limb", metavar="LIMB", help="A whole limb came off, with the grafts on it.")
]
WoodFrom = Annotated[
    str | None,
    typer.Option(
        "--from", metavar="CODE-OR-LIMB", help="What the saved wood was cut from: a graft, a limb, the tree itself."
    ),
]
Heading = Annotated[int | None, typer.Option("--heading", metavar="N", help="Heading cuts, shortening a shoot.")]


def add_to(app: typer.Typer) -> None:
    """Hang prune on the app."""
    group = typer.Typer(
        rich_markup_mode=None, no_args_is_help=True, cls=Recording,
        help="Log a pruning and the wood saved from it: graftbook prune P3 ..., the same as prune add P3.",
    )  # fmt: skip
    group.command("add")(add)
    group.command("list")(list_)
    app.add_typer(group, name="prune")


@verb
def add(
    at: "Desk",
    code: Annotated[str, typer.Argument(metavar="CODE", help="The plant pruned, such as P3.")],
    thinning: Annotated[
        int | None, typer.Option("--thinning", metavar="N", help="Thinning cuts, back to a fork.")
    ] = None,
    heading: Heading = None,
    bench: Annotated[
        int | None, typer.Option("--bench", metavar="N", help="Bench cuts, back to an outward limb.")
    ] = None,
    removed: Annotated[
        str | None, typer.Option("--removed", metavar="SHARE", help="Of the canopy, such as 30%.")
    ] = None,
    saves: Saves = None,
    store: Annotated[str | None, typer.Option("--store", metavar="PLACE", help="Where the wood is put.")] = None,
    temperature: Annotated[
        str | None, typer.Option("--temperature", metavar="T", help="Of the store, such as 3C.")
    ] = None,
    packing: Annotated[str | None, typer.Option("--packing", metavar="TEXT", help="How it is packed.")] = None,
    summer: Annotated[bool, typer.Option("--summer", help="Summer bud wood, not dormant wood.")] = False,
    fruit: Annotated[
        str | None, typer.Option("--fruit", metavar="YES-NO", help="Whether an evergreen bore fruit.")
    ] = None,
    limb: LimbOff = None,
    source: WoodFrom = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
    yes: Yes = False,
) -> "Recorded":
    """Log one pruning and the bundles saved from it, as one entry.

    Example:

        graftbook prune P3 --on 2027-01-14 --thinning 8 --heading 14 --removed 30% --save "24 sticks 6-9mm 30cm 6 buds"

        graftbook prune P9 --from G5 --save "6 sticks 6-9mm"
    """
    from graftbook.actions.wood import prunes

    words = prunes.PruneWords(
        thinning=thinning,
        heading=heading,
        bench=bench,
        removed=removed,
        saves=tuple(saves or ()),
        store=store,
        temperature=temperature,
        packing=packing,
        summer=summer,
        fruit=fruit,
        limb=limb,
        source=source,
    )
    if limb is not None:
        ask_first(at, code, limb, on, yes)
    return prunes.prune(at, code, words, on, who, note)


@verb
def list_(
    at: "Desk",
    code: Annotated[str | None, typer.Argument(metavar="CODE", help="Only of this plant.")] = None,
    limit: Limit = 200,
    page: Page = 1,
) -> "Report":
    """List prunings, newest first.

    Example:

        graftbook prune list P3
    """
    from graftbook.actions.wood import prunes

    return prunes.list_prunes(at, code, limit, page)
