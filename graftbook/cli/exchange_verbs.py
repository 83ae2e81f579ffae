"""Words of wood for mixing and exchange: mixed, receive, request, requests, close, thanks."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import Note, On, Who
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report


def add_to_wood(group: typer.Typer) -> None:
    """Hang these on wood."""
    for name, command in (
        ("mixed", mixed), ("receive", receive), ("request", request), ("requests", requests), ("close", close),
        ("thanks", thanks),
    ):  # fmt: skip
        group.command(name)(command)


@verb
def mixed(
    at: "Desk",
    codes: Annotated[list[str], typer.Argument(metavar="CODES...", help="The bundles that were mixed: W7 W9.")],
    sticks: Annotated[int, typer.Option("--sticks", metavar="N", min=1, max=100_000, help="Loose sticks in all.")],
    each: Annotated[
        str | None,
        typer.Option("--each", metavar="N,N", help="How many of each bundle, or unknown (default: all they had)."),
    ] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record that bundles were mixed: from that day they are one bundle whose sticks are each one or the other.

    What was grafted or given from them after that day comes along; what was used on the day itself counts as before.

    Example:

        graftbook wood mixed W7 W9 --sticks 11 --note "downy bark 6"
    """
    from graftbook.actions.wood import mixing

    return mixing.mix(at, ",".join(codes), sticks, each, on, who, note)


@verb
def receive(
    at: "Desk",
    cultivar: Annotated[str, typer.Argument(metavar="CULTIVAR", help="A name, 'A or B', or unknown.")],
    donor: Annotated[str, typer.Option("--from", metavar="NAME", help="Who it came from: a name or initials.")],
    sticks: Annotated[int, typer.Option("--sticks", metavar="N", help="How many sticks.")],
    species: Annotated[str | None, typer.Option("--species", metavar="NAME", help="Its kind, by any name.")] = None,
    condition: Annotated[
        str | None, typer.Option("--condition", metavar="WORD", help="sound, swelling, drying, mould or dead.")
    ] = None,
    sure: Annotated[str | None, typer.Option("--sure", metavar="WORD", help="How sure the name is.")] = None,
    nickname: Annotated[str | None, typer.Option("--nickname", metavar="TEXT", help="For unknown wood.")] = None,
    diameter: Annotated[
        str | None, typer.Option("--diameter", metavar="SIZES", help="Thickness, such as 6-9mm.")
    ] = None,
    length: Annotated[
        str | None, typer.Option("--length", metavar="SIZE", help="Length of a stick, such as 20cm.")
    ] = None,
    buds: Annotated[str | None, typer.Option("--buds", metavar="N", help="Buds a stick.")] = None,
    cut: Annotated[str | None, typer.Option("--cut", metavar="DATE", help="When it was cut, if told.")] = None,
    store: Annotated[str | None, typer.Option("--store", metavar="PLACE", help="Where it is kept.")] = None,
    temperature: Annotated[str | None, typer.Option("--temperature", metavar="T", help="Of the store.")] = None,
    rights: Annotated[str | None, typer.Option("--rights", metavar="TEXT", help="Your own note on rights.")] = None,
    until: Annotated[str | None, typer.Option("--until", metavar="DATE", help="The last day of these rights.")] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record wood that came from somebody, and say whether you have it already under this name or one like it.

    Example:

        graftbook wood receive "Quern Russet" --from IM --sticks 4 --species apple --condition sound
    """
    from graftbook.actions.people import receiving
    from graftbook.actions.wood.wood import WoodWords

    words = WoodWords(
        species=species, donor=donor, diameter=diameter, length=length, buds=buds, cut=cut, store=store,
        temperature=temperature, note=note,
    )  # fmt: skip
    extra = receiving.Extra(condition, sure, nickname, rights, until)
    return receiving.receive(at, cultivar, words, sticks, extra, on, who)


@verb
def request(
    at: "Desk",
    cultivar: Annotated[str, typer.Argument(metavar="CULTIVAR", help="What is asked for.")],
    receiver: Annotated[str, typer.Option("--for", metavar="NAME", help="Who asks: a name or initials.")],
    sticks: Annotated[int, typer.Option("--sticks", metavar="N", min=1, max=100_000, help="How many sticks.")],
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record that somebody asked for wood, and say what there is, and your own notes on rights.

    Example:

        graftbook wood request "Quern Russet" --for "Ilo M." --sticks 3
    """
    from graftbook.actions.people import requests

    return requests.ask(at, cultivar, receiver, sticks, on, who, note)


@verb
def requests(
    at: "Desk",
    every: Annotated[bool, typer.Option("--all", help="Closed and filled ones as well.")] = False,
) -> "Report":
    """List requests against the sticks there are, first come first served, with what was sent when.

    Example:

        graftbook wood requests
    """
    from graftbook.actions.people import requests

    return requests.list_requests(at, every)


@verb
def close(
    at: "Desk",
    number: Annotated[int, typer.Argument(metavar="NUMBER", help="The number of the request.")],
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Close a request that will not be filled any further.

    Example:

        graftbook wood close 3 --note "found it elsewhere"
    """
    from graftbook.actions.people import requests

    return requests.close(at, number, on, who, note)


@verb
def thanks(
    at: "Desk",
    donor: Annotated[str | None, typer.Option("--from", metavar="NAME", help="Only wood from this person.")] = None,
    as_of: Annotated[str | None, typer.Option("--as-of", metavar="DATE", help="Up to which day to look.")] = None,
) -> "Report":
    """List what took from whom, to write and thank them.

    Example:

        graftbook wood thanks --from "Ilo M."
    """
    from graftbook.actions.people import donor_results

    return donor_results.thanks(at, donor, as_of)
