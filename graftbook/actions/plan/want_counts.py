"""What there is already of what is wanted: grafts made since the want was written down, by how they do and where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.outcome import judging_frame
from graftbook.actions.outcome.endpoints import RULES
from graftbook.book import plan_queries, seen
from graftbook.book.plans import Want

# How a graft that ended is told from one that may yet live.
ENDED = ("failed", "lost", "unknown")


@dataclass(frozen=True)
class OneGraft:
    """One graft of a cultivar: `outcome` is that of the endpoint `took`, `site` where it stands ('' not recorded)."""

    code: str
    cultivar: str
    taxon: str | None
    made_on: date
    host: str | None
    clone: str | None
    site: str
    method: str
    outcome: str


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
        return Counter(graft.site for graft in self.grafts if graft.outcome not in ENDED)


def had(session: Session, hemisphere: str, wants: Sequence[Want], as_of: date) -> dict[int, Had]:
    """What was grafted of each want since it was written down, by its number; only on the rootstock it asks for."""
    names = {want.cultivar for want in wants}
    made = [graft for graft in grafts(session, hemisphere, as_of) if graft.cultivar in names] if names else []
    return {want.number: Had(tuple(graft for graft in made if _of(want, graft))) for want in wants}


def _of(want: Want, graft: OneGraft) -> bool:
    wanted = graft.cultivar == want.cultivar and graft.made_on >= want.on
    return wanted and (want.clone is None or want.clone == graft.clone)


def grafts(session: Session, hemisphere: str, as_of: date) -> list[OneGraft]:
    """Every graft with a cultivar made by a day on what is alive, judged as of that day."""
    rows = plan_queries.grafted_cultivars(session, as_of)
    looks, home = seen.looks(session, as_of), seen.gone_home(session, as_of)
    return [_judged(row, hemisphere, as_of, looks, home) for row in rows]


def _judged(row: Any, hemisphere: str, as_of: date, looks: dict, home: frozenset[int]) -> OneGraft:
    frame = judging_frame.frame(row.made_on, judging_frame.judge_days(row.method), hemisphere, as_of)
    outcome = "unknown" if row.id in home else RULES["took"][0](looks.get(row.id, ()), frame)
    site = row.site or row.place or ""
    return OneGraft(row.code, row.cultivar, row.taxon, row.made_on, row.host, row.clone, site, row.method, outcome)
