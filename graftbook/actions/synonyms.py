"""Two names held to be one cultivar: the grower's own word, never made by the program."""

from __future__ import annotations

from graftbook.actions import naming
from graftbook.actions.desk import Desk
from graftbook.actions.plant_words import blank
from graftbook.actions.results import Recorded
from graftbook.book import lineage_queries
from graftbook.book.lineage import Synonym
from graftbook.errors import Refused, UsageProblem
from graftbook.lineage.epithets import bare


def add(
    desk: Desk, name: str, preferred: str, why: str | None = None, on: str | None = None, who: str | None = None,
    note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record that `name` is another name of `preferred`, which is shown from now on.

    Raises UsageProblem for an empty name or one name twice, Refused for a name that is a synonym already, or where the two
    would lead to each other.
    """
    day, person = desk.day(on), desk.person(who)
    with desk.book.write("synonym", person) as unit:
        held = {naming.key(row.name): row for row in lineage_queries.synonyms(unit.session)}
        cultivars = naming.Cultivars.of(unit.session)
        other, shown = bare(name), cultivars.name(preferred).kept
        if not naming.key(other) or not naming.key(shown):
            raise UsageProblem("two cultivar names", repr(name if not naming.key(other) else preferred))
        if naming.key(other) == naming.key(shown):
            raise UsageProblem(
                "two different names", f"{name!r} and {preferred!r}", "The book holds them to be one already"
            )
        if naming.key(other) in held:
            row = held[naming.key(other)]
            raise Refused(f"'{other}' to be a synonym once", f"it is shown as '{row.preferred}'", "Undo that first")
        unit.add(Synonym, on=day, name=other, preferred=shown, why=blank(why), who=person, note=blank(note))
        entry = unit.commit(f"'{other}' is another name of '{shown}'")
    return Recorded(
        f"{entry.summary}.", entry.id, (), ("What was typed stays with each thing; lists show the preferred name.",)
    )
