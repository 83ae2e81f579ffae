"""want: what is wanted of which cultivar, by priority, on how many sites, for whom."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import AsOf, Csv, Json, Note, On, Who
from graftbook.cli.shared import desk, show, tell

if TYPE_CHECKING:
    from graftbook.actions.plan.wants import WantWords

Number = Annotated[int, typer.Argument(metavar="NUMBER", min=1, help="The number of the want.")]
Numbers = Annotated[str, typer.Argument(metavar="NUMBERS", help="Wants by number, such as 3 or 3,5 or 3-7.")]
Living = Annotated[
    str | None, typer.Option("--living", metavar="N", help="How many of them must live, which makes it a must-have.")
]
Sites = Annotated[str | None, typer.Option("--sites", metavar="N", help="On at least so many sites (default: 1).")]
Priority = Annotated[
    str | None, typer.Option("--priority", metavar="1-9", help="1 is the dearest; each step halves it (default: 2).")
]
For = Annotated[str | None, typer.Option("--for", metavar="NAME", help="For whom.")]
Stock = Annotated[str | None, typer.Option("--stock", metavar="NAME", help="Only on this rootstock, such as MM.106.")]
Species = Annotated[str | None, typer.Option("--species", metavar="NAME", help="Its kind, by any name.")]


def add_to(app: typer.Typer) -> None:
    """Hang want on the app."""
    group = typer.Typer(
        rich_markup_mode=None, no_args_is_help=True,
        help="What is wanted: add, list, show, amend, done, withdraw. graftbook plan makes the pairs.",
    )  # fmt: skip
    for name, command in (
        ("add", add), ("list", list_), ("show", show_), ("amend", amend), ("done", done), ("withdraw", withdraw),
    ):  # fmt: skip
        group.command(name)(command)
    app.add_typer(group, name="want")


def add(
    ctx: typer.Context,
    cultivar: Annotated[str, typer.Argument(metavar="CULTIVAR", help="The cultivar.")],
    trees: Annotated[str, typer.Argument(metavar="TREES", help="How many living trees are wanted.")],
    living: Living = None,
    sites: Sites = None,
    priority: Priority = None,
    for_whom: For = None,
    stock: Stock = None,
    species: Species = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Write down what is wanted of a cultivar.

    Example:

        graftbook want add "Stoneway Pearmain" 3 --living 2 --sites 2 --priority 1 --for "the school" --stock MM.106
    """
    from graftbook.actions.plan import wants

    with desk(ctx) as at:
        words = _words(cultivar, trees, living, sites, priority, for_whom, stock, species, note)
        tell(wants.add(at, words, on, who), as_json, as_csv)


def list_(
    ctx: typer.Context,
    every: Annotated[bool, typer.Option("--all", help="Those done and withdrawn too.")] = False,
    as_of: AsOf = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """List what is wanted, dearest first, with what there is of each.

    Example:

        graftbook want list
    """
    from graftbook.actions.plan import wants

    with desk(ctx) as at:
        show(wants.list_wants(at, every, as_of), at, as_json, as_csv)


def show_(ctx: typer.Context, number: Number, as_of: AsOf = None, as_json: Json = False, as_csv: Csv = False) -> None:
    """Show one want with every graft made of it since.

    Example:

        graftbook want show 3
    """
    from graftbook.actions.plan import wants

    with desk(ctx) as at:
        show(wants.show(at, number, as_of), at, as_json, as_csv)


def amend(
    ctx: typer.Context,
    number: Number,
    cultivar: Annotated[str | None, typer.Option("--cultivar", metavar="NAME", help="The cultivar.")] = None,
    trees: Annotated[str | None, typer.Option("--trees", metavar="N", help="How many trees.")] = None,
    living: Living = None,
    sites: Sites = None,
    priority: Priority = None,
    for_whom: For = None,
    stock: Stock = None,
    species: Species = None,
    who: Who = None,
    note: Note = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Mend a want; an empty text takes a fact away.

    Example:

        graftbook want amend 3 --trees 4 --living ""
    """
    from graftbook.actions.plan import wants

    with desk(ctx) as at:
        words = _words(cultivar, trees, living, sites, priority, for_whom, stock, species, note)
        tell(wants.amend(at, number, words, who), as_json, as_csv)


def done(
    ctx: typer.Context,
    numbers: Numbers,
    on: On = None,
    who: Who = None,
    note: Note = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Say that wants are met; they are planned for no more.

    Example:

        graftbook want done 3,5
    """
    _end(ctx, numbers, "done", on, who, note, as_json, as_csv)


def withdraw(
    ctx: typer.Context,
    numbers: Numbers,
    on: On = None,
    who: Who = None,
    note: Note = None,
    as_json: Json = False,
    as_csv: Csv = False,
) -> None:
    """Withdraw wants; they are planned for no more.

    Example:

        graftbook want withdraw 4 --note "the school found one"
    """
    _end(ctx, numbers, "withdrawn", on, who, note, as_json, as_csv)


def _end(
    ctx: typer.Context,
    numbers: str,
    how: str,
    on: str | None,
    who: str | None,
    note: str | None,
    as_json: bool,
    as_csv: bool,
) -> None:
    from graftbook.actions.plan import wants

    with desk(ctx) as at:
        tell(wants.end(at, numbers, how, on, who, note), as_json, as_csv)


def _words(*said: str | None) -> "WantWords":
    from graftbook.actions.plan.wants import WantWords

    return WantWords(*said)
