"""The book read and written in bulk, for files that hold thousands of rows: facts by code, what is there already, and
every row of a thing in a fixed order.

Everything is asked in chunks, never row by row. Orders use numbers, days and ids only, so that both databases agree.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from sqlalchemy import case, func, select
from sqlalchemy.orm import aliased
from sqlmodel import Session

from graftbook.book import find
from graftbook.book._base import Row
from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.ledger import CautionNote, Counter, Entry, OwnRow
from graftbook.book.lineage import Naming, Person, Synonym, WoodRequest
from graftbook.book.plans import Plan, PlanRow, Want
from graftbook.book.plants import Plant
from graftbook.book.stages import StageNote
from graftbook.book.tags import ReservedCode, TagRun
from graftbook.book.unit import CHUNK, row_values
from graftbook.book.weather import PlaceWeather, WeatherStation, WeatherYear
from graftbook.book.wood import Bundle, Inspection, Movement, Prune, Stay

TABLES: dict[str, type[Row]] = {
    "own_rows": OwnRow, "plants": Plant, "prunes": Prune, "wood": Bundle, "grafts": Graft, "movements": Movement,
    "inspections": Inspection, "looks": Look, "care": Care, "notes": CautionNote, "tag_runs": TagRun,
    "reserved": ReservedCode, "stages": StageNote, "stays": Stay, "stations": WeatherStation, "weather": WeatherYear,
    "place_weather": PlaceWeather, "namings": Naming, "synonyms": Synonym, "people": Person, "requests": WoodRequest,
    "wants": Want, "plans": Plan, "plan_rows": PlanRow,
}  # fmt: skip
_Plant, _Graft, _Bundle = aliased(Plant), aliased(Graft), aliased(Bundle)


def _parts(values: Iterable[Any]) -> Iterator[list[Any]]:
    held = list(values)
    for start in range(0, len(held), CHUNK):
        yield held[start : start + CHUNK]


def facts(session: Session, letter: str, codes: Iterable[str]) -> dict[str, dict[str, Any]]:
    """What other rows need to know of plants, bundles or grafts, by code; those the book lacks are absent.

    Of all: id, taxon, cultivar (a graft's are those of its wood). Of a plant: kind, clone, place, acquired_on, died_on. Of
    a bundle: cut_on, received_on, buds_per_stick. Of a graft: made_on, unit, place.
    """
    query, column = _fact_query(letter), find.TABLES[letter].code
    return {
        row.code: {key: value for key, value in row._mapping.items() if value is not None}
        for part in _parts(codes)
        for row in session.execute(query.where(column.in_(part)))
    }


def _fact_query(letter: str) -> Any:
    if letter == "P":
        return select(Plant.code, Plant.id, Plant.kind, Plant.taxon, Plant.cultivar, Plant.clone, Plant.acquired_on,
                      Plant.died_on, Plant.place)  # fmt: skip
    if letter == "W":
        return select(Bundle.code, Bundle.id, Bundle.taxon, Bundle.cultivar, Bundle.cut_on, Bundle.received_on,
                      Bundle.buds_per_stick)  # fmt: skip
    own = select(Graft.code, Graft.id, Graft.made_on, Graft.unit, Graft.place, Bundle.taxon, Bundle.cultivar)
    return own.outerjoin(Bundle, Graft.bundle_id == Bundle.id)


def held(session: Session, letter: str, codes: Iterable[str]) -> dict[str, dict[str, Any]]:
    """Every value of the plants, bundles or grafts that the book holds under these codes, by code."""
    table = find.TABLES[letter]
    rows = (
        row for part in _parts(codes) for row in session.execute(select(table).where(table.code.in_(part))).scalars()
    )
    return {row.code: row_values(row) for row in rows}


def ids_by_uid(session: Session, table: type[Row], uids: Iterable[str]) -> dict[str, int]:
    """Ids of the rows of a table that have these uids, by uid; those the book lacks are absent."""
    return {
        uid: number
        for part in _parts(uids)
        for uid, number in session.execute(select(table.uid, table.id).where(table.uid.in_(part)))
    }


def kept(session: Session, table: type[Row], owner: str, owner_ids: Iterable[int], fields: Sequence[str]) -> set[tuple]:
    """What a table holds of some owners: the owner's id, then the fields named, for every row whose column `owner` is one
    of these ids."""
    column = getattr(table, owner)
    query = select(column, *(getattr(table, name) for name in fields))
    return {tuple(row) for part in _parts(owner_ids) for row in session.execute(query.where(column.in_(part)))}


def kinds_of_cultivars(session: Session) -> list[tuple[str, str]]:
    """Every cultivar of the book with the taxon it stands under, each pair once."""
    pairs: set[tuple[str, str]] = set()
    for table in (Plant, Bundle):
        query = select(table.cultivar, table.taxon).where(table.cultivar.is_not(None), table.taxon.is_not(None))
        pairs.update(tuple(row) for row in session.execute(query.distinct()))
    return sorted(pairs)


def ids_by_number(session: Session, table: type[Want] | type[Plan], numbers: Iterable[int]) -> dict[int, int]:
    """Ids of the rows of a table that have these numbers, by number; those the book lacks are absent."""
    return {
        number: found
        for part in _parts(numbers)
        for number, found in session.execute(select(table.number, table.id).where(table.number.in_(part)))
    }


def own_row_contents(session: Session) -> list[tuple[str, dict[str, str]]]:
    """The grower's own rows of the trade's tables: the table and the columns."""
    return [(name, dict(fields)) for name, fields in session.execute(select(OwnRow.trade_table, OwnRow.fields))]


def entry_saying(session: Session, verb: str, words: str) -> int | None:
    """The newest standing entry of a verb whose summary holds these words; None when there is none."""
    query = (
        select(func.max(Entry.id))
        .where(Entry.verb == verb, Entry.undone_by.is_(None), Entry.summary.contains(words, autoescape=True))
    )  # fmt: skip
    return session.execute(query).scalar()


def counters(session: Session) -> list[tuple[str, int]]:
    """The last number given out for each kind of code, by letter."""
    return sorted(tuple(row) for row in session.execute(select(Counter.letter, Counter.last)))


def steady(session: Session) -> None:
    """Make every question of this session see the book as it is at the first of them. Call it before the first."""
    if session.get_bind().dialect.name != "sqlite":
        session.connection(execution_options={"isolation_level": "REPEATABLE READ"})


def _first_movements() -> Any:
    """Ids of the movements by which bundles came in: the first saved or received one of each."""
    place = func.row_number().over(partition_by=Movement.bundle_id, order_by=(Movement.on, Movement.id)).label("place")
    ranked = (
        select(Movement.id, place)
        .where(Movement.kind.in_(("saved", "received")), Movement.receiver.is_(None), Movement.counted.is_(None))
        .subquery()
    )
    return select(ranked.c.id).where(ranked.c.place == 1)


def every(session: Session, name: str, fields: Sequence[str]) -> Iterator[Sequence[Any]]:
    """Every row of a thing, the fields named in their order: things with codes by number, others by what they belong to,
    then by day, then as they were recorded. Other rows are named by code: `wood`, `host`, `source`, `plant`, `graft`,
    `subject`; `prune_uid` is the prune a bundle came from, `sticks` and `came_…` the movement by which it came in."""
    query, special, order = _QUERIES[name]()
    table = TABLES[name]
    columns = [special[field] if field in special else getattr(table, field) for field in fields]
    chosen = query.with_only_columns(*columns, maintain_column_froms=True).order_by(*order)
    return iter(session.execute(chosen.execution_options(yield_per=CHUNK)))


def _own_rows():
    return select(OwnRow), {}, (OwnRow.id,)


def _plants():
    return select(Plant), {}, (Plant.number,)


def _wood():
    came = aliased(Movement)
    query = (
        select(Bundle)
        .outerjoin(_Plant, Bundle.cut_plant_id == _Plant.id)
        .outerjoin(_Graft, Bundle.cut_graft_id == _Graft.id)
        .outerjoin(Prune, Bundle.prune_id == Prune.id)
        .outerjoin(came, (came.bundle_id == Bundle.id) & came.id.in_(_first_movements()))
    )
    special = {
        "source": func.coalesce(_Plant.code, _Graft.code), "prune_uid": Prune.uid, "sticks": came.sticks,
        "came_as": came.kind, "came_on": came.on, "came_who": came.who, "came_note": came.note, "came_uid": came.uid,
    }  # fmt: skip
    return query, special, (Bundle.number,)


def _grafts():
    query = (
        select(Graft)
        .outerjoin(_Bundle, Graft.bundle_id == _Bundle.id)
        .outerjoin(_Plant, Graft.host_plant_id == _Plant.id)
        .outerjoin(_Graft, Graft.host_graft_id == _Graft.id)
    )
    return query, {"wood": _Bundle.code, "host": func.coalesce(_Plant.code, _Graft.code)}, (Graft.number,)


def _prunes():
    query = select(Prune).join(_Plant, Prune.plant_id == _Plant.id)
    return query, {"plant": _Plant.code}, (_Plant.number, Prune.on, Prune.id)


def _movements():
    into = aliased(Bundle)
    query = (
        select(Movement).join(_Bundle, Movement.bundle_id == _Bundle.id).outerjoin(into, Movement.into_bundle_id == into.id)
        .where(Movement.id.not_in(_first_movements()))
    )  # fmt: skip
    return query, {"wood": _Bundle.code, "into": into.code}, (_Bundle.number, Movement.on, Movement.id)


def _inspections():
    query = select(Inspection).join(_Bundle, Inspection.bundle_id == _Bundle.id)
    return query, {"wood": _Bundle.code}, (_Bundle.number, Inspection.on, Inspection.id)


def _stages():
    query = select(StageNote).join(_Plant, StageNote.plant_id == _Plant.id)
    return query, {"plant": _Plant.code}, (_Plant.number, StageNote.on, StageNote.id)


def _stays():
    query = select(Stay).join(_Bundle, Stay.bundle_id == _Bundle.id)
    return query, {"wood": _Bundle.code}, (_Bundle.number, Stay.on, Stay.id)


def _looks():
    query = select(Look).join(_Graft, Look.graft_id == _Graft.id)
    return query, {"graft": _Graft.code}, (_Graft.number, Look.on, Look.id)


def _care():
    query = select(Care).outerjoin(_Plant, Care.plant_id == _Plant.id).outerjoin(_Graft, Care.graft_id == _Graft.id)
    return query, {"subject": func.coalesce(_Plant.code, _Graft.code)}, _subject_order(Care, Care.graft_id, _Graft)


def _notes():
    query = (
        select(CautionNote)
        .outerjoin(_Plant, CautionNote.plant_id == _Plant.id)
        .outerjoin(_Bundle, CautionNote.bundle_id == _Bundle.id)
    )
    special = {"subject": func.coalesce(_Plant.code, _Bundle.code)}
    return query, special, _subject_order(CautionNote, CautionNote.bundle_id, _Bundle)


def _subject_order(table: Any, key: Any, other: Any) -> tuple[Any, ...]:
    """Plants first, then the other kind, each by number."""
    return key.is_not(None), func.coalesce(_Plant.number, other.number), table.on, table.id


def _tag_runs():
    return select(TagRun), {}, (TagRun.number,)


def _reserved():
    return select(ReservedCode), {}, (ReservedCode.on, ReservedCode.id)


def _stations():
    return select(WeatherStation), {}, (WeatherStation.id,)


def _weather():
    query = select(WeatherYear).join(WeatherStation, WeatherYear.station_id == WeatherStation.id)
    return query, {"station": WeatherStation.name}, (WeatherYear.station_id, WeatherYear.year)


def _place_weather():
    query = select(PlaceWeather).outerjoin(WeatherStation, PlaceWeather.station_id == WeatherStation.id)
    return query, {"station": WeatherStation.name}, (PlaceWeather.on, PlaceWeather.id)


def _namings():
    query = (
        select(Naming)
        .outerjoin(_Plant, Naming.plant_id == _Plant.id)
        .outerjoin(_Bundle, Naming.bundle_id == _Bundle.id)
        .outerjoin(_Graft, Naming.graft_id == _Graft.id)
    )
    kind = case((Naming.plant_id.is_not(None), 0), (Naming.bundle_id.is_not(None), 1), else_=2)
    number = func.coalesce(_Plant.number, _Bundle.number, _Graft.number)
    return (
        query,
        {"subject": func.coalesce(_Plant.code, _Bundle.code, _Graft.code)},
        (kind, number, Naming.on, Naming.id),
    )


def _synonyms():
    return select(Synonym), {}, (Synonym.on, Synonym.id)


def _people():
    return select(Person), {}, (Person.id,)


def _requests():
    return select(WoodRequest), {}, (WoodRequest.number,)


def _wants():
    return select(Want), {}, (Want.number,)


def _plans():
    return select(Plan), {}, (Plan.number,)


def _plan_rows():
    query = (
        select(PlanRow)
        .join(Plan, PlanRow.plan_id == Plan.id)
        .outerjoin(Want, PlanRow.want_id == Want.id)
        .join(_Bundle, PlanRow.bundle_id == _Bundle.id)
        .join(_Plant, PlanRow.host_plant_id == _Plant.id)
    )
    special = {"plan": Plan.number, "want": Want.number, "wood": _Bundle.code, "host": _Plant.code}
    return query, special, (Plan.number, PlanRow.line)


_QUERIES = {
    "own_rows": _own_rows, "plants": _plants, "wood": _wood, "grafts": _grafts, "prunes": _prunes,
    "movements": _movements, "inspections": _inspections, "looks": _looks, "care": _care, "notes": _notes,
    "tag_runs": _tag_runs, "reserved": _reserved, "stages": _stages, "stays": _stays, "stations": _stations,
    "weather": _weather, "place_weather": _place_weather, "namings": _namings, "synonyms": _synonyms, "people": _people,
    "requests": _requests,
    "wants": _wants, "plans": _plans, "plan_rows": _plan_rows,
}  # fmt: skip
