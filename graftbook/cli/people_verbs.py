"""people: who wood comes from and goes to."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import Note, Who
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

Initials = Annotated[str | None, typer.Option("--initials", metavar="LETTERS", help="As on a label.")]
Contact = Annotated[
    str | None,
    typer.Option("--contact", metavar="TEXT", help="How to reach them; stays in this book unless asked for."),
]


def add_to(app: typer.Typer) -> None:
    """Hang people on the app."""
    group = typer.Typer(
        rich_markup_mode=None, no_args_is_help=True, help="Who wood comes from and goes to: add, amend, list."
    )
    for name, command in (("add", add), ("amend", amend), ("list", list_)):
        group.command(name)(command)
    app.add_typer(group, name="people")


@verb
def add(
    at: "Desk",
    name: Annotated[str, typer.Argument(metavar="NAME", help="A name, or initials alone.")],
    initials: Initials = None,
    contact: Contact = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Add somebody. Nobody has to be added to give or receive wood: it joins a name with its initials.

    Example:

        graftbook people add "Ilo Marren" --initials IM
    """
    from graftbook.actions.people import people

    return people.add(at, name, initials, contact, note, who)


@verb
def amend(
    at: "Desk",
    name: Annotated[str, typer.Argument(metavar="NAME", help="A name or initials.")],
    initials: Initials = None,
    contact: Contact = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Change what is known of somebody. An empty text takes a fact away: --contact "".

    Example:

        graftbook people amend IM --note "bring a box next time"
    """
    from graftbook.actions.people import people

    return people.amend(at, name, {"initials": initials, "contact": contact, "note": note}, who)


@verb
def list_(
    at: "Desk",
    contacts: Annotated[bool, typer.Option("--contacts", help="How to reach them as well.")] = False,
) -> "Report":
    """List everybody wood came from or went to.

    Example:

        graftbook people list
    """
    from graftbook.actions.people import people

    return people.list_people(at, contacts)
