"""Words of wood for mixing and exchange: mixed, receive, request, requests, close, thanks."""

from typing import Annotated

from graftbook.cli.options import AsOf, Note, On, Species, Who, argument, option
from graftbook.cli.verb import Desk, Recorded, Report, fill, verb
from graftbook.cli.wood_verbs import SticksMade, WoodOptions, verbs


@verb(verbs)
def mixed(
    at: Desk,
    codes: Annotated[list[str], argument("CODES...", "The bundles that were mixed: W7 W9.")],
    sticks: Annotated[int, option("--sticks", "Loose sticks in all.", "N", min=1, max=100_000)],
    each: Annotated[
        str | None, option("--each", "How many of each bundle, or unknown (default: all they had).", "N,N")
    ] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Record that bundles were mixed: from that day they are one bundle whose sticks are each one or the other.

    What was grafted or given from them after that day comes along; what was used on the day itself counts as before.

    Example:

        graftbook wood mixed W7 W9 --sticks 11 --note "downy bark 6"
    """
    from graftbook.actions.wood import mixing

    return mixing.mix(at, ",".join(codes), sticks, each, on, who, note)


@verb(verbs)
def receive(
    at: Desk,
    cultivar: Annotated[str, argument("CULTIVAR", "A name, 'A or B', or unknown.")],
    donor: Annotated[str, option("--from", "Who it came from: a name or initials.", "NAME")],
    sticks: SticksMade,
    species: Species = None,
    condition: Annotated[str | None, option("--condition", "sound, swelling, drying, mould or dead.", "WORD")] = None,
    sure: Annotated[str | None, option("--sure", "How sure the name is.", "WORD")] = None,
    nickname: Annotated[str | None, option("--nickname", "For unknown wood.", "TEXT")] = None,
    facts: Annotated[WoodOptions, "diameter length buds cut store temperature"] = WoodOptions(),
    rights: Annotated[str | None, option("--rights", "Your own note on rights.", "TEXT")] = None,
    until: Annotated[str | None, option("--until", "The last day of these rights.", "DATE")] = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Record wood that came from somebody, and say whether you have it already under this name or one like it.

    Example:

        graftbook wood receive "Quern Russet" --from IM --sticks 4 --species apple --condition sound
    """
    from graftbook.actions.people import receiving
    from graftbook.actions.wood.wood import WoodWords

    words = fill(WoodWords, facts, species=species, donor=donor, note=note)
    extra = receiving.Extra(condition, sure, nickname, rights, until)
    return receiving.receive(at, cultivar, words, sticks, extra, on, who)


@verb(verbs)
def request(
    at: Desk,
    cultivar: Annotated[str, argument("CULTIVAR", "What is asked for.")],
    receiver: Annotated[str, option("--for", "Who asks: a name or initials.", "NAME")],
    sticks: Annotated[int, option("--sticks", "How many sticks.", "N", min=1, max=100_000)],
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Record that somebody asked for wood, and say what there is, and your own notes on rights.

    Example:

        graftbook wood request "Quern Russet" --for "Ilo M." --sticks 3
    """
    from graftbook.actions.people import requests

    return requests.ask(at, cultivar, receiver, sticks, on, who, note)


@verb(verbs)
def requests(at: Desk, every: Annotated[bool, option("--all", "Closed and filled ones as well.")] = False) -> Report:
    """List requests against the sticks there are, first come first served, with what was sent when.

    Example:

        graftbook wood requests
    """
    from graftbook.actions.people import requests

    return requests.list_requests(at, every)


@verb(verbs)
def close(
    at: Desk,
    number: Annotated[int, argument("NUMBER", "The number of the request.")],
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Close a request that will not be filled any further.

    Example:

        graftbook wood close 3 --note "found it elsewhere"
    """
    from graftbook.actions.people import requests

    return requests.close(at, number, on, who, note)


@verb(verbs)
def thanks(
    at: Desk,
    donor: Annotated[str | None, option("--from", "Only wood from this person.", "NAME")] = None,
    as_of: AsOf = None,
) -> Report:
    """List what took from whom, to write and thank them.

    Example:

        graftbook wood thanks --from "Ilo M."
    """
    from graftbook.actions.people import donor_results

    return donor_results.thanks(at, donor, as_of)
