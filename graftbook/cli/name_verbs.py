"""name and trace: say what something is, one name, "A or B" or unknown, see every word that was said, and follow its wood."""

from typing import Annotated

from graftbook.cli.grouping import Recording, group
from graftbook.cli.options import AsOf, Note, On, Who, argument, option
from graftbook.cli.verb import Desk, Recorded, Report, verb

Codes = Annotated[str, argument("CODES", "Plants, bundles, sticks or grafts: P3, W7, W7/3, G5-G9.")]
Why = Annotated[str | None, option("--why", "What makes you say so.", "TEXT")]

verbs = group("name", "Say what something is: list, show, have, synonym.", cls=Recording)


@verb(verbs)
def add(
    at: Desk,
    codes: Codes,
    called: Annotated[str, argument("NAME", "'Quern Russet', 'A or B', or unknown.")],
    sure: Annotated[str | None, option("--sure", "believed, 'verified by fruit', tested or doubtful.", "WORD")] = None,
    nickname: Annotated[str | None, option("--nickname", "What you call it while it is unknown.", "TEXT")] = None,
    why: Why = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Say what something is. The word holds for all of the clone: the tree, its wood, its grafts, both ways.

    Earlier words stay in the history, and words that contradict each other are shown and left standing.

    Example:

        graftbook name G5 "Quern Russet" --sure "verified by fruit" --why "russet, flat, keeps to March"

        graftbook name W7 "Quern Russet or Tolm Beauty"

        graftbook name P9 unknown --nickname "old yard apple"
    """
    from graftbook.actions.names import cultivar_names

    return cultivar_names.name(at, codes, called, sure=sure, nickname=nickname, why=why, on=on, who=who, note=note)


@verb(verbs)
def list_(
    at: Desk,
    doubt: Annotated[bool, option("--doubt", "Only what is in doubt, unknown or disputed.")] = False,
    as_of: AsOf = None,
) -> Report:
    """List what everything is said to be, each doubt in a row of its own.

    Example:

        graftbook name list --doubt
    """
    from graftbook.actions.names import name_lists

    return name_lists.list_names(at, doubt, as_of)


@verb(verbs)
def show_(at: Desk, code: Annotated[str, argument("CODE", "A plant, bundle, stick or graft.")]) -> Report:
    """Show every word said on the clone of one thing, and who received wood of it.

    Example:

        graftbook name show G5
    """
    from graftbook.actions.names import name_lists

    return name_lists.show_names(at, code)


@verb(verbs)
def have(at: Desk, cultivar: Annotated[str, argument("CULTIVAR", "A name, in any spelling.")]) -> Report:
    """Say whether a cultivar is here already, under this name or one like it.

    Example:

        graftbook name have "Quern russett"
    """
    from graftbook.actions.names import have

    return have.have(at, cultivar)


@verb(verbs)
def synonym(
    at: Desk,
    name: Annotated[str, argument("NAME", "The other name.")],
    of: Annotated[str, option("--of", "The name you prefer.", "NAME")],
    why: Why = None,
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Record that two names are one cultivar. Nothing is ever merged unless you say so here.

    Example:

        graftbook name synonym "Quern Leathercoat" --of "Quern Russet"
    """
    from graftbook.actions.names import cultivar_names

    return cultivar_names.add(at, name, of, why, on, who, note)


@verb(verbs)
def synonyms(at: Desk) -> Report:
    """List the names held to be one.

    Example:

        graftbook name synonyms
    """
    from graftbook.actions.names import name_lists

    return name_lists.list_synonyms(at)


traces = group("trace", "Follow wood by its threads: up, down.")


@verb(traces)
def up(at: Desk, code: Annotated[str, argument("CODE", "A plant, bundle, stick or graft.")]) -> Report:
    """Show where something came from: every thread up to its source, and what it stood on.

    Example:

        graftbook trace up G5
    """
    from graftbook.actions.names import tracing

    return tracing.trace_up(at, code)


@verb(traces)
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
