"""wood: bundles of scion wood, what moves in and out of them, and how they keep."""

from dataclasses import dataclass
from typing import Annotated

from graftbook.cli.grouping import group
from graftbook.cli.options import (
    AsOf,
    Limit,
    Note,
    On,
    OwnNote,
    Packing,
    Page,
    Species,
    Summer,
    Temperature,
    Who,
    argument,
    option,
)
from graftbook.cli.verb import Desk, Recorded, Report, fill, verb

Bundles = Annotated[str, argument("CODES", "Bundles, such as W7, W7-W9 or W3,W12.")]
Bundle = Annotated[str, argument("CODE", "One bundle, such as W7.")]
Sticks = Annotated[int, argument("STICKS", "How many sticks.")]
SticksMade = Annotated[int, option("--sticks", "How many sticks.", "N")]


@dataclass(frozen=True)
class WoodOptions:
    """The options that say what is recorded of a bundle: the words of `WoodWords`, by the same names."""

    species: Species = None
    donor: Annotated[str | None, option("--from", "Who it was received from.", "NAME")] = None
    source: Annotated[str | None, option("--source", "The plant or graft it was cut from: P3, G5.", "CODE")] = None
    diameter: Annotated[str | None, option("--diameter", "Thickness, such as 6-9mm.", "SIZES")] = None
    length: Annotated[str | None, option("--length", "Length of a stick, such as 20cm.", "SIZE")] = None
    buds: Annotated[str | None, option("--buds", "Buds a stick.", "N")] = None
    cut: Annotated[str | None, option("--cut", "When it was cut.", "DATE")] = None
    received: Annotated[str | None, option("--received", "When it was received.", "DATE")] = None
    store: Annotated[str | None, option("--store", "Where it is kept.", "PLACE")] = None
    temperature: Temperature = None
    packing: Packing = None


StoreOptions = Annotated[WoodOptions, "store temperature packing"]

verbs = group(
    "wood",
    "Scion wood: add, receive, list, show, inspect, count, mixed, give, request, discard, found, cuts, store, amend, note, "
    "thanks.",
)


@verb(verbs)
def add(
    at: Desk,
    sticks: SticksMade,
    cultivar: Annotated[str | None, argument("CULTIVAR", "Its cultivar, if it is known.")] = None,
    facts: WoodOptions = WoodOptions(),
    summer: Summer = False,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Add a bundle: cut from a plant or a graft here, or received from someone.

    Example:

        graftbook wood add "Kilwarden Pippin" --species apple --from "Neighbour" --sticks 12 --diameter 6-9mm --buds 6

        graftbook wood add --source G5 --sticks 4 --cut 2027-01-20
    """
    from graftbook.actions.wood import wood

    words = fill(wood.WoodWords, facts, cultivar=cultivar, summer=summer or None, note=note)
    return wood.add(at, words, sticks, on, who)


@verb(verbs)
def list_(
    at: Desk,
    empty: Annotated[bool, option("--empty", "Bundles used up as well.")] = False,
    first: Annotated[bool, option("--use-first", "Only what is to be used first, or is past its time.")] = False,
    unseen: Annotated[
        int | None, option("--unseen", "Only what nobody looked at for so many days.", "DAYS", min=1)
    ] = None,
    store: Annotated[str | None, option("--store", "Only what lies there, and how to empty it.", "PLACE")] = None,
    as_of: AsOf = None,
    limit: Limit = 200,
    page: Page = 1,
) -> Report:
    """List the wood left, what is expected to go first first.

    Example:

        graftbook wood list

        graftbook wood list --unseen 14

        graftbook wood list --store cellar
    """
    from graftbook.actions.wood import wood_lists

    return wood_lists.list_wood(
        at, empty=empty, as_of=as_of, limit=limit, page=page, first=first, unseen=unseen, store=store
    )


@verb(verbs)
def show_(at: Desk, code: Bundle) -> Report:
    """Show everything the book has on one bundle.

    Example:

        graftbook wood show W7
    """
    from graftbook.actions.wood import wood_lists

    return wood_lists.show_wood(at, code)


@verb(verbs)
def inspect(
    at: Desk,
    codes: Bundles,
    condition: Annotated[str, argument("CONDITION", "sound, swelling, drying, mould or dead.")],
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Record what bundles looked like in store.

    Example:

        graftbook wood inspect W1-W9 sound --on 2027-02-10
    """
    from graftbook.actions.wood import wood

    return wood.inspect(at, codes, condition, on, who, note)


@verb(verbs)
def count(at: Desk, code: Bundle, sticks: Sticks, on: On = None, who: Who = None, note: Note = None) -> Recorded:
    """Record a count of the sticks left; the difference to the book is shown and kept.

    Example:

        graftbook wood count W7 11
    """
    from graftbook.actions.wood import stick_moves

    return stick_moves.count_sticks(at, code, sticks, on, who, note)


@verb(verbs)
def give(
    at: Desk,
    code: Annotated[str, argument("CODE", "One bundle, such as W7, or one stick of it, W7/3.")],
    to: Annotated[str, option("--to", "Who got them.", "NAME")],
    sticks: Annotated[int, argument("STICKS", "How many sticks.")] = 1,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Record sticks given away.

    Example:

        graftbook wood give W7 3 --to "Orchard club"

        graftbook wood give W7/3 --to "Orchard club"
    """
    from graftbook.actions.wood import stick_moves

    return stick_moves.give(at, code, sticks, to, on, who, note)


@verb(verbs)
def discard(
    at: Desk,
    code: Bundles,
    sticks: Annotated[str, argument("STICKS", "How many, or all that are left.")] = "all",
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Record sticks thrown away, all that are left unless a number is given.

    Example:

        graftbook wood discard W7 2

        graftbook wood discard W3-W5
    """
    from graftbook.actions.wood import stick_moves

    return stick_moves.discard(at, code, sticks, on, who, note)


@verb(verbs)
def found(at: Desk, code: Bundle, sticks: Sticks, on: On = None, who: Who = None, note: Note = None) -> Recorded:
    """Record sticks of a bundle that turned up.

    Example:

        graftbook wood found W7 2
    """
    from graftbook.actions.wood import stick_moves

    return stick_moves.found(at, code, sticks, on, who, note)


@verb(verbs)
def cuts(
    at: Desk,
    code: Bundle,
    method: Annotated[str | None, option("--method", "The method the scions are for.", "NAME")] = None,
    buds: Annotated[str | None, option("--buds", "Buds a scion may have (default 1,2,3).", "N,N")] = None,
    limit: Limit = 12,
) -> Report:
    """Show the ways to cut the sticks of a bundle into scions, with the thickness of each piece.

    Example:

        graftbook wood cuts W7 --method whip-and-tongue --buds 2,3
    """
    from graftbook.actions.grafts import joints

    return joints.cuts(at, code, method, buds, limit)


@verb(verbs)
def store_(
    at: Desk, codes: Bundles, facts: StoreOptions = WoodOptions(), on: On = None, who: Who = None, note: Note = None
) -> Recorded:
    """Record where bundles are kept from a day on, how warm, how packed.

    Example:

        graftbook wood store W1-W9 --store cellar --temperature 4C
    """
    from graftbook.actions.wood import wood

    return wood.amend(at, codes, fill(wood.WoodWords, facts, note=note), on, who)


@verb(verbs)
def amend(
    at: Desk,
    codes: Bundles,
    cultivar: Annotated[str | None, option("--cultivar", "Its cultivar.", "NAME")] = None,
    facts: WoodOptions = WoodOptions(),
    summer: Annotated[bool | None, option("--summer/--dormant", "The kind of wood.")] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Change what is known of bundles. An empty text takes a fact away: --buds "".

    Example:

        graftbook wood amend W7 --buds 5 --diameter 6-8mm
    """
    from graftbook.actions.wood import wood

    words = fill(wood.WoodWords, facts, cultivar=cultivar, summer=summer, note=note)
    return wood.amend(at, codes, words, on, who)


@verb(verbs)
def note_(
    at: Desk, codes: Bundles, words: OwnNote = OwnNote(), on: On = None, who: Who = None, note: Note = None
) -> Recorded:
    """Keep a note of your own on health or rights of wood. It is shown again when the wood is matched.

    Example:

        graftbook wood note W7 --rights "not to be passed on" --until 2031-06-30
    """
    from graftbook.actions.names import own_notes

    return own_notes.add_note(at, codes, "W", **vars(words), on=on, who=who, note=note)
