"""The facts that fit asks for, fetched from the book."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from sqlmodel import Session

from graftbook.actions.desk.results import filled
from graftbook.actions.names import health_flow, shown_names, wood_kept
from graftbook.actions.plants import stage_notes
from graftbook.actions.wood import drawing
from graftbook.book import find, settings
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.stage_queries import Newest
from graftbook.book.wood import Bundle
from graftbook.errors import UsageProblem
from graftbook.fit.facts import KeepingFacts, NoteFacts, StockFacts, WoodFacts
from graftbook.season import turn
from graftbook.trade import taxa


def span(low: float | None, high: float | None) -> tuple[float, float] | None:
    """A range of diameters in mm, None where neither end is known."""
    ends = [end for end in (low, high) if end is not None]
    return (min(ends), max(ends)) if ends else None


def wood_facts(session: Session, bundles: Sequence[Bundle], on: date) -> list[WoodFacts]:
    """What is known of bundles on a day, in the order given. Raises UsageProblem for wood of no known kind."""
    hands = drawing.in_hand(session, bundles, on)
    clock = wood_kept.StoreClock(session, on)
    noted = health_flow.noted(session, on)
    names = shown_names.of(session, bundles)
    facts = []
    for bundle in bundles:
        if bundle.taxon is None:
            raise UsageProblem(
                f"the kind of {bundle.code}", "none recorded", f"graftbook wood amend {bundle.code} --species …"
            )
        kept, hand = clock.of(bundle), hands[bundle.id]
        one = filled(
            WoodFacts, bundle, kept, cultivar=names.of(bundle).single, kind=bundle.wood_kind,
            diameter_mm=span(bundle.diameter_min_mm, bundle.diameter_max_mm), keeping=filled(KeepingFacts, kept),
            sticks_left=hand.left, buds_in_hand=hand.buds_left or 0, notes=noted.of_bundle(bundle.id, bundle.cut_plant_id),
        )  # fmt: skip
        facts.append(one)
    return facts


def stock_facts(session: Session, hosts: Sequence[Plant | Graft], on: date) -> list[StockFacts]:
    """What is known on a day of what grafts are to stand on, in the order given: plants, or earlier grafts."""
    noted = health_flow.noted(session, on)
    seen = stage_notes.on_day(session, [host for host in hosts if isinstance(host, Plant)], on)
    unions = _Unions(session, [host for host in hosts if isinstance(host, Graft)])
    at_rest = turn.dormant(on, settings.load(session).hemisphere, True) is True
    return [
        _of_plant(host, seen[host.id], on, noted.of_plant(host.id), at_rest)
        if isinstance(host, Plant)
        else unions.facts(host, noted.of_graft(host.id))
        for host in hosts
    ]


def _of_plant(plant: Plant, seen: Newest, on: date, notes: Sequence[NoteFacts], at_rest: bool) -> StockFacts:
    size = span(plant.diameter_mm, plant.diameter_mm) or span(plant.grade_min_mm, plant.grade_max_mm)
    alive, kind = plant.died_on is None or plant.died_on > on, taxa.nearest_to(plant.taxon)
    return StockFacts(
        plant.code, plant.taxon or "", plant.clone, size, seen.stage, seen.bark, alive, tuple(notes),
        resting=at_rest and kind is not None and kind.deciduous,
    )  # fmt: skip


class _Unions:
    """Grafts as hosts: what each is, and what it was put on."""

    def __init__(self, session: Session, grafts: Sequence[Graft]) -> None:
        hosts = find.by_id(session, Graft, [graft.host_graft_id for graft in grafts])
        self._plants = find.by_id(session, Plant, [graft.host_plant_id for graft in grafts])
        self._hosts = hosts
        self._woods = find.by_id(session, Bundle, [each.bundle_id for each in (*grafts, *hosts.values())])
        self._names = shown_names.of(session, list(self._woods.values()))

    def facts(self, graft: Graft, notes: Sequence[NoteFacts]) -> StockFacts:
        """The facts of a graft that is to carry another."""
        taxon, cultivar = self._kind(graft)
        plant, host = self._plants.get(graft.host_plant_id or 0), self._hosts.get(graft.host_graft_id or 0)
        below = (plant.taxon or "", plant.clone) if plant is not None else (self._kind(host)[0], None) if host else None
        union = None if below is None else (taxon, cultivar, *below)
        return StockFacts(graft.code, taxon, notes=tuple(notes), union_below=union)

    def _kind(self, graft: Graft) -> tuple[str, str | None]:
        wood = self._woods.get(graft.bundle_id or 0)
        return ("", None) if wood is None else (wood.taxon or "", self._names.of(wood).single)
