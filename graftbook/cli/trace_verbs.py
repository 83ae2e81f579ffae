"""trace: follow wood up to its source, and down to every living graft."""

from typing import Annotated

from graftbook.cli.grouping import group
from graftbook.cli.options import AsOf, argument, option
from graftbook.cli.verb import Desk, Report, verb

verbs = group("trace", "Follow wood by its threads: up, down.")


@verb(verbs)
def up(at: Desk, code: Annotated[str, argument("CODE", "A plant, bundle, stick or graft.")]) -> Report:
    """Show where something came from: every thread up to its source, and what it stood on.

    Example:

        graftbook trace up G5
    """
    from graftbook.actions.names import tracing

    return tracing.trace_up(at, code)


@verb(verbs)
def down(
    at: Desk,
    of: Annotated[str, argument("CODE-or-DONOR", "A code, or who the wood came from.")],
    since: Annotated[
        str | None, option("--since", "Only what was cut, made or shared from this day on.", "DATE")
    ] = None,
    plants: Annotated[
        int | None, option("--plants", "Follow exposure over so many plants (default: all).", "N", min=1, max=1000)
    ] = None,
    as_of: AsOf = None,
) -> Report:
    """Show all that came from something: what descends from it, what was exposed by sharing a plant, who was given sticks.

    The lists go by threads of wood, never by name, and are never merged.

    Example:

        graftbook trace down P3 --since 2027-02-01

        graftbook trace down "Ilo M."
    """
    from graftbook.actions.names import tracing

    return tracing.trace_down(at, of, since, plants, as_of)
