"""Wood moved from one store to another: every stay is kept with its day, because warmth in store uses up its time."""

from __future__ import annotations

from datetime import date
from typing import Any

from graftbook.book import wood_queries
from graftbook.book.unit import Unit
from graftbook.book.wood import Bundle, Stay

_OF_STORE = ("store", "packing", "temperature_c")


def kept(unit: Unit, bundle: Bundle, values: dict[str, Any], day: date, who: str | None) -> dict[str, Any]:
    """Keep where a bundle is from a day on, and where it was until then; what is to be amended on the bundle itself.

    A bundle never moved has no stays: the first move writes down where it was. What is told again for the same day mends
    what was told; a stay before the last one leaves the bundle where it is.
    """
    stays = wood_queries.stays_of(unit.session, bundle.id)
    since = bundle.stored_on
    if not stays:
        nothing = bundle.store is None and bundle.temperature_c is None
        if nothing or since == day:
            return {**values, "stored_on": day}
        began = since if since is not None else _came(unit, bundle, day)
        first = {name: getattr(bundle, name) for name in _OF_STORE}
        stays = [unit.add(Stay, bundle_id=bundle.id, on=began, **first)]
    before = [stay for stay in stays if stay.on <= day]
    said = {name: value for name, value in values.items() if name in _OF_STORE}
    if before and before[-1].on == day:
        unit.amend(before[-1], **said)
    else:
        ground = {name: getattr(before[-1], name) for name in _OF_STORE} if before else {}
        unit.add(Stay, bundle_id=bundle.id, on=day, who=who, **{**ground, **said})
    if any(stay.on > day for stay in stays):
        return {name: value for name, value in values.items() if name not in _OF_STORE}
    return {**values, "stored_on": day}


def _came(unit: Unit, bundle: Bundle, day: date) -> date:
    return bundle.cut_on or wood_queries.first_days(unit.session, [bundle.id]).get(bundle.id, day)
