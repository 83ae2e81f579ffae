"""What there is already of what is wanted: grafts made since the want was written down, by how they do and where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.names import lineages
from graftbook.actions.names.lineages import Lineage
from graftbook.actions.outcome import judging_frame
from graftbook.actions.outcome.alive import End
from graftbook.actions.outcome.endpoints import RULES
from graftbook.book import plan_queries, seen
from graftbook.book.plan_queries import Grafted
from graftbook.book.plans import Want


@dataclass(frozen=True)
class OneGraft:
    """One graft of a cultivar: `outcome` is that of the endpoint `took`."""

    row: Grafted
    cultivar: str
    outcome: str

    @property
    def site(self) -> str:
        """Where it stands, '' where that is not recorded."""
        return self.row.site or self.row.place or ""


@dataclass(frozen=True)
class Had:
    """What was grafted since a want: `sites` counts living and undecided ones by site ('' not recorded)."""

    grafts: tuple[OneGraft, ...]

    @property
    def alive(self) -> int:
        """Grafts that took."""
        return sum(graft.outcome == "yes" for graft in self.grafts)

    @property
    def waiting(self) -> int:
        """Grafts not decided yet."""
        return sum(graft.outcome == "waiting" for graft in self.grafts)

    @property
    def sites(self) -> Counter[str]:
        """Grafts that took or may, by site."""
        return Counter(graft.site for graft in self.grafts if graft.outcome in ("yes", "waiting"))


def had(session: Session, hemisphere: str, wants: Sequence[Want], as_of: date) -> dict[int, Had]:
    """What was grafted of each want since it was written down, by its number; only on the rootstock it asks for."""
    book = lineages.fetch(session, as_of)
    names = {want.number: naming.key(book.names.one(want.cultivar)) for want in wants}
    made: dict[str, list[OneGraft]] = {name: [] for name in names.values()}
    for graft in _grafts(session, book, hemisphere, as_of) if made else ():
        made.get(naming.key(graft.cultivar), []).append(graft)
    return {want.number: Had(tuple(g for g in made[names[want.number]] if _of(want, g))) for want in wants}


def _of(want: Want, graft: OneGraft) -> bool:
    return graft.row.made_on >= want.on and (want.clone is None or want.clone == graft.row.clone)


def _grafts(session: Session, book: Lineage, hemisphere: str, as_of: date) -> Iterator[OneGraft]:
    """Every graft with a name made by a day, by what it is, judged as of that day."""
    stories = seen.stories(session, as_of)
    for row in plan_queries.grafted(session, as_of):
        cultivar = lineages.label(book.identity(book.graft[row.id]))
        if cultivar is not None:
            frame = judging_frame.frame(row.made_on, judging_frame.judge_days(row.method), hemisphere, as_of)
            took, end = RULES["took"][0](stories.get(row.id, seen.UNSEEN).looks, frame), book.held.end(row.id)
            yield OneGraft(row, cultivar, took if end is None else _ended(took, end))


def _ended(took: str, end: End) -> str:
    """The outcome of a graft that lives no longer, or of which nobody knows; what took and died since is lost."""
    if not end.dead:
        return "unknown"
    return took if took in ("failed", "lost") else "lost"
