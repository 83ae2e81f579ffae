"""want: what is wanted of which cultivar, by priority, on how many sites, for whom."""

from typing import TYPE_CHECKING, Annotated

import typer

from graftbook.cli.options import AsOf, Note, On, Who
from graftbook.cli.verb import verb

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk
    from graftbook.actions.desk.results import Recorded, Report

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


@verb
def add(
    at: "Desk",
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
) -> "Recorded":
    """Write down what is wanted of a cultivar.

    Example:

        graftbook want add "Stoneway Pearmain" 3 --living 2 --sites 2 --priority 1 --for "the school" --stock MM.106
    """
    from graftbook.actions.plan import wants

    words = wants.WantWords(
        cultivar=cultivar,
        trees=trees,
        living=living,
        sites=sites,
        priority=priority,
        for_whom=for_whom,
        stock=stock,
        species=species,
        note=note,
    )
    return wants.add(at, words, on, who)


@verb
def list_(
    at: "Desk",
    every: Annotated[bool, typer.Option("--all", help="Those done and withdrawn too.")] = False,
    as_of: AsOf = None,
) -> "Report":
    """List what is wanted, dearest first, with what there is of each.

    Example:

        graftbook want list
    """
    from graftbook.actions.plan import wants

    return wants.list_wants(at, every, as_of)


@verb
def show_(at: "Desk", number: Number, as_of: AsOf = None) -> "Report":
    """Show one want with every graft made of it since.

    Example:

        graftbook want show 3
    """
    from graftbook.actions.plan import wants

    return wants.show(at, number, as_of)


@verb
def amend(
    at: "Desk",
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
) -> "Recorded":
    """Mend a want; an empty text takes a fact away.

    Example:

        graftbook want amend 3 --trees 4 --living ""
    """
    from graftbook.actions.plan import wants

    words = wants.WantWords(
        cultivar=cultivar,
        trees=trees,
        living=living,
        sites=sites,
        priority=priority,
        for_whom=for_whom,
        stock=stock,
        species=species,
        note=note,
    )
    return wants.amend(at, number, words, who)


@verb
def done(
    at: "Desk",
    numbers: Numbers,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Say that wants are met; they are planned for no more.

    Example:

        graftbook want done 3,5
    """
    from graftbook.actions.plan import wants

    return wants.end(at, numbers, "done", on, who, note)


@verb
def withdraw(
    at: "Desk",
    numbers: Numbers,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> "Recorded":
    """Withdraw wants; they are planned for no more.

    Example:

        graftbook want withdraw 4 --note "the school found one"
    """
    from graftbook.actions.plan import wants

    return wants.end(at, numbers, "withdrawn", on, who, note)
