"""held: rows of growers' own sheets that were not clear, listed, mended, dropped or tried again."""

from typing import Annotated

from graftbook.cli.grouping import Listing, group
from graftbook.cli.options import Note, Who, argument, option
from graftbook.cli.shared import cells
from graftbook.cli.verb import Desk, Recorded, Report, verb

held = group("held", "Rows of your own sheets that were not clear.", cls=Listing, no_args_is_help=False)

Numbers = Annotated[list[str] | None, argument("[NUMBERS]...", "Their numbers: 3 5-9 (default: all that are meant).")]
_EXAMPLE = "HEADING=VALUE, such as 'Calliper=3/8in'"


def _numbers(numbers: list[str] | None) -> str | None:
    return ",".join(numbers) if numbers else None


@verb(held, name="list")
def list_(at: Desk) -> Report:
    """List the rows that are held, with file, line, why, and the words as typed.

    Example:

        graftbook held
    """
    from graftbook.actions.exchange import held_rows

    return held_rows.held(at)


@verb(held)
def mend(
    at: Desk,
    numbers: Numbers = None,
    new: Annotated[list[str] | None, option("--set", "What a cell means: 'Calliper=3/8in'.", "HEADING=VALUE")] = None,
    where: Annotated[list[str] | None, option("--where", "Only rows whose cell says so.", "HEADING=TEXT")] = None,
    as_offered: Annotated[bool, option("--as-offered", "What is offered as perhaps meant is meant.")] = False,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Say what unclear cells mean, row by row or by a rule, and take the rows that are clear then.

    What was typed is kept beside it.

    Examples:

        graftbook held mend 3 --set "Rootstock=M.9"

        graftbook held mend --where "Result=3/4" --set "Result=3 of 4"
    """
    from graftbook.actions.exchange import held_rows

    how = held_rows.Mending(_pairs(new), _pairs(where), as_offered)
    return held_rows.mend(at, _numbers(numbers), how, who, note)


def _pairs(texts: list[str] | None) -> dict[str, str]:
    return cells(texts or (), _EXAMPLE, plain=True)


@verb(held)
def take(at: Desk, numbers: Numbers = None, who: Who = None, note: Note = None) -> Recorded:
    """Try held rows again as they are: what has become clear since is taken.

    Example:

        graftbook held take 3-7
    """
    from graftbook.actions.exchange import held_rows

    return held_rows.take(at, _numbers(numbers), who, note)


@verb(held)
def drop(
    at: Desk,
    numbers: Annotated[list[str], argument("NUMBERS...", "Their numbers: 3 5-9.")],
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Hold rows no longer. They are kept as dropped, and do not come again with their sheet.

    Example:

        graftbook held drop 4 --note "a row of sums"
    """
    from graftbook.actions.exchange import held_rows

    return held_rows.drop(at, ",".join(numbers), who, note)
