"""The book read and written in bulk, for files that hold thousands of rows: facts by code, what is there already, and
every row of a thing in a fixed order.

Everything is asked in chunks, never row by row. Orders use numbers, days and ids only, so that both databases agree.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from sqlalchemy import case, func, null, select
from sqlalchemy.orm import aliased
from sqlmodel import Session

from graftbook.book import find
from graftbook.book._base import Row
from graftbook.book.asking import CHUNK, order_of, rows, things, things_with
from graftbook.book.grafts import Graft
from graftbook.book.ledger import Counter, Entry, OwnRow
from graftbook.book.plans import Plan, PlanRow, Want
from graftbook.book.plants import Plant
from graftbook.book.sheets_kept import SheetLine, SheetRead
from graftbook.book.unit import row_values
from graftbook.book.weather import PlaceWeather, WeatherStation, WeatherYear
from graftbook.book.wood import Bundle, Movement, Prune

_Plant, _Graft, _Bundle = aliased(Plant), aliased(Graft), aliased(Bundle)
_KIN: dict[str, Any] = {"plant_id": _Plant, "bundle_id": _Bundle, "graft_id": _Graft}


def facts(session: Session, letter: str, codes: Iterable[str]) -> dict[str, dict[str, Any]]:
    """What other rows need to know of plants, bundles or grafts, by code; those the book lacks are absent.

    Of all: id, taxon, cultivar (a graft's are those of its wood). Of a plant: kind, clone, place, acquired_on, died_on. Of
    a bundle: cut_on, received_on, buds_per_stick. Of a graft: made_on, unit, place.
    """
    return {
        row.code: {key: value for key, value in row._mapping.items() if value is not None}
        for row in rows(session, _fact_query(letter), find.TABLES[letter].code, codes)
    }


def first_grafted(session: Session, codes: Iterable[str]) -> dict[str, date]:
    """The day of the first graft made on each of these plants, by code; plants that never bore one are absent."""
    asked = (
        select(Plant.code, func.min(Graft.made_on)).join(Graft, Graft.host_plant_id == Plant.id).group_by(Plant.code)
    )
    return {code: day for code, day in rows(session, asked, Plant.code, codes)}


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
    return {row.code: row_values(row) for row in things_with(session, table, table.code, codes)}


def kept(session: Session, table: type[Row], owner: str, owner_ids: Iterable[int], fields: Sequence[str]) -> set[tuple]:
    """What a table holds of some owners: the owner's id, then the fields named, for every row whose column `owner` is one
    of these ids."""
    column = getattr(table, owner)
    return set(map(tuple, rows(session, select(column, *(getattr(table, name) for name in fields)), column, owner_ids)))


def kinds_of_cultivars(session: Session) -> list[tuple[str, str]]:
    """Every cultivar of the book with the taxon it stands under, each pair once."""
    pairs = (select(c.cultivar, c.taxon).where(c.cultivar.is_not(None), c.taxon.is_not(None)) for c in (Plant, Bundle))
    return sorted({tuple(row) for query in pairs for row in rows(session, query.distinct())})


def own_row_contents(session: Session) -> list[tuple[str, dict[str, str]]]:
    """The grower's own rows of the trade's tables: the table and the columns."""
    return [(row.trade_table, dict(row.fields)) for row in things(session, OwnRow)]


def entry_saying(session: Session, verb: str, words: str) -> int | None:
    """The newest standing entry of a verb whose summary holds these words; None when there is none."""
    says = Entry.summary.contains(words, autoescape=True)
    return session.execute(
        select(func.max(Entry.id)).where(Entry.verb == verb, Entry.undone_by.is_(None), says)
    ).scalar()


def counters(session: Session) -> dict[str, int]:
    """The last number given out for each kind of code, by letter; a kind of which none was given may be absent."""
    return dict(rows(session, select(Counter.letter, Counter.last).order_by(Counter.letter)))


def steady(session: Session) -> None:
    """Make every question of this session see the book as it is at the first of them. Call it before the first."""
    if session.get_bind().dialect.name != "sqlite":
        session.connection(execution_options={"isolation_level": "REPEATABLE READ"})


def every(session: Session, table: type[Row], fields: Sequence[str]) -> Iterator[Sequence[Any]]:
    """Every row of a thing, the fields named in their order: things with codes by number, others by what they belong to,
    then by day, then as they were recorded. Other rows are named by code: `wood`, `host`, `source`, `plant`, `graft`,
    `subject`; `prune_uid` is the prune a bundle came from, `sticks` and `came_…` the movement by which it came in."""
    query, special, order = _QUERIES[table]() if table in _QUERIES else _about(table)
    columns = [special[field] if field in special else getattr(table, field) for field in fields]
    chosen = query.with_only_columns(*columns, maintain_column_froms=True).order_by(*order)
    return iter(session.execute(chosen.execution_options(yield_per=CHUNK)))


def _about(table: Any) -> tuple[Any, dict[str, Any], Sequence[Any]]:
    """Rows about plants, bundles or grafts: what is about plants first, then bundles, then grafts, each by number. Rows about
    none of them in the order of things."""
    kin = {getattr(table, key): other for key, other in _KIN.items() if key in table.model_fields}
    if not kin:
        return select(table), {}, order_of(table)
    query = select(table)
    for key, other in kin.items():
        query = query.outerjoin(other, key == other.id)
    code, number = (
        func.coalesce(*(getattr(other, name) for other in kin.values()), null()) for name in ("code", "number")
    )
    kind = case(*((key.is_not(None), place) for place, key in enumerate(kin)))
    return query, dict.fromkeys(("subject", "plant", "wood", "graft"), code), (kind, number, table.on, table.id)


def _first_movements() -> Any:
    """Ids of the movements by which bundles came in: the first saved or received one of each."""
    place = func.row_number().over(partition_by=Movement.bundle_id, order_by=(Movement.on, Movement.id)).label("place")
    came = Movement.kind.in_(("saved", "received")), Movement.receiver.is_(None), Movement.counted.is_(None)
    ranked = select(Movement.id, place).where(*came).subquery()
    return select(ranked.c.id).where(ranked.c.place == 1)


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


def _movements():
    into = aliased(Bundle)
    query, special, order = _about(Movement)
    query = query.outerjoin(into, Movement.into_bundle_id == into.id).where(Movement.id.not_in(_first_movements()))
    return query, {**special, "into": into.code}, order


def _weather():
    query = select(WeatherYear).join(WeatherStation, WeatherYear.station_id == WeatherStation.id)
    return query, {"station": WeatherStation.name}, (WeatherYear.station_id, WeatherYear.year)


def _place_weather():
    query = select(PlaceWeather).outerjoin(WeatherStation, PlaceWeather.station_id == WeatherStation.id)
    return query, {"station": WeatherStation.name}, order_of(PlaceWeather)


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


def _sheet_rows():
    query = select(SheetLine).join(SheetRead, SheetLine.sheet_read_id == SheetRead.id)
    return query, {"sheet_number": SheetRead.number}, (SheetLine.number,)


_QUERIES: dict[type[Row], Callable[[], tuple[Any, dict[str, Any], Sequence[Any]]]] = {
    Bundle: _wood, Graft: _grafts, Movement: _movements, WeatherYear: _weather, PlaceWeather: _place_weather,
    PlanRow: _plan_rows, SheetLine: _sheet_rows,
}  # fmt: skip
