"""How the book is asked: for plain rows, for rows by the names of a tuple, for things, for ids and numbers.

A query is written once; where `column` and `values` are given it is asked in parts short enough for the database, each
for some of those values, and where `values` is None for all rows.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any, NamedTuple, TypeVar

from sqlalchemy import Select, func, select
from sqlmodel import Session, SQLModel

CHUNK = 5_000
Table = TypeVar("Table", bound=SQLModel)
Line = TypeVar("Line", bound=NamedTuple)


def chunks(values: Iterable[Any]) -> Iterator[list[Any]]:
    """Values, each once, in lists short enough for one question to the database."""
    wanted = sorted(set(values))
    for start in range(0, len(wanted), CHUNK):
        yield wanted[start : start + CHUNK]


def asked(query: Select, column: Any = None, values: Iterable[Any] | None = None) -> Iterator[Select]:
    """The query for the rows whose column holds one of these values, in parts; as it is where `values` is None."""
    if values is None:
        yield query
    else:
        yield from (query.where(column.in_(part)) for part in chunks(values))


def rows(session: Session, query: Select, column: Any = None, values: Iterable[Any] | None = None) -> list[Any]:
    """The rows of a query of columns; each answers by name."""
    connection = session.connection()
    return [row for part in asked(query, column, values) for row in connection.execute(part).all()]


def lines(
    session: Session, kind: type[Line], query: Select, column: Any = None, values: Iterable[Any] | None = None
) -> list[Line]:
    """The rows of a query as tuples of a kind, whose columns they are in order."""
    return [kind._make(row) for row in rows(session, query, column, values)]


def columns_of(kind: type[NamedTuple], table: Any) -> list[Any]:
    """The columns of a table that are named as the fields of a tuple."""
    return [getattr(table, name) for name in kind._fields if hasattr(table, name)]


def things(session: Session, table: type[Table], *conditions: Any) -> list[Table]:
    """The things of a table that meet these conditions, in the order of things."""
    return list(session.execute(select(table).where(*conditions).order_by(*order_of(table))).scalars())


def order_of(table: type[SQLModel]) -> list[Any]:
    """The order of things: by number where they have one, else by day, then as they were recorded."""
    names = ("number",) if "number" in table.model_fields else ("on", "id")
    return [getattr(table, name) for name in names if name in table.model_fields]


def things_with(session: Session, table: type[Table], column: Any, values: Iterable[Any]) -> list[Table]:
    """The things of a table whose column holds one of these values, in no order."""
    return [row for part in asked(select(table), column, values) for row in session.execute(part).scalars()]


def ids_by(session: Session, table: Any, name: str, values: Iterable[Any] | None = None) -> dict[Any, int]:
    """The ids of the rows whose column of this name holds one of these values (None: of every row), by those values."""
    column = getattr(table, name)
    return {value: number for value, number in rows(session, select(column, table.id), column, values)}


def held_in(session: Session, *columns: Any) -> list[Any]:
    """What these columns hold, each value once, in the order in which they were met; nothing does not count."""
    queries = (select(column).distinct().where(column.is_not(None)) for column in columns)
    return list(dict.fromkeys(value for query in queries for (value,) in rows(session, query)))


def day_spans(session: Session, sources: Iterable[tuple[Any, Any]], ids: Iterable[int]) -> dict[int, tuple[date, date]]:
    """The first and the last day found beside each of these ids in any of the `sources`, each a column of ids and one of days;
    ids beside which no day stands are absent."""
    found: dict[int, tuple[date, date]] = {}
    wanted = list(ids)
    for key, day in sources:
        query = select(key, func.min(day), func.max(day)).where(day.is_not(None)).group_by(key)
        for number, first, last in rows(session, query, key, wanted):
            low, high = found.get(number, (first, last))
            found[number] = min(low, first), max(high, last)
    return found


def next_number(session: Session, table: Any) -> int:
    """The number of the next want, plan, run of tags or request."""
    return (session.execute(select(func.max(table.number))).scalar() or 0) + 1
