"""tree and stock: the plants of the book. Both words share their commands; which kind is meant stands in the command."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli import standing_verbs
from graftbook.cli.options import Limit, Note, On, Place, Who
from graftbook.cli.stage_verbs import Bark, bark, stage, stages
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

Codes = Annotated[str, typer.Argument(metavar="CODES", help="Plants, such as P3, P7-P9 or P3,P12.")]
Cultivar = Annotated[str | None, typer.Option("--cultivar", metavar="NAME", help="Its cultivar.")]
Species = Annotated[
    str | None, typer.Option("--species", metavar="NAME", help="Its kind, by any name: apple, Malus domestica.")
]
Clone = Annotated[str | None, typer.Option("--clone", metavar="NAME", help="The rootstock it stands on, or is.")]
Site = Annotated[str | None, typer.Option("--site", metavar="NAME", help="The farm, garden or orchard.")]
Row = Annotated[str | None, typer.Option("--row", metavar="ROW", help="The row it stands in.")]
Order = Annotated[
    str | None, typer.Option("--order", metavar="N", help="Its number in the row; several count upwards.")
]
Acquired = Annotated[str | None, typer.Option("--acquired", metavar="DATE", help="When it came.")]
From = Annotated[str | None, typer.Option("--from", metavar="NAME", help="Who or where it came from.")]
Diameter = Annotated[str | None, typer.Option("--diameter", metavar="SIZE", help="Its calliper, such as 9mm or 3/8in.")]
Grade = Annotated[str | None, typer.Option("--grade", metavar="SIZES", help="Its grade by calliper, such as 6-8mm.")]
Container = Annotated[str | None, typer.Option("--container", metavar="TEXT", help="Its pot, or bare-root.")]
Stage = Annotated[
    str | None, typer.Option("--stage", metavar="STAGE", help="Its growth stage, such as dormant or 'green tip'.")
]
Page = Annotated[int, typer.Option("--page", min=1, max=1_000_000, help="Which page of the list.")]
Lot = Annotated[str | None, typer.Option("--lot", metavar="NAME", help="The lot it came in.")]


def add_to(app: typer.Typer) -> None:
    """Hang tree and stock on the app."""
    trees = typer.Typer(
        rich_markup_mode=None,
        no_args_is_help=True,
        help="Trees: add, list, show, amend, stage, bark, stages, sheet, died, gone, note.",
    )
    stocks = typer.Typer(
        rich_markup_mode=None, no_args_is_help=True,
        help="Stocks: add, measure, list, show, amend, stage, bark, stages, died, gone, note.",
    )  # fmt: skip
    trees.command("add")(add_tree)
    stocks.command("add")(add_stock)
    stocks.command("measure")(measure)
    trees.command("sheet")(standing_verbs.sheet)
    for group in (trees, stocks):
        for name, command in (("list", list_), ("show", show_), ("amend", amend), ("stage", stage), ("bark", bark),
                              ("stages", stages), ("died", died), ("gone", standing_verbs.gone),
                              ("note", note_)):  # fmt: skip
            group.command(name)(command)
    app.add_typer(trees, name="tree")
    app.add_typer(stocks, name="stock")


def _kind(ctx: typer.Context) -> str:
    return str((ctx.parent or ctx).info_name)


@verb
def add_tree(
    at: "Desk",
    cultivar: Annotated[str | None, typer.Argument(metavar="CULTIVAR", help="Its cultivar, if it is known.")] = None,
    species: Species = None,
    clone: Clone = None,
    site: Site = None,
    place: Place = None,
    row: Row = None,
    order: Order = None,
    acquired: Acquired = None,
    source: From = None,
    diameter: Diameter = None,
    container: Container = None,
    stage: Stage = None,
    bark: Bark = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Add a tree. The species may be left out where the book knows the cultivar already.

    Example:

        graftbook tree add "Kilwarden Pippin" --species apple --clone M.26 --place Orchard --row 2 --order 5
    """
    from graftbook.actions.plants import plant_text, plants

    words = plant_text.PlantWords(
        cultivar=cultivar,
        species=species,
        clone=clone,
        site=site,
        place=place,
        row=row,
        order=order,
        acquired=acquired,
        source=source,
        diameter=diameter,
        container=container,
        stage=stage,
        bark=bark,
        note=note,
    )
    return plants.add(at, "tree", words, 1, on, who)


@verb
def add_stock(
    at: "Desk",
    clone: Annotated[str | None, typer.Argument(metavar="CLONE", help="The rootstock, such as MM.106.")] = None,
    count: Annotated[int, typer.Option("--count", help="How many alike.")] = 1,
    seedling: Annotated[bool, typer.Option("--seedling", help="Seedlings, not a clone.")] = False,
    species: Species = None,
    grade: Grade = None,
    diameter: Diameter = None,
    lot: Lot = None,
    site: Site = None,
    place: Place = None,
    row: Row = None,
    order: Order = None,
    acquired: Acquired = None,
    source: From = None,
    container: Container = None,
    stage: Stage = None,
    bark: Bark = None,
    cultivar: Cultivar = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Add stocks, so many alike at once. A clone tells the species; seedlings want it said.

    Example:

        graftbook stock add MM.106 --count 50 --grade 6-8mm --place Shed --from "Tolmere stock beds"

        graftbook stock add --seedling --species apple --count 12
    """
    from graftbook.actions.plants import plant_text, plants
    from graftbook.errors import UsageProblem

    if seedling and clone is not None:
        raise UsageProblem("a clone or --seedling", "both")
    words = plant_text.PlantWords(
        cultivar=cultivar,
        species=species,
        clone="seedling" if seedling else clone,
        site=site,
        place=place,
        row=row,
        order=order,
        acquired=acquired,
        source=source,
        diameter=diameter,
        grade=grade,
        container=container,
        stage=stage,
        bark=bark,
        lot=lot,
        note=note,
    )
    return plants.add(at, "stock", words, count, on, who)


@verb
def measure(
    at: "Desk",
    codes: Codes,
    diameters: Annotated[list[str] | None, typer.Argument(metavar="SIZE", help="One for each plant.")] = None,
    grade: Grade = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Measure stocks one by one, or give all of them one grade.

    Example:

        graftbook stock measure P12-P16 8.1mm 8.4mm 7.9mm 8mm 8.3mm

        graftbook stock measure P12-P60 --grade 6-8mm
    """
    from graftbook.actions.plants import plants

    return plants.measure(at, codes, diameters or [], grade, on, who, note)


@verb
def list_(
    at: "Desk",
    ctx: typer.Context,
    place: Annotated[str | None, typer.Option("--place", metavar="PLACE", help="Only those that stand there.")] = None,
    species: Annotated[str | None, typer.Option("--species", metavar="NAME", help="Only of this kind.")] = None,
    cultivar: Annotated[str | None, typer.Option("--cultivar", metavar="NAME", help="Only of this cultivar.")] = None,
    clone: Annotated[
        str | None, typer.Option("--clone", metavar="NAME", help="Only on, or of, this rootstock.")
    ] = None,
    dead: Annotated[bool, typer.Option("--all", help="The dead as well.")] = False,
    free: Annotated[bool, typer.Option("--free", help="Only stocks without an open graft, ready to graft.")] = False,
    limit: Limit = 200,
    page: Page = 1,
) -> "Report":
    """List them by number, those alive unless all are asked for.

    Example:

        graftbook tree list --place Orchard

        graftbook stock list --clone MM.106 --free
    """
    from graftbook.actions.plants import free_stocks, plant_lists
    from graftbook.errors import UsageProblem

    if free and (_kind(ctx) != "stock" or cultivar is not None or dead):
        raise UsageProblem("--free with graftbook stock list, by place, species or clone", "it with something else")
    if free:
        found = free_stocks.list_free(at, place=place, species=species, clone=clone, limit=limit, page=page)
        return found
    report = plant_lists.list_plants(
        at,
        _kind(ctx),
        place=place,
        species=species,
        cultivar=cultivar,
        clone=clone,
        dead=dead,
        limit=limit,
        page=page,
    )
    return report


@verb
def show_(
    at: "Desk",
    code: Annotated[str, typer.Argument(metavar="CODE", help="One plant, such as P3.")],
) -> "Report":
    """Show everything the book has on one plant.

    Example:

        graftbook tree show P3
    """
    from graftbook.actions.plants import plant_lists

    return plant_lists.show_plant(at, code)


@verb
def amend(
    at: "Desk",
    codes: Codes,
    cultivar: Cultivar = None,
    species: Species = None,
    clone: Clone = None,
    site: Site = None,
    place: Place = None,
    row: Row = None,
    order: Order = None,
    acquired: Acquired = None,
    source: From = None,
    diameter: Diameter = None,
    grade: Grade = None,
    container: Container = None,
    stage: Stage = None,
    bark: Bark = None,
    lot: Lot = None,
    kind: Annotated[str | None, typer.Option("--kind", metavar="KIND", help="Keep it as a tree or as a stock.")] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Change what is known of plants. An empty text takes a fact away: --place "".

    Example:

        graftbook tree amend P3 --place Orchard --row 2 --order 5
    """
    from graftbook.actions.plants import plant_text, plants

    words = plant_text.PlantWords(
        cultivar=cultivar,
        species=species,
        clone=clone,
        site=site,
        place=place,
        row=row,
        order=order,
        acquired=acquired,
        source=source,
        diameter=diameter,
        grade=grade,
        container=container,
        stage=stage,
        bark=bark,
        lot=lot,
        note=note,
    )
    return plants.amend(at, codes, words, kind, on, who)


@verb
def died(
    at: "Desk",
    codes: Codes,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record that plants died. Their record stays.

    Example:

        graftbook tree died P3 --on 2027-07-02 --note "voles"
    """
    from graftbook.actions.plants import plants

    return plants.died(at, codes, on, who, note)


@verb
def note_(
    at: "Desk",
    codes: Codes,
    health: Annotated[
        str | None, typer.Option("--health", metavar="WORD", help="suspect, 'visibly clean' or tested.")
    ] = None,
    rights: Annotated[str | None, typer.Option("--rights", metavar="TEXT", help="Your own words on rights.")] = None,
    until: Annotated[str | None, typer.Option("--until", metavar="DATE", help="Until when it holds.")] = None,
    source: Annotated[str | None, typer.Option("--source", metavar="TEXT", help="Who says so.")] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Keep a note of your own on health or rights. It is shown again when wood of the plant is matched.

    Example:

        graftbook tree note P3 --health suspect --source "blisters on two limbs"
    """
    from graftbook.actions.names import own_notes

    told = own_notes.add_note(
        at, codes, "P", health=health, rights=rights, source=source, on=on, until=until, who=who, note=note
    )
    return told
