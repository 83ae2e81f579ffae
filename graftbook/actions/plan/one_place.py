"""Cultivars that live on one site only, so that one spade or one frost could end them."""

from __future__ import annotations

from collections.abc import Collection

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.names import where_alive

MOST = 12


def cultivars(desk: Desk, session: Session) -> dict[str, str]:
    """Cultivars alive in one place only, as `only` counts them, with that site or place ('' not recorded)."""
    homes = where_alive.homes(session, desk.today)
    alone = {home.cultivar: homes.spots(home) for home in homes.of.values() if home.sure}
    return {name: spots[0].site or spots[0].place or "" for name, spots in sorted(alone.items()) if len(spots) == 1}


def sentences(desk: Desk, session: Session, planned: Collection[str | None]) -> tuple[str, ...]:
    """Those that are in one place only and not in the plan."""
    known = {naming.key(name) for name in planned if name is not None}
    alone = [(name, site) for name, site in cultivars(desk, session).items() if naming.key(name) not in known]
    if not alone:
        return ()
    named = ", ".join(f"'{name}'" + (f" ({site})" if site else "") for name, site in alone[:MOST])
    more = f" and {len(alone) - MOST} more" if len(alone) > MOST else ""
    return (f"In one place only, and not in this plan: {named}{more}.",)
