"""people: who wood comes from and goes to."""

from typing import Annotated

from graftbook.cli.grouping import group
from graftbook.cli.options import Note, Who, argument, option
from graftbook.cli.verb import Desk, Recorded, Report, verb

Initials = Annotated[str | None, option("--initials", "As on a label.", "LETTERS")]
Contact = Annotated[str | None, option("--contact", "How to reach them; stays in this book unless asked for.", "TEXT")]

verbs = group("people", "Who wood comes from and goes to: add, amend, list.")


@verb(verbs)
def add(
    at: Desk,
    name: Annotated[str, argument("NAME", "A name, or initials alone.")],
    initials: Initials = None,
    contact: Contact = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Add somebody. Nobody has to be added to give or receive wood: it joins a name with its initials.

    Example:

        graftbook people add "Ilo Marren" --initials IM
    """
    from graftbook.actions.people import people

    return people.add(at, name, initials, contact, note, who)


@verb(verbs)
def amend(
    at: Desk,
    name: Annotated[str, argument("NAME", "A name or initials.")],
    initials: Initials = None,
    contact: Contact = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Change what is known of somebody. An empty text takes a fact away: --contact "".

    Example:

        graftbook people amend IM --note "bring a box next time"
    """
    from graftbook.actions.people import people

    return people.amend(at, name, {"initials": initials, "contact": contact, "note": note}, who)


@verb(verbs)
def list_(at: Desk, contacts: Annotated[bool, option("--contacts", "How to reach them as well.")] = False) -> Report:
    """List everybody wood came from or went to.

    Example:

        graftbook people list
    """
    from graftbook.actions.people import people

    return people.list_people(at, contacts)
