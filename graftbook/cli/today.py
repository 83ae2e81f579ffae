"""The program without a verb: what the book says by itself, or how to begin where there is none."""

import typer

from graftbook.cli.shared import desk, show
from graftbook.errors import NotABook

FIRST = (
    ("graftbook start --units {units}", "make the book"),
    ('graftbook tree add "Dun Reinette" --species apple', "the tree you cut from"),
    ('graftbook prune P1 --save "6 sticks {size} 6 buds"', "the wood you saved"),
    ("graftbook stock add MM.106 --count 5 --diameter {stock}", "what you graft on"),
    ("graftbook match", "what fits what"),
)


def say_today(context: typer.Context) -> None:
    """Print today's few lines of the book; without a book, the first commands in this machine's units."""
    from graftbook.actions.rounds import today

    try:
        with desk(context) as at:
            show(today.today(at), at, False, False)
    except NotABook:
        if context.obj is not None:
            raise
        units, size, stock = ("in", "1/4-3/8in", "3/8in") if _inches() else ("mm", "6-9mm", "9mm")
        typer.echo("There is no book here yet. Five commands to begin with:")
        for command, what in FIRST:
            typer.echo(f"  {command.format(units=units, size=size, stock=stock):<56}{what}")
        typer.echo("Everything else: graftbook --help")


def _inches() -> bool:
    """Whether this machine is set to the one country that measures in inches."""
    import locale

    return (locale.getlocale()[0] or "").endswith("_US")
