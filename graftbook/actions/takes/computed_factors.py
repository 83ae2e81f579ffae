"""Factors of grafts computed by other rooms: days from green tip, warmth after grafting, what the joint meets, and what a
graft is or might be where names are in doubt.

Each is a row in COMPUTED: the columns of the book it needs, and a function called once a question, which gives the function
that computes the factor chunk by chunk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from sqlmodel import Session

from graftbook.actions.takes.question import TakeQuestion
from graftbook.book import columns
from graftbook.book.columns import Columns, Span

ComputeColumn = Callable[[Columns], Sequence[Any]]


def _green_tip(part: str) -> Callable[[Session, TakeQuestion], ComputeColumn]:
    """Days from green tip, negative before it, or whose green tip that was: of the plant itself, or of its kind at the same place;
    None where neither was noted. A tree elsewhere, or in the other hemisphere, has another spring."""

    def make(session: Session, asked: TakeQuestion) -> ComputeColumn:
        from graftbook.actions.plants import stage_notes

        tips = stage_notes.tips(session, asked.hemisphere)

        @lru_cache(maxsize=65_536)
        def found(made_on: date, plant: int | None, taxon: str | None, place: str | None) -> Any:
            since = tips.since(made_on, plant, taxon, place)
            return None if since is None or since.whose not in ("own", "kind here") else getattr(since, part)

        return lambda held: list(map(found, held["made_on"], held["host_id"], held["host_taxon"], held["host_place"]))

    return make


def _warmth(session: Session, asked: TakeQuestion) -> ComputeColumn:
    """Degree-days in C of the first fourteen days; None where a day of them has no temperature."""
    from graftbook.actions.weather import graft_warmth
    from graftbook.book import weather_queries

    if not weather_queries.any_weather(session):
        return lambda held: [None] * len(held["id"])
    found = graft_warmth.warmth_of_first_days(session, asked.as_of)
    return lambda held: list(map(found.get, held["id"]))


def _joint_share(_session: Session, _asked: TakeQuestion) -> ComputeColumn:
    """The share of the scion's cambium the joint can meet, where both diameters were measured at the union."""
    return lambda held: list(
        map(_share, held["method"], held["scion_mm"], held["stock_mm"], held["taxon"], held["host_taxon"])
    )


@lru_cache(maxsize=65_536)
def _share(method: str, scion: float | None, stock: float | None, taxon: str | None, host: str | None) -> float | None:
    from graftbook.fit.joints import joint
    from graftbook.trade import methods

    found = methods.find(method)
    if found is None or scion is None or stock is None:
        return None
    try:
        made = joint(found, round(scion, 1), round(stock, 1), taxon or "", host or taxon or "")
    except ValueError:
        return None
    return None if made is None else made.share


def _called(session: Session, asked: TakeQuestion) -> ComputeColumn:
    """What a graft is, or `A or B`: doubt stands in a row of its own."""
    from graftbook.actions.names import shown_names

    own, wood = shown_names.graft_labels(session, asked.as_of)
    return lambda held: list(map(own.get, held["id"], map(wood.get, held["bundle_id"])))


_GREEN_TIP = ("made_on", "host_id", "host_taxon", "host_place")

COMPUTED: Mapping[str, tuple[tuple[str, ...], Callable[[Session, TakeQuestion], ComputeColumn]]] = MappingProxyType({
    "green_tip_days": (_GREEN_TIP, _green_tip("days")),
    "green_tip_whose": (_GREEN_TIP, _green_tip("whose")),
    "warmth_c_days": (("id",), _warmth),
    "joint_share": (("method", "scion_mm", "stock_mm", "taxon", "host_taxon"), _joint_share),
    "called": (("id", "bundle_id"), _called),
})  # fmt: skip


def chunks(session: Session, names: Iterable[str], span: Span, asked: TakeQuestion) -> Iterator[Columns]:
    """As `book.columns.chunks`, with computed columns among the names."""
    wanted = dict.fromkeys(names)
    computed = {name: COMPUTED[name] for name in wanted if name in COMPUTED}
    plain = dict.fromkeys(name for name in wanted if name not in COMPUTED)
    plain |= dict.fromkeys(need for needs, _make in computed.values() for need in needs)
    makers = {name: make(session, asked) for name, (_needs, make) in computed.items()}
    for held in columns.chunks(session, tuple(plain), span):
        yield held | {name: compute(held) for name, compute in makers.items()}
