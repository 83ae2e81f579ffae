"""What there is already of what is wanted: grafts made since the want was written down, by how they do and where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.names import lineages
from graftbook.actions.names.lineages import Lineage
from graftbook.actions.outcome import alive, endpoints
from graftbook.actions.outcome.alive import End
from graftbook.actions.outcome.endpoints import RULES
from graftbook.book import plan_queries, seen
from graftbook.book.plan_queries import Grafted
from graftbook.book.plans import Want


@dataclass(frozen=True)
class OneGraft:
    """One graft: `outcome` is that of the endpoint `took`; `grown` whether it took and grew in a later season."""

    row: Grafted
    outcome: str
    grown: bool = False

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
    def grown(self) -> int:
        """Grafts that took and grew in a later season."""
        return sum(graft.grown for graft in self.grafts)

    @property
    def sites(self) -> Counter[str]:
        """Grafts that took or may, by site."""
        return Counter(graft.site for graft in self.grafts if graft.outcome in ("yes", "waiting"))


def had(session: Session, hemisphere: str, wants: Sequence[Want], as_of: date) -> dict[int, Had]:
    """What was grafted of each want since it was written down, by its number; only on the rootstock it asks for."""
    book = lineages.of_wood(session, as_of)
    names = {want.number: naming.key(book.names.one(want.cultivar)) for want in wants}
    made: dict[str, list[OneGraft]] = {name: [] for name in names.values()}
    since = min((want.on for want in wants), default=as_of)
    for name, graft in _grafts(session, book, made, hemisphere, since, as_of):
        made[name].append(graft)
    return {want.number: Had(tuple(g for g in made[names[want.number]] if _of(want, g))) for want in wants}


def _of(want: Want, graft: OneGraft) -> bool:
    return graft.row.made_on >= want.on and (want.clone is None or want.clone == graft.row.clone)


def _grafts(
    session: Session, book: Lineage, wanted: Collection[str], hemisphere: str, since: date, as_of: date
) -> Iterator[tuple[str, OneGraft]]:
    """Every graft made within two days that is one of the names wanted (as keys), with its name, judged as of the later."""
    keys = {thing: naming.key(lineages.label(book.identity(thing)) or "") for thing in range(len(book.threads.codes))}
    bundles, grafts = (
        [number for number, thing in things.items() if keys[thing] in wanted] for things in (book.bundle, book.graft)
    )
    rows = plan_queries.grafted(session, bundles, grafts, since, as_of)
    ids = [row.id for row in rows]
    stories, held = seen.stories(session, as_of, ids), alive.of_grafts(session, as_of, ids)
    for row in rows:
        thing = book.of_graft(row.id, row.bundle_id)
        if thing is None or keys[thing] not in wanted:
            continue
        frame = endpoints.frame(row.made_on, endpoints.judge_days(row.method), hemisphere, as_of)
        looks, end = stories.get(row.id, seen.UNSEEN).looks, held.end(row.id)
        took = RULES["took"][0](looks, frame)
        grown = end is None and took == "yes" and RULES["established"][0](looks, frame) == "yes"
        yield keys[thing], OneGraft(row, took if end is None else _ended(took, end), grown)


def _ended(took: str, end: End) -> str:
    """The outcome of a graft that lives no longer, or of which nobody knows; what took and died since is lost."""
    if not end.dead:
        return "unknown"
    return took if took in ("failed", "lost") else "lost"
