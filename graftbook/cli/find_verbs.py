"""find and limb: what has lost its tag, and a limb that comes off."""

from dataclasses import dataclass
from typing import Annotated

from graftbook.cli.grouping import app, group
from graftbook.cli.options import Limit, Note, On, OnePlant, Row, Who, Yes, argument, option
from graftbook.cli.shared import ask_first
from graftbook.cli.verb import Desk, Recorded, Report, fill, verb
from graftbook.cli.words_used import meaning

limbs = group("limb", "Limbs of a tree that carries grafts: gone.")


@dataclass(frozen=True)
class FindOptions:
    """The options that say what is known of a thing: words of `FindWords`, by the same names."""

    host: Annotated[str | None, option("--host", "What it stands on.", "CODE")] = None
    bearing: Annotated[str | None, option("--bearing", "Which side, by eye: NW, north-west or degrees.")] = None
    height: Annotated[str | None, option("--height", "About how high along the stem.", "LENGTH")] = None
    within: Annotated[str | None, option("--within", "How far that may be off (default: 100 mm).", "LENGTH")] = None
    place: Annotated[str | None, option("--place", "Where it stands, or a part of it.", "PLACE")] = None
    row: Row = None
    order: Annotated[str | None, option("--order", "Its number in the row.", "N")] = None
    beside: Annotated[str | None, option("--beside", "A plant next to it, or both: P12,P14.", "CODES")] = None
    mark: Annotated[str | None, option("--mark", "A word of its note, position, tie, lot or pot: 'blue'.", "WORD")] = (
        None
    )
    made: Annotated[str | None, option("--made", "Made, cut or come: a day, 2027-04 or 2027.", "DATE")] = None


@verb(app)
def find(
    at: Desk,
    words: Annotated[list[str] | None, argument("WORDS", "Part of a name, or a code.")] = None,
    facts: FindOptions = FindOptions(),
    limit: Limit = 200,
) -> Report | tuple[Report, str, str]:
    """Find what has lost its tag. Every candidate is shown with its year, and none is chosen.

    Example:

        graftbook find "pearm" --place "home row"

        graftbook find --host P9 --bearing NW --height 54in --within 4in
    """
    from graftbook.actions.plants import finding

    found = finding.find(at, fill(finding.FindWords, facts, words=" ".join(words) if words else None), limit)
    said = None if found.rows else meaning(words or ())
    return found if said is None else (found, "", said)


@verb(limbs, name="gone")
def limb_gone(
    at: Desk,
    code: OnePlant,
    limb: Annotated[str, argument("LIMB", "The limb, as it was recorded with the grafts.")],
    on: On = None,
    who: Who = None,
    note: Note = None,
    yes: Yes = False,
) -> Recorded:
    """Record that a limb came off, once you have seen which grafts go with it.

    Example:

        graftbook limb gone P9 C --on 2027-07-30 --note "storm"
    """
    from graftbook.actions.plants import last_of_cultivar

    ask_first(at, code, limb, on, yes)
    return last_of_cultivar.limb_gone(at, code, limb, on, who, note)
