"""Plants recorded: added, amended, their end. The same verbs serve trees and stocks; growth stages are next door."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from graftbook import units
from graftbook.actions.desk import typed
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, code_list, count
from graftbook.actions.names import last_copies
from graftbook.actions.outcome import standing_place, subjects
from graftbook.actions.outcome.plant_days import after_it_came, alive_on
from graftbook.actions.plants import plant_text, stage_notes
from graftbook.actions.plants.plant_text import PlantWords
from graftbook.book import graft_queries, limits, plant_queries
from graftbook.book.plants import PLANT_KINDS, Plant
from graftbook.errors import Refused, UsageProblem
from graftbook.units import show_length, show_range

MOST_AT_ONCE = 10_000


def add(
    desk: Desk, kind: str, words: PlantWords, number: int = 1, on: str | None = None, who: str | None = None
) -> Recorded:
    """Add one tree, or so many stocks alike. `on` is the day what is said was seen (None: the day they came, else today).

    Raises UsageProblem where the species cannot be told, Refused for a date before the plant came and for other values
    the book cannot hold.
    """
    if not 1 <= number <= MOST_AT_ONCE:
        raise UsageProblem(f"a count from 1 to {MOST_AT_ONCE:,}", f"{number:,}", "Add more than that in several goes")
    day = desk.day(on if on is not None else words.acquired)
    with desk.book.write(f"{kind} add", desk.person(who)) as unit:
        _no_empty_name(words)
        read = plant_text.read(desk, unit.session, kind, words, day)
        values = {"kind": kind, **{name: value for name, value in read.values.items() if value is not None}}
        notes = (*read.notes, *plant_text.settle_taxon(unit.session, kind, values))
        if "bark" in values:
            values.setdefault("stage_on", day)
        if on is not None:
            after_it_came("what was seen", day, values.get("acquired_on"), "it")
        made = _rows(values, unit.next_number("P", number), number)
        if number == 1:
            unit.add(Plant, **made[0])
        else:
            unit.add_many(Plant, made)
        named = tuple(row["code"] for row in made)
        what = f"{count(number, kind)} {code_list(named)}" if number > 1 else f"{kind} {named[0]}"
        entry = unit.commit(f"Added {what}: {describe(values, desk.settings.units)}")
    return Recorded(f"{entry.summary}.", entry.id, named, notes)


def _no_empty_name(words: PlantWords) -> None:
    for name in ("cultivar", "species", "clone"):
        text = getattr(words, name)
        if text is not None and not text.strip():
            raise UsageProblem(f"a name for the {'rootstock' if name == 'clone' else name}", repr(text))


def _rows(values: dict[str, Any], first: int, number: int) -> list[dict[str, Any]]:
    rows = [{**values, "number": n, "code": f"P{n}"} for n in range(first, first + number)]
    if "order" in values:
        rows = [{**row, "order": values["order"] + step} for step, row in enumerate(rows)]
    return rows


def describe(values: dict[str, Any], unit: str) -> str:
    """A plant's facts in a few words, for one line."""
    name = f"'{values['cultivar']}'" if values.get("cultivar") else None
    clone = values.get("clone")
    stock = clone if values["kind"] == "stock" else f"on {clone}" if clone else None
    size = show_length(values["diameter_mm"], unit) if values.get("diameter_mm") else None
    grade = show_range(values.get("grade_min_mm"), values.get("grade_max_mm"), unit) or None
    row = f"row {values['row']}" if values.get("row") else None
    order = f"number {values['order']}" if values.get("order") is not None else None
    parts = (name, stock, values.get("taxon"), size or grade, values.get("site"), values.get("place"), row, order)
    return ", ".join(part for part in parts if part)


def amend(
    desk: Desk, text: str, words: PlantWords, kind: str | None = None, on: str | None = None, who: str | None = None
) -> Recorded:
    """Change what is known of plants. An empty text takes a fact away; `kind` turns a stock into a tree or back.

    Several plants with one `order` are numbered upwards from it. Raises UsageProblem when nothing was said, Refused when a
    plant would have come after something done to it.
    """
    if kind is not None and kind not in PLANT_KINDS:
        raise UsageProblem(f"a kind of plant, a {' or a '.join(PLANT_KINDS)}", repr(kind))
    said = words.said() + ((("kind", kind),) if kind is not None else ())
    if not said:
        raise UsageProblem("something to amend, such as --place Orchard", "nothing")
    day = desk.day(on)
    with desk.book.write("amend plant", desk.person(who)) as unit:
        plants = subjects.plants_meant(unit.session, text)
        events = plant_queries.event_days(unit.session, [plant.id for plant in plants])
        notes: dict[str, None] = {}
        along: list[str] = []
        for step, plant in enumerate(plants):
            read = plant_text.read(desk, unit.session, plant.kind, _numbered(words, step), day)
            values = {**read.values, **({"kind": kind} if kind is not None else {})}
            _may_stand(plant, values, events.get(plant.id))
            if "stage" in values or "bark" in values:
                stage_notes.keep_newest(unit, plant)
            if "place" in values:
                stood = graft_queries.standing_on(unit.session, [plant.id]).get(plant.id, [])
                along += [graft.code for graft in standing_place.put(unit, plant, values["place"], stood)]
            unit.amend(plant, **values)
            if values.get("bark") is not None and "stage" not in values:
                stage_notes.note_bark(unit, plant, day)
            notes.update(dict.fromkeys(read.notes))
        named = tuple(plant.code for plant in plants)
        changed = ", ".join(f"{name} {value.strip()}" if value.strip() else f"no {name}" for name, value in said)
        entry = unit.commit(f"Amended {code_list(named)}: {changed}")
    if along:
        went = f"Put right with the plant they stand on: {code_list(tuple(along))}."
        notes[f"{went} For a move, with its day: graftbook care CODES moved --place …"] = None
    return Recorded(f"{entry.summary}.", entry.id, named, tuple(notes))


def _numbered(words: PlantWords, step: int) -> PlantWords:
    first = (
        typed.whole(words.order, "a place in the row", *limits.bounds(Plant, "order"))
        if words.order is not None
        else None
    )
    return words if first is None else replace(words, order=str(first + step))


def _may_stand(plant: Plant, values: dict[str, Any], events: tuple[date, date] | None) -> None:
    came = values.get("acquired_on", plant.acquired_on)
    if came is not None and events is not None and events[0] < came:
        raise Refused(
            f"something was done to {plant.code} on {events[0].isoformat()}, before it came on {came.isoformat()}"
        )
    if came is not None and plant.died_on is not None and plant.died_on < came:
        raise Refused(f"{plant.code} died on {plant.died_on.isoformat()}, before it came on {came.isoformat()}")
    for seen, what in (("measured_on", "diameter"), ("stage_on", "stage")):
        if values.get(seen) is not None:
            alive_on(plant, values[seen], f"the {what}", came)
            not_older(plant, values[seen], getattr(plant, seen), what)


def died(desk: Desk, text: str, on: str | None = None, who: str | None = None, note: str | None = None) -> Recorded:
    """Record that plants died, and say what lives nowhere now. Raises Refused for one already dead, or one to which something
    was done later."""
    day = desk.day(on)
    with desk.book.write("died", desk.person(who)) as unit:
        plants = subjects.plants_meant(unit.session, text)
        ids = [plant.id for plant in plants]
        events = plant_queries.event_days(unit.session, ids)
        for plant in plants:
            may_die(plant, day, events.get(plant.id))
        stood = subjects.standing(unit.session, plants, day)
        living = [each.graft.id for here in stood.values() for each in here if each.end is None]
        lost = last_copies.last_copies(unit.session, ids, living, day)
        for plant in plants:
            unit.amend(plant, died_on=day, **dated_note(plant, day, note))
        grafts = [graft.code for on_it in graft_queries.standing_on(unit.session, ids).values() for graft in on_it]
        named = tuple(plant.code for plant in plants)
        entry = unit.commit(f"{code_list(named)} died, {day.isoformat()}")
    left = (
        f"{count(len(grafts), 'graft')} stood there: {code_list(tuple(grafts))}. Record a look at each."
        if grafts
        else ""
    )
    return Recorded(f"{entry.summary}.", entry.id, named, (left,) if left else (), tuple(one.after for one in lost))


def may_die(plant: Plant, day: date, events: tuple[date, date] | None) -> None:
    """Refuse a death on a day when a plant was not there, or before the last of its `events` (None: nothing was done)."""
    alive_on(plant, day, "death")
    if events is not None and events[1] > day:
        last = events[1].isoformat()
        raise Refused(
            f"{plant.code} was worked on or looked at on {last}, so it was still there after {day.isoformat()}",
            next_step=f"Give a day from {last} on",
        )


def not_older(plant: Plant, day: date, held: date | None, what: str) -> None:
    """Refuse what was seen before the newest the book has."""
    if held is not None and day < held:
        raise Refused(
            f"the newest {what} of {plant.code} is of {held.isoformat()}, later than {day.isoformat()}",
            next_step="The book keeps the newest; if that one was wrong, undo its entry first: graftbook history "
            + plant.code,
        )


def dated_note(plant: Plant, day: date, note: str | None) -> dict[str, str]:
    """A plant's note with a dated line added; nothing when none was given."""
    said = (note or "").strip()
    if not said:
        return {}
    return {"note": "\n".join(part for part in (plant.note, f"{day.isoformat()}: {said}") if part)}


def measure(
    desk: Desk, text: str, diameters: Sequence[str] = (), grade: str | None = None, on: str | None = None,
    who: str | None = None, note: str | None = None,
) -> Recorded:  # fmt: skip
    """Record a diameter for each plant in the order of the codes, or one grade for all of them.

    A grade takes the place of diameters measured before. Raises UsageProblem unless there are as many diameters as plants.
    """
    if bool(diameters) == (grade is not None):
        raise UsageProblem(
            "either diameters or a grade", "both" if diameters else "neither",
            "Such as: graftbook stock measure P12-P13 8.1mm 8.4mm, or graftbook stock measure P12-P60 --grade 6-8mm",
        )  # fmt: skip
    day = desk.day(on)
    with desk.book.write("measure", desk.person(who)) as unit:
        plants = subjects.plants_meant(unit.session, text)
        named = tuple(plant.code for plant in plants)
        if grade is not None:
            each = [_grade(desk, grade)] * len(plants)
        else:
            each = _diameters(desk, named, diameters)
        for plant, values in zip(plants, each, strict=True):
            alive_on(plant, day, "the diameter")
            not_older(plant, day, plant.measured_on, "diameter")
            unit.amend(plant, measured_on=day, **values, **dated_note(plant, day, note))
        entry = unit.commit(f"Measured {code_list(named)}: {_said(desk, each)}, {day.isoformat()}")
    return Recorded(f"{entry.summary}.", entry.id, named)


def _grade(desk: Desk, text: str) -> dict[str, float | None]:
    values = plant_text.grade_values(desk, text)
    if values["grade_min_mm"] is None:
        raise UsageProblem("a grade, such as 6-8mm", repr(text))
    return {**values, "diameter_mm": None}


def _diameters(desk: Desk, named: tuple[str, ...], texts: Sequence[str]) -> list[dict[str, float | None]]:
    if len(texts) != len(named):
        raise UsageProblem(
            f"{count(len(named), 'diameter')}, one for each of {code_list(named)}", f"{len(texts)}",
            "Nothing was recorded; for one size for all of them use --grade",
        )  # fmt: skip
    return [{"diameter_mm": desk.length(text, units.STOCK_DIAMETER)} for text in texts]


def _said(desk: Desk, each: Sequence[dict[str, float | None]]) -> str:
    unit = desk.settings.units
    if "grade_min_mm" in each[0]:
        return f"grade {units.show_range(each[0]['grade_min_mm'], each[0]['grade_max_mm'], unit)}"
    sizes = [units.show_length(values["diameter_mm"], unit) for values in each]
    return ", ".join(sizes if len(sizes) <= 8 else [*sizes[:6], "…", sizes[-1]])
