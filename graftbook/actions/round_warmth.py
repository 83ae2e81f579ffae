"""The warmth of grafts as aftercare asks for it: when each has had a sum of degree-days, where its weather is known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from sqlmodel import Session

from graftbook.actions.stays import Stay
from graftbook.actions.warm import GraftWarmth
from graftbook.book import weather_queries
from graftbook.book.round_queries import Line
from graftbook.season.care_facts import GraftFacts, Warmed
from graftbook.trade.aftercare import Rule

Kinds = Mapping[int, tuple[str | None, str | None, str]]


class GraftsWarm:
    """The warmth of some grafts up to a day, asked for one graft at a time: first turned to, then asked."""

    def __init__(self, warmth: GraftWarmth, ids: frozenset[int]) -> None:
        self._warmth, self._ids = warmth, ids
        self._now: int | None = None

    def turn_to(self, graft_id: int) -> tuple[Stay, ...]:
        """Turn to a graft; where it stood since it was made, empty for one whose warmth nobody asks for."""
        self._now = graft_id if graft_id in self._ids else None
        return self._warmth.stays(graft_id) if self._now is not None else ()

    def asked(self, graft: GraftFacts, base_c: float, degree_days: float) -> Warmed | None:
        """Whether the graft turned to has had so much; None where days without a temperature leave it open."""
        if self._now is None:
            return None
        reached = self._warmth.reached(self._now, base_c, degree_days)
        return None if reached.on is None and reached.missing else Warmed(reached.on)


def of(session: Session, rules: Iterable[Rule], lines: Sequence[Line], kinds: Kinds, day: date) -> GraftsWarm | None:
    """The warmth of the grafts that rules which go by warmth may speak of; None in a book without weather, or without such
    rules or grafts."""
    taxa = tuple(
        rule.taxon for rule in rules if rule.warmth_from is not None and (rule.is_default or rule.basis == "own")
    )
    if not taxa or not (weather_queries.told(session) or weather_queries.stations(session)):
        return None
    ids = [line.id for line in lines if _of_kind(line, kinds, taxa)]
    return GraftsWarm(GraftWarmth.of(session, ids, day), frozenset(ids)) if ids else None


def _of_kind(line: Line, kinds: Kinds, taxa: tuple[str, ...]) -> bool:
    taxon = kinds.get(line.bundle_id, (None, None, ""))[0] if line.bundle_id is not None else None
    return any((taxon or "").startswith(kind) for kind in taxa)
