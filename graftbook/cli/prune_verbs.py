"""prune: cuts and saved wood in one breath."""

from dataclasses import dataclass
from typing import Annotated

from graftbook.cli.grouping import Recording, group
from graftbook.cli.options import Limit, Note, On, Packing, Page, Summer, Temperature, Who, Yes, argument, option
from graftbook.cli.shared import ask_first
from graftbook.cli.verb import Desk, Recorded, Report, fill, verb


@dataclass(frozen=True)
class PruneOptions:
    """The options that say what was pruned and what was saved: the words of `PruneWords`, by the same names."""

    thinning: Annotated[int | None, option("--thinning", "Thinning cuts, back to a fork.", "N")] = None
    heading: Annotated[int | None, option("--heading", "Heading cuts, shortening a shoot.", "N")] = None
    bench: Annotated[int | None, option("--bench", "Bench cuts, back to an outward limb.", "N")] = None
    removed: Annotated[str | None, option("--removed", "Of the canopy, such as 30%.", "SHARE")] = None
    saves: Annotated[
        list[str] | None,
        option("--save", 'Wood saved, such as "24 sticks 6-9mm 30cm 6 buds"; as often as needed.', "WOOD"),
    ] = None
    store: Annotated[str | None, option("--store", "Where the wood is put.", "PLACE")] = None
    temperature: Temperature = None
    packing: Packing = None
    summer: Summer = False
    fruit: Annotated[str | None, option("--fruit", "Whether an evergreen bore fruit.", "YES-NO")] = None
    limb: Annotated[str | None, option("--limb", "A whole limb came off, with the grafts on it.", "LIMB")] = None
    source: Annotated[
        str | None,
        option("--from", "What the saved wood was cut from: a graft, a limb, the tree itself.", "CODE-OR-LIMB"),
    ] = None


verbs = group(
    "prune",
    "Log a pruning and the wood saved from it: graftbook prune P3 ..., the same as prune add P3.",
    cls=Recording,
)


@verb(verbs)
def add(
    at: Desk,
    code: Annotated[str, argument("CODE", "The plant pruned, such as P3.")],
    facts: PruneOptions = PruneOptions(),
    on: On = None,
    who: Who = None,
    note: Note = None,
    yes: Yes = False,
) -> Recorded:
    """Log one pruning and the bundles saved from it, as one entry.

    Example:

        graftbook prune P3 --on 2027-01-14 --thinning 8 --heading 14 --removed 30% --save "24 sticks 6-9mm 30cm 6 buds"

        graftbook prune P9 --from G5 --save "6 sticks 6-9mm"
    """
    from graftbook.actions.wood import prunes

    if facts.limb is not None:
        ask_first(at, code, facts.limb, on, yes)
    words = fill(prunes.PruneWords, facts, saves=tuple(facts.saves or ()))
    return prunes.prune(at, code, words, on, who, note)


@verb(verbs)
def list_(
    at: Desk,
    code: Annotated[str | None, argument("CODE", "Only of this plant.")] = None,
    limit: Limit = 200,
    page: Page = 1,
) -> Report:
    """List prunings, newest first.

    Example:

        graftbook prune list P3
    """
    from graftbook.actions.wood import prunes

    return prunes.list_prunes(at, code, limit, page)
