"""trade: what the trade knows, and rows of one's own."""

from typing import Annotated

from graftbook.cli.grouping import LeavingOut, group
from graftbook.cli.options import Limit, Note, Page, Who, argument
from graftbook.cli.shared import cells
from graftbook.cli.verb import Desk, Recorded, Report, verb


class Tables(LeavingOut):
    """`trade pairs apple` is `trade show pairs apple`, and `trade` alone is `trade show`."""

    default = "show"
    alone = True


verbs = group(
    "trade",
    "The tables of the trade: graftbook trade lists them, graftbook trade pairs apple pear searches one.",
    cls=Tables,
)


@verb(verbs)
def show_(
    at: Desk,
    table: Annotated[
        str | None,
        argument(
            "TABLE",
            "methods, pairs, clones, keeping, callus, bark, takes, stages, cautions, sources, aftercare, taxa, grades, "
            "method-limits.",
        ),
    ] = None,
    words: Annotated[list[str] | None, argument("WORDS", "Only rows that hold all of these.")] = None,
    limit: Limit = 200,
    page: Page = 1,
) -> Report:
    """Print a table of the trade, your own rows first; without a name, list the tables.

    Example:

        graftbook trade pairs apple pear
    """
    from graftbook.actions.trade import trade_tables

    if table is None:
        return trade_tables.list_tables(at)
    return trade_tables.show_table(at, table, words or [], limit, page)


@verb(verbs)
def add(
    at: Desk,
    table: Annotated[str, argument("TABLE", "pairs, methods, keeping, bark, takes, aftercare or cautions.")],
    texts: Annotated[list[str], argument("COLUMN=TEXT", "The cells of the row.")],
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Add a row of your own, with your own source. It answers before the trade's.

    A row on a pair is weighed with the trade's: both are shown, and the more cautious counts.

    Example:

        graftbook trade add pairs scion=pear stock=quince verdict=good source="my own trees since 2019"
    """
    from graftbook.actions.trade import trade_tables

    row = {name.lower(): text for name, text in cells(texts, "COLUMN=TEXT, such as verdict=good").items()}
    return trade_tables.add_row(at, table, row, who, note)
