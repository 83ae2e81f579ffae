"""Cultivars that live on one site only, so that one spade or one frost could end them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.plan import want_counts
from graftbook.book import plan_queries

MOST = 12


def cultivars(desk: Desk, session: Session) -> dict[str, str]:
    """Cultivars alive on one site only, with that site ('' not recorded): trees with a cultivar of their own, and grafts
    that took."""
    sites: dict[str, set[str]] = defaultdict(set)
    for cultivar, _taxon, site, place, _code, _id in plan_queries.cultivar_sites(session, desk.today):
        sites[cultivar].add(site or place or "")
    for graft in want_counts.grafts(session, desk.settings.hemisphere, desk.today):
        if graft.outcome == "yes":
            sites[graft.cultivar].add(graft.site)
    return {name: next(iter(held)) for name, held in sorted(sites.items()) if len(held) == 1}


def sentences(desk: Desk, session: Session, planned: Collection[str | None]) -> tuple[str, ...]:
    """Those that are in one place only and not in the plan."""
    alone = [(name, site) for name, site in cultivars(desk, session).items() if name not in planned]
    if not alone:
        return ()
    named = ", ".join(f"'{name}'" + (f" ({site})" if site else "") for name, site in alone[:MOST])
    more = f" and {len(alone) - MOST} more" if len(alone) > MOST else ""
    return (f"In one place only, and not in this plan: {named}{more}.",)
