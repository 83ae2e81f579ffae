"""Growth stages and the bark of plants as they were seen, each on its day; the plant itself keeps the newest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, ClassVar

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, code_list, count, filled
from graftbook.actions.desk.typed import blank
from graftbook.actions.names import shown_names
from graftbook.actions.outcome import subjects
from graftbook.actions.outcome.plant_days import alive_on
from graftbook.actions.plants import plant_text
from graftbook.book import stage_queries
from graftbook.book.plants import Plant
from graftbook.book.stage_queries import Newest
from graftbook.book.stages import BARKS, StageNote
from graftbook.book.unit import Unit
from graftbook.errors import UsageProblem
from graftbook.season import phenology, turn
from graftbook.season.phenology import GreenTips

if TYPE_CHECKING:
    from graftbook.trade.stages import Stage


@dataclass(frozen=True)
class StageRow:
    """What was seen on a plant on a day. `bbch` where a code was said; `days_from_green_tip` from the day green tip was
    noted on it in that season, negative before it, None where that was not noted."""

    code: str
    taxon: str | None
    cultivar: str | None
    place: str | None
    season: str
    on: date
    stage: str | None
    bbch: str | None
    bark: str | None
    days_from_green_tip: int | None
    who: str | None
    note: str | None
    shown: ClassVar = ("code", "cultivar", "place", "on", "stage", "bbch", "bark", "days_from_green_tip")
    headings: ClassVar = {"days_from_green_tip": "days from green tip"}


def stage(
    desk: Desk, text: str, words: str, on: str | None = None, bark: str | None = None, who: str | None = None,
    note: str | None = None,
) -> Recorded:  # fmt: skip
    """Note the growth stage of plants on a day, by word or BBCH code, and whether the bark slips.

    A day before the newest stage is kept as what was seen then. Raises UsageProblem for what is no stage, Refused for a day
    on which a plant was not there.
    """
    day, person = desk.day(on), desk.person(who)
    if bark is not None:
        _bark_word(bark)
    with desk.book.write("stage", person) as unit:
        plants = subjects.plants_meant(unit.session, text)
        notes, said = [], []
        for plant in plants:
            found = _read(words, plant.taxon)
            alive_on(plant, day, "the stage")
            keep_newest(unit, plant)
            values = {"stage": found.word, "bbch": _bbch(words, found), "bark": bark}
            notes.append({"plant_id": plant.id, "on": day, **values, "who": person, "note": blank(note)})
            said.append(found.word)
            if plant.stage_on is None or day >= plant.stage_on:
                unit.amend(plant, stage=found.word, stage_on=day, bark=bark)
        unit.add_many(StageNote, notes)
        named = tuple(plant.code for plant in plants)
        slips = f", bark {bark}" if bark is not None else ""
        entry = unit.commit(f"{code_list(named)} at {' or '.join(dict.fromkeys(said))}{slips} on {day.isoformat()}")
    return Recorded(f"{entry.summary}.", entry.id, named, tuple(_further_on(plants, day)))


def bark(
    desk: Desk, text: str, word: str, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """Note that the bark of plants slips or is tight, as tried with the knife on a day. Raises as `stage`."""
    day, person, kept = desk.day(on), desk.person(who), _bark_word(word)
    with desk.book.write("bark", person) as unit:
        plants = subjects.plants_meant(unit.session, text)
        newest = stage_queries.seen(unit.session, plants, date.max)
        for plant in plants:
            alive_on(plant, day, "the bark")
            keep_newest(unit, plant)
            last = newest[plant.id].bark_on
            if (last is None or day >= last) and (plant.stage_on is None or day >= plant.stage_on):
                unit.amend(plant, bark=kept)
        rows = [{"plant_id": plant.id, "on": day, "bark": kept, "who": person, "note": blank(note)} for plant in plants]
        unit.add_many(StageNote, rows)
        named = tuple(plant.code for plant in plants)
        entry = unit.commit(f"{code_list(named)}: bark {kept} on {day.isoformat()}")
    return Recorded(f"{entry.summary}.", entry.id, named)


def list_stages(desk: Desk, text: str | None = None, *, season: str | None = None, limit: int = 200) -> Report:
    """Stages as they were seen on the plants named (None: on any), by day, in one season (None: in all)."""
    hemisphere = desk.settings.hemisphere
    first, last = turn.season_bounds(season, hemisphere) if season is not None else (date.min, date.max)
    with desk.book.read() as session:
        plants = subjects.plants_meant(session, text) if text is not None else None
        found = [each for each in stage_queries.every(session, plants) if first <= each.on <= last]
        names = shown_names.of_ids(session, plants={each.plant_id for each in found})
    tips = phenology.green_tips(
        ((each.plant_id, each.taxon, each.place, each.on, each.stage) for each in found), hemisphere
    )
    rows = tuple(_row(each, names.plant(each.plant_id).cultivar, tips, hemisphere) for each in found)
    shown = rows[-limit:]
    notes = [f"The newest {limit:,} of {len(rows):,}; --limit N shows more."] if len(shown) < len(rows) else []
    without = sorted({row.code for row in rows} - {row.code for row in rows if row.days_from_green_tip is not None})
    if without and len(without) < len({row.code for row in rows}):
        notes.append(f"No green tip noted of {count(len(without), 'plant')}.")
    return Report(StageRow, shown, tuple(notes), {"as_of": desk.today, "total": len(rows)})


def _row(each: stage_queries.Seen, called: str | None, tips: phenology.GreenTips, hemisphere: str) -> StageRow:
    tip = tips.of_plant(each.plant_id, each.on)
    return filled(
        StageRow, each, cultivar=called, season=turn.season_of(each.on, hemisphere),
        days_from_green_tip=None if tip is None else (each.on - tip).days,
    )  # fmt: skip


def keep_newest(unit: Unit, plant: Plant) -> None:
    """Keep what the plant itself holds as a dated note before it is written over, unless there is such a note."""
    if plant.stage_on is None or (plant.stage is None and plant.bark is None):
        return
    if not stage_queries.is_noted(unit.session, plant):
        unit.add(StageNote, plant_id=plant.id, on=plant.stage_on, stage=plant.stage, bark=plant.bark)


def note_bark(unit: Unit, plant: Plant, day: date) -> None:
    """Keep the bark a plant was given without a stage as what was tried on that day, which is not the day of its stage."""
    unit.add(StageNote, plant_id=plant.id, on=day, bark=plant.bark, who=unit.entry.who)


def _read(words: str, taxon: str | None) -> Stage:
    from graftbook.trade import stages, taxa

    kind = taxa.find(taxon) if taxon else None
    found = stages.find(words, kind.crop if kind is not None else "")
    if found is None:
        plant_text.stage_values(words, None, date.min)
        raise UsageProblem("a growth stage, such as 'green tip'", repr(words))
    return found


def _bbch(words: str, found: Stage) -> str | None:
    """The code as two figures where a code was said."""
    return None if found.scale == "words" else f"{int(''.join(sign for sign in words if sign.isdigit())):02d}"


def _bark_word(text: str) -> str:
    word = {"slips": "slipping", "slip": "slipping"}.get(text.strip().lower(), text.strip().lower())
    if word not in BARKS:
        raise UsageProblem(f"bark that is {' or '.join(BARKS)}", repr(text))
    return word


def _further_on(plants: Sequence[Plant], day: date) -> Iterator[str]:
    later = [plant for plant in plants if plant.stage_on is not None and plant.stage_on > day]
    if later:
        last = f"{later[0].code} is at {later[0].stage} since {later[0].stage_on}"
        more = f", and {len(later) - 1} more" if len(later) > 1 else ""
        yield f"This is kept as what was seen then; {last}{more}."


def tips(session: Session, hemisphere: str) -> GreenTips:
    """The days of green tip of every plant and kind of the book, by season."""
    seen = stage_queries.every(session)
    return phenology.green_tips(((row.plant_id, row.taxon, row.place, row.on, row.stage) for row in seen), hemisphere)


# A note of a stage or of the bark speaks for so many days where nobody says otherwise. A rule of this book, no source.
NOTED_DAYS = 14


def on_day(session: Session, plants: Iterable[Plant], day: date, days: int = NOTED_DAYS) -> dict[int, Newest]:
    """The stage and the bark of plants as of a day, by id: each the newest seen up to that day, and None where that was more
    than `days` days before it. What was seen later does not count, whenever it was recorded."""
    found = stage_queries.seen(session, list(plants), day)
    return {plant_id: _while_fresh(newest, day, days) for plant_id, newest in found.items()}


def _while_fresh(newest: Newest, day: date, days: int) -> Newest:
    if newest.stage_on is not None and (day - newest.stage_on).days > days:
        newest = newest._replace(stage=None, stage_on=None)
    if newest.bark_on is not None and (day - newest.bark_on).days > days:
        newest = newest._replace(bark=None, bark_on=None)
    return newest
