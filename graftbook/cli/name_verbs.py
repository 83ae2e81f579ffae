"""name: say what something is, one name, "A or B" or unknown, and see every word that was said."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.grouping import Recording
from graftbook.cli.options import AsOf, Note, On, Who
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

Codes = Annotated[str, typer.Argument(metavar="CODES", help="Plants, bundles, sticks or grafts: P3, W7, W7/3, G5-G9.")]
Why = Annotated[str | None, typer.Option("--why", metavar="TEXT", help="What makes you say so.")]


def add_to(app: typer.Typer) -> None:
    """Hang name on the app."""
    group = typer.Typer(
        cls=Recording,
        rich_markup_mode=None,
        no_args_is_help=True,
        help="Say what something is: list, show, have, synonym.",
    )
    for name, command in (
        ("add", add), ("list", list_), ("show", show_), ("have", have), ("synonym", synonym), ("synonyms", synonyms),
    ):  # fmt: skip
        group.command(name)(command)
    app.add_typer(group, name="name")


@verb
def add(
    at: "Desk",
    codes: Codes,
    called: Annotated[str, typer.Argument(metavar="NAME", help="'Quern Russet', 'A or B', or unknown.")],
    sure: Annotated[
        str | None,
        typer.Option("--sure", metavar="WORD", help="believed, 'verified by fruit', tested or doubtful."),
    ] = None,
    nickname: Annotated[
        str | None, typer.Option("--nickname", metavar="TEXT", help="What you call it while it is unknown.")
    ] = None,
    why: Why = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Say what something is. The word holds for all of the clone: the tree, its wood, its grafts, both ways.

    Earlier words stay in the history, and words that contradict each other are shown and left standing.

    Example:

        graftbook name G5 "Quern Russet" --sure "verified by fruit" --why "russet, flat, keeps to March"

        graftbook name W7 "Quern Russet or Tolm Beauty"

        graftbook name P9 unknown --nickname "old yard apple"
    """
    from graftbook.actions.names import cultivar_names

    recorded = cultivar_names.name(
        at, codes, called, sure=sure, nickname=nickname, why=why, on=on, who=who, note=note
    )  # fmt: skip
    return recorded


@verb
def list_(
    at: "Desk",
    doubt: Annotated[bool, typer.Option("--doubt", help="Only what is in doubt, unknown or disputed.")] = False,
    as_of: AsOf = None,
) -> "Report":
    """List what everything is said to be, each doubt in a row of its own.

    Example:

        graftbook name list --doubt
    """
    from graftbook.actions.names import name_lists

    return name_lists.list_names(at, doubt, as_of)


@verb
def show_(
    at: "Desk",
    code: Annotated[str, typer.Argument(metavar="CODE", help="A plant, bundle, stick or graft.")],
) -> "Report":
    """Show every word said on the clone of one thing, and who received wood of it.

    Example:

        graftbook name show G5
    """
    from graftbook.actions.names import name_lists

    return name_lists.show_names(at, code)


@verb
def have(
    at: "Desk",
    cultivar: Annotated[str, typer.Argument(metavar="CULTIVAR", help="A name, in any spelling.")],
) -> "Report":
    """Say whether a cultivar is here already, under this name or one like it.

    Example:

        graftbook name have "Quern russett"
    """
    from graftbook.actions.names import have

    return have.have(at, cultivar)


@verb
def synonym(
    at: "Desk",
    name: Annotated[str, typer.Argument(metavar="NAME", help="The other name.")],
    of: Annotated[str, typer.Option("--of", metavar="NAME", help="The name you prefer.")],
    why: Why = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Record that two names are one cultivar. Nothing is ever merged unless you say so here.

    Example:

        graftbook name synonym "Quern Leathercoat" --of "Quern Russet"
    """
    from graftbook.actions.names import cultivar_names

    return cultivar_names.add(at, name, of, why, on, who, note)


@verb
def synonyms(at: "Desk") -> "Report":
    """List the names held to be one.

    Example:

        graftbook name synonyms
    """
    from graftbook.actions.names import name_lists

    return name_lists.list_synonyms(at)
