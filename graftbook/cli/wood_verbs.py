"""wood: bundles of scion wood, what moves in and out of them, and how they keep."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli import exchange_verbs
from graftbook.cli.options import AsOf, Limit, Note, On, Who
from graftbook.cli.plant_verbs import Page
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

Bundles = Annotated[str, typer.Argument(metavar="CODES", help="Bundles, such as W7, W7-W9 or W3,W12.")]
Bundle = Annotated[str, typer.Argument(metavar="CODE", help="One bundle, such as W7.")]
Sticks = Annotated[int, typer.Argument(metavar="STICKS", help="How many sticks.")]
Cultivar = Annotated[str | None, typer.Option("--cultivar", metavar="NAME", help="Its cultivar.")]
Species = Annotated[str | None, typer.Option("--species", metavar="NAME", help="Its kind, by any name.")]
Donor = Annotated[str | None, typer.Option("--from", metavar="NAME", help="Who it was received from.")]
Source = Annotated[
    str | None, typer.Option("--source", metavar="CODE", help="The plant or graft it was cut from: P3, G5.")
]
Diameter = Annotated[str | None, typer.Option("--diameter", metavar="SIZES", help="Thickness, such as 6-9mm.")]
Length = Annotated[str | None, typer.Option("--length", metavar="SIZE", help="Length of a stick, such as 20cm.")]
Buds = Annotated[str | None, typer.Option("--buds", metavar="N", help="Buds a stick.")]
Cut = Annotated[str | None, typer.Option("--cut", metavar="DATE", help="When it was cut.")]
Received = Annotated[str | None, typer.Option("--received", metavar="DATE", help="When it was received.")]
Store = Annotated[str | None, typer.Option("--store", metavar="PLACE", help="Where it is kept.")]
Temperature = Annotated[str | None, typer.Option("--temperature", metavar="T", help="Of the store, such as 3C or 38F.")]
Packing = Annotated[str | None, typer.Option("--packing", metavar="TEXT", help="How it is packed.")]


def add_to(app: typer.Typer) -> None:
    """Hang wood on the app."""
    group = typer.Typer(
        rich_markup_mode=None, no_args_is_help=True,
        help="Scion wood: add, receive, list, show, inspect, count, mixed, give, request, discard, found, cuts, store, amend, "
        "note, thanks.",
    )  # fmt: skip
    for name, command in (
        ("add", add), ("list", list_), ("show", show_), ("inspect", inspect), ("count", count), ("give", give),
        ("discard", discard), ("found", found), ("cuts", cuts), ("store", store_), ("amend", amend), ("note", note_),
    ):  # fmt: skip
        group.command(name)(command)
    exchange_verbs.add_to_wood(group)
    app.add_typer(group, name="wood")


@verb
def add(
    at: "Desk",
    sticks: Annotated[int, typer.Option("--sticks", metavar="N", help="How many sticks.")],
    cultivar: Annotated[str | None, typer.Argument(metavar="CULTIVAR", help="Its cultivar, if it is known.")] = None,
    species: Species = None,
    donor: Donor = None,
    source: Source = None,
    diameter: Diameter = None,
    length: Length = None,
    buds: Buds = None,
    cut: Cut = None,
    received: Received = None,
    store: Store = None,
    temperature: Temperature = None,
    packing: Packing = None,
    summer: Annotated[bool, typer.Option("--summer", help="Summer bud wood, not dormant wood.")] = False,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Add a bundle: cut from a plant or a graft here, or received from someone.

    Example:

        graftbook wood add "Kilwarden Pippin" --species apple --from "Neighbour" --sticks 12 --diameter 6-9mm --buds 6

        graftbook wood add --source G5 --sticks 4 --cut 2027-01-20
    """
    from graftbook.actions.wood import wood

    words = wood.WoodWords(
        cultivar=cultivar,
        species=species,
        donor=donor,
        source=source,
        diameter=diameter,
        length=length,
        buds=buds,
        cut=cut,
        received=received,
        store=store,
        temperature=temperature,
        packing=packing,
        summer=summer or None,
        note=note,
    )
    return wood.add(at, words, sticks, on, who)


@verb
def list_(
    at: "Desk",
    empty: Annotated[bool, typer.Option("--empty", help="Bundles used up as well.")] = False,
    first: Annotated[
        bool, typer.Option("--use-first", help="Only what is to be used first, or is past its time.")
    ] = False,
    unseen: Annotated[
        int | None, typer.Option("--unseen", min=1, metavar="DAYS", help="Only what nobody looked at for so many days.")
    ] = None,
    store: Annotated[
        str | None, typer.Option("--store", metavar="PLACE", help="Only what lies there, and how to empty it.")
    ] = None,
    as_of: AsOf = None,
    limit: Limit = 200,
    page: Page = 1,
) -> "Report":
    """List the wood left, what is expected to go first first.

    Example:

        graftbook wood list

        graftbook wood list --unseen 14

        graftbook wood list --store cellar
    """
    from graftbook.actions.wood import wood_lists

    report = wood_lists.list_wood(
        at, empty=empty, as_of=as_of, limit=limit, page=page, first=first, unseen=unseen, store=store
    )
    return report


@verb
def show_(at: "Desk", code: Bundle) -> "Report":
    """Show everything the book has on one bundle.

    Example:

        graftbook wood show W7
    """
    from graftbook.actions.wood import wood_lists

    return wood_lists.show_wood(at, code)


@verb
def inspect(
    at: "Desk",
    codes: Bundles,
    condition: Annotated[str, typer.Argument(metavar="CONDITION", help="sound, swelling, drying, mould or dead.")],
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record what bundles looked like in store.

    Example:

        graftbook wood inspect W1-W9 sound --on 2027-02-10
    """
    from graftbook.actions.wood import wood

    return wood.inspect(at, codes, condition, on, who, note)


@verb
def count(
    at: "Desk",
    code: Bundle,
    sticks: Sticks,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record a count of the sticks left; the difference to the book is shown and kept.

    Example:

        graftbook wood count W7 11
    """
    from graftbook.actions.wood import stick_moves

    return stick_moves.count_sticks(at, code, sticks, on, who, note)


@verb
def give(
    at: "Desk",
    code: Annotated[str, typer.Argument(metavar="CODE", help="One bundle, such as W7, or one stick of it, W7/3.")],
    to: Annotated[str, typer.Option("--to", metavar="NAME", help="Who got them.")],
    sticks: Annotated[int, typer.Argument(metavar="STICKS", help="How many sticks.")] = 1,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record sticks given away.

    Example:

        graftbook wood give W7 3 --to "Orchard club"

        graftbook wood give W7/3 --to "Orchard club"
    """
    from graftbook.actions.wood import stick_moves

    return stick_moves.give(at, code, sticks, to, on, who, note)


@verb
def discard(
    at: "Desk",
    code: Bundles,
    sticks: Annotated[str, typer.Argument(metavar="STICKS", help="How many, or all that are left.")] = "all",
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record sticks thrown away, all that are left unless a number is given.

    Example:

        graftbook wood discard W7 2

        graftbook wood discard W3-W5
    """
    from graftbook.actions.wood import stick_moves

    return stick_moves.discard(at, code, sticks, on, who, note)


@verb
def found(
    at: "Desk",
    code: Bundle,
    sticks: Sticks,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record sticks of a bundle that turned up.

    Example:

        graftbook wood found W7 2
    """
    from graftbook.actions.wood import stick_moves

    return stick_moves.found(at, code, sticks, on, who, note)


@verb
def cuts(
    at: "Desk",
    code: Bundle,
    method: Annotated[
        str | None, typer.Option("--method", metavar="NAME", help="The method the scions are for.")
    ] = None,
    buds: Annotated[
        str | None, typer.Option("--buds", metavar="N,N", help="Buds a scion may have (default 1,2,3).")
    ] = None,
    limit: Limit = 12,
) -> "Report":
    """Show the ways to cut the sticks of a bundle into scions, with the thickness of each piece.

    Example:

        graftbook wood cuts W7 --method whip-and-tongue --buds 2,3
    """
    from graftbook.actions.grafts import joints

    return joints.cuts(at, code, method, buds, limit)


@verb
def store_(
    at: "Desk",
    codes: Bundles,
    store: Store = None,
    temperature: Temperature = None,
    packing: Packing = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record where bundles are kept from a day on, how warm, how packed.

    Example:

        graftbook wood store W1-W9 --store cellar --temperature 4C
    """
    from graftbook.actions.wood import wood

    words = wood.WoodWords(store=store, temperature=temperature, packing=packing, note=note)
    return wood.amend(at, codes, words, on, who)


@verb
def amend(
    at: "Desk",
    codes: Bundles,
    cultivar: Cultivar = None,
    species: Species = None,
    donor: Donor = None,
    source: Source = None,
    diameter: Diameter = None,
    length: Length = None,
    buds: Buds = None,
    cut: Cut = None,
    received: Received = None,
    store: Store = None,
    temperature: Temperature = None,
    packing: Packing = None,
    summer: Annotated[bool | None, typer.Option("--summer/--dormant", help="The kind of wood.")] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Change what is known of bundles. An empty text takes a fact away: --buds "".

    Example:

        graftbook wood amend W7 --buds 5 --diameter 6-8mm
    """
    from graftbook.actions.wood import wood

    words = wood.WoodWords(
        cultivar=cultivar,
        species=species,
        donor=donor,
        source=source,
        diameter=diameter,
        length=length,
        buds=buds,
        cut=cut,
        received=received,
        store=store,
        temperature=temperature,
        packing=packing,
        summer=summer,
        note=note,
    )
    return wood.amend(at, codes, words, on, who)


@verb
def note_(
    at: "Desk",
    codes: Bundles,
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
    """Keep a note of your own on health or rights of wood. It is shown again when the wood is matched.

    Example:

        graftbook wood note W7 --rights "not to be passed on" --until 2031-06-30
    """
    from graftbook.actions.names import own_notes

    told = own_notes.add_note(
        at, codes, "W", health=health, rights=rights, source=source, on=on, until=until, who=who, note=note
    )
    return told
