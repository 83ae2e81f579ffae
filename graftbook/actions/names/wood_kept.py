"""How every bundle with sticks left has kept by a day, and whether its sticks may still be counted on."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.results import count
from graftbook.actions.trade import own_tables
from graftbook.book import round_queries, wood_queries
from graftbook.book.balances import Balance, balances
from graftbook.book.round_queries import RoundWood
from graftbook.season import keeping
from graftbook.season.keeping import Keeping

PAST = "past the longest known"

URGENT = frozenset({"use first", "past the usual time"})
"""States of keeping in which wood is to be used before other wood."""

SPENT = frozenset({PAST, "spoilt"})
"""States of keeping in which wood is no safety: older than any such wood was known to keep, or seen dead."""


@dataclass(frozen=True, slots=True)
class KeptWood:
    """A bundle with something left, whole sticks or buds in hand, its looks in store oldest first, and how it has kept:
    `kept` is None where it is known to be PAST without asking the clock."""

    line: RoundWood
    left: Balance
    looks: tuple[tuple[date, str], ...]
    kept: Keeping | None

    @property
    def state(self) -> str:
        """One of graftbook.season.keeping.STATES."""
        return PAST if self.kept is None else self.kept.state

    @property
    def usable(self) -> bool:
        """Whether its sticks may be counted on; wood of which nobody knows how long it keeps may."""
        return self.state not in SPENT


def left_of(held: Iterable[Balance]) -> str:
    """What is left of bundles: `2 sticks`, or where no whole one is `3 buds on the stick in hand`; '' where nothing is."""
    left = list(held)
    sticks, buds = sum(one.left for one in left), sum(one.buds_in_hand for one in left)
    return count(sticks, "stick") if sticks else f"{count(buds, 'bud')} on the stick in hand" if buds else ""


class StoreClock:
    """How bundles have kept by a day, by what was seen of them in store, where they lay, and the tables of keeping with the
    grower's own rows."""

    def __init__(self, session: Session, on: date) -> None:
        self._own, self._on = own_tables.own_keeping(session), on
        self._looked = wood_queries.inspections(session, on)
        self._stays = wood_queries.temperatures(session)

    def looks(self, bundle_id: int) -> tuple[tuple[date, str], ...]:
        """What a bundle looked like, oldest first."""
        return tuple(self._looked.get(bundle_id, ()))

    def was_moved(self, bundle_id: int) -> bool:
        """Whether a bundle lay in more stores than one."""
        return bundle_id in self._stays

    def of(self, bundle: Any) -> Keeping:
        """How a bundle, or its columns, has kept."""
        return keeping.clock(
            bundle.taxon or "", bundle.wood_kind, bundle.cut_on, bundle.temperature_c, self.looks(bundle.id), self._on,
            self._own, self._stays.get(bundle.id, ()), bundle.received_on,
        )  # fmt: skip


def kept_wood(session: Session, day: date, bundle_ids: Collection[int] | None = None) -> Iterator[KeptWood]:
    """Every bundle with sticks left on a day (of `bundle_ids`, None: of all), by number; the clock is asked once for wood of a
    kind that is past its time."""
    left = {bundle_id: held for bundle_id, held in balances(session, bundle_ids, day).items() if held.any_left}
    clock = StoreClock(session, day)
    longest: dict[tuple[object, ...], int | None] = {}
    for line in round_queries.wood(session, left):
        looks, band = clock.looks(line.id), (line.taxon, line.wood_kind, line.temperature_c)
        moved = clock.was_moved(line.id)
        if not moved and _too_old(line, longest.get(band), looks, day):
            yield KeptWood(line, left[line.id], looks, None)
            continue
        kept = clock.of(line)
        if not moved:
            longest[band] = kept.longest_days
        yield KeptWood(line, left[line.id], looks, kept)


def _too_old(line: RoundWood, longest: int | None, looks: tuple[tuple[date, str], ...], day: date) -> bool:
    """Known without asking the clock again, for wood of a kind it was asked about before."""
    since = line.cut_on or line.received_on
    if longest is None or since is None or (looks and looks[-1][1] == "dead"):
        return False
    return (day - since).days > longest
