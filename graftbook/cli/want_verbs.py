"""want: what is wanted of which cultivar, by priority, on how many sites, for whom."""

from dataclasses import dataclass
from typing import Annotated

from graftbook.cli.grouping import group
from graftbook.cli.options import AsOf, Note, On, Species, Who, argument, option
from graftbook.cli.verb import Desk, Recorded, Report, fill, verb

Number = Annotated[int, argument("NUMBER", "The number of the want.", min=1)]
Numbers = Annotated[str, argument("NUMBERS", "Wants by number, such as 3 or 3,5 or 3-7.")]


@dataclass(frozen=True)
class WantOptions:
    """The options that say what is wanted of a cultivar: words of `WantWords`, by the same names."""

    living: Annotated[
        str | None, option("--living", "How many of them must live, which makes it a must-have.", "N")
    ] = None
    sites: Annotated[str | None, option("--sites", "On at least so many sites (default: 1).", "N")] = None
    priority: Annotated[
        str | None, option("--priority", "1 is the highest; each step halves it (default: 2).", "1-9")
    ] = None
    for_whom: Annotated[str | None, option("--for", "For whom.", "NAME")] = None
    stock: Annotated[str | None, option("--stock", "Only on this rootstock, such as MM.106.", "NAME")] = None
    species: Species = None


verbs = group("want", "What is wanted: add, list, show, amend, done, withdraw. graftbook plan makes the pairs.")


@verb(verbs)
def add(
    at: Desk,
    cultivar: Annotated[str, argument("CULTIVAR", "The cultivar.")],
    trees: Annotated[str, argument("TREES", "How many living trees are wanted.")],
    facts: WantOptions = WantOptions(),
    on: On = None,
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Write down what is wanted of a cultivar.

    Example:

        graftbook want add "Stoneway Pearmain" 3 --living 2 --sites 2 --priority 1 --for "the school" --stock MM.106
    """
    from graftbook.actions.plan import wants

    words = fill(wants.WantWords, facts, cultivar=cultivar, trees=trees, note=note)
    return wants.add(at, words, on, who)


@verb(verbs)
def list_(
    at: Desk, every: Annotated[bool, option("--all", "Those done and withdrawn too.")] = False, as_of: AsOf = None
) -> Report:
    """List what is wanted, highest priority first, with what there is of each.

    Example:

        graftbook want list
    """
    from graftbook.actions.plan import wants

    return wants.list_wants(at, every, as_of)


@verb(verbs)
def show_(at: Desk, number: Number, as_of: AsOf = None) -> Report:
    """Show one want with every graft made of it since.

    Example:

        graftbook want show 3
    """
    from graftbook.actions.plan import wants

    return wants.show(at, number, as_of)


@verb(verbs)
def amend(
    at: Desk,
    number: Number,
    cultivar: Annotated[str | None, option("--cultivar", "The cultivar.", "NAME")] = None,
    trees: Annotated[str | None, option("--trees", "How many trees.", "N")] = None,
    facts: WantOptions = WantOptions(),
    who: Who = None,
    note: Note = None,
) -> Recorded:
    """Mend a want; an empty text takes a fact away.

    Example:

        graftbook want amend 3 --trees 4 --living ""
    """
    from graftbook.actions.plan import wants

    words = fill(wants.WantWords, facts, cultivar=cultivar, trees=trees, note=note)
    return wants.amend(at, number, words, who)


@verb(verbs)
def done(at: Desk, numbers: Numbers, on: On = None, who: Who = None, note: Note = None) -> Recorded:
    """Say that wants are met; they are planned for no more.

    Example:

        graftbook want done 3,5
    """
    from graftbook.actions.plan import wants

    return wants.end(at, numbers, "done", on, who, note)


@verb(verbs)
def withdraw(at: Desk, numbers: Numbers, on: On = None, who: Who = None, note: Note = None) -> Recorded:
    """Withdraw wants; they are planned for no more.

    Example:

        graftbook want withdraw 4 --note "the school found one"
    """
    from graftbook.actions.plan import wants

    return wants.end(at, numbers, "withdrawn", on, who, note)
