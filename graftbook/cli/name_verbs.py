"""name: say what something is, one name, "A or B" or unknown, and see every word that was said."""

from typing import Annotated

import typer

from graftbook.cli.grouping import Recording
from graftbook.cli.options import AsOf, Csv, Json, Note, On, Who
from graftbook.cli.shared import desk, show, tell

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


def add(
    ctx: typer.Context,
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
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Say what something is. The word holds for all of the clone: the tree, its wood, its grafts, both ways.

    Earlier words stay in the history, and words that contradict each other are shown and left standing.

    Example:

        graftbook name G5 "Quern Russet" --sure "verified by fruit" --why "russet, flat, keeps to March"

        graftbook name W7 "Quern Russet or Tolm Beauty"

        graftbook name P9 unknown --nickname "old yard apple"
    """
    from graftbook.actions.names import cultivar_names

    with desk(ctx) as at:
        recorded = cultivar_names.name(
            at, codes, called, sure=sure, nickname=nickname, why=why, on=on, who=who, note=note
        )  # fmt: skip
        tell(recorded, as_json, as_csv)


def list_(
    ctx: typer.Context,
    doubt: Annotated[bool, typer.Option("--doubt", help="Only what is in doubt, unknown or disputed.")] = False,
    as_of: AsOf = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """List what everything is said to be, each doubt in a row of its own.

    Example:

        graftbook name list --doubt
    """
    from graftbook.actions.names import name_lists

    with desk(ctx) as at:
        show(name_lists.list_names(at, doubt, as_of), at, as_json, as_csv)


def show_(
    ctx: typer.Context,
    code: Annotated[str, typer.Argument(metavar="CODE", help="A plant, bundle, stick or graft.")],
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Show every word said on the clone of one thing, and who received wood of it.

    Example:

        graftbook name show G5
    """
    from graftbook.actions.names import name_lists

    with desk(ctx) as at:
        show(name_lists.show_names(at, code), at, as_json, as_csv)


def have(
    ctx: typer.Context,
    cultivar: Annotated[str, typer.Argument(metavar="CULTIVAR", help="A name, in any spelling.")],
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Say whether a cultivar is here already, under this name or one like it.

    Example:

        graftbook name have "Quern russett"
    """
    from graftbook.actions.names import have

    with desk(ctx) as at:
        show(have.have(at, cultivar), at, as_json, as_csv)


def synonym(
    ctx: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The other name.")],
    of: Annotated[str, typer.Option("--of", metavar="NAME", help="The name you prefer.")],
    why: Why = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Record that two names are one cultivar. Nothing is ever merged unless you say so here.

    Example:

        graftbook name synonym "Quern Leathercoat" --of "Quern Russet"
    """
    from graftbook.actions.names import cultivar_names

    with desk(ctx) as at:
        tell(cultivar_names.add(at, name, of, why, on, who, note), as_json, as_csv)


def synonyms(ctx: typer.Context, as_json: Json = False, as_csv: Csv = False) -> None:
    """List the names held to be one.

    Example:

        graftbook name synonyms
    """
    from graftbook.actions.names import name_lists

    with desk(ctx) as at:
        show(name_lists.list_synonyms(at), at, as_json, as_csv)
