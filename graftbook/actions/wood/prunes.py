"""Prunings: the cuts and the wood saved from them in one breath, and what is usually said of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from graftbook import units
from graftbook.actions.desk import typed
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.facts import CUTS, bundle_sizes, cut_words
from graftbook.actions.desk.results import Recorded, Report, filled, page_notes
from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import Shown
from graftbook.actions.outcome import subjects
from graftbook.actions.outcome.plant_days import alive_on
from graftbook.actions.plants import last_of_cultivar
from graftbook.actions.wood import prune_advice, prune_source, store_advice
from graftbook.actions.wood.save_phrase import Saved, read_saved
from graftbook.actions.wood.wood_source import Origin
from graftbook.book import plant_queries
from graftbook.book.plants import Plant
from graftbook.book.unit import Unit
from graftbook.book.wood import Bundle, Movement, Prune
from graftbook.errors import UsageProblem


@dataclass(frozen=True)
class PruneWords:
    """A pruning as typed; None means not said. `fruit` says whether an evergreen still carried fruit: yes or no; `limb`
    names a whole limb that came off; `source` the graft, limb or plant that the saved wood was cut from."""

    thinning: int | None = None
    heading: int | None = None
    bench: int | None = None
    removed: str | None = None
    saves: tuple[str, ...] = ()
    store: str | None = None
    temperature: str | None = None
    packing: str | None = None
    summer: bool = False
    fruit: str | None = None
    limb: str | None = None
    source: str | None = None


@dataclass(frozen=True)
class PruneRow:
    """One pruning: cuts by kind, the share of the canopy removed in per cent, the bundles saved and their sticks."""

    plant: str
    on: date
    thinning: int | None
    heading: int | None
    bench: int | None
    removed_percent: int | None
    bundles: tuple[str, ...]
    sticks: int
    who: str | None
    note: str | None
    shown: ClassVar = ("plant", "on", "thinning", "heading", "bench", "removed_percent", "bundles", "sticks")
    headings: ClassVar = {"sticks": "sticks saved"}


def prune(
    desk: Desk, text: str, words: PruneWords, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record one pruning of one plant and the bundles saved from it, as one entry.

    What is usually done otherwise is said, never forbidden. Raises Refused for a dead plant or a day before it came,
    UsageProblem for counts below zero, for wood that cannot be read, and where it is not clear whose wood was saved.
    """
    day = desk.day(on)
    if words.source is not None and not words.saves:
        raise UsageProblem("--from beside --save", "--from alone", 'Such as: --from G5 --save "6 sticks 6-9mm"')
    saved = tuple(read_saved(desk, phrase) for phrase in words.saves)
    facts: dict[str, Any] = {name: getattr(words, name) for name in CUTS}
    for kind, number in facts.items():
        typed.between(number or 0, 0, 100_000, f"{kind} cuts")
    facts["removed_percent"] = units.read_share(words.removed) if words.removed is not None else None
    fruit = _yes_or_no(words.fruit)
    person = desk.person(who)
    with desk.book.write("prune", person) as unit:
        plant = subjects.one_plant(unit.session, text, "Log each pruning by itself")
        alive_on(plant, day, "a pruning")
        advice = prune_advice.advise(desk, unit.session, plant, day, facts, words.summer, fruit)
        pruned = unit.add(Prune, plant_id=plant.id, on=day, who=person, note=typed.blank(note), **facts)
        kept = _kept(desk, words, day)
        whose = prune_source.source(unit.session, plant, words.source, words.limb, day) if saved else None
        if whose is not None:
            advice += store_advice.of_store(desk, unit.session, {"taxon": whose.taxon, **kept}, day)
        made = _bundles(unit, whose, pruned, saved, kept, person) if whose is not None else []
        cautions = prune_advice.cautions(desk, unit.session, plant, pruned, bool(saved))
        lost, last = _limb(unit, plant, words.limb, day)
        names = shown_names.of(unit.session, [bundle for bundle, _ in made])
        kept_as = [f"{b.code} ({_bundle_words(desk, names.of(b), b, s, whose)})" for b, s in made if whose is not None]
        wood = f"; saved {', '.join(kept_as)}" if kept_as else ""
        entry = unit.commit(f"Pruned {plant.code} on {day.isoformat()}: {cut_words(pruned)}{lost}{wood}")
        named = (plant.code, *(bundle.code for bundle, _ in made))
    notes = whose.notes if whose is not None else ()
    return Recorded(f"{entry.summary}.", entry.id, named, notes + advice, last + cautions)


def _limb(unit: Unit, plant: Plant, limb: str | None, day: date) -> tuple[str, tuple[str, ...]]:
    """Record the grafts that went with a limb: words for it, '' where no limb came off, and what lives nowhere now."""
    if limb is None:
        return "", ()
    gone = last_of_cultivar.leaving(unit.session, plant, limb, day)
    last_of_cultivar.record(unit, gone, day, last_of_cultivar.LIMB_CUT)
    return f"; limb {limb} off, with {last_of_cultivar.went(gone)}", last_of_cultivar.after(gone)


def _yes_or_no(text: str | None) -> bool | None:
    if text is None:
        return None
    if text.strip().lower() not in ("yes", "no"):
        raise UsageProblem("--fruit yes or --fruit no", repr(text))
    return text.strip().lower() == "yes"


def _kept(desk: Desk, words: PruneWords, day: date) -> dict[str, Any]:
    temperature = desk.temperature(words.temperature) if words.temperature is not None else None
    values = {"store": typed.blank(words.store), "packing": typed.blank(words.packing),
              "temperature_c": temperature, "wood_kind": "summer" if words.summer else "dormant"}  # fmt: skip
    return {**values, "stored_on": day if values["store"] is not None or temperature is not None else None}


def _bundles(
    unit: Unit, whose: Origin, pruned: Prune, saved: Sequence[Saved], kept: dict[str, Any], person: str | None
) -> list[tuple[Bundle, Saved]]:
    first = unit.next_number("W", len(saved))
    made = []
    for number, bundle in enumerate(saved, start=first):
        sizes = {name: value for name, value in vars(bundle).items() if name != "sticks"}
        row = unit.add(
            Bundle, number=number, code=f"W{number}", taxon=whose.taxon, cultivar=whose.cultivar, cut_on=pruned.on,
            prune_id=pruned.id, **sizes, **whose.keys, **kept,
        )  # fmt: skip
        unit.add(Movement, bundle_id=row.id, on=pruned.on, kind="saved", sticks=bundle.sticks, who=person)
        made.append((row, bundle))
    return made


def _bundle_words(desk: Desk, shown: Shown, bundle: Bundle, saved: Saved, whose: Origin) -> str:
    called = (shown.written or "") if shown.cultivar is not None else ""
    name = [f"{called} from {whose.code}".strip()] if "cut_graft_id" in whose.keys else [called] if called else []
    return ", ".join([*name, *bundle_sizes(saved.sticks, bundle, desk.settings.units)])


def list_prunes(desk: Desk, text: str | None = None, limit: int = 200, page: int = 1) -> Report:
    """One page of prunings, newest first, of one plant or (None) of all."""
    with desk.book.read() as session:
        plant_id = subjects.one_plant(session, text, "Or none, for all of them").id if text is not None else None
        found, total = plant_queries.prunes(session, plant_id, limit, (page - 1) * limit)
        saved = plant_queries.saved_at(session, [pruned.id for pruned, _ in found])
        wood = [dict(saved.get(pruned.id, ())) for pruned, _ in found]
        rows = tuple(
            filled(PruneRow, pruned, plant=code, bundles=tuple(made), sticks=sum(made.values()))
            for (pruned, code), made in zip(found, wood, strict=True)
        )
    notes = page_notes(len(rows), total, limit, page, "pruning")
    return Report(PruneRow, rows, notes, {"as_of": desk.today, "total": total, "page": page})
