"""Wood recorded: bundles added, amended, put in store, looked at. What moves in and out of them is next door."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook import codes
from graftbook.actions.desk import naming, typed
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.facts import bundle_sizes
from graftbook.actions.desk.results import Recorded, code_list
from graftbook.actions.names import shown_names
from graftbook.actions.plants import plant_text
from graftbook.actions.wood import store_advice, wood_source
from graftbook.actions.wood.save_phrase import stick_count
from graftbook.actions.wood.wood_source import Origin
from graftbook.book import find, limits, wood_queries
from graftbook.book.unit import Unit
from graftbook.book.wood import CONDITIONS, Bundle, Inspection, Movement, Stay
from graftbook.errors import Refused, UsageProblem

_CODE_LIKE = re.compile(r"[PG]\d+(-[A-Z0-9])?$", re.I)


@dataclass(frozen=True)
class WoodWords:
    """A bundle's facts as typed. None means not said; an empty text takes a fact away when amending. `source` is the code
    of the plant or graft it was cut from, `donor` who it was received from."""

    cultivar: str | None = None
    species: str | None = None
    donor: str | None = None
    source: str | None = None
    diameter: str | None = None
    length: str | None = None
    buds: str | None = None
    cut: str | None = None
    received: str | None = None
    store: str | None = None
    temperature: str | None = None
    packing: str | None = None
    summer: bool | None = None
    note: str | None = None


def find_bundles(session: Session, text: str) -> list[Bundle]:
    """The bundles behind codes as typed. Raises UsageProblem for other codes and for sticks, NotFound for unknown ones."""
    wanted = codes.read_many(text)
    stray = next((code for code in wanted if code.letter != "W" or code.stick is not None), None)
    if stray is not None:
        raise UsageProblem("whole bundles of wood, whose codes are such as W7", str(stray))
    return find.many(session, wanted)


def one_bundle(session: Session, text: str) -> Bundle:
    """The one bundle behind a code. Raises as find_bundles, and UsageProblem for several."""
    found = find_bundles(session, text)
    if len(found) != 1:
        raise UsageProblem("one bundle, such as W7", f"{len(found)} of them")
    return found[0]


def add(desk: Desk, words: WoodWords, sticks: int, on: str | None = None, who: str | None = None) -> Recorded:
    """Add one bundle: cut from a plant or a graft here, or received. `on` is the day its sticks came in (None: the day it
    was received, else cut, else today).

    Raises UsageProblem where it is not clear what it is, Refused for a day that does not fit its source.
    """
    if words.donor is not None and words.source is not None:
        raise UsageProblem("wood either from a donor (--from) or from a plant or graft here (--source)", "both")
    if words.donor is not None and _CODE_LIKE.match(words.donor.strip()):
        raise UsageProblem(
            "who gave the wood, with --from", repr(words.donor), "Cut here from a plant or graft: --source CODE"
        )
    stick_count(sticks)
    person = desk.person(who)
    with desk.book.write("wood add", person) as unit:
        values, notes = _values(desk, unit.session, words)
        came = _day_in(desk, values, typed.blank(words.source) is not None, on)
        origin = wood_source.origin(unit.session, words.source, values.get("cut_on") or came)
        notes += _settle(unit.session, values, origin)
        wood_source.fits(origin, values.get("cut_on"), came)
        cautions = wood_source.cautions(unit.session, values, origin, came)
        notes += store_advice.of_store(desk, unit.session, values, came)
        bundle = _new(unit, values, origin, came)
        unit.add(Movement, bundle_id=bundle.id, on=came, kind=origin.movement, sticks=sticks, who=person)
        entry = unit.commit(f"Added {bundle.code}: {_line(unit.session, desk, bundle, sticks, origin)}")
        code = bundle.code
    return Recorded(f"{entry.summary}.", entry.id, (code,), notes, cautions)


def _settle(session: Session, values: dict[str, Any], origin: Origin) -> tuple[str, ...]:
    """Take over what the source was recorded as; sentences on what disagrees with what it is known to be."""
    notes = []
    known = shown_names.of(session, [origin.row]).of(origin.row).cultivar
    for name, said in (("taxon", origin.taxon), ("cultivar", known or origin.cultivar)):
        held, stated = getattr(origin, name), values.get(name)
        if stated is None and held is not None:
            values[name] = held
        elif stated is not None and said is not None and naming.key(stated) != naming.key(said):
            notes.append(f"{origin.code} is {said}; the wood is kept as {stated}, as you said.")
    if values.get("taxon") is None:
        plant_text.settle_taxon(session, "tree", values)
    return tuple(notes)


def _day_in(desk: Desk, values: dict[str, Any], cut_here: bool, on: str | None) -> date:
    if cut_here and values.get("cut_on") is None:
        values["cut_on"] = desk.day(on)
    cut, received = values.get("cut_on"), values.get("received_on")
    if cut is not None and received is not None and received < cut:
        raise Refused(f"the wood was received on {received.isoformat()}, before it was cut on {cut.isoformat()}")
    came = desk.day(on) if on is not None else received or cut or desk.today
    if cut is not None and came < cut:
        raise Refused(f"the sticks came in on {came.isoformat()}, before they were cut on {cut.isoformat()}")
    if values.get("donor") is not None and received is None and (on is not None or cut is None):
        values["received_on"] = came
    return came


def _new(unit: Unit, values: dict[str, Any], origin: Origin, came: date) -> Bundle:
    if values.get("store") is not None or values.get("temperature_c") is not None:
        values = {**values, "stored_on": came}
    number = unit.next_number("W")
    return unit.add(Bundle, number=number, code=f"W{number}", **values, **origin.keys)


def _line(session: Session, desk: Desk, bundle: Bundle, sticks: int, origin: Origin) -> str:
    shown = shown_names.of(session, [bundle]).of(bundle)
    name = f"{shown.written}, {bundle.taxon}" if shown.cultivar is not None else str(bundle.taxon)
    start = f"from {origin.code}" if origin.code is not None else f"from {bundle.donor}" if bundle.donor else ""
    cut = f"cut {bundle.cut_on.isoformat()}" if bundle.cut_on is not None else "cut day not known"
    parts = (name, start, *bundle_sizes(sticks, bundle, desk.settings.units), cut, bundle.store or "")
    return ", ".join(part for part in parts if part)


def _values(desk: Desk, session: Session, words: WoodWords) -> tuple[dict[str, Any], tuple[str, ...]]:
    values: dict[str, Any] = {}
    notes: tuple[str, ...] = ()
    if words.cultivar is not None:
        read = plant_text.cultivar_values(session, words.cultivar)
        values, notes = {**values, **read.values}, notes + read.notes
    if words.species is not None:
        taxon = naming.taxon(words.species, words.cultivar)
        values["taxon"], notes = taxon.kept or None, notes + ((taxon.note,) if taxon.note and taxon.kept else ())
    if words.diameter is not None:
        thick = limits.length(Bundle, "diameter_min_mm")
        low, high = desk.lengths(words.diameter, thick) if words.diameter.strip() else (None, None)
        values.update(diameter_min_mm=low, diameter_max_mm=high)
    if words.summer is not None:
        values["wood_kind"] = "summer" if words.summer else "dormant"
    return {**values, **typed.values_of(words, _readers(desk))}, notes


def _readers(desk: Desk) -> dict[str, tuple[str, Any]]:
    long, buds = limits.length(Bundle, "length_mm"), limits.bounds(Bundle, "buds_per_stick")
    return {
        **{name: (name, str.strip) for name in ("donor", "store", "packing", "note")},
        "cut": ("cut_on", desk.day), "received": ("received_on", desk.day), "temperature": ("temperature_c", desk.temperature),
        "length": ("length_mm", lambda text: desk.length(text, long)),
        "buds": ("buds_per_stick", lambda text: typed.whole(text, "buds a stick", *buds)),
    }  # fmt: skip


def amend(desk: Desk, text: str, words: WoodWords, on: str | None = None, who: str | None = None) -> Recorded:
    """Change what is known of bundles, or where they are kept; a new store or temperature counts from `on` (None: today).

    A stay from before the last one is kept as what was before. Raises UsageProblem when nothing was said, Refused for a cut
    later than the first use or a day outside the record.
    """
    stated = [(name, value) for name, value in vars(words).items() if value is not None]
    if not stated:
        raise UsageProblem("something to amend, such as --buds 5", "nothing")
    day = desk.day(on)
    with desk.book.write("amend wood", desk.person(who)) as unit:
        bundles = find_bundles(unit.session, text)
        values, notes = _values(desk, unit.session, words)
        if words.source is not None:
            keys = wood_source.origin(unit.session, words.source, day).keys
            values.update({"cut_plant_id": None, "cut_graft_id": None, **keys})
        moved = "store" in values or "temperature_c" in values
        notes += store_advice.of_store(desk, unit.session, {**vars(bundles[0]), **values}, day) if moved else ()
        for bundle in bundles:
            _may_change(unit.session, bundle, values, day if moved else None)
            held = kept(unit, bundle, values, day, desk.person(who)) if moved else values
            unit.amend(bundle, **held)
        named = tuple(bundle.code for bundle in bundles)
        shown = ", ".join(f"{name} {value if value not in ('', None) else 'not known'}" for name, value in stated)
        entry = unit.commit(f"Amended {code_list(named)}: {shown}")
    return Recorded(f"{entry.summary}.", entry.id, named, notes)


def _may_change(session: Session, bundle: Bundle, values: dict[str, Any], stored: date | None) -> None:
    cut = values.get("cut_on", bundle.cut_on)
    first = wood_queries.first_days(session, [bundle.id]).get(bundle.id)
    if cut is not None and first is not None and cut > first:
        raise Refused(f"{bundle.code} was cut on {cut.isoformat()}, after its sticks came in on {first.isoformat()}")
    if stored is not None:
        not_before(session, bundle, stored, "put in store")
    if "cut_on" in values or "cut_plant_id" in values:
        plant_id = values.get("cut_plant_id", bundle.cut_plant_id)
        graft_id = values.get("cut_graft_id", bundle.cut_graft_id)
        came = first or cut
        if came is not None:
            wood_source.fits(wood_source.of_ids(session, plant_id, graft_id, cut or came), cut, came)


def not_before(session: Session, bundle: Bundle, day: date, what: str) -> None:
    """Refuse a day before the bundle was there: before it was cut and before its first sticks came in."""
    first = _came(session, bundle)
    if first is not None and day < first:
        raise Refused(
            f"{bundle.code} was cut or came in on {first.isoformat()}; it cannot have been {what} on {day.isoformat()}"
        )


def inspect(
    desk: Desk, text: str, condition: str, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Record what bundles looked like in store: sound, swelling, drying, mould or dead."""
    word = condition.strip().lower()
    if word not in CONDITIONS:
        raise UsageProblem(f"what the wood looked like: {', '.join(CONDITIONS)}", repr(condition))
    day, person = desk.day(on), desk.person(who)
    with desk.book.write("inspect", person) as unit:
        bundles = find_bundles(unit.session, text)
        for bundle in bundles:
            not_before(unit.session, bundle, day, "looked at")
            unit.add(Inspection, bundle_id=bundle.id, on=day, condition=word, who=person, note=typed.blank(note))
        named = tuple(bundle.code for bundle in bundles)
        entry = unit.commit(f"{code_list(named)} looked {word} on {day.isoformat()}")
    return Recorded(f"{entry.summary}.", entry.id, named)


_OF_STORE = ("store", "packing", "temperature_c")


def kept(unit: Unit, bundle: Bundle, values: dict[str, Any], day: date, who: str | None) -> dict[str, Any]:
    """Keep where a bundle is from a day on, and where it was until then; what is to be amended on the bundle itself.

    A bundle never moved has no stays: the first move writes down where it was. What is stated again for the same day mends
    what was stated; a stay before the last one leaves the bundle where it is.
    """
    stays = wood_queries.stays_of(unit.session, bundle.id)
    since = bundle.stored_on
    if not stays:
        nothing = bundle.store is None and bundle.temperature_c is None
        if nothing or since == day:
            return {**values, "stored_on": day}
        began = since or _came(unit.session, bundle) or day
        first = {name: getattr(bundle, name) for name in _OF_STORE}
        stays = [unit.add(Stay, bundle_id=bundle.id, on=began, **first)]
    before = [stay for stay in stays if stay.on <= day]
    stated = {name: value for name, value in values.items() if name in _OF_STORE}
    if before and before[-1].on == day:
        unit.amend(before[-1], **stated)
    else:
        ground = {name: getattr(before[-1], name) for name in _OF_STORE} if before else {}
        unit.add(Stay, bundle_id=bundle.id, on=day, who=who, **{**ground, **stated})
    if any(stay.on > day for stay in stays):
        return {name: value for name, value in values.items() if name not in _OF_STORE}
    return {**values, "stored_on": day}


def _came(session: Session, bundle: Bundle) -> date | None:
    return bundle.cut_on or wood_queries.first_days(session, [bundle.id]).get(bundle.id)
