"""tree and stock: the plants of the book. Both words share commands; which kind is meant stands in the command."""

from dataclasses import dataclass
from typing import Annotated

import typer

from graftbook.cli import completing
from graftbook.cli.grouping import group
from graftbook.cli.options import (
    Limit,
    Note,
    On,
    OnePlant,
    Out,
    OwnNote,
    Page,
    Paper,
    Place,
    Row,
    Who,
    Yes,
    argument,
    option,
)
from graftbook.cli.shared import ask_first
from graftbook.cli.verb import Desk, Recorded, Report, fill, verb
from graftbook.errors import UsageProblem

Codes = Annotated[str, argument("CODES", "Plants, such as P3, P7-P9 or P3,P12.")]
Bark = Annotated[str | None, option("--bark", "The bark: slipping or tight.", "STATE")]
Grade = Annotated[str | None, option("--grade", "Its grade by calliper, such as 6-8mm.", "SIZES")]


@dataclass(frozen=True)
class PlantOptions:
    """The options that say what is recorded of a plant: the words of `PlantWords`, by the same names."""

    cultivar: Annotated[str | None, option("--cultivar", "Its cultivar.", "NAME")] = None
    species: Annotated[str | None, option("--species", "Its kind, by any name: apple, Malus domestica.", "NAME")] = None
    clone: Annotated[str | None, option("--clone", "The rootstock it stands on, or is.", "NAME")] = None
    site: Annotated[str | None, option("--site", "The farm, garden or orchard.", "NAME")] = None
    place: Place = None
    row: Row = None
    order: Annotated[str | None, option("--order", "Its number in the row; several count upwards.", "N")] = None
    acquired: Annotated[str | None, option("--acquired", "When it came.", "DATE")] = None
    source: Annotated[str | None, option("--from", "Who or where it came from.", "NAME")] = None
    diameter: Annotated[str | None, option("--diameter", "Its calliper, such as 9mm or 3/8in.", "SIZE")] = None
    grade: Grade = None
    container: Annotated[str | None, option("--container", "Its pot, or bare-root.", "TEXT")] = None
    stage: Annotated[str | None, option("--stage", "Its growth stage, such as dormant or 'green tip'.", "STAGE")] = None
    bark: Bark = None
    lot: Annotated[str | None, option("--lot", "The lot it came in.", "NAME")] = None


TreeOptions = Annotated[
    PlantOptions, "species clone site place row order acquired source diameter container stage bark"
]
StockOptions = Annotated[
    PlantOptions, "species grade diameter lot site place row order acquired source container stage bark cultivar"
]

trees = group("tree", "Trees: add, list, show, amend, stage, bark, stages, sheet, died, gone, note.")
stocks = group("stock", "Stocks: add, measure, list, show, amend, stage, bark, stages, died, gone, note.")


def _kind(ctx: typer.Context) -> str:
    return str((ctx.parent or ctx).info_name)


@verb(trees, name="add")
def add_tree(
    at: Desk,
    cultivar: Annotated[str | None, argument("CULTIVAR", "Its cultivar, if it is known.")] = None,
    facts: TreeOptions = PlantOptions(),
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Add a tree. The species may be left out where the book knows the cultivar already.

    Example:

        graftbook tree add "Kilwarden Pippin" --species apple --clone M.26 --place Orchard --row 2 --order 5
    """
    from graftbook.actions.plants import plant_text, plants

    return plants.add(at, "tree", fill(plant_text.PlantWords, facts, cultivar=cultivar, note=note), 1, on, who)


@verb(trees)
def sheet(at: Desk, code: OnePlant, output: Out = None, paper: Paper = "a4") -> Report:
    """Write a page for the shed wall: every living graft of a tree limb by limb, drawn and with its code.

    Example:

        graftbook tree sheet P9 -o tree.pdf
    """
    from graftbook.actions.plants import tree_paper

    if output is None:
        raise UsageProblem("a file to write", "none", "Such as: -o tree.pdf")
    return tree_paper.write_sheet(at, code, output, paper)


@verb(stocks, name="add")
def add_stock(
    at: Desk,
    clone: Annotated[str | None, argument("CLONE", "The rootstock, such as MM.106.")] = None,
    count: Annotated[int, option("--count", "How many alike.")] = 1,
    seedling: Annotated[bool, option("--seedling", "Seedlings, not a clone.")] = False,
    facts: StockOptions = PlantOptions(),
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Add stocks, so many alike at once. A clone gives the species; with seedlings it is stated.

    Example:

        graftbook stock add MM.106 --count 50 --grade 6-8mm --place Shed --from "Tolmere stock beds"

        graftbook stock add --seedling --species apple --count 12
    """
    from graftbook.actions.plants import plant_text, plants

    if seedling and clone is not None:
        raise UsageProblem("a clone or --seedling", "both")
    words = fill(plant_text.PlantWords, facts, clone="seedling" if seedling else clone, note=note)
    return plants.add(at, "stock", words, count, on, who)


@verb(stocks)
def measure(
    at: Desk,
    codes: Codes,
    diameters: Annotated[list[str] | None, argument("SIZE", "One for each plant.")] = None,
    grade: Grade = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Measure stocks one by one, or give all of them one grade.

    Example:

        graftbook stock measure P12-P16 8.1mm 8.4mm 7.9mm 8mm 8.3mm

        graftbook stock measure P12-P60 --grade 6-8mm
    """
    from graftbook.actions.plants import plants

    return plants.measure(at, codes, diameters or [], grade, on, who, note)


@verb(trees, stocks)
def list_(
    at: Desk,
    ctx: typer.Context,
    place: Annotated[str | None, option("--place", "Only those that stand there.", "PLACE")] = None,
    species: Annotated[str | None, option("--species", "Only of this kind.", "NAME")] = None,
    cultivar: Annotated[str | None, option("--cultivar", "Only of this cultivar.", "NAME")] = None,
    clone: Annotated[str | None, option("--clone", "Only on, or of, this rootstock.", "NAME")] = None,
    dead: Annotated[bool, option("--all", "The dead as well.")] = False,
    free: Annotated[bool, option("--free", "Only stocks without an open graft, ready to graft.")] = False,
    limit: Limit = 200,
    page: Page = 1,
) -> Report:
    """List them by number, those alive unless all are asked for.

    Example:

        graftbook tree list --place Orchard

        graftbook stock list --clone MM.106 --free
    """
    from graftbook.actions.plants import free_stocks, plant_lists

    kind, wanted = _kind(ctx), {"place": place, "species": species, "clone": clone}
    if free and (kind != "stock" or cultivar is not None or dead):
        raise UsageProblem("--free with graftbook stock list, by place, species or clone", "it with something else")
    if free:
        return free_stocks.list_free(at, **wanted, limit=limit, page=page)
    return plant_lists.list_plants(at, kind, **wanted, cultivar=cultivar, dead=dead, limit=limit, page=page)


@verb(trees, stocks)
def show_(at: Desk, code: OnePlant) -> Report:
    """Show everything the book has on one plant.

    Example:

        graftbook tree show P3
    """
    from graftbook.actions.plants import plant_lists

    return plant_lists.show_plant(at, code)


@verb(trees, stocks)
def amend(
    at: Desk,
    codes: Codes,
    facts: PlantOptions = PlantOptions(),
    kind: Annotated[str | None, option("--kind", "Keep it as a tree or as a stock.", "KIND")] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Change what is known of plants. An empty text takes a fact away: --place "".

    Example:

        graftbook tree amend P3 --place Orchard --row 2 --order 5
    """
    from graftbook.actions.plants import plant_text, plants

    return plants.amend(at, codes, fill(plant_text.PlantWords, facts, note=note), kind, on, who)


@verb(trees, stocks)
def stage(
    at: Desk,
    codes: Codes,
    words: Annotated[str, argument("STAGE", "Such as dormant, 'green tip' or a BBCH code.")],
    bark: Bark = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Note how far plants have got in their year, by word or BBCH code. The stages: graftbook trade stages.

    Every stage is kept with its day; the newest stands with the plant.

    Example:

        graftbook tree stage P3-P9 "green tip" --on 2027-03-20 --bark tight
    """
    from graftbook.actions.plants import stage_notes

    return stage_notes.stage(at, codes, words, on, bark, who, note)


@verb(trees, stocks)
def bark(
    at: Desk,
    codes: Codes,
    word: Annotated[str, argument("BARK", "slipping or tight, as tried with the knife.")],
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Note whether the bark of plants slips. `match` goes by it while it is fresh, before any stage.

    Example:

        graftbook stock bark P12-P20 slipping --on 2027-04-28
    """
    from graftbook.actions.plants import stage_notes

    return stage_notes.bark(at, codes, word, on, who, note)


@verb(trees, stocks)
def stages(
    at: Desk,
    codes: Annotated[
        str | None, argument(None, "Plants, such as P3-P9 (default: every one).", autocompletion=completing.codes)
    ] = None,
    season: Annotated[str | None, option("--season", "Only this one, such as 2026-27.", "SEASON")] = None,
    limit: Limit = 200,
) -> Report:
    """List the stages seen, by day, with the days from green tip.

    Example:

        graftbook tree stages P3-P9 --season 2026-27
    """
    from graftbook.actions.plants import stage_notes

    return stage_notes.list_stages(at, codes, season=season, limit=limit)


@verb(trees, stocks)
def died(at: Desk, codes: Codes, on: On = None, who: Who = None, note: Note = None) -> Recorded:
    """Record that plants died. Their record stays.

    Example:

        graftbook tree died P3 --on 2027-07-02 --note "voles"
    """
    from graftbook.actions.plants import plants

    return plants.died(at, codes, on, who, note)


@verb(trees, stocks)
def gone(at: Desk, code: OnePlant, on: On = None, who: Who = None, note: Note = None, yes: Yes = False) -> Recorded:
    """Record that a plant is taken away, once you have seen what goes with it. What died by itself: died.

    Example:

        graftbook tree gone P9 --on 2027-11-12 --note "making room"
    """
    from graftbook.actions.plants import last_of_cultivar

    ask_first(at, code, None, on, yes)
    return last_of_cultivar.plant_gone(at, code, on, who, note)


@verb(trees, stocks)
def note_(
    at: Desk, codes: Codes, words: OwnNote = OwnNote(), on: On = None, who: Who = None, note: Note = None
) -> Recorded:
    """Keep a note of your own on health or rights. It is shown again when wood of the plant is matched.

    Example:

        graftbook tree note P3 --health suspect --source "blisters on two limbs"
    """
    from graftbook.actions.names import own_notes

    return own_notes.add_note(at, codes, "P", **vars(words), on=on, who=who, note=note)
