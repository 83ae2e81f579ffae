"""The trade's tables as they are printed, each row with its basis and, where published, its source."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from graftbook.trade import reading, schema


def names() -> tuple[str, ...]:
    """The names of all tables, in the order they are best read."""
    return tuple(table.name for table in schema.TABLES)


def columns(name: str) -> tuple[str, ...]:
    """The columns of a table in file order. Raises KeyError for a name that is no table."""
    return schema.table(name).header()


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Every row of a table as text, in file order; an empty cell is ''. Raises KeyError for a name that is no table."""
    header = columns(name)
    lines = reading.read_lines(name)
    return tuple(MappingProxyType(dict(zip(header, cells, strict=True))) for _, cells in lines.rows)


def check() -> tuple[str, ...]:
    """Every problem in the data files as one sentence each: file, line, column, what was found, what is accepted."""
    from graftbook.trade import checks

    return tuple(problem.sentence() for problem in checks.problems(reading.FOLDER))
